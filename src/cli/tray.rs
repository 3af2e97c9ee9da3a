//! `smallcast tray`: the beads there are, those hard to tell apart, those nearest to a colour.

use std::path::{Path, PathBuf};

use serde::Serialize;
use smallcast::colour::{Lab, Srgb};
use smallcast::error::{Error, Result};
use smallcast::tray::{AlikePair, Bead, Eyes, HARD_TO_TELL, Likeness, Price, Tray};

use super::home::Home;
use super::output::{self, Paint};
use super::report;
use super::table::{Side, Table, fitted, headline, indented};
use super::tray_photo::PhotoArguments;

/// Beads that `--near` lists: enough to choose from, few enough to take in.
const NEAREST: usize = 6;

/// Pairs of a deficiency that `--alike` shows, most alike first; a full list would push the pairs that
/// everybody confuses off the screen. `--json` has them all.
const MOST_PAIRS: usize = 20;

/// The layout of the JSON documents; grows when a reader would have to change.
const FORMAT: u32 = 1;

/// List the beads of a tray, those hard to tell apart, or those nearest to a colour; or read your own from a photograph
#[derive(Debug, clap::Args)]
pub struct Arguments {
    /// Tray file: CSV with the columns name and hex (or L,a,b); or a cast's folder; without it, the tray of
    /// the cast you are in, else the embedded one
    #[arg(value_name = "FILE|FOLDER", conflicts_with = "photo")]
    file: Option<PathBuf>,
    /// List the pairs that are hard to tell apart, for ordinary eyes and for each colour-vision deficiency
    #[arg(long, conflicts_with_all = ["near", "photo"])]
    alike: bool,
    /// List the beads nearest to a colour, such as '#a0522d'
    #[arg(long, value_name = "HEX", conflicts_with = "photo")]
    near: Option<String>,
    #[command(flatten)]
    photo: PhotoArguments,
    /// Print one JSON document on standard output
    #[arg(long)]
    json: bool,
}

impl Arguments {
    /// Prints what was asked of the tray.
    pub fn execute(&self) -> Result<()> {
        if self.photo.is_asked() {
            return self.photo.execute(self.json);
        }
        let near = self.near.as_deref().map(colour).transpose()?;
        let home = self.home()?;
        let view = View {
            name: home.tray_name(),
            tray: &home.tray,
            paint: Paint::for_stdout(),
            width: output::width(),
        };
        match (near, self.json) {
            (Some(colour), false) => output::print(&view.nearest(colour))?,
            (Some(colour), true) => output::print_json(&view.nearest_json(colour))?,
            (None, false) if self.alike => output::print(&view.alike())?,
            (None, true) if self.alike => output::print_json(&view.alike_json())?,
            (None, false) => output::print(&view.list())?,
            (None, true) => output::print_json(&view.list_json())?,
        }
        if !self.json {
            report::next(&self.next());
        }
        Ok(())
    }

    fn home(&self) -> Result<Home> {
        match self.file.as_deref() {
            Some(folder) if folder.is_dir() => Home::of(&[folder], None),
            file => Home::of(&[Path::new(".")], file),
        }
    }

    /// A list leads to its likenesses, everything else to drafting.
    fn next(&self) -> String {
        let file = self.file.as_deref().map(report::typed);
        match (file, self.alike || self.near.is_some()) {
            (Some(file), false) => format!("smallcast tray {file} --alike"),
            (None, false) => "smallcast tray --alike".into(),
            (Some(_), true) if self.file.as_deref().is_some_and(Path::is_dir) => {
                "smallcast draft PICTURE".into()
            }
            (Some(file), true) => format!("smallcast draft PICTURE --tray {file}"),
            (None, true) => "smallcast draft PICTURE".into(),
        }
    }
}

fn colour(text: &str) -> Result<Srgb> {
    text.parse().map_err(|_| Error::BadValue {
        option: "--near",
        value: format!("'{text}'"),
        why: "this is not a colour".into(),
        right: "write six hexadecimal digits between quotation marks, such as '#a0522d'".into(),
    })
}

/// A tray and the room to show it in.
struct View<'a> {
    name: String,
    tray: &'a Tray,
    paint: Paint,
    width: usize,
}

