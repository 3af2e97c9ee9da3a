//! Small pictures read by drawing them again: those beads are kept whose own picture, as soft as the one given, comes
//! nearest to it.
//!
//! In a picture of few pixels a bead every pixel is a mixture of two or three beads, and what a window shows most may
//! be a colour that nothing has. How they mix is known, though. Beads are changed one by one while that brings the
//! picture drawn from them nearer, and neighbours that are alike count for it (iterated conditional modes, Besag 1986,
//! on a Potts model; from memory). Worth: `fixtures/tried/ideas.csv`.

use std::collections::BTreeSet;

use ndarray::Array2;

use crate::colour::Lab;
use crate::grid::Grid;
use crate::reference::{Area, Reference};
use crate::sample::ink::find_ink;
use crate::sample::lattice::Lattice;
use crate::sample::{BeadSample, Cluster, Share};
use crate::units::{Column, Row};

/// A bead is looked at in so many places down and across: as many as such a picture has pixels there.
const CELLS: usize = 4;

/// A cell that ink fills more of than this says nothing.
const INKED: f64 = 0.6;

/// How soft the picture is: the deviation of a Gaussian, in beads.
const SOFT: f64 = 0.2;

/// A cell that is farther off than this, in Lab units, is something else than a mixture.
const FARTHEST: f64 = 30.0;

/// What a step in a* or b* counts beside one in L*, squared: JPEG keeps colour at half the detail of lightness.
const CHROMA: f64 = 0.5;

/// A window that one colour fills so far is clear: the bead stays.
const CLEAR: f64 = 0.7;

/// What a neighbour of another colour costs, in squared Lab units over all cells.
const UNLIKE: f64 = 3000.0;

/// Whether a bead belongs here is left open within so much of half a window.
const OPEN: f64 = 0.25;

/// A colour of a smaller share of a window is no candidate there.
const LEAST_SHARE: f64 = 0.08;

/// Rounds after which nothing changes in practice.
const ROUNDS: usize = 12;

/// The beads whose own picture comes nearest to a small one.
pub(super) fn settle(
    reference: &Reference,
    lattice: &Lattice,
    mut beads: Grid<BeadSample>,
    clusters: &[Cluster],
) -> Grid<BeadSample> {
    let colours = clusters.iter().map(|cluster| cluster.colour).collect();
    let chosen =
        Redrawn::new(cells(reference, lattice), &beads, colours, reference.ground_colour()).settled();
    for (row, column, colour) in chosen.iter() {
        choose(&mut beads[(row, column)], *colour);
    }
    beads
}

/// Makes a colour, or none, the first of a window; as much speaks for it as spoke for the one before.
fn choose(sample: &mut BeadSample, chosen: Option<usize>) {
    sample.filled = chosen.is_some();
    let Some(colour) = chosen else { return };
    let place = sample.colours.iter().position(|share| share.colour == colour).unwrap_or_else(|| {
        sample.colours.push(Share { colour, share: 0.0 });
        sample.colours.len() - 1
    });
    let first = sample.colours[0].share;
    sample.colours[0].share = sample.colours[place].share;
    sample.colours[place].share = first;
    sample.colours[..=place].rotate_right(1);
}

/// The mean colour of each cell of the lattice, off the ink; none where there is hardly anything else.
fn cells(reference: &Reference, lattice: &Lattice) -> Array2<Option<Lab>> {
    let (colours, ink) = (reference.colours(), find_ink(reference.colours()));
    let part = |from: f64, length: f64, at: usize, most: usize| {
        let line = |at: usize| from + length * at as f64 / CELLS as f64;
        let clamp = |v: f64| (v.round().max(0.0) as usize).min(most);
        clamp(line(at % CELLS))..clamp(line(at % CELLS + 1))
    };
    Array2::from_shape_fn((lattice.rows() * CELLS, lattice.columns() * CELLS), |(y, x)| {
        let Area { x: left, y: top, width, height } = lattice.window(Row(y / CELLS), Column(x / CELLS));
        let (down, across) = (part(top, height, y, colours.nrows()), part(left, width, x, colours.ncols()));
        let all = down.len() * across.len();
        let places = down.flat_map(|y| across.clone().map(move |x| (y, x)));
        let seen: Vec<Lab> = places.filter(|place| !ink[*place]).map(|place| colours[place]).collect();
        let is_seen = seen.len() as f64 > (1.0 - INKED) * all as f64;
        Lab::mean(seen.into_iter().map(|colour| (colour, 1.0))).filter(|_| is_seen)
    })
}

