//! Both legs: where they are, and whether what is above them is trousers.

use ndarray::Array2;

use super::columns::centred;
use super::landmarks::Landmarks;
use super::silhouette::{Silhouette, Span};
use crate::plan::Landmark;
use crate::sample::labels::GROUND;

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

/// Both legs below the place where they part; none where two are not seen.
pub(super) fn below(outline: &Silhouette, landmarks: &Landmarks, crotch: f64) -> Option<Legs> {
    /// How far below the crotch the legs are looked at, half of the height looked at, and how wide a leg is at
    /// least, in beads; the gap is at most so wide.
    const BELOW: f64 = 1.2;
    const BAND: f64 = 0.4;
    const LEG: f64 = 0.45;
    const GAP: f64 = 3.2;
    let pitch = outline.pitch;
    let at = (crotch + BELOW * pitch).min(landmarks.get(Landmark::Ankle) - pitch / 2.0);
    let found = outline.spans_between(at - BAND * pitch, at + BAND * pitch, LEG * pitch);
    let off = |legs: &Legs| (legs.gap().middle() - outline.axis).abs();
    let pairs = found.windows(2).map(|pair| Legs { left: pair[0], right: pair[1] });
    pairs.filter(|legs| legs.gap().width() <= GAP * pitch).min_by(|a, b| off(a).total_cmp(&off(b)))
}

/// Whether what is above the place where the legs part has the colour of a leg.
pub(super) fn go_on_above(plane: &Array2<u8>, legs: Legs, crotch: f64, pitch: f64) -> bool {
    /// Half of the height looked at, how far above and how far below, in beads.
    const BAND: f64 = 0.4;
    const ABOVE: f64 = 0.7;
    const BELOW: f64 = 0.8;
    let main = |at: f64, across: Span| {
        let clamp = |v: f64, most: usize| (v.max(0.0) as usize).min(most);
        let mut counts = vec![0_usize; usize::from(u8::MAX) + 1];
        for y in clamp(at - BAND * pitch, plane.nrows())..clamp(at + BAND * pitch, plane.nrows()) {
            for x in clamp(across.from, plane.ncols())..clamp(across.to, plane.ncols()) {
                counts[usize::from(plane[(y, x)])] += 1;
            }
        }
        counts[usize::from(GROUND)] = 0;
        (0..counts.len()).max_by_key(|&label| (counts[label], std::cmp::Reverse(label)))
    };
    let above = main(crotch - ABOVE * pitch, centred(legs.gap().middle(), 2.0 * pitch));
    let below = crotch + BELOW * pitch;
    [legs.left, legs.right].into_iter().any(|leg| main(below, leg) == above)
}