impl View<'_> {
    fn list(&self) -> String {
        let has_uncertainty = self.tray.iter().any(|(_, bead)| bead.uncertainty.is_some());
        let has_remarks = self.tray.iter().any(|(_, bead)| !remarks(bead).is_empty());
        let has_pack = self.tray.iter().any(|(_, bead)| bead.pack.is_some());
        let has_price = self.tray.iter().any(|(_, bead)| bead.price.is_some());
        let mut titles = vec![("bead", Side::Left), ("count", Side::Right)];
        titles.extend(has_pack.then_some(("pack", Side::Right)));
        titles.extend(has_price.then_some(("price", Side::Right)));
        titles.extend([("hex", Side::Left), ("L", Side::Right), ("a", Side::Right), ("b", Side::Right)]);
        if has_uncertainty {
            titles.push(("±", Side::Right));
        }
        if has_remarks {
            titles.push(("note", Side::Left));
        }
        let mut table = Table::new(&titles);
        for (_, bead) in self.tray.iter() {
            let Lab { l, a, b } = bead.lab;
            let mut cells = vec![bead.name.clone(), count(bead)];
            cells.extend(has_pack.then(|| told(bead.pack)));
            cells.extend(has_price.then(|| told(bead.price.as_ref())));
            cells.push(hex(bead.lab));
            cells.extend([l, a, b].map(|v| format!("{v:.1}").replace("-0.0", "0.0")));
            if has_uncertainty {
                cells.push(bead.uncertainty.map_or_else(|| "-".into(), |u| u.to_string()));
            }
            if has_remarks {
                cells.push(remarks(bead));
            }
            table.row(&[bead.lab.srgb()], cells);
        }
        let elastic = if has_remarks { vec![0, titles.len() - 1] } else { vec![0] };
        let mut text = format!("{}\n\n", self.summary());
        text.push_str(&table.render(self.paint, self.width, &elastic));
        if self.tray.iter().any(|(_, bead)| !bead.lab.is_displayable()) {
            text.push_str("\n~ more vivid than a screen can show: the nearest colour it can\n");
        }
        text
    }

    fn summary(&self) -> String {
        let kinds = self.tray.len();
        let owned: u64 = self.tray.iter().filter_map(|(_, bead)| bead.count).map(u64::from).sum();
        let plural = if kinds == 1 { "" } else { "s" };
        let pieces = if owned > 0 { format!(", {owned} pieces") } else { String::new() };
        let whose = if self.name == "embedded" {
            "The embedded tray of invented beads".into()
        } else {
            report::plain(&self.name)
        };
        headline(&format!("{whose}: {kinds} kind{plural}{pieces}"), self.paint, self.width)
    }

    fn alike(&self) -> String {
        let pairs = self.tray.alike(HARD_TO_TELL);
        let (ordinary, other): (Vec<_>, Vec<_>) =
            pairs.iter().partition(|pair| pair.apart(Eyes::Ordinary) <= HARD_TO_TELL);
        let limit = HARD_TO_TELL.0;
        let mut text = self.section(
            &format!("Hard to tell apart for ordinary eyes (CIEDE2000 up to {limit})"),
            "no two beads of this tray",
            &ordinary,
        );
        text.push('\n');
        text.push_str(&self.section(
            "Only with a colour-vision deficiency, simulated at its strongest",
            "no others",
            &other[..other.len().min(MOST_PAIRS)],
        ));
        if let Some(next) = other.get(MOST_PAIRS) {
            let (more, least) = (other.len() - MOST_PAIRS, next.least());
            let rest = format!("and {more} more, {least} apart or further: --json names them all");
            text.push_str(&format!("{}\n", indented(&rest, self.width)));
        }
        let eyes = "\nprotan: no red cones, deutan: no green cones (each about 1 man in 100);\n\
                    tritan: no blue cones (rare). A dot: these eyes tell the two apart.";
        text.push_str(&self.paint.faint(&fitted(eyes, self.width)));
        text.push('\n');
        text
    }

    fn section(&self, heading: &str, none: &str, pairs: &[&AlikePair]) -> String {
        let mut text = format!("{}\n", headline(heading, self.paint, self.width));
        if pairs.is_empty() {
            text.push_str(&format!("  {none}\n"));
            return text;
        }
        let mut titles = vec![("bead", Side::Left), ("beside", Side::Left)];
        titles.extend(Eyes::ALL.map(|eyes| (eyes.name(), Side::Right)));
        titles.push(("at worst", Side::Left));
        let mut table = Table::new(&titles);
        for pair in pairs {
            let (one, other) = pair.beads();
            let (one, other) = (self.tray.bead(one), self.tray.bead(other));
            let mut cells = vec![one.name.clone(), other.name.clone()];
            cells.extend(Eyes::ALL.map(|eyes| match pair.apart(eyes) {
                apart if apart <= HARD_TO_TELL => apart.to_string(),
                _ => "·".into(),
            }));
            cells.push(worst(pair).word().into());
            table.row(&[one.lab.srgb(), other.lab.srgb()], cells);
        }
        text.push_str(&table.render(self.paint, self.width, &[0, 1]));
        text
    }

    fn nearest(&self, colour: Srgb) -> String {
        let mut table = Table::new(&[
            ("bead", Side::Left),
            ("apart", Side::Right),
            ("which is", Side::Left),
            ("hex", Side::Left),
            ("count", Side::Right),
        ]);
        for (id, apart) in self.tray.nearest(colour.lab(), NEAREST) {
            let bead = self.tray.bead(id);
            let word = Likeness::of(apart).word().to_string();
            let cells = vec![bead.name.clone(), apart.to_string(), word, hex(bead.lab), count(bead)];
            table.row(&[colour, bead.lab.srgb()], cells);
        }
        let heading = headline(&format!("Nearest to {colour}, by CIEDE2000"), self.paint, self.width);
        format!("{heading}\n\n{}", table.render(self.paint, self.width, &[0]))
    }

    fn list_json(&self) -> ListJson<'_> {
        let beads = self.tray.iter().map(|(_, bead)| BeadJson::new(bead)).collect();
        ListJson { format: FORMAT, tray: &self.name, beads }
    }

    fn alike_json(&self) -> AlikeJson<'_> {
        let pairs = self.tray.alike(HARD_TO_TELL).into_iter().map(|pair| self.pair_json(&pair)).collect();
        AlikeJson { format: FORMAT, tray: &self.name, limit: HARD_TO_TELL.0, pairs }
    }

    fn pair_json(&self, pair: &AlikePair) -> PairJson<'_> {
        let (one, other) = pair.beads();
        let apart = |vision| rounded(pair.apart(vision).0);
        let [ordinary, protan, deutan, tritan] = Eyes::ALL.map(apart);
        PairJson {
            beads: [&self.tray.bead(one).name, &self.tray.bead(other).name],
            apart: ApartJson { ordinary, protan, deutan, tritan },
            alike_to: pair.alike_to(HARD_TO_TELL).map(Eyes::name).collect(),
            word: worst(pair).word(),
        }
    }

    fn nearest_json(&self, colour: Srgb) -> NearJson<'_> {
        let near = self.tray.nearest(colour.lab(), NEAREST).into_iter().map(|(id, apart)| NearBeadJson {
            bead: BeadJson::new(self.tray.bead(id)),
            apart: rounded(apart.0),
            word: Likeness::of(apart).word(),
        });
        NearJson {
            format: FORMAT,
            tray: &self.name,
            colour: colour.to_string(),
            lab: lab(colour.lab()),
            nearest: near.collect(),
        }
    }
}

