//! Two figures compared, the one before a change and the one after it.

use crate::figure::{Figure, Placed, Sure};
use crate::grid::Grid;
use crate::units::{Column, Row};

impl Figure {
    /// What shows at each peg, by name: a mark alone says nothing across a change of the legend.
    pub(super) fn shown(&self) -> Grid<Option<(&str, Option<Sure>)>> {
        let name = |placed: Placed| self.entry(placed.mark).map(|entry| (entry.bead.as_str(), placed.sure));
        self.beads().map(|_, _, placed| placed.and_then(name))
    }
}

/// The places of the new grid that differ from the old one, which lies `moved` in it.
pub(super) fn differences<T: PartialEq + Copy>(
    old: &Grid<Option<T>>,
    new: &Grid<Option<T>>,
    (down, right): (usize, usize),
) -> Vec<(Row, Column)> {
    let was = |row: Row, column: Column| {
        let (row, column) = (row.0.checked_sub(down)?, column.0.checked_sub(right)?);
        old.get(Row(row), Column(column)).copied().flatten()
    };
    let differs = new.iter().filter(|&(row, column, now)| was(row, column) != *now);
    differs.map(|(row, column, _)| (row, column)).collect()
}
