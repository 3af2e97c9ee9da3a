//! The grey or white patch beside the beads: what is known to have no colour tells the light's.

use super::field::{Field, Share};
use super::spots::{BeadSpot, Found, span};
use crate::reference::mask::Piece;
use crate::reference::middle::median;

/// A flat piece without colour.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct GreyPatch {
    /// Its middle and half its sides' mean, in pixels of the flat sheet.
    pub middle: (f64, f64),
    pub half: f64,
    /// Its light as a share of the paper's.
    pub share: Share,
    /// How much that differs from place to place of it, as a part of the light.
    pub spread: f64,
}

impl GreyPatch {
    /// Whether a spot lies on it or at its edge.
    pub fn holds(&self, spot: &BeadSpot) -> bool {
        let reach = self.half + 0.5 * spot.radius;
        (spot.x - self.middle.0).abs() <= reach && (spot.y - self.middle.1).abs() <= reach
    }
}

/// The largest thing that is a patch.
pub(super) fn find(field: &Field, found: &Found) -> Option<GreyPatch> {
    let mut patches: Vec<(usize, GreyPatch)> = found
        .things
        .iter()
        .filter_map(|thing| Some((thing.len(), of_thing(field, thing, found.radius)?)))
        .collect();
    patches.sort_by_key(|(size, _)| std::cmp::Reverse(*size));
    patches.into_iter().next().map(|(_, patch)| patch)
}

fn of_thing(field: &Field, thing: &Piece, radius: f64) -> Option<GreyPatch> {
    /// In areas of a bead's disc: a square of one and a half beads' width has 2.9.
    const LEAST: f64 = 2.5;
    /// A square, however it is turned, fills its closest box except for worn corners and a little shadow.
    const FILLED: f64 = 0.82;
    /// Its longer side beside the shorter.
    const LONG: f64 = 2.5;
    let disc = std::f64::consts::PI * radius * radius;
    if (thing.len() as f64) < LEAST * disc {
        return None;
    }
    let (wide, high) = closest_box(thing);
    let is_square = thing.len() as f64 >= FILLED * wide * high && wide.max(high) <= LONG * wide.min(high);
    if !is_square {
        return None;
    }
    let half = (wide + high) / 4.0;
    let middle = middle_of(thing);
    // Well inside, whichever way it is turned.
    let inner = wide.min(high) * 0.36;
    let inside: Vec<Share> =
        field.within(middle, inner).filter_map(|(place, _)| field.share(place)).collect();
    let share: Share =
        std::array::from_fn(|c| median(inside.iter().map(|s| f64::from(s[c])).collect()) as f32);
    let colours: Vec<_> = field.within(middle, inner).map(|(place, _)| field.colour(place)).collect();
    let middle_l = median(colours.iter().map(|c| c.l).collect());
    let off = median(colours.iter().map(|c| (c.l - middle_l).abs()).collect());
    let chroma = median(colours.iter().map(|c| c.chroma()).collect());
    /// Flat: half of it within this much lightness of its middle; without colour beside paper, which may itself be tinted.
    const FLAT: f64 = 2.5;
    const GREY: f64 = 11.0;
    /// Black has no colour either, and none that could be measured.
    const LEAST_LIGHTNESS: f64 = 25.0;
    let is_patch =
        off <= FLAT && chroma <= GREY && middle_l >= LEAST_LIGHTNESS && is_even(field, middle, inner);
    is_patch.then(|| GreyPatch { middle, half, share, spread: off / middle_l.max(1.0) })
}

/// Whether nothing is seen in it: no hole, no print.
fn is_even(field: &Field, (x, y): (f64, f64), reach: f64) -> bool {
    /// Noise and dust make a few edges.
    const FEW: f64 = 0.08;
    let places: Vec<bool> = field
        .within((x, y), reach)
        .map(|((row, column), _)| field.is_edge(field.step_at((column as f64, row as f64))))
        .collect();
    places.iter().filter(|edge| **edge).count() as f64 <= FEW * places.len() as f64
}

fn middle_of(thing: &Piece) -> (f64, f64) {
    let ((top, bottom), (left, right)) = span(thing);
    ((left + right) as f64 / 2.0, (top + bottom) as f64 / 2.0)
}

/// Width and height of the smallest box around a thing, turned in steps of five degrees.
pub(super) fn closest_box(thing: &Piece) -> (f64, f64) {
    const STEPS: usize = 18;
    let turned = |step: usize| {
        let (sin, cos) = (step as f64 * std::f64::consts::FRAC_PI_2 / STEPS as f64).sin_cos();
        let mut ends = (f64::MAX, f64::MIN, f64::MAX, f64::MIN);
        for &(y, x) in thing {
            let (u, v) = (x as f64 * cos + y as f64 * sin, y as f64 * cos - x as f64 * sin);
            ends = (ends.0.min(u), ends.1.max(u), ends.2.min(v), ends.3.max(v));
        }
        (ends.1 - ends.0 + 1.0, ends.3 - ends.2 + 1.0)
    };
    let boxes = (0..STEPS).map(turned);
    boxes.min_by(|a, b| (a.0 * a.1).total_cmp(&(b.0 * b.1))).unwrap_or((1.0, 1.0))
}
