//! A figure's body as its beads show it: trunk, legs and arms by rows, and the cloth they are of.

use std::ops::Range;

use super::Subject;
use super::joined::Place;
use crate::colour::Lab;
use crate::figure::Mark;
use crate::grid::{Grid, commonest};
use crate::plan::{BodyPart, Zone, ZoneRows};
use crate::units::{Column, Row};

/// Fewest rows of an arm that can be judged: less is a stump, or an arm that a prop hides.
const ARM_ROWS: usize = 5;

/// A figure whose file says where its zones are, with the part each bead belongs to.
pub(super) struct Body<'a> {
    subject: &'a Subject<'a>,
    zones: &'a ZoneRows,
    parts: &'a Grid<Option<BodyPart>>,
}

/// An arm with its hand, by rows from the shoulder; at least [`ARM_ROWS`].
pub(super) struct Arm {
    pub part: BodyPart,
    /// Each row with the places of its beads.
    pub rows: Vec<(usize, Vec<Place>)>,
}

/// One row of cloth across the trunk.
pub(super) struct Band {
    pub row: usize,
    /// The bead of all of it but a buckle.
    pub mark: Mark,
    /// Whether one or two beads in its middle are of another kind.
    pub has_buckle: bool,
    pub beads: Vec<Place>,
}

impl<'a> Body<'a> {
    /// The body; nothing where the file does not say the rows of torso and legs.
    pub(super) fn of(subject: &'a Subject<'a>) -> Option<Self> {
        let zones = subject.figure().rows()?;
        let has = |zone: Zone| zones.get(zone) > 0;
        (has(Zone::Torso) && has(Zone::Legs)).then(|| Self { subject, zones, parts: subject.parts() })
    }

    /// The rows of a zone.
    pub(super) fn zone(&self, zone: Zone) -> Range<usize> {
        self.zones.rows_of(zone)
    }

    /// The first row of the legs' zone.
    pub(super) fn hip(&self) -> usize {
        self.zone(Zone::Legs).start
    }

    /// The mark of the bead at a place.
    pub(super) fn mark(&self, place: Place) -> Option<Mark> {
        self.subject.peg(place).map(|peg| peg.mark)
    }

    /// The name of a mark's bead.
    pub(super) fn name(&self, mark: Mark) -> &str {
        self.subject.name(mark)
    }

    /// The colour of a mark's bead.
    pub(super) fn lab(&self, mark: Mark) -> Option<Lab> {
        self.subject.pegs().find(|(_, peg)| peg.mark == mark)?.1.lab
    }

    /// The part a bead belongs to.
    pub(super) fn part(&self, (row, column): Place) -> Option<BodyPart> {
        self.parts.get(row, column).copied().flatten()
    }

    /// The beads of some parts in a row, from the left.
    pub(super) fn in_row(&self, row: usize, parts: &[BodyPart]) -> Vec<Place> {
        let columns = (0..self.parts.columns()).map(|column| (Row(row), Column(column)));
        columns.filter(|&place| self.part(place).is_some_and(|part| parts.contains(&part))).collect()
    }

    /// Trunk and legs in a row, from the left.
    pub(super) fn trunk(&self, row: usize) -> Vec<Place> {
        self.in_row(row, &[BodyPart::Torso, BodyPart::Legs])
    }

    /// The bead most of a row's trunk is of.
    pub(super) fn cloth(&self, row: usize) -> Option<Mark> {
        self.most(&self.trunk(row))
    }

    /// The bead that most of some places have; of equal ones the first mark.
    pub(super) fn most(&self, places: &[Place]) -> Option<Mark> {
        commonest(places.iter().filter_map(|&place| self.mark(place)))
    }

    /// How many beads of a part are of a kind.
    pub(super) fn count(&self, part: BodyPart, mark: Mark) -> usize {
        let of_part = self.parts.iter().filter(|(_, _, own)| **own == Some(part));
        of_part.filter(|&(row, column, _)| self.mark((row, column)) == Some(mark)).count()
    }

