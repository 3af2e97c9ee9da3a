//! What a detector is worth: beads to mend with it and without it.

use serde::Serialize;
use smallcast::draft::DraftOptions;
use smallcast::error::{Error, Result, did_you_mean};
use smallcast::sample::{DETECTORS, Detector, Supposed, detector_named};
use smallcast::score::Score;
use smallcast::tray::Tray;
use smallcast::trial::SKETCH;

use super::measure_choice::{Job, manner_names};
use super::output::Paint;
use super::report::plain;
use super::table::{Side, Table, headline, wrapped};

/// The document's layout; grows when a reader would have to change.
const FORMAT: u32 = 1;

const IN_WORDS: &str = "with, without: beads to mend, on average; worth: how many fewer with it; error: its \
    standard error; changed: drawings whose draft it changes.";

/// Beads to mend of one drawing, with a detector and without it.
pub struct Pair {
    manner: &'static str,
    with: f64,
    without: f64,
}

/// The detector of that name.
///
/// # Errors
/// [`Error::BadValue`] where there is none.
pub fn detector(name: &str) -> Result<&'static Detector> {
    detector_named(name).ok_or_else(|| Error::BadValue {
        option: "--without",
        value: name.into(),
        why: format!(
            "there is no detector of that name{}",
            did_you_mean(name, DETECTORS.iter().map(|d| d.name))
        ),
        right: format!("choose one of {}", DETECTORS.iter().map(|d| d.name).collect::<Vec<_>>().join(", ")),
    })
}

/// Drafts a drawing both ways.
///
/// # Errors
/// Those of opening a sketch.
pub fn pair(job: &Job, detector: &Detector, tray: &Tray) -> Result<Pair> {
    let without = |options: DraftOptions| {
        let supposed = Supposed { without: vec![detector.name], ..options.supposed };
        DraftOptions { supposed, ..options }
    };
    let mean = |scores: &[Score]| scores.iter().map(|s| s.mend as f64).sum::<f64>() / scores.len() as f64;
    match job {
        Job::Drawn(trial) => {
            let drawing = trial.drawing(tray);
            let mend = |options: &DraftOptions| {
                let draft = trial.draft_with(&drawing, options, tray).ok();
                trial.score(draft.as_ref(), tray).mend as f64
            };
            let (with, without) = (mend(&trial.options()), mend(&without(trial.options())));
            Ok(Pair { manner: trial.manner.name(), with, without })
        }
        Job::Sketched(sketch) => {
            let picture = sketch.picture()?;
            let mend = |options: &DraftOptions| {
                let draft = sketch.draft_with(&picture, options, tray).ok();
                mean(&sketch.score(draft.as_ref(), tray))
            };
            let (with, without) = (mend(&sketch.options()), mend(&without(sketch.options())));
            Ok(Pair { manner: SKETCH, with, without })
        }
    }
}

/// What a detector is worth on some drawings.
#[derive(Serialize)]
struct Worth<'a> {
    manner: &'a str,
    drawings: usize,
    /// Beads to mend, on average.
    with: f64,
    without: f64,
    /// By how much fewer they are with it, and its standard error; null for one drawing.
    worth: f64,
    error: Option<f64>,
    /// Drawings whose draft it changes.
    changed: usize,
}

impl<'a> Worth<'a> {
    fn of(manner: &'a str, pairs: &[&Pair]) -> Self {
        let count = pairs.len() as f64;
        let mean =
            |of: &dyn Fn(&Pair) -> f64| pairs.iter().map(|pair| of(pair)).sum::<f64>() / count.max(1.0);
        let gain = |pair: &Pair| pair.without - pair.with;
        let worth = mean(&gain);
        let square = pairs.iter().map(|pair| (gain(pair) - worth).powi(2)).sum::<f64>();
        Self {
            manner,
            drawings: pairs.len(),
            with: mean(&|pair| pair.with),
            without: mean(&|pair| pair.without),
            worth,
            error: (pairs.len() > 1).then(|| (square / (count - 1.0) / count).sqrt()),
            changed: pairs.iter().filter(|pair| gain(pair) != 0.0).count(),
        }
    }
}

fn worths(pairs: &[Pair]) -> Vec<Worth<'static>> {
    let of = |name: &str| -> Vec<&Pair> { pairs.iter().filter(|pair| pair.manner == name).collect() };
    let each = manner_names().map(|name| (name, of(name))).filter(|(_, pairs)| !pairs.is_empty());
    let all: Vec<&Pair> = pairs.iter().collect();
    each.map(|(name, pairs)| Worth::of(name, &pairs)).chain([Worth::of("all", &all)]).collect()
}

/// The JSON document.
#[derive(Serialize)]
pub struct Document {
    format: u32,
    detector: &'static str,
    worth: Vec<Worth<'static>>,
}

/// What `--json` prints.
pub fn document(detector: &Detector, pairs: &[Pair]) -> Document {
    Document { format: FORMAT, detector: detector.name, worth: worths(pairs) }
}

/// What is printed for a person, in `width` columns.
pub fn report(detector: &Detector, title: &str, pairs: &[Pair], paint: Paint, width: usize) -> String {
    let mut table = Table::new(&[
        ("manner", Side::Left),
        ("drawings", Side::Right),
        ("with", Side::Right),
        ("without", Side::Right),
        ("worth", Side::Right),
        ("error", Side::Right),
        ("changed", Side::Right),
    ]);
    for worth in worths(pairs) {
        let cells = vec![
            worth.manner.to_owned(),
            worth.drawings.to_string(),
            format!("{:.1}", worth.with),
            format!("{:.1}", worth.without),
            format!("{:+.1}", worth.worth),
            worth.error.map_or(String::new(), |error| format!("{error:.1}")),
            worth.changed.to_string(),
        ];
        table.row(&[], cells);
    }
    let heading = headline(&format!("{}, without {}", plain(title), detector.name), paint, width);
    let what = wrapped(&format!("{}: {}", detector.name, detector.what), width);
    let words = paint.faint(&wrapped(IN_WORDS, width)).to_string();
    format!("{heading}\n{what}\n\n{}\n{words}\n", table.render(paint, width, &[0]))
}
