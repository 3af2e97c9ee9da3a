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

    /// Whether the same beads lie at the same places of the same parts, however sure they are.
    pub(super) fn lies_like(&self, other: &Self) -> bool {
        let bead = |placed: Placed| placed.mark;
        self.parts().len() == other.parts().len()
            && self.parts().iter().zip(other.parts()).all(|(one, other)| {
                one.at == other.at
                    && one.beads.map(|_, _, placed| placed.map(bead))
                        == other.beads.map(|_, _, placed| placed.map(bead))
            })
    }
}

/// How many of these changed places are empty now, with beads on both sides, across or along.
pub(super) fn gaps<T>(now: &Grid<Option<T>>, changed: &[(Row, Column)]) -> usize {
    let has = |row: usize, column: usize| now.get(Row(row), Column(column)).is_some_and(Option::is_some);
    let is_between = |row: Row, column: Column| {
        let across =
            (0..column.0).any(|c| has(row.0, c)) && (column.0 + 1..now.columns()).any(|c| has(row.0, c));
        let along = (0..row.0).any(|r| has(r, column.0)) && (row.0 + 1..now.rows()).any(|r| has(r, column.0));
        across || along
    };
    changed.iter().filter(|&&(row, column)| !has(row.0, column.0) && is_between(row, column)).count()
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