/// A picture drawn from beads, beside the one that is seen.
struct Redrawn<'a> {
    seen: Array2<Option<Lab>>,
    drawn: Array2<Lab>,
    /// How much a bead says along one line of cells, from the bead before it to the one after.
    says: [f64; 3 * CELLS],
    beads: &'a Grid<BeadSample>,
    colours: Vec<Lab>,
    ground: Lab,
    chosen: Grid<Option<usize>>,
}

impl<'a> Redrawn<'a> {
    fn new(seen: Array2<Option<Lab>>, beads: &'a Grid<BeadSample>, colours: Vec<Lab>, ground: Lab) -> Self {
        let says = std::array::from_fn(|cell| {
            let at = (cell as f64 + 0.5) / CELLS as f64 - 1.0;
            below(at / SOFT) - below((at - 1.0) / SOFT)
        });
        let drawn = Array2::from_elem(seen.dim(), ground);
        let chosen = Grid::from_fn(beads.rows(), beads.columns(), |_, _| None);
        let mut redrawn = Self { seen, drawn, says, beads, colours, ground, chosen };
        for (row, column, sample) in beads.iter().filter(|(_, _, sample)| sample.filled) {
            redrawn.lay((row, column), sample.colours.first().map(|share| share.colour));
        }
        redrawn
    }

    /// Changes beads as long as that brings the picture nearer. Small marks stay, and what is clear.
    fn settled(mut self) -> Grid<Option<usize>> {
        let open: Vec<_> = self
            .beads
            .iter()
            .filter(|(_, _, s)| !s.is_mark && !is_clear(s))
            .map(|(row, column, _)| (row, column))
            .collect();
        for _ in 0..ROUNDS {
            let mut changed = false;
            for &peg in &open {
                let best = self.best(peg);
                changed |= best != self.chosen[peg];
                self.lay(peg, best);
            }
            if !changed {
                break;
            }
        }
        self.chosen
    }

    /// What brings a peg's surroundings nearest to what is seen; of equally near ones what it has.
    fn best(&self, peg: (Row, Column)) -> Option<usize> {
        let had = self.chosen[peg];
        let others = self.candidates(peg).into_iter().filter(|other| *other != had);
        others
            .fold((had, self.cost(peg, had)), |best, other| {
                let cost = self.cost(peg, other);
                if cost < best.1 { (other, cost) } else { best }
            })
            .0
    }

    /// What may lie at a peg: what its window shows and what lies about it; a bead or none only where that is open.
    fn candidates(&self, peg: (Row, Column)) -> BTreeSet<Option<usize>> {
        let sample = &self.beads[peg];
        let shown = sample.colours.iter().filter(|s| s.share > LEAST_SHARE).map(|s| Some(s.colour));
        let about = self.about(peg).map(|(_, chosen)| chosen);
        let is_open = (sample.cover - 0.5).abs() < OPEN && !sample.colours.is_empty();
        let is_filled = self.chosen[peg].is_some();
        shown.chain(about).filter(|other| is_open || other.is_some() == is_filled).collect()
    }

    /// The up to eight pegs about one, with whether they are beside it, and what they have.
    fn about(&self, (row, column): (Row, Column)) -> impl Iterator<Item = (bool, Option<usize>)> {
        let offsets = (-1..=1).flat_map(|down| (-1..=1).map(move |across| (down, across)));
        offsets.filter(|offset| *offset != (0, 0)).map(move |(down, across): (isize, isize)| {
            let at = row.0.checked_add_signed(down).zip(column.0.checked_add_signed(across));
            let within = at.filter(|at| at.0 < self.chosen.rows() && at.1 < self.chosen.columns());
            let chosen = within.and_then(|at| self.chosen[(Row(at.0), Column(at.1))]);
            (down == 0 || across == 0, chosen)
        })
    }

    /// How far off the cells about a peg are, and how many of its neighbours are unlike it, were it this.
    fn cost(&self, peg: (Row, Column), chosen: Option<usize>) -> f64 {
        let (from, to) = (self.colour(self.chosen[peg]), self.colour(chosen));
        let off = self.cells_about(peg).filter_map(|(cell, says)| {
            let (seen, drawn) = (self.seen[cell]?, moved(self.drawn[cell], from, to, says));
            let chroma = (seen.a - drawn.a).powi(2) + (seen.b - drawn.b).powi(2);
            Some(((seen.l - drawn.l).powi(2) + CHROMA * chroma).min(FARTHEST * FARTHEST))
        });
        let unlike = self.about(peg).filter(|(beside, other)| *beside && *other != chosen).count();
        off.sum::<f64>() + UNLIKE * unlike as f64
    }

