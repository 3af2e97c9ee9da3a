//! Which line of beads, a row or a column, can be doubled or go with the least seen of it.

use std::ops::Range;

use crate::figure::{Figure, Mark, Sure};
use crate::grid::Grid;
use crate::units::{Column, Row};

/// Lines of pegs beside one another: the rows of a zone, or the columns of a torso or a leg. They are counted from 0,
/// without the line at either side that they are seen beside.
#[derive(Clone, Debug)]
pub(super) struct Lines<T = Mark> {
    /// What shows at each peg of each line, of those beside them too; all are equally long.
    pegs: Vec<Vec<Option<T>>>,
    /// Whether any part has a bead placed by hand on the line.
    by_hand: Vec<bool>,
    /// Those that are meant.
    own: Range<usize>,
}

impl Lines {
    /// Rows of a figure.
    pub(super) fn rows(figure: &Figure, rows: Range<usize>) -> Self {
        let (beads, hand) = (figure.beads(), by_hand(figure));
        let all = rows.start.saturating_sub(1)..(rows.end + 1).min(beads.rows());
        let peg = |row: usize, column: usize| beads[(Row(row), Column(column))].map(|placed| placed.mark);
        Self {
            pegs: all.clone().map(|r| (0..beads.columns()).map(|c| peg(r, c)).collect()).collect(),
            by_hand: all.clone().map(|r| (0..beads.columns()).any(|c| hand[(Row(r), Column(c))])).collect(),
            own: rows.start - all.start..rows.end - all.start,
        }
    }

    /// Columns of a figure, as far as they lie in some rows.
    pub(super) fn columns(figure: &Figure, rows: Range<usize>, columns: Range<usize>) -> Self {
        let (beads, hand) = (figure.beads(), by_hand(figure));
        let all = columns.start.saturating_sub(1)..(columns.end + 1).min(beads.columns());
        let peg = |row: usize, column: usize| beads[(Row(row), Column(column))].map(|placed| placed.mark);
        Self {
            pegs: all.clone().map(|c| rows.clone().map(|r| peg(r, c)).collect()).collect(),
            by_hand: all.clone().map(|c| rows.clone().any(|r| hand[(Row(r), Column(c))])).collect(),
            own: columns.start - all.start..columns.end - all.start,
        }
    }
}

impl<T: Copy + PartialEq> Lines<T> {
    /// Lines of anything, nothing of it placed by hand.
    pub(super) fn of(pegs: Vec<Vec<Option<T>>>) -> Self {
        Self { by_hand: vec![false; pegs.len()], own: 0..pegs.len(), pegs }
    }

    pub(super) fn len(&self) -> usize {
        self.own.len()
    }

    /// Which of these lines each of a number of lines would be, if lines were doubled and taken out as one would by hand; none of
    /// no lines at all.
    pub(super) fn fitted(mut self, wanted: usize) -> Vec<Option<usize>> {
        let mut from: Vec<Option<usize>> = (0..self.len()).map(Some).collect();
        let middle = |lines: &Self| lines.len().saturating_sub(1) / 2;
        while self.len() < wanted {
            let Some(line) = self.to_double(middle(&self)) else { return vec![None; wanted] };
            self.pegs.insert(line + 1, self.pegs[line].clone());
            self.by_hand.insert(line + 1, false);
            self.own.end += 1;
            from.insert(line + 1, from[line]);
        }
        while self.len() > wanted {
            let line = self.to_drop(middle(&self)).unwrap_or(middle(&self));
            self.pegs.remove(line);
            self.by_hand.remove(line);
            self.own.end -= 1;
            from.remove(line);
        }
        from
    }

    /// The line to double: one like its neighbour, without marks and nothing by hand on it, the nearest to `near` of
    /// equals. None only where there are no lines.
    pub(super) fn to_double(&self, near: usize) -> Option<usize> {
        let near = near + self.own.start;
        let key = |line: usize| {
            let apart = self.apart(line);
            let seen = (self.marks(line), self.gone(line), self.lost(line));
            (self.by_hand[line], apart > 0, seen, apart, line.abs_diff(near))
        };
        self.own.clone().min_by_key(|line| key(*line)).map(|line| line - self.own.start)
    }

