//! The drafts of `smallcast measure`: many at once, in order, by the clock.

use std::fs;
use std::path::{Path, PathBuf};
use std::sync::atomic::{AtomicBool, AtomicUsize, Ordering};
use std::time::Instant;

use smallcast::draft::Draft;
use smallcast::error::{Error, Result};
use smallcast::sheet::{draft_picture, png};
use smallcast::tray::Tray;
use smallcast::trial::{Plain, SKETCH, Score, SheetScore, Sheets, Sketch, Summary, Trial, mean_of};

use super::measure_choice::Job;
use super::progress::Progress;
use super::save_all;

/// The plain methods to measure against, in the order of their columns.
pub const PLAIN: [Plain; 2] = [Plain::BoxAverage, Plain::Majority];

/// One drawing or reference, drafted and scored.
pub struct Trialled {
    /// The figure's name.
    pub figure: String,
    /// The manner it was drawn in; none where the maker drew it.
    pub manner: Option<&'static str>,
    /// The seed it was drawn from; none where a hand drew it.
    pub seed: Option<u64>,
    /// How near the draft came to each answer: to the known figure, or to the two designs of a sketch.
    pub scores: Vec<Score>,
    /// Beads in which the two designs of a sketch differ.
    pub apart: Option<usize>,
    /// Seconds that drafting took.
    pub seconds: f64,
    /// Why there is no draft.
    pub failed: Option<String>,
    /// Beads that each of [`PLAIN`] leaves to mend, on the mean over the answers.
    pub plain: Option<[f64; 2]>,
    /// Whether the sheet it was drawn on was found; none where the picture shows none.
    pub sheet: Option<SheetScore>,
    /// What sort of photograph it is, where sorts are told apart.
    pub setting: Option<String>,
}

impl Trialled {
    /// What the draft is called.
    pub fn name(&self) -> String {
        match (self.manner, self.seed) {
            (Some(manner), Some(seed)) => drawing_name(&self.figure, manner, seed),
            (Some(manner), None) => format!("{}-{manner}", self.figure),
            _ => self.figure.clone(),
        }
    }

    /// The mean of something over the answers.
    pub fn mean(&self, of: fn(&Score) -> f64) -> f64 {
        mean_of(&self.scores, of)
    }
}

/// Pictures without a sheet, and how many of them were taken for one.
#[derive(Clone, Copy)]
pub struct FalseSheets {
    pub pictures: usize,
    pub taken: usize,
}

/// One line of the table: some drafts summed up.
pub struct Line {
    /// What they have in common.
    pub name: String,
    /// Their scores.
    pub summary: Summary,
    /// Mean seconds a draft.
    pub seconds: f64,
    /// Mean beads that each of [`PLAIN`] leaves to mend.
    pub plain: Option<[f64; 2]>,
    /// Mean beads in which the two designs of its sketches differ; none where there are no sketches.
    pub apart: Option<f64>,
    /// How many of its sheets were found; none where its pictures show none.
    pub sheets: Option<Sheets>,
}

impl Line {
    /// Sums up drafts.
    pub fn of<'a>(name: &str, drafts: impl IntoIterator<Item = &'a Trialled>) -> Self {
        let drafts: Vec<&Trialled> = drafts.into_iter().collect();
        let scores: Vec<&[Score]> = drafts.iter().map(|draft| draft.scores.as_slice()).collect();
        let count = drafts.len().max(1) as f64;
        let plain: Option<Vec<[f64; 2]>> = drafts.iter().map(|draft| draft.plain).collect();
        let plain = plain
            .filter(|mends| !mends.is_empty())
            .map(|mends| [0, 1].map(|method| mends.iter().map(|mend| mend[method]).sum::<f64>() / count));
        let apart: Vec<usize> = drafts.iter().filter_map(|draft| draft.apart).collect();
        let apart = (!apart.is_empty()).then(|| apart.iter().sum::<usize>() as f64 / apart.len() as f64);
        let seconds = drafts.iter().map(|draft| draft.seconds).sum::<f64>() / count;
        let sheets: Vec<SheetScore> = drafts.iter().filter_map(|draft| draft.sheet).collect();
        let sheets = Sheets::of(&sheets);
        Self { name: name.into(), summary: Summary::of(&scores), seconds, plain, apart, sheets }
    }
}

/// Does a job for each item on all cores; results come in the order of the items. The first failure stops it.
///
/// Each core takes whole items, one after another: a core that waits for part of one then never begins
/// another in between, which would count into the time of the first.
///
/// # Errors
/// That of the first item that failed.
pub fn in_order<T: Sync, R: Send>(
    items: &[T],
    progress: &Progress,
    job: impl Fn(&T) -> Result<R> + Sync,
) -> Result<Vec<R>> {
    let (next, done, stop) = (AtomicUsize::new(0), AtomicUsize::new(0), AtomicBool::new(false));
    let work = |_: rayon::BroadcastContext<'_>| {
        let mut results = Vec::new();
        while !stop.load(Ordering::Relaxed) {
            let at = next.fetch_add(1, Ordering::Relaxed);
            let Some(item) = items.get(at) else { break };
            let result = job(item);
            if result.is_err() {
                stop.store(true, Ordering::Relaxed);
            }
            results.push((at, result));
            let done = done.fetch_add(1, Ordering::Relaxed) + 1;
            progress.next(format!("drafting {done} of {}", items.len()));
        }
        results
    };
    progress.next(format!("drafting 0 of {}", items.len()));
    let mut results: Vec<(usize, Result<R>)> = rayon::broadcast(work).into_iter().flatten().collect();
    results.sort_by_key(|(at, _)| *at);
    results.into_iter().map(|(_, result)| result).collect()
}

