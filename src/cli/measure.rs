//! `smallcast measure`: how near drafts come to figures whose beads are known.

use std::path::{Path, PathBuf};

use smallcast::error::Result;
use smallcast::sheet::{png, reliability_picture};
use smallcast::tray::Tray;
use smallcast::trial::{BARE_PICTURES, Judged, Manner, SKETCH, is_taken_for_a_sheet};

use super::home::Home;
use super::measure_choice::{Choice, counted, manner_names};
use super::measure_folder::{self, OwnFigure};
use super::measure_run::{Drawings, FalseSheets, Line, Trialled, in_order, of_job};
use super::output::{self, Paint};
use super::progress::Progress;
use super::{measure_fit, measure_json, measure_text, measure_without, report};

/// Measure how good drafts are: on known figures, drawn and drafted, or on your own finished figures
#[derive(Debug, clap::Args)]
pub struct Arguments {
    /// A folder of your own finished figures and their references; without it, known figures are drawn
    folder: Option<PathBuf>,
    /// Tray file your figures were made from; without it, the cast's tray, else the embedded one
    #[arg(long, value_name = "FILE", requires = "folder")]
    tray: Option<PathBuf>,
    /// A manner of drawing, such as marker, photo or sketch; may be repeated; without it, all
    #[arg(long, value_name = "NAME", conflicts_with = "folder", help_heading = "What to draw")]
    manner: Vec<String>,
    /// A known figure or sketch; may be repeated; without it, all
    #[arg(long, value_name = "NAME", conflicts_with = "folder", help_heading = "What to draw")]
    figure: Vec<String>,
    /// Drawings of each figure in each manner, from the seeds 0, 1 and so on
    #[arg(long, value_name = "N", default_value_t = DEFAULT_SEEDS, conflicts_with = "folder")]
    #[arg(value_parser = clap::value_parser!(u64).range(1..=MOST_SEEDS), help_heading = "What to draw")]
    seeds: u64,
    /// Also measure two plain methods: the mean colour at each bead's place, and the commonest bead there
    #[arg(long)]
    baseline: bool,
    /// See what a detector is worth: draft with it and without it, and compare the beads to mend
    #[arg(long, value_name = "NAME", conflicts_with_all = ["folder", "baseline", "shown", "drawings", "fit"])]
    without: Option<String>,
    /// Save a picture of how far the confidence can be trusted
    #[arg(long = "picture", value_name = "FILE.png", help_heading = "What to keep")]
    shown: Option<PathBuf>,
    /// Save each drawing and the picture of its draft in this folder, which is made if needed
    #[arg(long, value_name = "FOLDER", conflicts_with = "folder", help_heading = "What to keep")]
    drawings: Option<PathBuf>,
    /// Fit the calibration of confidence again to drawings of known figures and to sketches, and save it with
    /// --save; --manner and --figure try it on fewer
    #[arg(long, requires = "save", conflicts_with_all = ["folder", "seeds", "baseline"])]
    #[arg(conflicts_with_all = ["shown", "drawings", "json"], help_heading = "What to keep")]
    fit: bool,
    /// Save the calibration of --fit
    #[arg(long, value_name = "FILE.csv", requires = "fit", help_heading = "What to keep")]
    save: Option<PathBuf>,
    /// Overwrite existing files
    #[arg(long, help_heading = "What to keep")]
    replace: bool,
    /// Print one JSON document on standard output
    #[arg(long)]
    json: bool,
}

/// Two drawings of each figure in each manner: enough to see which manner is hard, in a few minutes.
const DEFAULT_SEEDS: u64 = 2;

/// More drawings than this of each figure in each manner would take days and tell no more.
const MOST_SEEDS: u64 = 1000;

impl Arguments {
    /// Drafts, scores and shows.
    pub fn execute(&self) -> Result<()> {
        if let Some(target) = self.save.as_deref().filter(|_| self.fit) {
            let choice = self.choice(&Tray::embedded())?;
            let is_trial = !self.manner.is_empty() || !self.figure.is_empty();
            return measure_fit::execute(target, self.replace, &choice, is_trial);
        }
        match &self.folder {
            Some(folder) => self.measure_folder(folder),
            None => match &self.without {
                Some(name) => self.measure_without(name),
                None => self.measure_known(),
            },
        }
    }