/// The word for the pair as the eyes see it that tell it apart least.
fn worst(pair: &AlikePair) -> Likeness {
    Likeness::of(pair.least())
}

fn count(bead: &Bead) -> String {
    told(bead.count)
}

/// What a file says of a bead, or a dash.
fn told(value: Option<impl ToString>) -> String {
    value.map_or_else(|| "-".into(), |value| value.to_string())
}

/// The colour as a screen shows it; `~` where a screen cannot.
pub(super) fn hex(lab: Lab) -> String {
    format!("{}{}", lab.srgb(), if lab.is_displayable() { "" } else { "~" })
}

fn remarks(bead: &Bead) -> String {
    [&bead.finish, &bead.note].into_iter().flatten().map(String::as_str).collect::<Vec<_>>().join("; ")
}

/// Four decimals: more than any colour is measured to, and the same digits on every machine.
pub(super) fn rounded(v: f64) -> f64 {
    (v * 1e4).round() / 1e4 + 0.0
}

pub(super) fn lab(colour: Lab) -> [f64; 3] {
    [colour.l, colour.a, colour.b].map(rounded)
}

#[derive(Serialize)]
struct ListJson<'a> {
    format: u32,
    tray: &'a str,
    beads: Vec<BeadJson<'a>>,
}

#[derive(Serialize)]
struct BeadJson<'a> {
    name: &'a str,
    hex: String,
    lab: [f64; 3],
    displayable: bool,
    #[serde(skip_serializing_if = "Option::is_none")]
    uncertainty: Option<f64>,
    count: Option<u32>,
    finish: Option<&'a str>,
    pack: Option<u32>,
    price: Option<f64>,
    #[serde(skip_serializing_if = "Option::is_none")]
    currency: Option<&'a str>,
    note: Option<&'a str>,
}

impl<'a> BeadJson<'a> {
    fn new(bead: &'a Bead) -> Self {
        Self {
            name: &bead.name,
            hex: bead.lab.srgb().to_string(),
            lab: lab(bead.lab),
            displayable: bead.lab.is_displayable(),
            uncertainty: bead.uncertainty.map(|u| u.0),
            count: bead.count,
            finish: bead.finish.as_deref(),
            pack: bead.pack,
            // The amount alone; its currency stands beside it.
            price: bead.price.as_ref().and_then(|price| price.number().parse().ok()),
            currency: bead.price.as_ref().map(Price::currency).filter(|currency| !currency.is_empty()),
            note: bead.note.as_deref(),
        }
    }
}

#[derive(Serialize)]
struct AlikeJson<'a> {
    format: u32,
    tray: &'a str,
    limit: f64,
    pairs: Vec<PairJson<'a>>,
}

#[derive(Serialize)]
struct PairJson<'a> {
    beads: [&'a str; 2],
    apart: ApartJson,
    alike_to: Vec<&'static str>,
    word: &'static str,
}

#[derive(Serialize)]
struct ApartJson {
    ordinary: f64,
    protan: f64,
    deutan: f64,
    tritan: f64,
}

#[derive(Serialize)]
struct NearJson<'a> {
    format: u32,
    tray: &'a str,
    colour: String,
    lab: [f64; 3],
    nearest: Vec<NearBeadJson<'a>>,
}

#[derive(Serialize)]
struct NearBeadJson<'a> {
    #[serde(flatten)]
    bead: BeadJson<'a>,
    apart: f64,
    word: &'static str,
}