/// The outcome and the seconds it took.
pub fn timed<T>(work: impl FnOnce() -> T) -> (T, f64) {
    let start = Instant::now();
    let outcome = work();
    (outcome, start.elapsed().as_secs_f64())
}

/// Drafts and scores one drawing or sketch, and keeps its pictures where that was asked for.
///
/// # Errors
/// [`Error::Unwritable`] or [`Error::Exists`] of a picture to keep; a drawing that gave no draft is no error.
pub fn of_job(job: &Job, baseline: bool, drawings: Option<&Drawings>, tray: &Tray) -> Result<Trialled> {
    match job {
        Job::Drawn(trial) => of_trial(trial, baseline, drawings, tray),
        Job::Sketched(sketch) => of_sketch(sketch, baseline, drawings, tray),
    }
}

fn of_trial(trial: &Trial, baseline: bool, drawings: Option<&Drawings>, tray: &Tray) -> Result<Trialled> {
    let drawing = trial.drawing(tray);
    let (draft, seconds) = timed(|| trial.draft(&drawing, tray));
    if let Some(drawings) = drawings {
        let name = job_name(&Job::Drawn(*trial));
        let (ending, bytes) = match &drawing.jpeg {
            Some(bytes) => ("jpg", bytes.clone()),
            None => ("png", png(&drawing.pixels)),
        };
        drawings.save(&name, (ending, bytes), draft.as_ref().ok(), tray)?;
    }
    let plain = baseline.then(|| PLAIN.map(|method| trial.score_plain(method, &drawing, tray).mend as f64));
    Ok(Trialled {
        figure: trial.figure.name.clone(),
        manner: Some(trial.manner.name()),
        seed: Some(trial.seed),
        scores: vec![trial.score(draft.as_ref().ok(), tray)],
        apart: None,
        seconds,
        sheet: trial.sheet_score(&drawing, draft.as_ref().ok()),
        setting: drawing.setting.map(|setting| setting.to_string()),
        failed: draft.err().map(|error| error.to_string()),
        plain,
    })
}

fn of_sketch(sketch: &Sketch, baseline: bool, drawings: Option<&Drawings>, tray: &Tray) -> Result<Trialled> {
    let picture = sketch.picture()?;
    let (draft, seconds) = timed(|| sketch.draft(&picture, tray));
    if let Some(drawings) = drawings {
        let bytes = sketch.bytes().to_vec();
        let ending = sketch.file.rsplit_once('.').map_or("", |(_, ending)| ending);
        let name = job_name(&Job::Sketched(sketch));
        drawings.save(&name, (ending, bytes), draft.as_ref().ok(), tray)?;
    }
    let plainly = |method| mean_of(&sketch.score_plain(method, &picture, tray), |score| score.mend as f64);
    Ok(Trialled {
        figure: sketch.name.clone(),
        manner: Some(SKETCH),
        seed: None,
        scores: sketch.score(draft.as_ref().ok(), tray).into(),
        apart: Some(sketch.apart(tray)),
        seconds,
        failed: draft.err().map(|error| error.to_string()),
        plain: baseline.then(|| PLAIN.map(plainly)),
        sheet: None,
        setting: None,
    })
}

/// What a drawing is called, without its ending.
fn drawing_name(figure: &str, manner: &str, seed: u64) -> String {
    format!("{figure}-{manner}-{seed}")
}

fn job_name(job: &Job) -> String {
    match job {
        Job::Drawn(trial) => drawing_name(&trial.figure.name, trial.manner.name(), trial.seed),
        Job::Sketched(sketch) => format!("{}-{SKETCH}", sketch.name),
    }
}

/// Where drawings and the pictures of their drafts are kept.
pub struct Drawings<'a> {
    /// The folder.
    pub folder: &'a Path,
    /// Whether files that are there may be written over.
    pub replace: bool,
}

impl Drawings<'_> {
    /// Makes the folder, and sees before the work that nothing would be written over.
    ///
    /// # Errors
    /// [`Error::Unwritable`]; [`Error::Exists`].
    pub fn check(&self, jobs: &[Job]) -> Result<()> {
        fs::create_dir_all(self.folder).map_err(|e| Error::Unwritable {
            file: self.folder.display().to_string(),
            why: if self.folder.exists() { "it is not a folder".into() } else { e.kind().to_string() },
        })?;
        if self.replace {
            return Ok(());
        }
        for name in jobs.iter().map(job_name) {
            let there = ["png", "jpg", "draft.png"].map(|ending| self.file(&name, ending));
            if let Some(file) = there.iter().find(|file| fs::symlink_metadata(file).is_ok()) {
                return Err(Error::Exists { file: file.display().to_string() });
            }
        }
        Ok(())
    }

    fn file(&self, name: &str, ending: &str) -> PathBuf {
        self.folder.join(format!("{name}.{ending}"))
    }

    /// Saves a drawing, of which the ending and the bytes are given, and the picture of its draft.
    fn save(
        &self,
        name: &str,
        (ending, bytes): (&str, Vec<u8>),
        draft: Option<&Draft>,
        tray: &Tray,
    ) -> Result<()> {
        let (drawn, shown) = (self.file(name, ending), self.file(name, "draft.png"));
        let mut files = vec![(drawn.as_path(), bytes)];
        files.extend(draft.map(|draft| (shown.as_path(), png(&draft_picture(draft, tray)))));
        save_all(&files, self.replace)
    }
}
