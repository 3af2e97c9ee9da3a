//! How near drafts come to figures whose beads are known: a maker's own, or those that are drawn for trials.

mod found;
mod judged;
mod known;
mod plain;
mod summary;

pub use found::{Quad, SheetScore, Sheets, sheet_score};
#[cfg(feature = "trial")]
pub(crate) use judged::score_within;
pub use judged::{Bin, Judged, Score, calibration_error, caught_early, ranking, reliability, score};
pub use known::KnownFigure;
pub use plain::{Plain, draft_plainly};
pub use summary::{Summary, mean_of};

use crate::draft::Draft;
use crate::grid::Grid;
use crate::tray::BeadId;

/// A draft's beads, each with its confidence.
pub fn with_confidence(draft: &Draft) -> Grid<Option<(BeadId, f64)>> {
    draft.matched.beads().map(|_, _, bead| bead.as_ref().map(|bead| (bead.bead, bead.confidence.get())))
}
