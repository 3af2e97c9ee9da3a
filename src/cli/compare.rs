//! `smallcast compare`: one colour in several references, or one thing in the figures of a cast, and the bead that serves
//! them all.

use std::path::{Path, PathBuf};

use smallcast::colour::Lab;
use smallcast::draft::{DEFAULT_SEED, colours_of_mark};
use smallcast::error::{Error, Result};
use smallcast::figure::{Figure, Mark, Source};
use smallcast::matching::{Agreement, Sighting, agree};
use smallcast::reference::{Area, Limits, Picture, colours_in, open};
use smallcast::tray::{BeadId, Tray};

use super::home::Home;
use super::output::{self, Paint};
use super::places::area;
use super::progress::Progress;
use super::references::own_picture;
use super::{compare_json, compare_picture, compare_text, ledger, report};

/// See what colour something is: one area in several references, or a named thing in a cast, and the bead
/// that serves all
#[derive(Debug, clap::Args)]
pub struct Arguments {
    /// References of one character; with --figure they may be left out, and the figure's own is used; with
    /// --thing, the cast's folder, or figures of it
    #[arg(required_unless_present = "figure", value_name = "PICTURE|FOLDER")]
    pictures: Vec<PathBuf>,
    /// The area to look at, in pixels: X,Y,WIDTH,HEIGHT; given once for all pictures, or once for each in turn
    #[arg(long, value_name = "X,Y,W,H", allow_hyphen_values = true, conflicts_with = "figure")]
    #[arg(required_unless_present_any = ["figure", "thing"])]
    area: Vec<String>,
    /// A figure drafted from the references: look where it has the beads of --mark
    #[arg(long, value_name = "FILE", requires = "mark")]
    figure: Option<PathBuf>,
    /// A mark of the figure's legend
    #[arg(long, value_name = "MARK", requires = "figure")]
    mark: Option<String>,
    /// A thing of the cast, or a word of its name, such as hair; without a name, every thing: which bead it
    /// has where
    #[arg(long, value_name = "NAME", num_args = 0..=1, default_missing_value = "", conflicts_with_all = ["figure", "area", "shown"])]
    thing: Option<String>,
    /// Tray file of the beads you own; without it, the cast's tray, else the embedded one
    #[arg(long, value_name = "FILE")]
    tray: Option<PathBuf>,
    /// Seed of every random choice
    #[arg(long, value_name = "N", default_value_t = DEFAULT_SEED)]
    seed: u64,
    /// Save a picture of the figure in each candidate, on light and on dark
    #[arg(long = "picture", value_name = "FILE.png")]
    shown: Option<PathBuf>,
    /// Overwrite an existing file
    #[arg(long)]
    replace: bool,
    /// Print one JSON document on standard output
    #[arg(long)]
    json: bool,
}

/// What one picture shows.
pub struct AreaColours {
    /// The picture's name.
    pub file: String,
    /// Where it was looked at.
    pub place: String,
    /// Its colours there.
    pub sighting: Sighting,
}

impl Arguments {
    /// Looks, compares and shows.
    pub fn execute(&self) -> Result<()> {
        if let Some(thing) = &self.thing {
            return ledger::execute(&self.pictures, thing, self.tray.as_deref(), self.json);
        }
        // The figure says more of the tray than the pictures it is compared with.
        let paths: Vec<&PathBuf> = self.figure.iter().chain(&self.pictures).collect();
        let home = Home::of_first(&paths, self.tray.as_deref())?;
        let tray = &home.tray;
        let figure = self.figure()?;
        self.check_target(&home)?;
        let progress = Progress::start("looking at the pictures");
        let pictures = self.opened(figure.as_ref().map(|(figure, _)| figure))?;
        let seen = self.look(&pictures, figure.as_ref(), tray)?;
        let sightings: Vec<Sighting> = seen.iter().map(|s| s.sighting.clone()).collect();
        let agreement = agree(&sightings, tray);
        if let Some(target) = &self.shown {
            progress.next("drawing the candidates");
            let candidates = candidates(&seen, &agreement);
            let (file, picture) = &pictures[0];
            let aim = seen[0].sighting.main().cluster.colour;
            let drawn =
                compare_picture::draw(file, picture, figure.as_ref(), (aim, self.seed), &candidates, tray)?;
            super::save_all(&[(target, drawn)], self.replace)?;
        }
        progress.done();
        for (file, picture) in &pictures {
            picture.warnings.iter().for_each(|warning| report::warning_of(file, warning));
        }
        if self.json {
            output::print_json(&compare_json::document(&seen, &pictures, &agreement, &home))?;
        } else {
            let paint = Paint::for_stdout();
            output::print(&compare_text::report(&seen, &agreement, tray, paint, output::width()))?;
            self.name_next(&pictures);
        }
        Ok(())
    }

    fn check_target(&self, home: &Home) -> Result<()> {
        let Some(target) = &self.shown else { return Ok(()) };
        let served = home.read();
        let read = self.pictures.iter().chain(&self.figure).chain(&served);
        let read: Vec<&Path> = read.map(PathBuf::as_path).collect();
        super::check_target("--picture", target, ".png", &read, self.replace)
    }

