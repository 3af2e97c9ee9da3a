//! `smallcast count`: are there enough beads?

use std::collections::HashMap;
use std::path::{Path, PathBuf};

use smallcast::cast;
use smallcast::count::{Batch, Spare, count};
use smallcast::error::{Error, Result};
use smallcast::scene::Scene;

use super::figures::{self, Opened, READING};
use super::home::Home;
use super::output::{self, Paint};
use super::progress::Progress;
use super::{count_csv, count_json, count_text, report, scene};

/// The most copies of a figure: far beyond a bench's work, near enough to catch a slip.
const MOST_TIMES: u32 = 10_000;

/// What is said where no tray was named: its beads are nobody's.
const NO_TRAY: &str =
    "no tray given: counted against the embedded tray of invented beads; name yours with --tray FILE";

/// Count beads by name against the tray: enough, short by how many, what to buy, what can be made today
#[derive(Debug, clap::Args)]
pub struct Arguments {
    /// Figure files; a folder stands for every figure in it, by name; or a scene, board by board
    #[arg(required = true, value_name = "FIGURE|FOLDER|SCENE")]
    figures: Vec<PathBuf>,
    /// Tray file of the beads you own; without it, the cast's tray, else the embedded one
    #[arg(long, value_name = "FILE")]
    tray: Option<PathBuf>,
    /// How many: N of every figure, or NAME=N of one (its name, or its file's)
    #[arg(long, value_name = "N|NAME=N")]
    times: Vec<String>,
    /// Spare beads to have beyond those that are pegged, such as 5%
    #[arg(long, value_name = "SHARE", default_value = "0%", allow_hyphen_values = true)]
    spare: String,
    /// Save the count as CSV for a spreadsheet
    #[arg(long, value_name = "FILE.csv")]
    save: Option<PathBuf>,
    /// Overwrite an existing file
    #[arg(long)]
    replace: bool,
    /// Print one JSON document on standard output
    #[arg(long)]
    json: bool,
}

impl Arguments {
    /// Counts, saves and shows.
    pub fn execute(&self) -> Result<()> {
        let spare = Spare::parse(&self.spare)?;
        let progress = Progress::start(READING);
        let home = Home::of_figures(&self.figures, self.tray.as_deref())?;
        let opened = match scene::alone(&self.figures)? {
            Some(file) => boards_of(file, &progress)?,
            None => figures::open_without_guide(&self.figures, &home, progress.counts(READING))?,
        };
        progress.next("counting");
        let times = times(&self.times, &opened)?;
        if let Some(target) = &self.save {
            let served = home.read();
            let read = figures::files(&opened).chain(served.iter().map(PathBuf::as_path));
            super::check_target("--save", target, ".csv", &read.collect::<Vec<_>>(), self.replace)?;
        }
        let batches: Vec<Batch> = opened
            .iter()
            .zip(&times)
            .map(|(opened, &times)| Batch { figure: &opened.figure, times })
            .collect();
        let counted = count(&batches, &home.tray, spare);
        let names = names(&opened);
        if let Some(target) = &self.save {
            super::save_all(&[(target.as_path(), count_csv::table(&names, &counted))], self.replace)?;
        }
        progress.done();
        home.warn();
        if self.json {
            output::print_json(&count_json::document(&opened, &counted, home.tray_name()))?;
        } else {
            let is_scene = scene::alone(&self.figures)?.is_some();
            let view = count_text::View {
                what: if is_scene { "board" } else { "figure" },
                names: &names,
                counted: &counted,
                tray: &home.tray,
                paint: Paint::for_stdout(),
                width: output::width(),
            };
            let saved = self.save.as_ref().map(|target| super::saved_in(std::slice::from_ref(target), None));
            let saved = saved.map_or(String::new(), |saved| format!("\n{saved}"));
            output::print(&format!("{}{saved}", view.report()))?;
            if home.has_no_tray() {
                report::note(NO_TRAY);
            }
            self.name_next(&home);
        }
        Ok(())
    }

    fn name_next(&self, home: &Home) {
        let figures: Vec<String> = self.figures.iter().map(|file| report::typed(file)).collect();
        let tray = home.tray_option();
        let figures = figures.join(" ");
        match &self.save {
            None => report::next(&format!("smallcast count {figures}{tray} --save count.csv")),
            Some(_) => report::next(&format!("smallcast check {figures}{tray}")),
        }
    }
}

/// What is pegged on each board of a scene.
fn boards_of(file: &Path, progress: &Progress) -> Result<Vec<Opened>> {
    let boards = Scene::open(file, progress.counts(READING))?.scene.by_board()?;
    Ok(boards.into_iter().map(|figure| Opened { file: file.to_owned(), figure }).collect())
}

/// How many of each figure.
fn times(asked: &[String], opened: &[Opened]) -> Result<Vec<u32>> {
    let mut times = vec![1; opened.len()];
    for text in asked {
        let fault = |why: String, right: String| Error::BadValue {
            option: "--times",
            value: text.clone(),
            why,
            right,
        };
        // A name may hold an equals sign: the last one parts it from the number.
        let (name, number) = text.rsplit_once('=').map_or((None, text.as_str()), |(name, n)| (Some(name), n));
        let many = number.trim().parse::<u32>().ok().filter(|many| (1..=MOST_TIMES).contains(many));
        let right =
            format!("write a whole number from 1 to {MOST_TIMES}, or a figure's name, = and the number");
        let many = many.ok_or_else(|| fault("this does not say how many".into(), right))?;
        let meant: Vec<usize> =
            (0..opened.len()).filter(|&at| name.is_none_or(|name| is_named(&opened[at], name))).collect();
        if meant.is_empty() {
            let names: Vec<&str> = opened.iter().map(|opened| opened.figure.name()).collect();
            return Err(fault("no figure has that name".into(), format!("name one of {}", names.join(", "))));
        }
        meant.into_iter().for_each(|at| times[at] = many);
    }
    Ok(times)
}

fn is_named(opened: &Opened, name: &str) -> bool {
    opened.figure.name().eq_ignore_ascii_case(name.trim())
        || cast::stem(&opened.file).eq_ignore_ascii_case(name.trim())
}

/// The figures' names; where two have one name, each with its file's.
fn names(opened: &[Opened]) -> Vec<String> {
    let mut known: HashMap<&str, usize> = HashMap::new();
    opened.iter().for_each(|opened| *known.entry(opened.figure.name()).or_default() += 1);
    let twice = |name: &str| known[name] > 1;
    let name = |opened: &Opened| match opened.figure.name() {
        "" => cast::stem(&opened.file),
        name if twice(name) => format!("{name} ({})", cast::stem(&opened.file)),
        name => name.to_owned(),
    };
    opened.iter().map(name).collect()
}