    /// The line to take out, chosen likewise, and first of all so that nothing that hangs by it falls off; none where
    /// every line has something by hand.
    pub(super) fn to_drop(&self, near: usize) -> Option<usize> {
        self.least_seen(near, |line| !self.by_hand[line])
    }

    /// The same where beads placed by hand may go too; none only where there are no lines.
    pub(super) fn to_drop_by_hand(&self, near: usize) -> Option<usize> {
        self.least_seen(near, |_| true)
    }

    /// A line with beads placed by hand that would be seen less when it goes than one that has none; lines that are
    /// alike in that are no better for lying nearer.
    pub(super) fn less_seen_by_hand(&self, near: usize, chosen: usize) -> Option<usize> {
        let start = self.own.start;
        self.to_drop_by_hand(near).filter(|other| self.seen(other + start) < self.seen(chosen + start))
    }

    fn least_seen(&self, near: usize, may_go: impl Fn(usize) -> bool) -> Option<usize> {
        let near = near + self.own.start;
        let free = self.own.clone().filter(|line| may_go(*line));
        free.min_by_key(|line| (self.seen(*line), line.abs_diff(near))).map(|line| line - self.own.start)
    }

    /// How much is seen of it that a line is gone: least first.
    fn seen(&self, line: usize) -> impl Ord + use<T> {
        let (apart, seen) = (self.apart(line), (self.marks(line), self.gone(line), self.lost(line)));
        (self.broken(line), apart > 0, seen, apart, self.joins(line))
    }

    /// The lines beside one.
    fn beside(&self, line: usize) -> impl Iterator<Item = usize> {
        let next = Some(line + 1).filter(|next| *next < self.pegs.len());
        [line.checked_sub(1), next].into_iter().flatten()
    }

    /// Kinds of beads of a line that neither neighbour has anywhere, such as the skin of a hand.
    fn gone(&self, line: usize) -> usize {
        let mut kinds: Vec<T> = Vec::new();
        for kind in self.pegs[line].iter().flatten() {
            let stays = self.beside(line).any(|other| self.pegs[other].contains(&Some(*kind)));
            if !stays && !kinds.contains(kind) {
                kinds.push(*kind);
            }
        }
        kinds.len()
    }

    /// Pegs of a line that are like neither neighbour's: what nobody sees any more without it.
    fn lost(&self, line: usize) -> usize {
        let own = &self.pegs[line];
        let alone = |peg: &usize| self.beside(line).all(|other| self.pegs[other][*peg] != own[*peg]);
        (0..own.len()).filter(alone).count()
    }

    /// Runs of beads in the lines beside one that hold together by it, and would not without it.
    fn broken(&self, line: usize) -> usize {
        let (Some(before), true) = (line.checked_sub(1), line + 1 < self.pegs.len()) else { return 0 };
        let holds = |run: &Range<usize>, other: usize| run.clone().any(|peg| self.pegs[other][peg].is_some());
        let falls = |from: usize, to: usize| {
            let runs = runs(&self.pegs[from]).into_iter();
            runs.filter(|run| holds(run, line) && !holds(run, to)).count()
        };
        falls(before, line + 1) + falls(line + 1, before)
    }

    /// In how many pegs a line differs from the neighbour that is most like it.
    fn apart(&self, line: usize) -> usize {
        self.beside(line).map(|other| self.differing(line, other)).min().unwrap_or(0)
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
            && line + 1 < self.pegs.len()
            && self.differing(line - 1, line + 1) == 0
            && self.differing(line, line + 1) > 0
    }
}

/// Runs of pegs with beads.
fn runs<T>(pegs: &[Option<T>]) -> Vec<Range<usize>> {
    let mut runs: Vec<Range<usize>> = Vec::new();
    for (peg, _) in pegs.iter().enumerate().filter(|(_, bead)| bead.is_some()) {
        match runs.last_mut() {
            Some(last) if last.end == peg => last.end += 1,
            _ => runs.push(peg..peg + 1),
        }
    }
    runs
}

/// Where any part has a bead placed by hand, seen or not.
pub(super) fn by_hand(figure: &Figure) -> Grid<bool> {
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
