//! Lines that follow the drawing's own edges a little: a hand leans and wavers.
//!
//! Rows and columns stay as many as they were. Each row line may move up or down, and each row may lean to a
//! side, by at most [`MOST`] of a bead, smoothly from row to row and only as far as the windows grow purer for
//! it. Both are found exactly for given other lines, by dynamic programming over the rows (Viterbi 1967).

use super::Lattice;
use super::purity::{Columns, Misread, Purity};

/// A line moves at most so far, in beads: beyond a third it would be the next bead's.
const MOST: f64 = 0.3;

/// In steps so fine, in beads.
const STEPS: i32 = 3;

/// What it costs that two neighbouring lines move apart by one bead, and that a line moves by one bead, in
/// beads' worth of misread pixels per squared bead: a tenth of a bead is free, a third must be earned.
const STIFF: f64 = 3.0;
const HELD: f64 = 0.8;

/// Moves of a line, in beads.
fn moves() -> Vec<f64> {
    (-STEPS..=STEPS).map(|step| MOST * f64::from(step) / f64::from(STEPS)).collect()
}

/// Bends a lattice to the drawing.
pub(super) fn bend(purity: &Purity, lattice: Lattice) -> Lattice {
    let leaning = lean(purity, lattice);
    let bent = bend_rows(purity, leaning);
    lean(purity, bent)
}

/// Moves the row lines.
fn bend_rows(purity: &Purity, lattice: Lattice) -> Lattice {
    let rows = lattice.rows();
    let moves = moves();
    let pitch = (lattice.row_lines[rows] - lattice.row_lines[0]) / rows as f64;
    let with = |row: usize, above: f64, below: f64| {
        let lines = [lattice.row_lines[row] + above * pitch, lattice.row_lines[row + 1] + below * pitch];
        misread(purity, lines, lattice.columns_of(row), pitch)
    };
    // State: the move of the line above a row.
    let first: Vec<f64> = moves.iter().map(|m| HELD * m * m).collect();
    let path = cheapest(first, rows, moves.len(), |row, from, to| {
        let (above, below) = (moves[from], moves[to]);
        with(row, above, below) + STIFF * (above - below).powi(2) + HELD * below * below
    });
    let mut bent = lattice.clone();
    for (line, step) in bent.row_lines.iter_mut().zip(path) {
        *line += moves[step] * pitch;
    }
    bent
}

/// Leans the rows to the side.
fn lean(purity: &Purity, lattice: Lattice) -> Lattice {
    let rows = lattice.rows();
    let moves = moves();
    let pitch = (lattice.row_lines[rows] - lattice.row_lines[0]) / rows as f64;
    let cost: Vec<Vec<f64>> = (0..rows)
        .map(|row| {
            let lines = [lattice.row_lines[row], lattice.row_lines[row + 1]];
            let at = |m: &f64| {
                let mut moved = lattice.columns_of(row);
                moved.start += m * moved.pitch;
                misread(purity, lines, moved, pitch) + HELD * m * m
            };
            moves.iter().map(at).collect()
        })
        .collect();
    let path = cheapest(cost[0].clone(), rows - 1, moves.len(), |row, from, to| {
        cost[row + 1][to] + STIFF * (moves[from] - moves[to]).powi(2)
    });
    let mut leaning = lattice.clone();
    for (ruler, step) in leaning.columns_at.iter_mut().zip(path) {
        ruler.start += moves[step] * ruler.pitch;
    }
    leaning
}

/// What one row misreads, less the subject it holds, in beads' worth of pixels: over all rows this is the
/// lattice's cost but for a constant.
fn misread(purity: &Purity, lines: [f64; 2], columns: Columns, pitch: f64) -> f64 {
    let Misread { wrong, inside } = purity.misread(&lines, columns, f64::INFINITY);
    (wrong - inside) / (pitch * pitch)
}

/// The cheapest path through `steps` transitions between `states` states, as the state at each of its
/// `steps + 1` places; of equal ones the first.
fn cheapest(
    mut cost: Vec<f64>,
    steps: usize,
    states: usize,
    step: impl Fn(usize, usize, usize) -> f64,
) -> Vec<usize> {
    let mut came_from: Vec<Vec<usize>> = Vec::with_capacity(steps);
    for at in 0..steps {
        let best = |to: usize| {
            (0..states)
                .map(|from| (cost[from] + step(at, from, to), from))
                .fold((f64::INFINITY, 0), |a, b| if b.0 < a.0 { b } else { a })
        };
        let (costs, from): (Vec<f64>, Vec<usize>) = (0..states).map(best).unzip();
        cost = costs;
        came_from.push(from);
    }
    let least = (0..states).fold(0, |a, b| if cost[b] < cost[a] { b } else { a });
    let mut path = vec![least];
    for from in came_from.iter().rev() {
        let last = path[path.len() - 1];
        path.push(from[last]);
    }
    path.reverse();
    path
}
