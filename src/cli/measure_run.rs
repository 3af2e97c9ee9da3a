//! The drafts of `smallcast measure`: many at once, in order, by the clock.

use std::fs;
use std::path::{Path, PathBuf};
use std::sync::atomic::{AtomicBool, AtomicUsize, Ordering};
use std::time::Instant;

use smallcast::draft::Draft;
use smallcast::error::{Error, Result};
use smallcast::sheet::{draft_picture, png};
use smallcast::tray::Tray;
use smallcast::trial::{Drawing, Manner, Plain, Score, Summary, Trial};

use super::progress::Progress;
use super::save_all;

/// The plain methods to measure against, in the order of their columns.
pub const PLAIN: [Plain; 2] = [Plain::BoxAverage, Plain::Majority];

/// One drawing or reference, drafted and scored.
pub struct Trialled {
    /// The figure's name.
    pub figure: String,
    /// The manner it was drawn in; none where the maker drew it.
    pub manner: Option<Manner>,
    /// The seed it was drawn from; none where the maker drew it.
    pub seed: Option<u64>,
    /// How near the draft came.
    pub score: Score,
    /// Seconds that drafting took.
    pub seconds: f64,
    /// Why there is no draft.
    pub failed: Option<String>,
    /// Beads that each of [`PLAIN`] leaves to mend.
    pub plain: Option<[usize; 2]>,
}

impl Trialled {
    /// What the draft is called.
    pub fn name(&self) -> String {
        match (self.manner, self.seed) {
            (Some(manner), Some(seed)) => format!("{}-{}-{seed}", self.figure, manner.name()),
            _ => self.figure.clone(),
        }
    }
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
}

impl Line {
    /// Sums up drafts.
    pub fn of<'a>(name: &str, drafts: impl IntoIterator<Item = &'a Trialled>) -> Self {
        let drafts: Vec<&Trialled> = drafts.into_iter().collect();
        let scores: Vec<&Score> = drafts.iter().map(|draft| &draft.score).collect();
        let count = drafts.len().max(1) as f64;
        let plain: Option<Vec<[usize; 2]>> = drafts.iter().map(|draft| draft.plain).collect();
        let plain = plain.filter(|mends| !mends.is_empty()).map(|mends| {
            [0, 1].map(|method| mends.iter().map(|mend| mend[method] as f64).sum::<f64>() / count)
        });
        let seconds = drafts.iter().map(|draft| draft.seconds).sum::<f64>() / count;
        Self { name: name.into(), summary: Summary::of(&scores), seconds, plain }
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

/// Draws, drafts and scores one trial, and keeps its pictures where that was asked for.
///
/// # Errors
/// [`Error::Unwritable`] or [`Error::Exists`] of a picture to keep; a drawing that gave no draft is no error.
pub fn of_trial(trial: &Trial, baseline: bool, drawings: Option<&Drawings>, tray: &Tray) -> Result<Trialled> {
    let drawing = trial.drawing(tray);
    let (draft, seconds) = timed(|| trial.draft(&drawing, tray));
    if let Some(drawings) = drawings {
        drawings.save(trial, &drawing, draft.as_ref().ok(), tray)?;
    }
    let plain = baseline.then(|| PLAIN.map(|method| trial.score_plain(method, &drawing, tray).mend));
    Ok(Trialled {
        figure: trial.figure.name.clone(),
        manner: Some(trial.manner),
        seed: Some(trial.seed),
        score: trial.score(draft.as_ref().ok(), tray),
        seconds,
        failed: draft.err().map(|error| error.to_string()),
        plain,
    })
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
    pub fn check(&self, trials: &[Trial]) -> Result<()> {
        fs::create_dir_all(self.folder).map_err(|e| Error::Unwritable {
            file: self.folder.display().to_string(),
            why: if self.folder.exists() { "it is no folder".into() } else { e.kind().to_string() },
        })?;
        if self.replace {
            return Ok(());
        }
        for trial in trials {
            let there = ["png", "jpg", "draft.png"].map(|ending| self.file(trial, ending));
            if let Some(file) = there.iter().find(|file| fs::symlink_metadata(file).is_ok()) {
                return Err(Error::Exists { file: file.display().to_string() });
            }
        }
        Ok(())
    }

    fn file(&self, trial: &Trial, ending: &str) -> PathBuf {
        let Trial { figure, manner, seed } = trial;
        self.folder.join(format!("{}-{}-{seed}.{ending}", figure.name, manner.name()))
    }

    fn save(&self, trial: &Trial, drawing: &Drawing, draft: Option<&Draft>, tray: &Tray) -> Result<()> {
        let (drawn, bytes) = match &drawing.jpeg {
            Some(bytes) => (self.file(trial, "jpg"), bytes.clone()),
            None => (self.file(trial, "png"), png(&drawing.pixels)),
        };
        let shown = self.file(trial, "draft.png");
        let mut files = vec![(drawn.as_path(), bytes)];
        files.extend(draft.map(|draft| (shown.as_path(), png(&draft_picture(draft, tray)))));
        save_all(&files, self.replace)
    }
}
