//! What is worn: jackets and their sleeves, as the beads show them.

use std::ops::Range;

use super::body::{Arm, Body};
use crate::figure::Mark;
use crate::plan::{BodyPart, Zone};

/// A jacket: the torso's two sides of one bead, with a shirt between them, and sleeves of the same bead.
pub(super) struct Jacket {
    pub mark: Mark,
    /// The last row in which both sides are jacket.
    pub last: usize,
}

impl Jacket {
    /// The jacket, where one is seen: open down the front in this many rows at least.
    pub(super) fn of(body: &Body) -> Option<Self> {
        /// Buttons and a tie are fewer rows in a line.
        const OPEN: usize = 3;
        let torso = body.zone(Zone::Torso);
        let fronts: Vec<(usize, Mark, Mark)> = torso
            .clone()
            .filter_map(|row| front(body, row).map(|(side, middle)| (row, side, middle)))
            .collect();
        let in_line = |three: &&[(usize, Mark, Mark)]| {
            let (first, rest) = (three[0], &three[1..]);
            rest.iter()
                .enumerate()
                .all(|(at, own)| (own.0, own.1, own.2) == (first.0 + at + 1, first.1, first.2))
        };
        let mark = fronts.windows(OPEN).find(in_line)?[0].1;
        // What goes on down the legs between the sides is an apron, and the sides are no jacket's.
        let middle = front(body, fronts.iter().find(|front| front.1 == mark)?.0)?.1;
        if body.zone(Zone::Legs).filter(|row| has(body, *row, middle)).count() >= OPEN {
            return None;
        }
        // Else it is a waistcoat.
        let mut arms = [BodyPart::LeftArm, BodyPart::RightArm].into_iter();
        if !arms.any(|arm| body.count(arm, mark) > 1) {
            return None;
        }
        let rows = torso.start..body.zone(Zone::Legs).end;
        let last = rows.filter(|row| sides(body, *row) == Some(mark)).max()?;
        Some(Self { mark, last })
    }
}

/// Whether a row's trunk has a bead of that kind.
fn has(body: &Body, row: usize, mark: Mark) -> bool {
    body.trunk(row).into_iter().any(|place| body.mark(place) == Some(mark))
}

/// The bead of both sides of a row's trunk, if it is the same.
fn sides(body: &Body, row: usize) -> Option<Mark> {
    let trunk = body.trunk(row);
    let (first, last) = (body.mark(*trunk.first()?), body.mark(*trunk.last()?));
    first.filter(|mark| Some(*mark) == last)
}

/// The bead of both sides of a row's trunk and that of its middle, where they differ.
fn front(body: &Body, row: usize) -> Option<(Mark, Mark)> {
    let trunk = body.trunk(row);
    let side = sides(body, row)?;
    let middle = body.mark(trunk[trunk.len() / 2])?;
    (middle != side).then_some((side, middle))
}

/// A sleeve: its bead, and the rows it has.
pub(super) struct Sleeve {
    pub mark: Mark,
    pub rows: Range<usize>,
}

impl Sleeve {
    /// The sleeve of an arm: what it has most of beside skin, where that is worn on the trunk too.
    pub(super) fn of(body: &Body, arm: &Arm, skin: Mark) -> Option<Self> {
        /// This many beads on the trunk make it cloth, and no shade of the skin.
        const WORN: usize = 3;
        let cloth: Vec<_> = arm.places().filter(|&place| body.mark(place) != Some(skin)).collect();
        let mark = body.most(&cloth)?;
        let rows =
            arm.rows.iter().filter(|(_, beads)| beads.iter().any(|&place| body.mark(place) == Some(mark)));
        let rows: Vec<usize> = rows.map(|(row, _)| *row).collect();
        let is_worn = body.count(BodyPart::Torso, mark) >= WORN;
        (is_worn && rows.len() > 1).then(|| Self { mark, rows: rows[0]..rows[rows.len() - 1] + 1 })
    }
}
