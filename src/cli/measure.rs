//! `smallcast measure`: how near drafts come to figures whose beads are known.

use std::path::{Path, PathBuf};

use smallcast::error::Result;
use smallcast::score::Judged;
use smallcast::sheet::{png, reliability_picture};

use super::home::Home;
use super::measure_folder::{self, OwnFigure};
use super::measure_run::{Beside, Line, Trialled, counted, in_order};
use super::output::{self, Paint};
use super::progress::Progress;
use super::{measure_json, measure_text, report};

/// Measure how good drafts are of your own finished figures' references
#[cfg_attr(feature = "trial", doc = "or of known figures, drawn and drafted")]
#[derive(Debug, clap::Args)]
pub struct Arguments {
    /// A folder of your own finished figures with their references
    #[cfg_attr(feature = "trial", doc = "(without it, known figures are drawn)")]
    folder: Option<PathBuf>,
    /// Tray file your figures were made from; without it, the cast's tray, else the embedded one
    #[arg(long, value_name = "FILE", requires = "folder")]
    tray: Option<PathBuf>,
    /// Also measure two plain methods: the mean colour at each bead's place, and the commonest bead there
    #[arg(long)]
    pub baseline: bool,
    /// Save a picture of how far the confidence can be trusted
    #[arg(long = "picture", value_name = "FILE.png", help_heading = "What to keep")]
    pub shown: Option<PathBuf>,
    #[command(flatten)]
    pub drawn: Drawn,
    /// Overwrite existing files
    #[arg(long, help_heading = "What to keep")]
    pub replace: bool,
    /// Print one JSON document on standard output
    #[arg(long)]
    pub json: bool,
}

/// What is asked of drawn trials.
#[derive(Debug, clap::Args)]
pub struct Drawn {
    /// A manner of drawing, such as marker, photo or sketch; may be repeated; without it, all
    #[arg(long, value_name = "NAME", conflicts_with = "folder", help_heading = "What to draw")]
    #[arg(hide = !TRIALS)]
    pub manner: Vec<String>,
    /// A known figure or sketch; may be repeated; without it, all
    #[arg(long, value_name = "NAME", conflicts_with = "folder", help_heading = "What to draw")]
    #[arg(hide = !TRIALS)]
    pub figure: Vec<String>,
    /// Drawings of each figure in each manner, from the seeds 0, 1 and so on
    #[arg(long, value_name = "N", default_value_t = DEFAULT_SEEDS, conflicts_with = "folder")]
    #[arg(value_parser = clap::value_parser!(u64).range(1..=MOST_SEEDS), help_heading = "What to draw")]
    #[arg(hide = !TRIALS)]
    pub seeds: u64,
    /// See what a detector is worth: draft with it and without it, and compare the beads to mend
    #[arg(long, value_name = "NAME", conflicts_with_all = ["folder", "baseline", "shown", "drawings", "fit"])]
    #[arg(hide = !TRIALS)]
    pub without: Option<String>,
    /// Save each drawing and the picture of its draft in this folder, which is made if needed
    #[arg(long, value_name = "FOLDER", conflicts_with = "folder", help_heading = "What to keep")]
    #[arg(hide = !TRIALS)]
    pub drawings: Option<PathBuf>,
    /// Fit the calibration of confidence again to drawings of known figures and to sketches, and save it with
    /// --save; --manner and --figure try it on fewer
    #[arg(long, requires = "save", conflicts_with_all = ["folder", "seeds", "baseline"])]
    #[arg(conflicts_with_all = ["shown", "drawings", "json"], help_heading = "What to keep")]
    #[arg(hide = !TRIALS)]
    pub fit: bool,
    /// Save the calibration of --fit
    #[arg(long, value_name = "FILE.csv", requires = "fit", help_heading = "What to keep")]
    #[arg(hide = !TRIALS)]
    pub save: Option<PathBuf>,
}

/// What a program without the feature lacks.
#[cfg(not(feature = "trial"))]
const DRAWN_TRIALS: &str = "drawing known figures to draft and score them";

/// Whether drawn trials are built in.
const TRIALS: bool = cfg!(feature = "trial");