    /// A row's trunk, if it is whole and of one bead except for a buckle in its middle.
    pub(super) fn band(&self, row: usize) -> Option<Band> {
        /// Fewer beads across are no trunk.
        const LEAST: usize = 3;
        /// Most beads of a buckle.
        const BUCKLE: usize = 2;
        let beads = self.trunk(row);
        if beads.len() < LEAST || !is_whole(&beads) {
            return None;
        }
        let mark = self.mark(*beads.first()?)?;
        let is_other = |place: &&Place| self.mark(**place) != Some(mark);
        let other: Vec<Place> = beads.iter().filter(is_other).copied().collect();
        let in_middle = |&(_, column): &Place| {
            let (left, right) = (column.0 - beads[0].1.0, beads[beads.len() - 1].1.0 - column.0);
            left.abs_diff(right) <= BUCKLE
        };
        let is_buckle = other.len() <= BUCKLE && is_whole(&other) && other.iter().all(in_middle);
        is_buckle.then_some(Band { row, mark, has_buckle: !other.is_empty(), beads })
    }

    /// Whether the legs stand apart in a row, each of one bead: that bead.
    pub(super) fn parted(&self, row: usize) -> Option<Mark> {
        let runs = runs(&self.in_row(row, &[BodyPart::Torso, BodyPart::Legs]));
        let [left, right] = &runs[..] else { return None };
        let mark = self.mark(left[0])?;
        left.iter().chain(right).all(|&place| self.mark(place) == Some(mark)).then_some(mark)
    }

    /// The bead of trousers: what the legs are of where they stand apart, in the upper half of their rows.
    pub(super) fn trousers(&self) -> Option<Mark> {
        let legs = self.zone(Zone::Legs);
        let upper = legs.start..legs.start + legs.len().div_ceil(2);
        let marks: Vec<Mark> = upper.filter_map(|row| self.parted(row)).collect();
        let first = *marks.first()?;
        (marks.len() > 1 && marks.iter().all(|mark| *mark == first)).then_some(first)
    }

    /// An arm, if it has enough rows.
    pub(super) fn arm(&self, part: BodyPart) -> Option<Arm> {
        let rows = (0..self.parts.rows()).map(|row| (row, self.in_row(row, &[part])));
        let rows: Vec<_> = rows.filter(|(_, beads)| !beads.is_empty()).collect();
        (rows.len() >= ARM_ROWS).then_some(Arm { part, rows })
    }

    /// Both arms, those that can be judged.
    pub(super) fn arms(&self) -> impl Iterator<Item = Arm> + '_ {
        [BodyPart::RightArm, BodyPart::LeftArm].into_iter().filter_map(|part| self.arm(part))
    }
}

impl Arm {
    /// Whether it hangs straight from the shoulder to a hand: its outer edge in one column from its third row on. Of a
    /// bent or raised arm, or one whose hand is not seen, no length can be told.
    pub(super) fn hangs(&self, body: &Body, skin: Mark) -> bool {
        let outer = |(_, beads): &(usize, Vec<Place>)| match self.part {
            BodyPart::LeftArm => beads.last().map(|place| place.1),
            _ => beads.first().map(|place| place.1),
        };
        let is_straight = self.rows[2..].windows(2).all(|pair| outer(&pair[0]) == outer(&pair[1]));
        let in_one = self.rows.windows(2).all(|pair| pair[1].0 == pair[0].0 + 1);
        let has_hand = self.end().iter().any(|&place| body.mark(place) == Some(skin));
        self.rows[0].0 >= body.zone(Zone::Torso).start && is_straight && in_one && has_hand
    }

    /// The beads of its last row.
    pub(super) fn end(&self) -> &[Place] {
        // An arm has rows.
        self.rows.last().map_or(&[], |(_, beads)| beads)
    }

    /// Every place of it.
    pub(super) fn places(&self) -> impl Iterator<Item = Place> + '_ {
        self.rows.iter().flat_map(|(_, beads)| beads.iter().copied())
    }

    /// What it is called in a sentence.
    pub(super) fn name(&self) -> &'static str {
        if self.part == BodyPart::LeftArm { "left arm" } else { "right arm" }
    }
}

/// Whether places of one row lie side by side.
fn is_whole(beads: &[Place]) -> bool {
    beads.windows(2).all(|pair| pair[1].1.0 == pair[0].1.0 + 1)
}

/// Places of one row, parted where pegs between them are none of theirs.
pub(super) fn runs(beads: &[Place]) -> Vec<Vec<Place>> {
    let mut runs: Vec<Vec<Place>> = Vec::new();
    for &bead in beads {
        match runs.last_mut() {
            Some(run) if run.last().is_some_and(|last| last.1.0 + 1 == bead.1.0) => run.push(bead),
            _ => runs.push(vec![bead]),
        }
    }
    runs
}
