//! `smallcast rematch`: older figures against a changed tray.

use std::collections::BTreeSet;
use std::path::{Path, PathBuf};

use smallcast::cast::{Thing, stem};
use smallcast::error::{Error, Result};
use smallcast::figure::{AtHand, Edit, Figure, Mark, NoOthers, Workbench};
use smallcast::rematch::{Older, Plan, Request, plan};
use smallcast::tray::Tray;

use super::figures::{self, Opened, READING};
use super::home::{Home, stems_in};
use super::output::{self, Paint};
use super::progress::Progress;
use super::{rematch_json, rematch_picture, rematch_text, report, suggest};

/// See what a changed tray does for your figures: which colours come nearer, what would be lost, what to buy
#[derive(Debug, clap::Args)]
pub struct Arguments {
    /// Figure files; a folder stands for every figure in it, by name
    #[arg(required = true, value_name = "FOLDER|FIGURE")]
    pub figures: Vec<PathBuf>,
    /// Tray file as it is now; without it, the cast's tray, else the embedded one
    #[arg(long, value_name = "FILE")]
    pub tray: Option<PathBuf>,
    /// Look at only these: figures, by name or file, or beads that they have now
    #[arg(long, value_name = "NAME", value_delimiter = ',')]
    only: Vec<String>,
    /// Include beads settled by hand, where the bead for their colour was not chosen by hand
    #[arg(long)]
    pub by_hand: bool,
    /// Make the changes: one step in each figure's history, which edit --undo undoes
    #[arg(long)]
    apply: bool,
    /// Save a picture of the figures that change, before and after
    #[arg(long, value_name = "FILE.png")]
    picture: Option<PathBuf>,
    /// Overwrite an existing picture
    #[arg(long, requires = "picture")]
    replace: bool,
    /// Which N beads, if bought, would help most (with --from)
    #[arg(long, value_name = "N", requires = "from", conflicts_with_all = ["apply", "picture"], help_heading = "What to buy")]
    pub suggest: Option<usize>,
    /// Tray file of beads that can be bought, with prices
    #[arg(long, value_name = "CATALOGUE.csv", requires = "suggest", help_heading = "What to buy")]
    pub from: Option<PathBuf>,
    /// Print one JSON document on standard output
    #[arg(long)]
    pub json: bool,
}

/// What a plan is told with.
pub struct Told<'a> {
    /// The figures with their files.
    pub opened: &'a [Opened],
    /// What becomes of their lines.
    pub plan: &'a Plan,
    /// What serves them.
    pub home: &'a Home,
    /// The lines of the changes, by the figure's place.
    pub edits: &'a [(usize, Edit)],
    /// Whether the changes were made.
    pub applied: bool,
}

impl Arguments {
    /// Looks, says what would change, and changes it where that was asked for.
    pub fn execute(&self) -> Result<()> {
        let progress = Progress::start(READING);
        let home = Home::of(&self.figures, self.tray.as_deref())?;
        let opened = figures::open_without_guide(&self.figures, &home, progress.counts(READING))?;
        check_once(&opened)?;
        check_aims(&opened)?;
        let stems: Vec<String> = opened.iter().map(|opened| stem(&opened.file)).collect();
        let older: Vec<Older> =
            opened.iter().zip(&stems).map(|(opened, stem)| Older { stem, figure: &opened.figure }).collect();
        let trays = older_trays(&home);
        let request = Request {
            tray: &home.tray,
            older_trays: trays.iter().collect(),
            things: things(&home),
            only: self.only(&opened, &stems)?,
            elsewhere: elsewhere(&opened, &stems),
            by_hand: self.by_hand,
        };
        if self.suggest.is_some() {
            return suggest::execute(self, &opened, &older, &request, &home, progress);
        }
        self.check_target(&opened, &home)?;
        progress.next("comparing with the tray");
        let plan = plan(&older, &request);
        let edits: Vec<(usize, Edit)> =
            plan.changed().into_iter().filter_map(|at| Some((at, plan.edit(at, &home.tray)?))).collect();
        if let Some(target) = &self.picture {
            progress.next("drawing before and after");
            self.draw(target, &edits, &opened, (&home, &trays), &plan)?;
        }
        if self.apply {
            progress.next("changing the figures");
            apply(&opened, &edits, &home)?;
        }
        progress.done();
        home.warn();
        let told = Told { opened: &opened, plan: &plan, home: &home, edits: &edits, applied: self.apply };
        if self.json {
            output::print_json(&rematch_json::document(&told))?;
        } else {
            output::print(&rematch_text::report(&told, Paint::for_stdout(), output::width()))?;
            output::print(&super::save::saved_in_words(output::width()))?;
            self.name_next(&told);
        }
        Ok(())
    }