/// Two drawings of each figure in each manner: enough to see which manner is hard, in a few minutes.
pub const DEFAULT_SEEDS: u64 = 2;

/// More drawings than this of each figure in each manner would take days and tell no more.
const MOST_SEEDS: u64 = 1000;

impl Arguments {
    /// Drafts, scores and shows.
    pub fn execute(&self) -> Result<()> {
        match &self.folder {
            Some(folder) => self.measure_folder(folder),
            #[cfg(feature = "trial")]
            None => super::measure_drawn::execute(self),
            #[cfg(not(feature = "trial"))]
            None => Err(smallcast::error::Error::NotBuiltIn { what: DRAWN_TRIALS, feature: "trial" }),
        }
    }

    fn measure_folder(&self, folder: &Path) -> Result<()> {
        let home = Home::of(&[folder], self.tray.as_deref())?;
        let (tray, served) = (&home.tray, home.read());
        let own = measure_folder::figures(folder, tray)?;
        let read: Vec<&Path> =
            own.iter().flat_map(OwnFigure::read_from).chain(served.iter().map(PathBuf::as_path)).collect();
        self.check_picture(&read)?;
        let progress = Progress::start("drafting");
        let drafts = in_order(&own, &progress, |figure| Ok(figure.draft(self.baseline, tray)))?;
        progress.done();
        // A picture that could not be opened tells nothing of drafting.
        let drafts: Vec<Trialled> =
            own.iter().zip(drafts).filter_map(|(figure, drafted)| figure.unless_left_out(drafted)).collect();
        if drafts.is_empty() {
            return Err(measure_folder::nothing(folder, "none of its figures' references could be opened"));
        }
        let lines: Vec<Line> = drafts.iter().map(|draft| Line::of(&draft.figure, [draft])).collect();
        let title = format!("{} of {}", counted(drafts.len(), "figure", "s"), folder.display());
        self.answer("figure", &title, &lines, &Beside::default(), &drafts)?;
        if !self.json {
            self.name_next_of(folder, &own, &lines, &home);
        }
        Ok(())
    }

    /// Saves the picture and prints the table or the document.
    pub fn answer(
        &self,
        kind: &'static str,
        title: &str,
        lines: &[Line],
        beside: &Beside,
        drafts: &[Trialled],
    ) -> Result<()> {
        for draft in drafts {
            if let Some(why) = &draft.failed {
                report::of_file("not drafted", &draft.name(), why);
            }
        }
        let all = Line::of("all", drafts);
        if let Some(target) = &self.shown {
            let beads: Vec<Judged> =
                drafts.iter().flat_map(|d| &d.scores).flat_map(|score| score.beads.iter().copied()).collect();
            super::save_all(&[(target, png(&reliability_picture(&beads)))], self.replace)?;
        }
        if self.json {
            let manners = if kind == "manner" { lines } else { &[] };
            return output::print_json(&measure_json::document(manners, &all, beside.bare, drafts));
        }
        let (paint, width) = (Paint::for_stdout(), output::width());
        output::print(&measure_text::report((kind, title), lines, &all, beside, paint, width))
    }

    pub fn check_picture(&self, read: &[&Path]) -> Result<()> {
        match &self.shown {
            Some(target) => super::check_target("--picture", target, ".png", read, self.replace),
            None => Ok(()),
        }
    }

    fn name_next_of(&self, folder: &Path, own: &[OwnFigure], lines: &[Line], home: &Home) {
        if self.shown.is_none() {
            let tray = home.tray_option();
            let folder = report::typed(folder);
            return report::next(&format!("smallcast measure {folder}{tray} --picture reliability.png"));
        }
        // The figure with most to mend is the one to look into.
        let figure = worst(lines).and_then(|line| own.iter().find(|figure| figure.known.name == line.name));
        if let Some(figure) = figure {
            report::next(&format!(
                "smallcast draft {}{}",
                report::typed(&figure.picture),
                home.tray_option()
            ));
        }
    }
}

pub fn worst(lines: &[Line]) -> Option<&Line> {
    lines.iter().max_by(|a, b| a.summary.mend.total_cmp(&b.summary.mend))
}
