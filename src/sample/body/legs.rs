//! Both legs: where they are, and whether what is above them is trousers.

use ndarray::Array2;

use super::columns::centred;
use super::landmarks::Landmarks;
use super::silhouette::{Silhouette, Span};
use crate::plan::Landmark;
use crate::reference::mask;
use crate::sample::labels::GROUND;
use crate::sample::piece::commonest;

/// A leg is at least this wide, in beads,
pub(super) const LEG: f64 = 0.45;

/// The gap between two is at most this wide, and its middle this far from where the body stands: legs may walk.
const GAP: f64 = 3.3;
const OFF: f64 = 1.5;

/// Half of the height over which a body's widths are looked at, in beads.
pub(super) const BAND: f64 = 0.4;

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
}

/// Of stretches beside one another the two that may be legs, nearest to a column.
pub(super) fn pair_about(spans: &[Span], x: f64, pitch: f64) -> Option<Legs> {
    let pairs = spans.windows(2).map(|pair| Legs { left: pair[0], right: pair[1] });
    let off = |legs: &Legs| (legs.gap().middle() - x).abs();
    let may_be = |legs: &Legs| legs.gap().width() <= GAP * pitch && off(legs) <= OFF * pitch;
    pairs.filter(may_be).min_by(|a, b| off(a).total_cmp(&off(b)))
}

/// Both legs below the place where they part; none where two are not seen.
pub(super) fn below(outline: &Silhouette, landmarks: &Landmarks, crotch: f64) -> Option<Legs> {
    /// How far below the crotch the legs are looked at, in beads.
    const BELOW: f64 = 1.2;
    let pitch = outline.pitch;
    let at = (crotch + BELOW * pitch).min(landmarks.get(Landmark::Ankle) - pitch / 2.0);
    let found = outline.spans_between(at - BAND * pitch, at + BAND * pitch, LEG * pitch);
    pair_about(&found, outline.axis, pitch)
}

/// Whether what is above the place where the legs part has the colour of a leg.
pub(super) fn go_on_above(plane: &Array2<u8>, legs: Legs, crotch: f64, pitch: f64) -> bool {
    /// How far above and below is looked at, in beads.
    const AWAY: f64 = 0.75;
    let main = |at: f64, across: Span| {
        let down = centred(at, 2.0 * BAND * pitch);
        let seen = mask::window(plane, down.pixels(plane.nrows()), across.pixels(plane.ncols()));
        commonest(seen.into_iter().copied().filter(|label| *label != GROUND))
    };
    let above = main(crotch - AWAY * pitch, centred(legs.gap().middle(), 2.0 * pitch));
    let below = crotch + AWAY * pitch;
    [legs.left, legs.right].into_iter().any(|leg| main(below, leg) == above)
}
