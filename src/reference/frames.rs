//! Ground that a pole, a staff or an oar shuts in beside the body: as thin as a line of ink, but no outline.

use std::collections::BTreeMap;

use ndarray::Array2;

/// A pole with its soft edges is at most so thick, in beads; a limb is a bead.
const THICK: f64 = 0.6;

/// This much of a side's height must be thin, and at most this much of the other's.
const THIN_SIDE: f64 = 0.8;
const THICK_SIDE: f64 = 0.5;

/// This far beyond what it shuts in a pole is seen to go on, in beads.
const BEYOND: f64 = 1.0;

/// It leans by at most this much of a bead from one row of pixels to where it is looked for next.
const LEANS: f64 = 0.3;

/// Whether a shut-in area has the body on one side and on the other something thin that goes on above it or below, with
/// the open ground at both its sides. `masks` are the figure and the open ground.
pub(super) fn is_framed(
    piece: &[(usize, usize)],
    (kept, outside): (&Array2<bool>, &Array2<bool>),
    bead: f64,
) -> bool {
    let mut sides: BTreeMap<usize, (usize, usize)> = BTreeMap::new();
    for &(y, x) in piece {
        let side = sides.entry(y).or_insert((x, x));
        *side = (side.0.min(x), side.1.max(x));
    }
    let frame = Frame { kept, outside, most: THICK * bead, bead };
    let places = |right: bool| -> Vec<Option<(usize, usize)>> {
        sides
            .iter()
            .map(|(&y, side)| frame.thin_beside(y, if right { side.1 } else { side.0 }, right))
            .collect()
    };
    let share =
        |thin: &[Option<(usize, usize)>]| thin.iter().flatten().count() as f64 / thin.len().max(1) as f64;
    let (left, right) = (places(false), places(true));
    let is_pole = |thin: &[Option<(usize, usize)>], other: &[Option<(usize, usize)>]| {
        let ends = [thin.iter().flatten().next(), thin.iter().flatten().last()];
        share(thin) >= THIN_SIDE
            && share(other) <= THICK_SIDE
            && ends.into_iter().flatten().zip([-1, 1]).any(|(end, step)| frame.goes_on(*end, step))
    };
    is_pole(&left, &right) || is_pole(&right, &left)
}

struct Frame<'a> {
    kept: &'a Array2<bool>,
    outside: &'a Array2<bool>,
    /// Working pixels that a pole is thick, at most.
    most: f64,
    bead: f64,
}

impl Frame<'_> {
    /// The middle of what lies beside an area's edge in a row of pixels, where it is thin and has the open ground beyond.
    fn thin_beside(&self, y: usize, edge: usize, right: bool) -> Option<(usize, usize)> {
        let columns = self.kept.ncols();
        let mut outward: Box<dyn Iterator<Item = usize>> =
            if right { Box::new(edge + 1..columns) } else { Box::new((0..edge).rev()) };
        let beyond = outward.find(|&x| !self.kept[(y, x)])?;
        let thick = beyond.abs_diff(edge) - 1;
        let is_thin = thick as f64 <= self.most && self.outside[(y, beyond)];
        is_thin.then_some((y, usize::midpoint(edge, beyond)))
    }

    /// Whether something thin goes on from a place upwards or downwards.
    fn goes_on(&self, (y, x): (usize, usize), step: isize) -> bool {
        let (rows, columns) = self.kept.dim();
        let lean = (LEANS * self.bead) as usize;
        let mut at = x;
        let far = (BEYOND * self.bead) as usize;
        // What shuts the area in above or below is about as thick as a limb: the pole is looked for beyond it too.
        let reach = 3 * far;
        let mut gone = 0;
        for k in 1..=reach {
            let Some(y) = y.checked_add_signed(step * k as isize).filter(|y| *y < rows) else { return false };
            let near = (at.saturating_sub(lean)..(at + lean + 1).min(columns)).filter(|&x| self.kept[(y, x)]);
            let Some(on) = near.min_by_key(|x| x.abs_diff(at)) else {
                gone = 0;
                continue;
            };
            let from = (0..on).rev().take_while(|&x| self.kept[(y, x)]).count();
            let to = (on + 1..columns).take_while(|&x| self.kept[(y, x)]).count();
            let open_left = on.checked_sub(from + 1).is_none_or(|x| self.outside[(y, x)]);
            let open_right = self.outside.get((y, on + to + 1)).is_none_or(|open| *open);
            if (from + to + 1) as f64 <= self.most && open_left && open_right {
                at = on + to - (from + to) / 2;
                gone += 1;
                if gone >= far {
                    return true;
                }
            } else {
                gone = 0;
            }
        }
        false
    }
}
