//! What a photograph of beads told, in words.

use smallcast::colour::Srgb;
use smallcast::seen_beads::{Doubt, OwnTray, SeenBead, Tint};

use super::output::{self, Paint};
use super::report;
use super::table::{Side, Table, fitted, headline, indented};
use super::tray::hex;
use super::tray_photo::Answer;

/// A photograph's answer and the room to print it in.
pub struct View<'a> {
    answer: &'a Answer<'a>,
    paint: Paint,
    width: usize,
}

impl<'a> View<'a> {
    pub fn new(answer: &'a Answer<'a>) -> Self {
        Self { answer, paint: Paint::for_stdout(), width: output::width() }
    }

    /// The whole answer.
    pub fn text(&self) -> String {
        let mut text = format!("{}\n", headline(&self.heading(), self.paint, self.width));
        text.push_str(&self.item(&white_in_words(self.answer)));
        text.push_str(&self.item(&light_in_words(self.answer)));
        text.push('\n');
        text.push_str(&self.table());
        let within = "\n± CIEDE2000: two in three lie within it of the bead's true colour, nineteen in\n\
                      twenty within twice as much. Swatches: as photographed, as read.";
        text.push_str(&self.paint.faint(&fitted(within, self.width)));
        text.push('\n');
        self.doubtful(&mut text);
        if let Some(own) = self.answer.own {
            self.left_out(&mut text, own);
            self.renewed(&mut text, own);
        }
        for saved in [self.answer.saved, self.answer.picture].into_iter().flatten() {
            text.push_str(&format!("\nsaved {}", report::plain(&saved.display().to_string())));
        }
        if self.answer.saved.or(self.answer.picture).is_some() {
            text.push('\n');
        }
        text
    }

    fn item(&self, words: &str) -> String {
        format!("{}\n", indented(words, self.width))
    }

    fn heading(&self) -> String {
        let seen = self.answer.seen;
        let (beads, rows) = (seen.beads.len(), seen.rows.len());
        let plural = |number: usize| if number == 1 { "" } else { "s" };
        let photo = report::plain(&self.answer.photo.display().to_string());
        format!("{photo}: {beads} bead{} in {rows} row{}", plural(beads), plural(rows))
    }

    fn table(&self) -> String {
        let is_named = !self.answer.names.is_empty();
        let mut titles = vec![("", Side::Right)];
        if is_named {
            titles.push(("bead", Side::Left));
        }
        titles.extend(["hex", "L", "a", "b", "±"].map(|title| (title, Side::Right)));
        titles.push(("", Side::Left));
        let mut table = Table::new(&titles);
        for (at, bead) in self.answer.seen.beads.iter().enumerate() {
            let mut cells = vec![(at + 1).to_string()];
            cells.extend(is_named.then(|| self.name(at)));
            let (read, rest) = match bead.colour {
                Ok(colour) => {
                    let lab = [colour.lab.l, colour.lab.a, colour.lab.b]
                        .map(|v| format!("{v:.1}").replace("-0.0", "0.0"));
                    let [l, a, b] = lab;
                    (colour.lab.srgb(), vec![hex(colour.lab), l, a, b, colour.uncertainty.to_string()])
                }
                Err(_) => (NOTHING, vec!["-".into(); 5]),
            };
            cells.extend(rest);
            cells.push(remark(bead));
            table.row(&[bead.shown, read], cells);
        }
        let elastic: Vec<usize> = if is_named { vec![1, titles.len() - 1] } else { vec![titles.len() - 1] };
        table.render(self.paint, self.width, &elastic)
    }

    /// The name of a bead; its number where it has none.
    fn name(&self, at: usize) -> String {
        self.answer.names.get(at).cloned().unwrap_or_else(|| format!("number {}", at + 1))
    }

    fn doubtful(&self, text: &mut String) {
        for doubt in [Doubt::FewPixels, Doubt::Glossy, Doubt::NearAnother, Doubt::Clipped] {
            let beads = self.answer.seen.beads.iter().enumerate();
            let names: Vec<String> = beads
                .filter(|(_, bead)| bead.doubts.contains(&doubt) && bead.colour.is_ok())
                .map(|(at, _)| self.name(at))
                .collect();
            if !names.is_empty() {
                text.push_str(&self.item(&format!("doubtful, {}: {}", doubt.word(), names.join(", "))));
            }
        }
    }

    fn left_out(&self, text: &mut String, own: &OwnTray) {
        for (name, why) in &own.left_out {
            let words = format!(
                "left out: {name} is {}, and has no single colour; add a line for it by hand, with a colour \
                chosen by eye",
                why.word()
            );
            text.push_str(&self.item(&words));
        }
        if !own.kept.is_empty() {
            let words = format!("kept as they were in the older tray: {}", own.kept.join(", "));
            text.push_str(&self.item(&words));
        }
    }

    fn renewed(&self, text: &mut String, own: &OwnTray) {
        let Some(older) = self.answer.renewed else { return };
        let older = report::plain(&older.display().to_string());
        text.push_str(&format!("\n{}\n", headline(&format!("Beside {older}"), self.paint, self.width)));
        if own.renewed.is_empty() {
            text.push_str("  no bead of the photograph is in it\n");
            return;
        }
        let mut table = Table::new(&[
            ("bead", Side::Left),
            ("was", Side::Left),
            ("is", Side::Left),
            ("apart", Side::Right),
            ("", Side::Left),
        ]);
        for bead in &own.renewed {
            let verdict =
                if bead.is_within { "within the uncertainty" } else { "another colour than before" };
            let cells =
                vec![bead.name.clone(), hex(bead.was), hex(bead.is), bead.apart.to_string(), verdict.into()];
            table.row(&[bead.was.srgb(), bead.is.srgb()], cells);
        }
        text.push_str(&table.render(self.paint, self.width, &[0]));
    }
}

/// Shown where no colour was read.
const NOTHING: Srgb = Srgb::new(128, 128, 128);

fn remark(bead: &SeenBead) -> String {
    match bead.colour {
        Err(why) => format!("{}: no colour", why.word()),
        Ok(_) if bead.doubts.is_empty() => String::new(),
        Ok(_) => "doubtful".into(),
    }
}

/// What was taken for white.
pub fn white_in_words(answer: &Answer) -> String {
    match answer.seen.patch {
        Some(_) => "white by the grey patch beside the beads".into(),
        None => {
            "no grey patch is seen: the paper was taken for white, so the colours are less certain; lay a grey \
            card beside the beads"
                .into()
        }
    }
}

/// The light in words.
pub fn light_in_words(answer: &Answer) -> String {
    let light = &answer.seen.light;
    let kelvins = light.kelvins.map(|kelvins| format!(", about {:.0} K", (kelvins / 100.0).round() * 100.0));
    let tint = match light.tint() {
        Tint::Neutral => "neutral".to_owned(),
        tint => format!("{tint}{}", kelvins.unwrap_or_default()),
    };
    let mut words = format!("light as the camera left it: {tint}");
    if light.is_dim() {
        words.push_str("; dim: more light would show dark beads better");
    }
    if light.is_uneven() {
        words.push_str(&format!("; uneven: {:.1} times brighter at one end", light.unevenness));
    }
    words
}
