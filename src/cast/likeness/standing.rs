//! A figure as it stands beside others: its beads from the sole up, about its axis.

use std::collections::HashMap;

use super::kinds::{Kind, Kinds};
use super::{BEAD, MOST_SHIFT};
use crate::figure::{Mark, Placed};
use crate::grid::Grid;

/// One bead.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Bead {
    /// Rows above the sole.
    pub height: u16,
    /// Columns from the leftmost bead.
    pub column: u16,
    pub kind: Kind,
}

/// Stands for an empty peg.
const EMPTY: Kind = Kind::MAX;

/// A figure as it stands: nothing is left of where its beads lay on the board.
#[derive(Debug)]
pub(super) struct Standing {
    beads: Vec<Bead>,
    /// The same as pegs from the sole up, row by row.
    pegs: Vec<Kind>,
    columns: usize,
    /// Twice the column of the middle bead, so that the middle between two is a whole number too.
    axis: i64,
}

impl Standing {
    pub fn new(grid: &Grid<Option<Placed>>, kinds: &HashMap<Mark, Kind>) -> Self {
        let places =
            || grid.iter().filter_map(|(row, column, placed)| Some((row.0, column.0, placed.as_ref()?)));
        let sole = places().map(|place| place.0).max().unwrap_or(0);
        let crown = places().map(|place| place.0).min().unwrap_or(0);
        let left = places().map(|place| place.1).min().unwrap_or(0);
        let right = places().map(|place| place.1).max().unwrap_or(0);
        let columns = right - left + 1;
        let mut pegs = vec![EMPTY; (sole - crown + 1) * columns];
        let mut beads = Vec::new();
        for (row, column, placed) in places() {
            // Every mark of a figure is in its legend.
            let Some(&kind) = kinds.get(&placed.mark) else { continue };
            let bead = Bead { height: (sole - row) as u16, column: (column - left) as u16, kind };
            pegs[usize::from(bead.height) * columns + usize::from(bead.column)] = kind;
            beads.push(bead);
        }
        let axis = axis(&beads);
        Self { beads, pegs, columns, axis }
    }

    /// How many beads.
    pub fn beads(&self) -> usize {
        self.beads.len()
    }

    /// Every bead.
    pub fn each(&self) -> impl Iterator<Item = &Bead> {
        self.beads.iter()
    }

    /// The least that two differ by where one is moved, the other perhaps turned round, in thousandths of a bead. As
    /// soon as it is more than `enough` it may be any number that is.
    pub fn least_cost(&self, other: &Self, kinds: &Kinds, turned: bool, enough: u32) -> u32 {
        let last = other.columns as i64 - 1;
        let axis = if turned { 2 * last - other.axis } else { other.axis };
        // In half columns: how far the axes may lie apart.
        let most = 2 * MOST_SHIFT as i64;
        let (from, to) = (axis - self.axis - most, axis - self.axis + most);
        let shifts = (from.div_euclid(2) + from.rem_euclid(2))..=to.div_euclid(2);
        shifts.fold(u32::MAX, |least, shift| {
            least.min(self.cost(other, kinds, (shift, turned), enough.min(least)))
        })
    }

    /// What two differ by where a bead of one lies this many columns farther to the right in the other.
    fn cost(&self, other: &Self, kinds: &Kinds, (shift, turned): (i64, bool), enough: u32) -> u32 {
        /// After this many beads it is asked whether the rest could still make them alike.
        const SO_MANY: usize = 16;
        let last = other.columns as i64 - 1;
        let peg = |bead: &Bead| {
            let column = i64::from(bead.column) + shift;
            let column = if turned { last - column } else { column };
            let inside = usize::try_from(column).ok().filter(|column| *column < other.columns)?;
            let peg = other.pegs.get(usize::from(bead.height) * other.columns + inside)?;
            (*peg != EMPTY).then_some(*peg)
        };
        // Every bead counts entirely until it meets one: then the two together count what their colours do.
        let mut cost = (self.beads() + other.beads()) as u32 * BEAD;
        let mut left = self.beads();
        for some in self.beads.chunks(SO_MANY) {
            let met = |bead: &Bead| peg(bead).map_or(0, |peg| 2 * BEAD - kinds.cost(bead.kind, peg));
            cost -= some.iter().map(met).sum::<u32>();
            left -= some.len();
            if cost > enough.saturating_add(left as u32 * 2 * BEAD) {
                break;
            }
        }
        cost
    }
}

/// Twice the column of the middle bead; of two middle ones, their sum.
fn axis(beads: &[Bead]) -> i64 {
    let mut columns: Vec<u16> = beads.iter().map(|bead| bead.column).collect();
    columns.sort_unstable();
    let half = columns.len() / 2;
    match columns.as_slice() {
        [] => 0,
        all if all.len() % 2 == 1 => 2 * i64::from(all[half]),
        all => i64::from(all[half - 1]) + i64::from(all[half]),
    }
}
