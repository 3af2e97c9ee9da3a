//! What each window of a draft shows, as the older figure is asked about it.

use super::laid::Cell;
use crate::grid::Grid;
use crate::sample::{BeadSample, SampleGrid};
use crate::units::{Column, Row};

/// What a place shows: a colour of the drawing, by its place there, or ground.
pub(super) type Shown = Option<usize>;

/// How much of a window counts for a bead that something else than its shares decided (a small mark, a detector, the
/// body plan): as much as a clear window has.
const WON: f64 = 0.85;

/// Shares of ground and of each colour, window by window; they add up to 1.
pub(super) struct Windows {
    shares: Grid<Vec<f64>>,
    drafted: Grid<Shown>,
}

impl Windows {
    pub fn of(samples: &SampleGrid) -> Self {
        let colours = samples.clusters().len();
        let on_plan = samples.is_on_plan();
        Self {
            shares: samples.beads().map(|_, _, sample| shares_of(sample, colours, on_plan)),
            drafted: samples.beads().map(|_, _, sample| drafted(sample)),
        }
    }

    /// What is drafted at a place; nothing lies beyond the grid.
    pub fn drafted(&self, spot: Cell) -> Shown {
        place(spot).and_then(|(row, column)| *self.drafted.get(row, column)?)
    }

    /// The places where something is drafted.
    pub fn filled(&self) -> impl Iterator<Item = Cell> {
        let filled = self.drafted.iter().filter(|(.., drafted)| drafted.is_some());
        filled.map(|(row, column, _)| (row.0 as i32, column.0 as i32))
    }

    /// The share of a window that shows this, 0 to 1; beyond the grid all is ground.
    pub fn share(&self, spot: Cell, shown: Shown) -> f64 {
        let shares = place(spot).and_then(|(row, column)| self.shares.get(row, column));
        let at = shown.map_or(0, |colour| colour + 1);
        shares.map_or(f64::from(u8::from(shown.is_none())), |shares| shares[at])
    }

    /// The share of this in a window and those about it, the nearer counting more (a binomial of three each way).
    pub fn share_about(&self, (row, column): Cell, shown: Shown) -> f64 {
        let weigh = |off: i32| f64::from(2 - off.abs()) / 4.0;
        let about = (-1..=1).flat_map(|down| (-1..=1).map(move |right| (down, right)));
        about
            .map(|(down, right)| weigh(down) * weigh(right) * self.share((row + down, column + right), shown))
            .sum()
    }

    /// How many colours the drawing has.
    pub fn colours(&self) -> usize {
        self.shares.iter().next().map_or(0, |(.., shares)| shares.len() - 1)
    }
}

/// A place of the grid, unless it lies above it or to its left.
pub(super) fn place((row, column): Cell) -> Option<(Row, Column)> {
    Some((Row(usize::try_from(row).ok()?), Column(usize::try_from(column).ok()?)))
}

fn drafted(sample: &BeadSample) -> Shown {
    sample.colours.first().filter(|_| sample.filled).map(|first| first.colour)
}

fn shares_of(sample: &BeadSample, colours: usize, on_plan: bool) -> Vec<f64> {
    let mut shares = vec![0.0; colours + 1];
    if on_plan && !sample.filled {
        shares[0] = 1.0;
        return shares;
    }
    shares[0] = (1.0 - sample.cover).max(0.0);
    sample.colours.iter().for_each(|share| shares[share.colour + 1] += share.share);
    if let Some(won) = drafted(sample).filter(|_| on_plan || sample.is_mark || sample.set_by.is_some()) {
        shares[won + 1] = 0.0;
        scale(&mut shares, 1.0 - WON);
        shares[won + 1] = WON;
    }
    scale(&mut shares, 1.0);
    shares
}

/// Brings shares to this sum; those of nothing stay nothing.
fn scale(shares: &mut [f64], to: f64) {
    let sum: f64 = shares.iter().sum();
    if sum > 0.0 {
        shares.iter_mut().for_each(|share| *share *= to / sum);
    }
}
