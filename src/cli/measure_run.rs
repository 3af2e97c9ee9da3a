//! The drafts of `smallcast measure`: many at once, in order, by the clock.

use std::sync::atomic::{AtomicBool, AtomicUsize, Ordering};
use std::time::Instant;

use smallcast::error::Result;
use smallcast::score::{Plain, Score, SheetScore, Sheets, Summary, mean_of};

use super::progress::Progress;

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
    /// Whether confidence is fitted on this sketch.
    pub fitted: Option<bool>,
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

/// What is said beside the table, of drawn trials alone.
#[derive(Default)]
pub struct Beside {
    /// What of pictures without a sheet was taken for one.
    pub bare: Option<FalseSheets>,
    /// How near to a design by eye a draft of a sketch can be asked to come.
    pub yardstick: Option<String>,
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

/// What a drawing is called, without its ending.
pub fn drawing_name(figure: &str, manner: &str, seed: u64) -> String {
    format!("{figure}-{manner}-{seed}")
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

/// `1 draft`, `2 drafts`.
pub fn counted(count: usize, what: &str, more: &str) -> String {
    format!("{count} {what}{}", if count == 1 { "" } else { more })
}