    fn figure(&self) -> Result<Option<(Figure, Mark)>> {
        let (Some(file), Some(typed)) = (&self.figure, &self.mark) else { return Ok(None) };
        let figure = Figure::open(file)?;
        let known = |m: &Mark| figure.legend().iter().any(|entry| entry.mark == *m);
        let mut characters = typed.chars();
        let one = characters.next().filter(|_| characters.next().is_none());
        match one.and_then(Mark::new).filter(known) {
            Some(mark) => Ok(Some((figure, mark))),
            None => {
                if let Some(entry) = figure.legend().iter().find(|entry| entry.bead == *typed) {
                    return Err(Error::BadValue {
                        option: "--mark",
                        value: typed.clone(),
                        why: "this is a bead, and a mark is one character".into(),
                        right: format!("{} for {typed}: --mark {0}", entry.mark.get()),
                    });
                }
                let marks: Vec<String> =
                    figure.legend().iter().map(|e| format!("{} ({})", e.mark.get(), e.bead)).collect();
                Err(Error::BadValue {
                    option: "--mark",
                    value: typed.clone(),
                    why: "the figure's legend has no such mark".into(),
                    right: format!("choose one of {}", marks.join(", ")),
                })
            }
        }
    }

    fn opened(&self, figure: Option<&Figure>) -> Result<Vec<(String, Picture)>> {
        let files = match (self.pictures.as_slice(), figure, &self.figure) {
            ([], Some(figure), Some(file)) => vec![own_picture(figure, file)?],
            (files, ..) => files.to_vec(),
        };
        let open = |file: &PathBuf| Ok((file.display().to_string(), open::open(file, &Limits::default())?));
        files.iter().map(open).collect()
    }

    fn look(
        &self,
        pictures: &[(String, Picture)],
        figure: Option<&(Figure, Mark)>,
        tray: &Tray,
    ) -> Result<Vec<AreaColours>> {
        let areas = self.areas(pictures.len())?;
        let mut seen = Vec::new();
        for (at, (file, picture)) in pictures.iter().enumerate() {
            let (pixels, place): (Vec<Lab>, String) = match figure {
                Some((figure, mark)) => (
                    colours_of_mark(file, picture, figure, *mark, self.own_part(figure, file), self.seed)?,
                    format!("where the figure has {}", mark.get()),
                ),
                None => {
                    let area = areas[at];
                    let Area { x, y, width, height } = area;
                    (colours_in(picture, area)?, format!("area {x},{y},{width},{height}"))
                }
            };
            let sighting = Sighting::of(&pixels, tray, self.seed).ok_or_else(|| Error::BadValue {
                option: "--area",
                value: self.area.join(" "),
                why: format!("{file} is transparent there: it has no colour"),
                right: "choose an area of the figure itself".into(),
            })?;
            seen.push(AreaColours { file: file.clone(), place, sighting });
        }
        Ok(seen)
    }

    /// Where in a picture the figure was drafted from, if it was drafted from that picture.
    fn own_part<'a>(&self, figure: &'a Figure, picture: &str) -> Option<&'a Source> {
        let own = own_picture(figure, self.figure.as_ref()?).ok()?;
        let same = own.canonicalize().ok()? == Path::new(picture).canonicalize().ok()?;
        figure.source().filter(|_| same)
    }

    /// An area for each picture.
    fn areas(&self, pictures: usize) -> Result<Vec<Area>> {
        let areas: Vec<Area> = self.area.iter().map(|text| area("--area", text)).collect::<Result<_>>()?;
        match areas.as_slice() {
            [] => Ok(Vec::new()),
            [one] => Ok(vec![*one; pictures]),
            _ if areas.len() == pictures => Ok(areas),
            _ => Err(Error::BadValue {
                option: "--area",
                value: self.area.join(" "),
                why: format!("there are {} areas for {pictures} pictures", areas.len()),
                right: "give one area for all pictures, or one for each in the same order".into(),
            }),
        }
    }

    fn name_next(&self, pictures: &[(String, Picture)]) {
        match &self.shown {
            None => report::next(&format!("{} --picture candidates.png", self.again())),
            Some(_) => match &self.figure {
                None => {
                    report::next(&format!("smallcast draft {}", report::typed(Path::new(&pictures[0].0))))
                }
                Some(figure) => {
                    let tray = self.tray.iter().map(|tray| format!(" --tray {}", report::typed(tray)));
                    let tray: String = tray.collect();
                    report::next(&format!(
                        "smallcast edit {} --do 'swap OLD NEW'{tray}",
                        report::typed(figure)
                    ));
                }
            },
        }
    }

    /// This command as it was given.
    fn again(&self) -> String {
        let mut words = vec!["smallcast compare".to_owned()];
        words.extend(self.pictures.iter().map(|picture| report::typed(picture)));
        let mut add = |option: &str, value: &Path| words.extend([option.to_owned(), report::typed(value)]);
        self.area.iter().for_each(|area| add("--area", Path::new(area)));
        if let (Some(figure), Some(mark)) = (&self.figure, &self.mark) {
            add("--figure", figure);
            add("--mark", Path::new(mark));
        }
        if let Some(tray) = &self.tray {
            add("--tray", tray);
        }
        words.join(" ")
    }
}

/// The beads worth seeing on the figure: those that serve all, then what each picture would take.
fn candidates(seen: &[AreaColours], agreement: &Agreement) -> Vec<BeadId> {
    /// As many as fit side by side.
    const MOST: usize = 5;
    let all = agreement.serve_all.iter().map(|served| served.bead).take(3);
    let each = seen.iter().map(|s| s.sighting.main().beads[0].0.bead);
    let rest = agreement.serve_all.iter().map(|served| served.bead);
    let mut chosen = Vec::new();
    for bead in all.chain(each).chain(rest) {
        if !chosen.contains(&bead) && chosen.len() < MOST {
            chosen.push(bead);
        }
    }
    chosen
}
