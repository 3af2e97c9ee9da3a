//! The calibration's data: which trials it is fitted to, and which are kept apart to test it on.

use super::{KnownFigure, Manner, Trial};
use crate::draft::Draft;
use crate::grid::Grid;
use crate::matching::{Evidence, evidence};
use crate::trial::Score;

/// Figures no fit has seen: one of each size and build.
pub const KEPT_FIGURES: [&str; 6] =
    ["candle-girl", "fishwife", "lane-sweeper", "nightgown-toddler", "oarsman", "river-swimmer"];

/// Manners no fit has seen.
pub const KEPT_MANNERS: [Manner; 2] = [Manner::CutOut, Manner::Page];

/// Seeds the fit sees; every other is kept apart.
pub const FITTED_SEEDS: std::ops::Range<u64> = 1000..1003;

/// Whether a fit may see a trial.
pub fn is_fitted(trial: &Trial) -> bool {
    !KEPT_FIGURES.contains(&trial.figure.name.as_str())
        && !KEPT_MANNERS.contains(&trial.manner)
        && FITTED_SEEDS.contains(&trial.seed)
}

/// Every trial that a fit sees, in order.
pub fn fitted_trials(figures: &[KnownFigure]) -> Vec<Trial<'_>> {
    let of = |figure| {
        let seeds = move |manner| FITTED_SEEDS.map(move |seed| Trial { figure, manner, seed });
        Manner::ALL.into_iter().flat_map(seeds)
    };
    figures.iter().flat_map(of).filter(is_fitted).collect()
}

/// What was known of each bead of a draft, and whether it was right.
pub fn lessons(draft: &Draft, score: &Score) -> Vec<(Evidence, bool)> {
    let known: Grid<Option<Evidence>> = evidence(&draft.samples, draft.matched.colours());
    let lesson =
        |bead: &super::Judged| known.get(bead.at.0, bead.at.1).copied().flatten().map(|e| (e, bead.right));
    score.beads.iter().filter_map(lesson).collect()
}
