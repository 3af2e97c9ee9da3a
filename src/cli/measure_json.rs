//! The JSON document of `smallcast measure`.

use serde::Serialize;
use serde_json::Number;
use smallcast::score::{SheetScore, Sheets};

use super::measure_run::{FalseSheets, Line, Trialled};

/// The document's layout; grows when a reader would have to change.
const FORMAT: u32 = 1;

#[derive(Serialize)]
pub struct Document<'a> {
    format: u32,
    /// One for each manner of drawing; none where the maker's own figures were measured.
    manners: Vec<OneManner<'a>>,
    all: Sum,
    /// Of pictures without a sheet, drawn where sheets on tables are measured.
    #[serde(skip_serializing_if = "Option::is_none")]
    without_a_sheet: Option<WithoutASheet>,
    drafts: Vec<OneDraft<'a>>,
}

/// How many pictures, and how many of them were taken for a sheet.
#[derive(Serialize)]
struct WithoutASheet {
    pictures: usize,
    taken_for_one: usize,
}

#[derive(Serialize)]
struct OneManner<'a> {
    manner: &'a str,
    #[serde(flatten)]
    sum: Sum,
}

/// Shares are 0 to 1; null is what cannot be said, such as the ranking where no bead is wrong.
#[derive(Serialize)]
struct Sum {
    drafts: usize,
    right: f64,
    mend: f64,
    mend_median: f64,
    overlap: f64,
    difference: f64,
    ece: Option<f64>,
    auroc: Option<f64>,
    caught: Option<f64>,
    seconds: f64,
    /// Mean beads in which the two designs of a sketch differ.
    #[serde(skip_serializing_if = "Option::is_none")]
    designs_apart: Option<f64>,
    #[serde(skip_serializing_if = "Option::is_none")]
    baseline: Option<Plain<f64>>,
    /// Of pictures that show a sheet's sides.
    #[serde(skip_serializing_if = "Option::is_none")]
    sheets: Option<AllSheets>,
}

/// `corners_off` is a share of the sheet's longer side, on the mean over those found.
#[derive(Serialize)]
struct AllSheets {
    drawn: usize,
    found: usize,
    corners_off: Option<f64>,
}

/// `corners_off` as in all; null where no sheet was told, or none of its corners is in the frame.
#[derive(Serialize)]
struct OneSheet {
    found: bool,
    corners_off: Option<f64>,
}

/// Beads to mend after the plain methods.
#[derive(Serialize)]
struct Plain<T> {
    box_average: T,
    majority: T,
}

#[derive(Serialize)]
struct OneDraft<'a> {
    figure: &'a str,
    manner: Option<&'static str>,
    seed: Option<u64>,
    right: f64,
    mend: Number,
    /// Beads to mend to each of the two designs of a sketch, of which `mend` is the mean.
    #[serde(skip_serializing_if = "Option::is_none")]
    mend_to_designs: Option<Vec<usize>>,
    #[serde(skip_serializing_if = "Option::is_none")]
    designs_apart: Option<usize>,
    /// Whether confidence is fitted on this sketch; drawings of known figures here never are.
    #[serde(skip_serializing_if = "Option::is_none")]
    fitted: Option<bool>,
    overlap: f64,
    difference: f64,
    seconds: f64,
    /// Why there is no draft.
    failed: Option<&'a str>,
    #[serde(skip_serializing_if = "Option::is_none")]
    baseline: Option<Plain<Number>>,
    /// Of a picture that shows a sheet's sides.
    #[serde(skip_serializing_if = "Option::is_none")]
    sheet: Option<OneSheet>,
    /// What sort of photograph it is, where sorts are told apart.
    #[serde(skip_serializing_if = "Option::is_none")]
    setting: Option<&'a str>,
}

/// Everything a script may want of a measurement.
pub fn document<'a>(
    manners: &'a [Line],
    all: &Line,
    bare: Option<FalseSheets>,
    drafts: &'a [Trialled],
) -> Document<'a> {
    Document {
        format: FORMAT,
        manners: manners.iter().map(|line| OneManner { manner: &line.name, sum: sum(line) }).collect(),
        all: sum(all),
        without_a_sheet: bare
            .map(|FalseSheets { pictures, taken }| WithoutASheet { pictures, taken_for_one: taken }),
        drafts: drafts.iter().map(one).collect(),
    }
}

fn sum(line: &Line) -> Sum {
    let of = &line.summary;
    Sum {
        drafts: of.drafts,
        right: of.right,
        mend: of.mend,
        mend_median: of.mend_median,
        overlap: of.overlap,
        difference: of.difference,
        ece: of.calibration,
        auroc: of.ranking,
        caught: of.caught,
        seconds: line.seconds,
        designs_apart: line.apart,
        baseline: line.plain.map(plain),
        sheets: line.sheets.map(|Sheets { drawn, found, off }| AllSheets { drawn, found, corners_off: off }),
    }
}

fn one(draft: &Trialled) -> OneDraft<'_> {
    OneDraft {
        figure: &draft.figure,
        manner: draft.manner,
        seed: draft.seed,
        right: draft.mean(|score| score.right),
        mend: number(draft.mean(|score| score.mend as f64)),
        mend_to_designs: draft.apart.map(|_| draft.scores.iter().map(|score| score.mend).collect()),
        designs_apart: draft.apart,
        fitted: draft.fitted,
        overlap: draft.mean(|score| score.overlap),
        difference: draft.mean(|score| score.difference),
        seconds: draft.seconds,
        failed: draft.failed.as_deref(),
        baseline: draft.plain.map(|mends| plain(mends.map(number))),
        sheet: draft.sheet.map(|SheetScore { found, off }| OneSheet { found, corners_off: off }),
        setting: draft.setting.as_deref(),
    }
}

/// Beads: a whole number except for the mean over two designs.
fn number(beads: f64) -> Number {
    let whole = Number::from(beads as u64);
    if beads.fract() == 0.0 { whole } else { Number::from_f64(beads).unwrap_or(whole) }
}

fn plain<T>([box_average, majority]: [T; 2]) -> Plain<T> {
    Plain { box_average, majority }
}
