//! Many trials in a few figures.

use super::judged::{Judged, Score, calibration_error, caught_early, ranking};

/// What a maker wants to know of many drafts.
#[derive(Clone, Debug, PartialEq)]
pub struct Summary {
    /// How many drafts.
    pub drafts: usize,
    /// Mean share of beads that are the same, 0 to 1.
    pub right: f64,
    /// Mean beads to mend.
    pub mend: f64,
    /// Beads to mend of the middle draft.
    pub mend_median: f64,
    /// Mean overlap of the silhouettes, 0 to 1.
    pub overlap: f64,
    /// Mean CIEDE2000 of beads in their place.
    pub difference: f64,
    /// Expected calibration error over all their beads; none without beads.
    pub calibration: Option<f64>,
    /// Area under the ROC curve over all their beads; none where all are right or all wrong.
    pub ranking: Option<f64>,
    /// Share of the wrong beads among the least sure fifth; none where none is wrong.
    pub caught: Option<f64>,
}

impl Summary {
    /// Sums up drafts, each with its scores against every answer to it: one known figure, or the two designs of
    /// a sketch, of which the mean counts. Of none, everything is 0.
    pub fn of(drafts: &[&[Score]]) -> Self {
        let beads: Vec<Judged> =
            drafts.iter().copied().flatten().flat_map(|score| score.beads.iter().copied()).collect();
        let each = |of: fn(&Score) -> f64| drafts.iter().map(move |scores| mean_of(scores, of));
        let mean = |of| each(of).sum::<f64>() / drafts.len().max(1) as f64;
        let mut mend: Vec<f64> = each(|score| score.mend as f64).collect();
        mend.sort_by(f64::total_cmp);
        Self {
            drafts: drafts.len(),
            right: mean(|s| s.right),
            mend: mean(|s| s.mend as f64),
            mend_median: middle(&mend),
            overlap: mean(|s| s.overlap),
            difference: mean(|s| s.difference),
            calibration: calibration_error(&beads),
            ranking: ranking(&beads),
            caught: caught_early(&beads),
        }
    }
}

/// The mean over a draft's scores, one an answer; 0 of none.
pub fn mean_of(scores: &[Score], of: fn(&Score) -> f64) -> f64 {
    scores.iter().map(of).sum::<f64>() / scores.len().max(1) as f64
}

/// The middle of sorted numbers, of two middles their mean; 0 of none.
fn middle(sorted: &[f64]) -> f64 {
    match sorted.len() {
        0 => 0.0,
        n if n % 2 == 1 => sorted[n / 2],
        n => (sorted[n / 2 - 1] + sorted[n / 2]) / 2.0,
    }
}
