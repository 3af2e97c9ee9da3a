//! The order in which beads are read: row by row from the top, each from the left. Rows may lie somewhat aslant, each
//! in its own way, and beads in them unevenly.

use super::spots::BeadSpot;
use crate::reference::middle::median;

/// Spots in reading order, and how many there are in each row.
pub(super) fn in_reading_order(spots: Vec<BeadSpot>, radius: f64) -> (Vec<BeadSpot>, Vec<usize>) {
    let slant = slant(&spots, radius);
    // Along the rows and across them.
    let turned: Vec<(f64, f64)> = spots
        .iter()
        .map(|s| (s.x * slant.cos() + s.y * slant.sin(), s.y * slant.cos() - s.x * slant.sin()))
        .collect();
    let mut row_of: Vec<usize> = (0..spots.len()).collect();
    for (at, next) in links(&turned, radius) {
        let (kept, gone) = (row_of[at], row_of[next]);
        row_of.iter_mut().filter(|row| **row == gone).for_each(|row| *row = kept);
    }
    let mut rows: Vec<Vec<usize>> = Vec::new();
    for row in 0..spots.len() {
        let members: Vec<usize> = (0..spots.len()).filter(|&at| row_of[at] == row).collect();
        if !members.is_empty() {
            rows.push(members);
        }
    }
    let mut rows = joined(rows, &turned, radius);
    let height = |row: &[usize]| row.iter().map(|&at| turned[at].1).sum::<f64>() / row.len().max(1) as f64;
    rows.sort_by(|a, b| height(a).total_cmp(&height(b)));
    rows.iter_mut().for_each(|row| row.sort_by(|&a, &b| turned[a].0.total_cmp(&turned[b].0)));
    let lengths = rows.iter().map(Vec::len).collect();
    (rows.concat().into_iter().map(|at| spots[at]).collect(), lengths)
}

/// How steeply the rows run, in radians: the middle of the ways from beads to their nearest ones at the right.
fn slant(spots: &[BeadSpot], radius: f64) -> f64 {
    /// Rows lie within 25 degrees of level.
    const STEEPEST: f64 = 0.436;
    let ways = spots.iter().filter_map(|spot| {
        let to_right = spots.iter().filter_map(|other| {
            let (dx, dy) = (other.x - spot.x, other.y - spot.y);
            (dx > radius && (dy / dx).atan().abs() < STEEPEST).then(|| (dx.hypot(dy), (dy / dx).atan()))
        });
        to_right.min_by(|a, b| a.0.total_cmp(&b.0)).map(|(_, angle)| angle)
    });
    median(ways.collect())
}

/// Each bead with the nearest at its right in the same row.
fn links(places: &[(f64, f64)], radius: f64) -> Vec<(usize, usize)> {
    /// The next bead lies no further up or down than nine tenths of a radius and this part of the way to it; never as
    /// far as the next row, in radii.
    const OFF: f64 = 0.9;
    const SLOPE: f64 = 0.06;
    const MOST: f64 = 1.3;
    let next = |at: usize| {
        let (x, y) = places[at];
        let right = (0..places.len()).filter(|&other| {
            let (dx, dy) = (places[other].0 - x, places[other].1 - y);
            dx > radius && dy.abs() <= (OFF * radius + SLOPE * dx).min(MOST * radius)
        });
        right.min_by(|&a, &b| (places[a].0).total_cmp(&places[b].0)).map(|other| (at, other))
    };
    (0..places.len()).filter_map(next).collect()
}

/// Runs of beads at one height that lie one after the other are one row.
fn joined(mut rows: Vec<Vec<usize>>, places: &[(f64, f64)], radius: f64) -> Vec<Vec<usize>> {
    let middle = |row: &[usize]| row.iter().map(|&at| places[at].1).sum::<f64>() / row.len().max(1) as f64;
    let ends = |row: &[usize]| {
        let xs = row.iter().map(|&at| places[at].0);
        xs.fold((f64::MAX, f64::MIN), |(low, high), x| (low.min(x), high.max(x)))
    };
    let is_one = |a: &[usize], b: &[usize]| {
        let (a_ends, b_ends) = (ends(a), ends(b));
        (middle(a) - middle(b)).abs() < radius && (a_ends.1 < b_ends.0 || b_ends.1 < a_ends.0)
    };
    loop {
        let pairs = || (0..rows.len()).flat_map(|a| (a + 1..rows.len()).map(move |b| (a, b)));
        let Some((a, b)) = pairs().find(|&(a, b)| is_one(&rows[a], &rows[b])) else { return rows };
        let other = rows.swap_remove(b);
        rows[a].extend(other);
    }
}
