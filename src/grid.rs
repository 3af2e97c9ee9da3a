//! A grid of beads-to-be, addressed by row and column and never by two bare numbers.

use std::collections::BTreeMap;
use std::ops::{Index, IndexMut};

use ndarray::Array2;

use crate::units::{Column, Row};

/// Rows x columns of `T`. May be empty.
#[derive(Clone, Debug, PartialEq)]
pub struct Grid<T> {
    cells: Array2<T>,
}

impl<T> Grid<T> {
    /// Fills a grid of `rows` x `columns` from its place.
    pub fn from_fn(rows: usize, columns: usize, mut cell: impl FnMut(Row, Column) -> T) -> Self {
        Self { cells: Array2::from_shape_fn((rows, columns), |(r, c)| cell(Row(r), Column(c))) }
    }

    /// How many rows.
    pub fn rows(&self) -> usize {
        self.cells.nrows()
    }

    /// How many columns.
    pub fn columns(&self) -> usize {
        self.cells.ncols()
    }

    /// The cell at a place, or nothing beyond the edge.
    pub fn get(&self, row: Row, column: Column) -> Option<&T> {
        self.cells.get((row.0, column.0))
    }

    /// Every cell with its place, row by row from the top left.
    pub fn iter(&self) -> impl Iterator<Item = (Row, Column, &T)> {
        self.cells.indexed_iter().map(|((r, c), cell)| (Row(r), Column(c), cell))
    }

    /// The cells that touch a place side to side: beads fuse only there.
    pub fn beside(&self, row: Row, column: Column) -> impl Iterator<Item = (Row, Column, &T)> {
        let (r, c) = (row.0, column.0);
        [(r.wrapping_sub(1), c), (r, c.wrapping_sub(1)), (r, c.wrapping_add(1)), (r.wrapping_add(1), c)]
            .into_iter()
            .filter_map(|(r, c)| self.cells.get((r, c)).map(|cell| (Row(r), Column(c), cell)))
    }

    /// A grid of the same shape made cell by cell.
    pub fn map<U>(&self, mut make: impl FnMut(Row, Column, &T) -> U) -> Grid<U> {
        Grid::from_fn(self.rows(), self.columns(), |r, c| make(r, c, &self[(r, c)]))
    }
}

/// All that is reached from where one starts, in the order it is come to; `more` adds what hangs on a place.
pub(crate) fn reached<P: Copy>(start: Vec<P>, mut more: impl FnMut(P, &mut Vec<P>)) -> Vec<P> {
    let (mut found, mut next) = (start, 0);
    while let Some(&place) = found.get(next) {
        next += 1;
        more(place, &mut found);
    }
    found
}

/// How often each value comes.
pub(crate) fn counts<T: Ord>(values: impl IntoIterator<Item = T>) -> BTreeMap<T, usize> {
    let mut counts = BTreeMap::new();
    values.into_iter().for_each(|value| *counts.entry(value).or_default() += 1);
    counts
}

/// The value that comes most often; of several the least.
pub(crate) fn commonest<T: Ord + Copy>(values: impl IntoIterator<Item = T>) -> Option<T> {
    let most = counts(values).into_iter().rev().max_by_key(|(_, count)| *count);
    most.map(|(value, _)| value)
}

impl<T: Copy> Grid<Option<T>> {
    /// The part that holds something.
    #[must_use]
    pub fn trimmed(&self) -> Self {
        let places =
            || self.iter().filter(|(.., cell)| cell.is_some()).map(|(row, column, _)| (row.0, column.0));
        let (rows, columns) = (|| places().map(|place| place.0), || places().map(|place| place.1));
        let (Some(top), Some(bottom)) = (rows().min(), rows().max()) else {
            return Self::from_fn(0, 0, |_, _| None);
        };
        let (left, right) = (columns().min().unwrap_or(0), columns().max().unwrap_or(0));
        Self::from_fn(bottom - top + 1, right - left + 1, |row, column| {
            self[(Row(row.0 + top), Column(column.0 + left))]
        })
    }
}

impl<T> Index<(Row, Column)> for Grid<T> {
    type Output = T;
    fn index(&self, (row, column): (Row, Column)) -> &T {
        &self.cells[(row.0, column.0)]
    }
}

impl<T> IndexMut<(Row, Column)> for Grid<T> {
    fn index_mut(&mut self, (row, column): (Row, Column)) -> &mut T {
        &mut self.cells[(row.0, column.0)]
    }
}