    fn check_target(&self, opened: &[Opened], home: &Home) -> Result<()> {
        let Some(target) = &self.picture else { return Ok(()) };
        let served = home.read();
        let read: Vec<&Path> = figures::files(opened).chain(served.iter().map(PathBuf::as_path)).collect();
        super::check_target("--picture", target, ".png", &read, self.replace)
    }

    /// The lines that may change, where they were named.
    fn only(&self, opened: &[Opened], stems: &[String]) -> Result<Option<BTreeSet<(usize, Mark)>>> {
        if self.only.is_empty() {
            return Ok(None);
        }
        let fault = |value: &str, why: &str, right: String| Error::BadValue {
            option: "--only",
            value: format!("'{value}'"),
            why: why.into(),
            right,
        };
        let mut chosen = BTreeSet::new();
        let mut named: BTreeSet<&str> = BTreeSet::new();
        for name in self.only.iter().map(|name| name.trim()) {
            if !named.insert(name) {
                return Err(fault(name, "this is named twice", "name it once".into()));
            }
            let before = chosen.len();
            for (at, (opened, stem)) in opened.iter().zip(stems).enumerate() {
                let is_figure =
                    opened.figure.name().eq_ignore_ascii_case(name) || stem.eq_ignore_ascii_case(name);
                let own = opened.figure.legend().iter().filter(|line| is_figure || line.bead == name);
                chosen.extend(own.map(|line| (at, line.mark)));
            }
            if chosen.len() == before && !chosen.iter().any(|(at, _)| stems[*at] == name) {
                let right = format!("name a figure, such as {}, or a bead that one has", stems[0]);
                return Err(fault(name, "no figure, and no bead of a figure, has this name", right));
            }
        }
        Ok(Some(chosen))
    }

    fn draw(
        &self,
        target: &Path,
        edits: &[(usize, Edit)],
        opened: &[Opened],
        (home, trays): (&Home, &[Tray]),
        plan: &Plan,
    ) -> Result<()> {
        if edits.is_empty() {
            report::note("no picture was saved: nothing would change");
            return Ok(());
        }
        let changed: Vec<(&Opened, Figure)> = edits
            .iter()
            .map(|(at, edit)| Ok((&opened[*at], changed(&opened[*at].figure, edit, home)?)))
            .collect::<Result<_>>()?;
        let places: Vec<usize> = edits.iter().map(|(at, _)| *at).collect();
        let (bytes, left_out) = rematch_picture::draw(&changed, &places, plan, (&home.tray, trays))?;
        if left_out > 0 {
            report::note(&format!("the picture has no room for the last {left_out} figures: name fewer"));
        }
        super::save_all(&[(target, bytes)], self.replace)
    }

    fn name_next(&self, told: &Told) {
        let figures = self.typed();
        let tray = told.home.tray_option();
        let by_hand = if self.by_hand { " --by-hand" } else { "" };
        match (told.edits.first(), told.applied) {
            (None, _) => report::next(&format!("smallcast check {figures}{tray}")),
            (Some((at, _)), true) => {
                let file = report::typed(&told.opened[*at].file);
                report::next(&format!("smallcast check {figures}{tray}, or smallcast edit {file} --undo"));
                if let Some((cast, line)) = told.home.line_for_typed_tray() {
                    report::note(&format!(
                        "the cast still has its own tray: to change it for good, write {line} in {}",
                        report::typed(&cast)
                    ));
                }
            }
            (Some(_), false) => {
                report::next(&format!(
                    "smallcast rematch {figures}{tray}{}{by_hand} --apply",
                    self.only_typed()
                ));
            }
        }
    }

