//! Drafts laid over one another: where they differ.

use crate::draft::Draft;
use crate::grid::Grid;
use crate::tray::BeadId;
use crate::units::{Column, Row};

pub(super) type Beads = Grid<Option<BeadId>>;

pub(super) fn beads_of(draft: &Draft) -> Beads {
    draft.matched.beads().map(|_, _, bead| bead.as_ref().map(|bead| bead.bead))
}

/// How far the columns of two drafts may lie apart.
const REACH: i64 = 8;

/// By how many columns another draft is moved so that most of its beads lie on the same ones.
pub(super) fn offset(first: &Beads, other: &Beads) -> i64 {
    let same = |by: &i64| {
        other
            .iter()
            .filter(|(row, column, bead)| bead.is_some() && at(first, *row, column.0 as i64 + by) == **bead)
            .count()
    };
    // The least move is the likelier one.
    (-REACH..=REACH).max_by_key(|by| (same(by), -by.abs())).unwrap_or(0)
}

fn at(beads: &Beads, row: Row, column: i64) -> Option<BeadId> {
    let column = Column(usize::try_from(column).ok()?);
    beads.get(row, column).copied().flatten()
}

/// Where two drafts differ, in columns of the first.
pub(super) fn differing(first: &Beads, other: &Beads, by: i64) -> Vec<(Row, i64)> {
    let from = by.min(0);
    let to = (first.columns() as i64).max(other.columns() as i64 + by);
    let rows = (0..first.rows().max(other.rows())).map(Row);
    rows.flat_map(|row| (from..to).map(move |column| (row, column)))
        .filter(|&(row, column)| at(first, row, column) != at(other, row, column - by))
        .collect()
}
