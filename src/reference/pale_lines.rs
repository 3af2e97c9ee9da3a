//! A drawing in pale lines: pencil whose outline breaks up and whose hatching is as faint as the paper's grain.
//!
//! No pixel of it tells it from the paper, but the mean over a quarter of a bead does: grain is mean nothing, strokes
//! are not. What the outline shuts in is found once its breaks are closed.

use ndarray::Array2;

use super::ground::Ground;
use super::mask::{grown, pieces, worn};
use super::middle::median;
use crate::colour::Lab;

/// A drawing is broken up where its largest piece has no more than this share of all that differs from the paper.
const BROKEN: f64 = 0.5;

/// Half of the square that means are taken over, in beads.
const AROUND: f64 = 0.25;

/// A mean is no grain from this many times the border's own middle mean on, and at least from this much, in Lab units.
const BEYOND_GRAIN: f64 = 6.0;
const LEAST: f64 = 1.0;

/// Half of the widest break in an outline that is closed, in beads; between legs there is more.
const BREAK: f64 = 0.2;

/// What differs from the paper with the strokes that no pixel tells; nothing where the drawing is in one piece as it is.
pub(super) fn joined(
    differs: &Array2<bool>,
    (colours, ground): (&Array2<Lab>, &Ground),
    bead: f64,
) -> Option<Array2<bool>> {
    let all = differs.iter().filter(|set| **set).count();
    let largest = pieces(differs).iter().map(Vec::len).max().unwrap_or(0);
    if largest as f64 > BROKEN * all as f64 {
        return None;
    }
    let reach = ((AROUND * bead).round() as usize).max(1);
    let means = means(colours, ground, reach);
    let (rows, columns) = means.dim();
    let at_border =
        |(y, x): (usize, usize)| y < reach || x < reach || y + reach >= rows || x + reach >= columns;
    let border = means.indexed_iter().filter(|(place, _)| at_border(*place)).map(|(_, mean)| *mean).collect();
    let bound = (BEYOND_GRAIN * median(border)).max(LEAST);
    let mut strokes = worn(&means.map(|mean| *mean > bound), reach);
    strokes.zip_mut_with(differs, |stroke, differs| *stroke |= differs);
    let close = ((BREAK * bead).round() as usize).max(1);
    Some(worn(&grown(&strokes, close), close))
}

/// How far the mean over a square about each pixel lies from the ground, in Lab units.
fn means(colours: &Array2<Lab>, ground: &Ground, reach: usize) -> Array2<f64> {
    let (rows, columns) = colours.dim();
    let mut sums = Array2::from_elem((rows + 1, columns + 1), [0.0_f64; 3]);
    for ((y, x), seen) in colours.indexed_iter() {
        let there = ground.at((y, x));
        let off = [seen.l - there.l, seen.a - there.a, seen.b - there.b];
        sums[(y + 1, x + 1)] =
            std::array::from_fn(|c| off[c] + sums[(y, x + 1)][c] + sums[(y + 1, x)][c] - sums[(y, x)][c]);
    }
    Array2::from_shape_fn((rows, columns), |(y, x)| {
        let (top, left) = (y.saturating_sub(reach), x.saturating_sub(reach));
        let (bottom, right) = ((y + reach + 1).min(rows), (x + reach + 1).min(columns));
        let count = ((bottom - top) * (right - left)) as f64;
        let mean = |c: usize| {
            (sums[(bottom, right)][c] + sums[(top, left)][c]
                - sums[(top, right)][c]
                - sums[(bottom, left)][c])
                / count
        };
        mean(0).hypot(mean(1)).hypot(mean(2))
    })
}
