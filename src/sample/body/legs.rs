//! Both legs: where they are, and whether what is above them is trousers.

use ndarray::Array2;

use super::columns::{Stretch, beads, centred};
use super::landmarks::Landmarks;
use super::silhouette::{Silhouette, Span};
use crate::grid::commonest;
use crate::plan::Landmark;
use crate::reference::mask;
use crate::sample::labels::GROUND;

/// A leg is at least so wide, in beads,
pub(super) const LEG: f64 = 0.45;

/// ... and the gap between two at most.
pub(super) const GAP: f64 = 3.2;

/// Half of the height over which legs are looked at, in beads.
const BAND: f64 = 0.4;

/// Both legs a little below where they part.
#[derive(Clone, Copy)]
pub(super) struct Legs {
    pub left: Span,
    pub right: Span,
}

impl Legs {
    pub fn gap(self) -> Span {
        Span { from: self.left.to, to: self.right.from }
    }

    pub fn both(self) -> Span {
        Span { from: self.left.from, to: self.right.to }
    }

    /// So many beads each, beside the gap at column 0.
    pub fn beads(self, left: i32, right: i32) -> Vec<Stretch> {
        beads(-left, left, self.left).chain(beads(1, right, self.right)).collect()
    }
}

/// Of stretches beside one another the two with a gap of at most so many pixels that lies nearest to a column, and how
/// far off it lies.
pub(super) fn pair_about(spans: &[Span], x: f64, gap: f64) -> Option<(Legs, f64)> {
    let pairs = spans.windows(2).map(|pair| Legs { left: pair[0], right: pair[1] });
    let pairs = pairs.filter(|legs| legs.gap().width() <= gap);
    pairs.map(|legs| (legs, (legs.gap().middle() - x).abs())).min_by(|a, b| a.1.total_cmp(&b.1))
}

/// Both legs below the place where they part; none where two are not seen.
pub(super) fn below(outline: &Silhouette, landmarks: &Landmarks, crotch: f64) -> Option<Legs> {
    /// How far below the crotch the legs are looked at, in beads.
    const BELOW: f64 = 1.2;
    let pitch = outline.pitch;
    let at = (crotch + BELOW * pitch).min(landmarks.get(Landmark::Ankle) - pitch / 2.0);
    let found = outline.spans_between(at - BAND * pitch, at + BAND * pitch, LEG * pitch);
    pair_about(&found, outline.axis, GAP * pitch).map(|(legs, _)| legs)
}

/// Whether what is above the place where the legs part has the colour of a leg.
pub(super) fn go_on_above(plane: &Array2<u8>, legs: Legs, crotch: f64, pitch: f64) -> bool {
    /// How far above and how far below, in beads.
    const ABOVE: f64 = 0.7;
    const BELOW: f64 = 0.8;
    let main = |at: f64, across: Span| {
        let down = centred(at, 2.0 * BAND * pitch);
        let seen = mask::window(plane, down.pixels(plane.nrows()), across.pixels(plane.ncols()));
        commonest(seen.iter().copied().filter(|label| *label != GROUND))
    };
    let above = main(crotch - ABOVE * pitch, centred(legs.gap().middle(), 2.0 * pitch));
    let below = crotch + BELOW * pitch;
    [legs.left, legs.right].into_iter().any(|leg| main(below, leg) == above)
}