    fn measure_known(&self) -> Result<()> {
        let tray = Tray::embedded();
        let choice = self.choice(&tray)?;
        let jobs = choice.jobs(self.seeds);
        self.check_picture(&[])?;
        let drawings = self.drawings.as_deref().map(|folder| Drawings { folder, replace: self.replace });
        if let Some(drawings) = &drawings {
            drawings.check(&jobs)?;
        }
        let progress = Progress::start("drafting");
        let drafts = in_order(&jobs, &progress, |job| of_job(job, self.baseline, drawings.as_ref(), &tray))?;
        // Whoever finds more sheets may find more where there are none.
        let bare =
            choice.manners.contains(&Manner::TableSheet).then(|| false_sheets(&progress)).transpose()?;
        progress.done();
        let of_manner = |name| drafts.iter().filter(move |draft| draft.manner == Some(name));
        let lines: Vec<Line> = manner_names()
            .filter(|name| of_manner(name).next().is_some())
            .map(|name| Line::of(name, of_manner(name)))
            .collect();
        self.answer("manner", &choice.title(self.seeds), &lines, bare, &drafts)?;
        if !self.json {
            self.name_next(&lines);
        }
        Ok(())
    }

    fn measure_without(&self, name: &str) -> Result<()> {
        let detector = measure_without::detector(name)?;
        let tray = Tray::embedded();
        let choice = self.choice(&tray)?;
        let progress = Progress::start("drafting");
        let jobs = choice.jobs(self.seeds);
        let pairs = in_order(&jobs, &progress, |job| measure_without::pair(job, detector, &tray))?;
        progress.done();
        if self.json {
            return output::print_json(&measure_without::document(detector, &pairs));
        }
        let (paint, width) = (Paint::for_stdout(), output::width());
        output::print(&measure_without::report(detector, &choice.title(self.seeds), &pairs, paint, width))
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
        self.answer("figure", &title, &lines, None, &drafts)?;
        if !self.json {
            self.name_next_of(folder, &own, &lines, &home);
        }
        Ok(())
    }

    /// Saves the picture and prints the table or the document.
    fn answer(
        &self,
        kind: &'static str,
        title: &str,
        lines: &[Line],
        bare: Option<FalseSheets>,
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
            return output::print_json(&measure_json::document(manners, &all, bare, drafts));
        }
        let (paint, width) = (Paint::for_stdout(), output::width());
        output::print(&measure_text::report((kind, title), lines, &all, bare, paint, width))
    }

    fn choice(&self, tray: &Tray) -> Result<Choice> {
        Choice::of(&self.manner, &self.figure, tray)
    }

    fn check_picture(&self, read: &[&Path]) -> Result<()> {
        match &self.shown {
            Some(target) => super::check_target("--picture", target, ".png", read, self.replace),
            None => Ok(()),
        }
    }

    /// What to do now: see how far the confidence can be trusted, then look at the hardest manner.
    fn name_next(&self, lines: &[Line]) {
        if self.shown.is_none() {
            return report::next(&format!("{} --picture reliability.png", self.again()));
        }
        match worst(lines) {
            Some(line) if self.drawings.is_none() => {
                // A sketch is drawn once, whatever the seeds.
                let seeds = if line.name == SKETCH { "" } else { " --seeds 1" };
                report::next(&format!("smallcast measure --manner {}{seeds} --drawings trials", line.name));
            }
            _ => report::next("smallcast measure FOLDER, to score drafts against your own figures"),
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

    /// This command as it was given, except for what it saves.
    fn again(&self) -> String {
        let mut words = vec!["smallcast measure".to_owned()];
        for (option, names) in [("--manner", &self.manner), ("--figure", &self.figure)] {
            names.iter().for_each(|name| words.extend([option.into(), report::typed(Path::new(name))]));
        }
        if self.seeds != DEFAULT_SEEDS {
            words.push(format!("--seeds {}", self.seeds));
        }
        words.join(" ")
    }
}

/// How many of the pictures without a sheet are taken for one.
fn false_sheets(progress: &Progress) -> Result<FalseSheets> {
    let seeds: Vec<u64> = (0..BARE_PICTURES).collect();
    let taken = in_order(&seeds, progress, |seed| Ok(is_taken_for_a_sheet(*seed)))?;
    Ok(FalseSheets { pictures: seeds.len(), taken: taken.into_iter().filter(|taken| *taken).count() })
}

fn worst(lines: &[Line]) -> Option<&Line> {
    lines.iter().max_by(|a, b| a.summary.mend.total_cmp(&b.summary.mend))
}
