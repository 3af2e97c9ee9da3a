//! What was given up so that parts that touch get beads that differ.

use crate::matching::Candidate;

/// How much closeness is traded for contrast at most, in CIEDE2000 beyond the nearest bead.
///
/// As much as makes two beads hard to tell apart ([`crate::tray::HARD_TO_TELL`]): who looks at the figure then hardly
/// sees that the bead is another one than the nearest, but sees that the two parts are two.
pub const MOST_GIVEN_UP: f64 = crate::tray::HARD_TO_TELL.0;

/// A colour that did not get its nearest bead, since a colour it touches has that one.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Trade {
    /// The colour, by its place in [`super::MatchedGrid::colours`].
    pub colour: usize,
    /// The colour it touches and was to differ from.
    pub beside: usize,
    /// The nearest bead.
    pub nearest: Candidate,
    /// The bead taken.
    pub taken: Candidate,
}

impl Trade {
    /// CIEDE2000 by which the bead taken is farther from the colour asked for; 0 to [`MOST_GIVEN_UP`].
    pub fn given_up(&self) -> f64 {
        self.taken.difference.0 - self.nearest.difference.0
    }
}