    fn lay(&mut self, peg: (Row, Column), chosen: Option<usize>) {
        let (from, to) = (self.colour(self.chosen[peg]), self.colour(chosen));
        let cells: Vec<_> = self.cells_about(peg).collect();
        for (cell, says) in cells {
            self.drawn[cell] = moved(self.drawn[cell], from, to, says);
        }
        self.chosen[peg] = chosen;
    }

    fn colour(&self, chosen: Option<usize>) -> Lab {
        chosen.map_or(self.ground, |colour| self.colours[colour])
    }

    /// The cells that a bead has a say in, and how much.
    fn cells_about(&self, (row, column): (Row, Column)) -> impl Iterator<Item = ((usize, usize), f64)> {
        let (rows, columns) = self.seen.dim();
        let line = |at: usize, most: usize| {
            let all = (0..3 * CELLS).map(move |cell| (cell, (at * CELLS + cell).checked_sub(CELLS)));
            all.filter_map(move |(cell, place)| Some((cell, place.filter(|place| *place < most)?)))
        };
        line(row.0, rows).flat_map(move |(down, y)| {
            line(column.0, columns).map(move |(across, x)| ((y, x), self.says[down] * self.says[across]))
        })
    }
}

/// Whether one colour, or the ground, fills a window.
fn is_clear(sample: &BeadSample) -> bool {
    sample.colours.first().map_or(1.0 - sample.cover, |first| first.share) >= CLEAR
}

/// A mixture after the part of it that was one colour has become another.
fn moved(mixture: Lab, from: Lab, to: Lab, part: f64) -> Lab {
    Lab::new(
        mixture.l + part * (to.l - from.l),
        mixture.a + part * (to.a - from.a),
        mixture.b + part * (to.b - from.b),
    )
}

/// The share of a normal distribution below so many deviations, by the logistic curve that keeps within 0.01 of it
/// (factor 1.702, a common approximation; from memory).
fn below(deviations: f64) -> f64 {
    const FACTOR: f64 = 1.702;
    1.0 / (1.0 + (-FACTOR * deviations).exp())
}

#[cfg(test)]
mod tests {
    use super::*;

    const RED: Lab = Lab { l: 45.0, a: 60.0, b: 35.0 };
    const BLUE: Lab = Lab { l: 35.0, a: 10.0, b: -50.0 };
    const PAPER: Lab = Lab { l: 95.0, a: 0.0, b: 2.0 };

    /// Beads of `r` and `b`, each with the other colour as what else its window shows.
    fn beads(rows: &[&str]) -> Grid<BeadSample> {
        Grid::from_fn(rows.len(), rows[0].len(), |row, column| {
            let mark = rows[row.0].as_bytes()[column.0];
            let share = |colour, share| Share { colour, share };
            let colours = match mark {
                b'r' => vec![share(0, 0.5), share(1, 0.4)],
                b'b' => vec![share(1, 0.5), share(0, 0.4)],
                _ => Vec::new(),
            };
            let filled = mark != b'.';
            BeadSample { filled, cover: f64::from(u8::from(filled)), colours, is_mark: false, set_by: None }
        })
    }

    fn letters(chosen: &Grid<Option<usize>>) -> Vec<String> {
        let letter = |chosen: Option<usize>| chosen.map_or('.', |colour| ['r', 'b'][colour]);
        let row = |row| (0..chosen.columns()).map(|c| letter(chosen[(Row(row), Column(c))])).collect();
        (0..chosen.rows()).map(row).collect()
    }

    /// What comes of beads as they were read, beside the picture of others.
    fn settled(read: &[&str], drawn_from: &[&str]) -> Vec<String> {
        let (read, meant) = (beads(read), beads(drawn_from));
        let blank = Array2::from_elem((read.rows() * CELLS, read.columns() * CELLS), None);
        let drawn = Redrawn::new(blank, &meant, vec![RED, BLUE], PAPER).drawn;
        letters(&Redrawn::new(drawn.map(|c| Some(*c)), &read, vec![RED, BLUE], PAPER).settled())
    }

    #[test]
    fn a_bead_that_was_misread_is_what_the_soft_picture_was_drawn_from() {
        let meant = ["......", ".rrrr.", ".rbbr.", ".bbbb.", "......"];
        assert_eq!(settled(&["......", ".rrrr.", ".rrbr.", ".bbrb.", "......"], &meant), meant);
    }

    #[test]
    fn what_was_read_right_stays() {
        let meant = ["rrrrr", "bbbbb", "rrrrr", "bbbbb"];
        assert_eq!(settled(&meant, &meant), meant, "stripes are not smoothed away");
    }
}
