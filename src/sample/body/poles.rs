//! A pole, an oar or a staff stands in one column all along.

use super::columns::Stretch;

/// A pole is seen in at least so many rows,
const LONG: usize = 5;

/// ... is on the mean at most so thick, in beads,
const THICK: f64 = 0.75;

/// ... lies over most of its length at least so far from the body, in beads,
const FREE: f64 = 0.3;

/// ... and moves at most so far from one row to the next; a row may be missed where a hand holds it.
const DRIFT: f64 = 0.45;
const MISSED: usize = 3;

/// Where a stretch lies: its row, and its place in it.
type At = (usize, usize);

/// Gives every pole one column, outside of the body.
pub(super) fn straighten(rows: &mut [Vec<Stretch>], axis: f64, pitch: f64) {
    for pole in find(rows, pitch) {
        let column = column_of(rows, &pole, axis, pitch);
        for &(row, place) in &pole {
            rows[row][place].column = column;
        }
    }
    // Of two that meet in one place the body's own stays.
    for row in rows.iter_mut() {
        row.sort_by_key(|s| (s.column, !s.core));
        row.dedup_by_key(|s| s.column);
    }
}

/// Chains of thin stretches beside the body, one under the other.
fn find(rows: &[Vec<Stretch>], pitch: f64) -> Vec<Vec<At>> {
    let mut chains: Vec<Vec<At>> = Vec::new();
    for (row, stretches) in rows.iter().enumerate() {
        for (place, stretch) in stretches.iter().enumerate() {
            if stretch.core || stretch.span.width() > 2.0 * THICK * pitch {
                continue;
            }
            let goes_on = |chain: &&mut Vec<At>| {
                chain.last().is_some_and(|&(last, at)| {
                    let off = (rows[last][at].span.middle() - stretch.span.middle()).abs();
                    last < row && row - last <= MISSED && off <= DRIFT * pitch * (row - last) as f64
                })
            };
            match chains.iter_mut().find(goes_on) {
                Some(chain) => chain.push((row, place)),
                None => chains.push(vec![(row, place)]),
            }
        }
    }
    chains.retain(|chain| {
        let width =
            chain.iter().map(|&(row, at)| rows[row][at].span.width()).sum::<f64>() / chain.len() as f64;
        let free = chain.iter().filter(|&&(row, at)| is_free(&rows[row], at, pitch)).count();
        chain.len() >= LONG && width <= THICK * pitch && 2 * free > chain.len()
    });
    chains
}

/// Whether a stretch lies apart from the body; an arm hangs from it.
fn is_free(row: &[Stretch], at: usize, pitch: f64) -> bool {
    let span = row[at].span;
    row.iter().filter(|s| s.core).all(|s| {
        let gap = (s.span.from - span.to).max(span.from - s.span.to);
        gap >= FREE * pitch
    })
}

/// The column most of a pole lies in, moved out beyond what of the body lies between it and the axis.
fn column_of(rows: &[Vec<Stretch>], pole: &[At], axis: f64, pitch: f64) -> i32 {
    let middle = |at: &At| rows[at.0][at.1].span.middle();
    let mut columns: Vec<i32> = pole.iter().map(|at| ((middle(at) - axis) / pitch).round() as i32).collect();
    columns.sort_unstable();
    let drawn = columns[columns.len() / 2];
    let out = if drawn < 0 { -1 } else { 1 };
    let inner = pole.iter().flat_map(|at| {
        let beyond = middle(at) * f64::from(out);
        rows[at.0].iter().filter(move |s| s.span.middle() * f64::from(out) < beyond).map(|s| s.column * out)
    });
    inner.max().map_or(drawn, |last| (drawn * out).max(last + 1) * out)
}
