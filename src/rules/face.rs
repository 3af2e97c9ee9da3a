//! The face of a figure as beads show it: what is skin, and which beads are marks in it.

use std::collections::BTreeMap;

use super::joined::Place;
use super::{Peg, Subject};
use crate::colour::Lab;
use crate::figure::Mark;
use crate::grid::counts;
use crate::plan::Zone;
use crate::units::{Column, Row};

/// A bead that the head has this often is hair, a beard or a hat, and no mark.
const NO_MARK: usize = 3;

/// Columns from one eye to the other (common practice, no source).
const EYES_APART: std::ops::RangeInclusive<usize> = 2..=3;

/// The rows of the head, and what lies there.
pub(super) struct Face<'a> {
    subject: &'a Subject<'a>,
    first: usize,
    rows: usize,
    skin: (Mark, Lab),
    counts: BTreeMap<Mark, usize>,
}

/// Two beads that lie as eyes do.
#[derive(Clone, Copy, Debug)]
pub(super) struct Eyes {
    pub left: Place,
    pub right: Place,
}

impl<'a> Face<'a> {
    /// The face, if the file says where the head is and skin is seen.
    pub(super) fn of(subject: &'a Subject<'a>) -> Option<Self> {
        let zones = subject.figure().rows()?;
        let (first, rows) = (zones.rows_of(Zone::Head).next()?, zones.get(Zone::Head));
        let head = subject.pegs().filter(|(place, _)| (first..first + rows).contains(&place.0.0));
        let counts = counts(head.map(|(_, peg)| peg.mark));
        // Skin goes on below the chin: of the beads there the one that the head has most of.
        let below = subject.pegs().filter(|(place, _)| place.0.0 == first + rows);
        let skin = below
            .filter_map(|(_, peg)| Some((peg.mark, peg.lab?)))
            .max_by_key(|(mark, _)| (counts.get(mark), std::cmp::Reverse(*mark)))?;
        let is_seen = counts.get(&skin.0).is_some_and(|count| *count >= NO_MARK);
        is_seen.then_some(Self { subject, first, rows, skin, counts })
    }

    /// The colour of its skin.
    pub(super) fn skin(&self) -> Lab {
        self.skin.1
    }

    /// The mark of the bead of its skin.
    pub(super) fn skin_mark(&self) -> Mark {
        self.skin.0
    }

    /// First row of the head and the row after its last.
    pub(super) fn span(&self) -> std::ops::Range<usize> {
        self.first..self.first + self.rows
    }

    /// Every place of the head that holds a bead.
    pub(super) fn places(&self) -> impl Iterator<Item = (Place, &Peg)> {
        let inside = self.span();
        self.subject.pegs().filter(move |(place, _)| inside.contains(&place.0.0))
    }

    pub(super) fn is_skin(&self, place: Place) -> bool {
        self.subject.peg(place).is_some_and(|peg| peg.mark == self.skin.0)
    }

    /// How many beads of the head are of a place's kind.
    pub(super) fn like(&self, place: Place) -> usize {
        self.subject.peg(place).and_then(|peg| self.counts.get(&peg.mark)).copied().unwrap_or(0)
    }

    /// A lone bead in the face: beside it lie skin, hair or nothing.
    fn is_mark(&self, (row, column): Place) -> bool {
        let Some(peg) = self.subject.peg((row, column)) else { return false };
        let plain = |column: Option<usize>| {
            let beside = column.and_then(|column| self.subject.peg((row, Column(column))));
            let is_many = |mark: Mark| self.counts.get(&mark).is_some_and(|count| *count >= NO_MARK);
            beside.is_none_or(|beside| beside.mark != peg.mark && is_many(beside.mark))
        };
        // Hair at the face's edge goes on above or below.
        let is_lone = || self.subject.beside((row, column)).all(|(_, beside)| beside.mark != peg.mark);
        peg.mark != self.skin.0 && is_lone() && plain(column.0.checked_sub(1)) && plain(Some(column.0 + 1))
    }

    /// Pairs of marks in one row with nothing but skin between them, from the top.
    pub(super) fn pairs(&self) -> impl Iterator<Item = Eyes> + '_ {
        let lefts = self.places().map(|(place, _)| place);
        let all = lefts.flat_map(|(row, left)| EYES_APART.map(move |by| (row, left, Column(left.0 + by))));
        let skin_between = |row: Row, left: Column, right: Column| {
            (left.0 + 1..right.0).all(|column| self.is_skin((row, Column(column))))
        };
        all.filter(move |&(row, left, right)| {
            self.is_mark((row, left)) && self.is_mark((row, right)) && skin_between(row, left, right)
        })
        .map(|(row, left, right)| Eyes { left: (row, left), right: (row, right) })
    }
}