    /// The figures as they were typed.
    pub fn typed(&self) -> String {
        self.figures.iter().map(|file| report::typed(file)).collect::<Vec<_>>().join(" ")
    }

    fn only_typed(&self) -> String {
        match self.only.is_empty() {
            true => String::new(),
            false => format!(" --only {}", report::typed(Path::new(&self.only.join(",")))),
        }
    }
}

/// Makes every change, or none.
fn apply(opened: &[Opened], edits: &[(usize, Edit)], home: &Home) -> Result<()> {
    let mut benches = Vec::new();
    for (at, _) in edits {
        let bench = Workbench::open(&opened[*at].file)?;
        if *bench.figure() != opened[*at].figure {
            return Err(Error::ChangedElsewhere { file: opened[*at].file.display().to_string() });
        }
        benches.push(bench);
    }
    let lines: Vec<Edit> = edits.iter().map(|(_, edit)| edit.clone()).collect();
    let at_hand = AtHand::new(&home.tray, &NoOthers).with_classes(home.classes());
    Workbench::apply_together(&mut benches, &lines, &at_hand).map(|_| ())
}

/// A figure as it would be.
fn changed(figure: &Figure, edit: &Edit, home: &Home) -> Result<Figure> {
    let at_hand = AtHand::new(&home.tray, &NoOthers).with_classes(home.classes());
    figure.edited(edit, &at_hand).map(|edited| edited.figure)
}

/// The named things of the cast.
pub fn things(home: &Home) -> &[Thing] {
    home.cast().map_or(&[], |cast| &cast.things)
}

/// Trays that may know the colours of beads that are gone: the cast's own, where another was named, and the embedded one.
/// One that cannot be read knows nothing: the colours are then those that were asked for.
fn older_trays(home: &Home) -> Vec<Tray> {
    let own = home.cast_folder().and_then(|cast| cast.tray().ok());
    own.into_iter().chain([Tray::embedded()]).collect()
}

/// Figures that lie beside those looked at and are not among them.
fn elsewhere(opened: &[Opened], stems: &[String]) -> BTreeSet<String> {
    let folder = |file: &Path| match file.parent() {
        Some(folder) if folder != Path::new("") => folder.to_owned(),
        _ => PathBuf::from("."),
    };
    let folders: BTreeSet<PathBuf> = opened.iter().map(|opened| folder(&opened.file)).collect();
    let mut beside: BTreeSet<String> = folders.iter().flat_map(|folder| stems_in(folder)).collect();
    stems.iter().for_each(|stem| {
        beside.remove(stem);
    });
    beside
}

/// Refuses a figure that is named twice: it cannot change twice.
fn check_once(opened: &[Opened]) -> Result<()> {
    let mut seen = BTreeSet::new();
    let real = |file: &Path| file.canonicalize().unwrap_or_else(|_| file.to_owned());
    let twice = opened.iter().position(|opened| !seen.insert(real(&opened.file)));
    match twice {
        None => Ok(()),
        Some(at) => Err(Error::BadValue {
            option: "FIGURE",
            value: opened[at].file.display().to_string(),
            why: "this figure is named twice".into(),
            right: "name each figure once".into(),
        }),
    }
}

/// Refuses figures of which none keeps a colour it was drafted from.
fn check_aims(opened: &[Opened]) -> Result<()> {
    if opened.iter().any(|opened| opened.figure.legend().iter().any(|line| line.aim.is_some())) {
        return Ok(());
    }
    let file = opened.first().map_or(String::new(), |opened| opened.file.display().to_string());
    let many = if opened.len() == 1 { file } else { format!("{} figures", opened.len()) };
    Err(Error::BadValue {
        option: "FIGURE",
        value: many,
        why: "no reference colours are stored to compare with the tray".into(),
        right: "draft them again from their pictures, or use smallcast edit --do 'swap OLD NEW'".into(),
    })
}
