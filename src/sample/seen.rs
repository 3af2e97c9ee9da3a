//! What the eye sees in strokes: outlines belong to nobody, and strokes join to one tone.
//!
//! A pen's line beside skin and a crayon's dark stroke are both thin and dark. Which of them it is, the
//! neighbourhood tells: where most of it is dark strokes, they are the material; elsewhere they are lines on it.

use ndarray::Array2;

use crate::colour::Lab;
use crate::reference::mask::grown;
use crate::reference::{Cover, PIXELS_PER_BEAD, Reference};
use crate::sample::ink::find_ink;

/// Half of the neighbourhood that tells lines from strokes, in beads,
const AROUND: f64 = 0.65;

/// ... and the share of lines in it from which on they are the material.
const MATERIAL: f64 = 0.55;

/// Half of what is looked at for a colour between lines, and for a tone of strokes, in beads.
const FINE: f64 = 0.25;
const COARSE: f64 = 0.45;

/// A line and its blur, in working pixels to each side.
const BLUR: usize = 1;

/// What differs less than this from the paper, in Lab units, is paper between strokes,
const PAPER: f64 = 10.0;

/// ... which counts so much of a mark; a line counts hardly at all, but more than nothing.
const PAPER_COUNTS: f64 = 0.25;
const LINE_COUNTS: f64 = 0.02;

/// Among strokes a mark counts by the square of its way from the paper, beside a way of so many Lab units: who
/// looks sees the pigment.
const PIGMENT: f64 = 50.0;

/// The picture as seen from afar: lines left out, strokes as one tone. Ground stays as it is.
pub(super) fn from_afar(reference: &Reference) -> Array2<Lab> {
    let (colours, cover) = (reference.colours(), reference.cover());
    let subject = cover.map(|c| *c == Cover::Subject);
    let ink = find_ink(colours);
    let is_material = mostly(&ink, &subject, beads(AROUND));
    let lines = grown(&ink, BLUR);
    let paper = reference.ground_colour();
    let mark = Array2::from_shape_fn(colours.dim(), |p| {
        let shows_paper = colours[p].distance_squared(paper) < PAPER * PAPER;
        match (subject[p], shows_paper) {
            (false, _) => 0.0,
            (true, true) => PAPER_COUNTS,
            (true, false) => 1.0,
        }
    });
    let pigment = |q: (usize, usize)| colours[q].distance_squared(paper) / (PIGMENT * PIGMENT);
    let pigments = Array2::from_shape_fn(colours.dim(), |q| mark[q] * pigment(q));
    let between_lines = Array2::from_shape_fn(colours.dim(), |q| match lines[q] {
        true => LINE_COUNTS * mark[q],
        false => mark[q],
    });
    let (fine, coarse) = (disk(beads(FINE)), disk(beads(COARSE)));
    let mut near: Vec<(Lab, f64)> = Vec::new();
    let mut line: Vec<u64> = Vec::new();
    Array2::from_shape_fn(colours.dim(), |p| {
        if !subject[p] {
            return colours[p];
        }
        if is_material[p] {
            Lab::mean(places(p, &coarse, colours.dim()).map(|q| (colours[q], pigments[q])))
        } else {
            near.clear();
            let counted = places(p, &fine, colours.dim()).filter(|q| between_lines[*q] > 0.0);
            near.extend(counted.map(|q| (colours[q], between_lines[q])));
            middle(&near, &mut line)
        }
        .unwrap_or(colours[p])
    })
}

fn beads(side: f64) -> usize {
    (side * PIXELS_PER_BEAD).round() as usize
}

/// Whether lines are most of the subject around each place.
fn mostly(lines: &Array2<bool>, subject: &Array2<bool>, reach: usize) -> Array2<bool> {
    let all = sums(&subject.map(|s| u32::from(*s)));
    let inked = sums(&Array2::from_shape_fn(lines.dim(), |p| u32::from(lines[p] && subject[p])));
    Array2::from_shape_fn(lines.dim(), |(y, x)| {
        let within = |sums: &Array2<u32>| {
            let (rows, columns) = lines.dim();
            let (top, left) = (y.saturating_sub(reach), x.saturating_sub(reach));
            let (bottom, right) = ((y + reach + 1).min(rows), (x + reach + 1).min(columns));
            f64::from(sums[(bottom, right)] + sums[(top, left)] - sums[(top, right)] - sums[(bottom, left)])
        };
        within(&inked) > MATERIAL * within(&all)
    })
}

/// Sums of all above and to the left, one row and column larger than what is summed.
fn sums(of: &Array2<u32>) -> Array2<u32> {
    let (rows, columns) = of.dim();
    let mut sums = Array2::zeros((rows + 1, columns + 1));
    for ((y, x), value) in of.indexed_iter() {
        sums[(y + 1, x + 1)] = value + sums[(y, x + 1)] + sums[(y + 1, x)] - sums[(y, x)];
    }
    sums
}

/// Offsets of a disk.
fn disk(radius: usize) -> Vec<(isize, isize)> {
    let radius = radius as isize;
    let all = (-radius..=radius).flat_map(|dy| (-radius..=radius).map(move |dx| (dy, dx)));
    all.filter(|(dy, dx)| dy * dy + dx * dx <= radius * radius).collect()
}

fn places(
    (y, x): (usize, usize),
    offsets: &[(isize, isize)],
    (rows, columns): (usize, usize),
) -> impl Iterator<Item = (usize, usize)> {
    offsets.iter().filter_map(move |&(dy, dx)| {
        let place = (y.checked_add_signed(dy)?, x.checked_add_signed(dx)?);
        (place.0 < rows && place.1 < columns).then_some(place)
    })
}

/// The middle of each channel by weight: the colour of the larger side at an edge, not a mixture. `line` is room to
/// work in.
fn middle(near: &[(Lab, f64)], line: &mut Vec<u64>) -> Option<Lab> {
    let half = near.iter().map(|n| n.1).sum::<f64>() / 2.0;
    let mut of = |channel: fn(&Lab) -> f64| {
        line.clear();
        line.extend((0..).zip(near).map(|(place, (colour, _))| in_order(channel(colour) as f32, place)));
        line.sort_unstable();
        let mut sum = 0.0;
        let places = || line.iter().map(|value| *value as u32 as usize);
        let reached = places().find(|place| {
            sum += near[*place].1;
            sum >= half
        });
        reached.or(places().next_back()).map_or(0.0, |place| channel(&near[place].0))
    };
    (half > 0.0).then(|| Lab::new(of(|c| c.l), of(|c| c.a), of(|c| c.b)))
}

/// A value with its place as one whole number, which is sorted in a third of the time: values in their order, the same
/// values by their places. A look's colours have no more than single precision.
fn in_order(value: f32, place: u32) -> u64 {
    const SIGN: u32 = 1 << 31;
    // The bits of numbers above 0 are in their order, those of numbers below in the opposite one.
    let bits = value.to_bits();
    let ordered = if bits & SIGN == 0 { bits | SIGN } else { !bits };
    u64::from(ordered) << u32::BITS | u64::from(place)
}

#[cfg(test)]
mod tests {
    use super::in_order;

    #[test]
    fn whole_numbers_keep_the_order_of_values() {
        let values = [-120.5, -3.0, -0.25, 0.0, 0.25, 7.0, 100.0];
        assert!(values.windows(2).all(|pair| in_order(pair[0], 9) < in_order(pair[1], 0)));
    }
}
