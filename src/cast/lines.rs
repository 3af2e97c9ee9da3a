//! Which line of beads, a row or a column, can be doubled or go with the least seen of it.

use std::ops::Range;

use crate::figure::{Figure, Mark, Sure};
use crate::grid::Grid;
use crate::units::{Column, Row};

/// Lines of pegs beside one another: the rows of a zone, or the columns of a torso or a leg.
#[derive(Clone, Debug)]
pub(super) struct Lines<T = Mark> {
    /// What shows at each peg of each line; all are equally long.
    pegs: Vec<Vec<Option<T>>>,
    /// Whether any part has a bead placed by hand on the line.
    by_hand: Vec<bool>,
}

impl Lines {
    /// Rows of a figure.
    pub(super) fn rows(figure: &Figure, rows: Range<usize>) -> Self {
        let (beads, hand) = (figure.beads(), by_hand(figure));
        let peg = |row: usize, column: usize| beads[(Row(row), Column(column))].map(|placed| placed.mark);
        Self {
            pegs: rows.clone().map(|r| (0..beads.columns()).map(|c| peg(r, c)).collect()).collect(),
            by_hand: rows.map(|r| (0..beads.columns()).any(|c| hand[(Row(r), Column(c))])).collect(),
        }
    }

    /// Columns of a figure, as far as they lie in some rows.
    pub(super) fn columns(figure: &Figure, rows: Range<usize>, columns: Range<usize>) -> Self {
        let (beads, hand) = (figure.beads(), by_hand(figure));
        let peg = |row: usize, column: usize| beads[(Row(row), Column(column))].map(|placed| placed.mark);
        Self {
            pegs: columns.clone().map(|c| rows.clone().map(|r| peg(r, c)).collect()).collect(),
            by_hand: columns.map(|c| rows.clone().any(|r| hand[(Row(r), Column(c))])).collect(),
        }
    }
}

impl<T: Copy + PartialEq> Lines<T> {
    /// Lines of anything, nothing of it placed by hand.
    pub(super) fn of(pegs: Vec<Vec<Option<T>>>) -> Self {
        Self { by_hand: vec![false; pegs.len()], pegs }
    }

    pub(super) fn len(&self) -> usize {
        self.pegs.len()
    }

    /// Which line each of so many would be of these, if lines were doubled and taken out as one would by hand; none of
    /// no lines at all.
    pub(super) fn fitted(mut self, wanted: usize) -> Vec<Option<usize>> {
        let mut from: Vec<Option<usize>> = (0..self.len()).map(Some).collect();
        let middle = |lines: &Self| lines.len().saturating_sub(1) / 2;
        while self.len() < wanted {
            let Some(line) = self.to_double(middle(&self)) else { return vec![None; wanted] };
            self.pegs.insert(line + 1, self.pegs[line].clone());
            self.by_hand.insert(line + 1, false);
            from.insert(line + 1, from[line]);
        }
        while self.len() > wanted {
            let line = self.to_drop(middle(&self)).unwrap_or(middle(&self));
            self.pegs.remove(line);
            self.by_hand.remove(line);
            from.remove(line);
        }
        from
    }

    /// The line to double: one like its neighbour, without marks and nothing by hand on it, the nearest to `near` of
    /// equals. None only where there are no lines.
    pub(super) fn to_double(&self, near: usize) -> Option<usize> {
        let key = |line: usize| {
            let (apart, marks) = (self.apart(line), self.marks(line));
            (self.by_hand[line], apart > 0, marks, apart, line.abs_diff(near))
        };
        (0..self.len()).min_by_key(|line| key(*line))
    }

    /// The line to take out, chosen likewise; none where every line has something by hand.
    pub(super) fn to_drop(&self, near: usize) -> Option<usize> {
        let key = |line: usize| {
            let (apart, marks) = (self.apart(line), self.marks(line));
            (apart > 0, marks, apart, self.joins(line), line.abs_diff(near))
        };
        (0..self.len()).filter(|line| !self.by_hand[*line]).min_by_key(|line| key(*line))
    }

    /// In how many pegs a line differs from the neighbour that is most like it.
    fn apart(&self, line: usize) -> usize {
        let beside = [line.checked_sub(1), Some(line + 1).filter(|next| *next < self.len())];
        beside.into_iter().flatten().map(|other| self.differing(line, other)).min().unwrap_or(0)
    }

    fn differing(&self, line: usize, other: usize) -> usize {
        self.pegs[line].iter().zip(&self.pegs[other]).filter(|(one, other)| one != other).count()
    }

    /// Beads of a line that are alone of their kind, such as buttons and buckles.
    fn marks(&self, line: usize) -> usize {
        let at = |line: Option<usize>, peg: Option<usize>| {
            self.pegs.get(line?).and_then(|pegs| pegs.get(peg?)).copied().flatten()
        };
        let alone = |peg: usize| {
            let own = self.pegs[line][peg];
            let beside = [
                at(line.checked_sub(1), Some(peg)),
                at(Some(line + 1), Some(peg)),
                at(Some(line), peg.checked_sub(1)),
                at(Some(line), Some(peg + 1)),
            ];
            own.is_some() && !beside.contains(&own)
        };
        (0..self.pegs[line].len()).filter(|peg| alone(*peg)).count()
    }

    /// Whether two lines that are alike would lie side by side without this one: stripes that alternate would not any
    /// more.
    fn joins(&self, line: usize) -> bool {
        line > 0
            && line + 1 < self.len()
            && self.differing(line - 1, line + 1) == 0
            && self.differing(line, line + 1) > 0
    }
}

/// Where any part has a bead placed by hand, seen or not.
fn by_hand(figure: &Figure) -> Grid<bool> {
    let shown = figure.beads();
    let mut hand = Grid::from_fn(shown.rows(), shown.columns(), |_, _| false);
    for part in figure.parts() {
        for (row, column, placed) in part.beads.iter() {
            if placed.is_some_and(|placed| placed.sure == Some(Sure::ByHand)) {
                hand[(Row(part.at.0.0 + row.0), Column(part.at.1.0 + column.0))] = true;
            }
        }
    }
    hand
}
