//! The rows of each zone, and the axis a body stands about.

use std::ops::Range;

use super::field::runs;
use crate::figure::Mark;
use crate::plan::{HeightClass, Zone, ZoneRows};

/// The first row of each band; the last ends with the figure.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Bands {
    pub head: usize,
    pub neck: usize,
    pub torso: usize,
    pub legs: usize,
    pub feet: usize,
    zones: ZoneRows,
}

impl Bands {
    /// Of a figure that says its zones.
    pub(super) fn of(zones: &ZoneRows) -> Self {
        Self {
            head: zones.first(Zone::Head),
            neck: zones.first(Zone::Neck),
            torso: zones.first(Zone::Torso),
            legs: zones.first(Zone::Legs),
            feet: zones.first(Zone::Feet),
            zones: *zones,
        }
    }

    /// The zones.
    pub(super) fn zones(&self) -> ZoneRows {
        self.zones
    }
}

/// Twice the column about which most beads have their like: of equals the one nearest the grid's middle.
pub(super) fn axis(marks: &[Vec<Option<Mark>>], rows: Range<usize>) -> i32 {
    let columns = marks.first().map_or(0, Vec::len) as i32;
    let middle = (columns - 1).max(0);
    let rows = rows.start.min(marks.len())..rows.end.min(marks.len());
    // Below this row legs may stand apart.
    let parted = rows.start + rows.len() * 5 / 8;
    let score = |axis: i32| -> i32 {
        rows.clone()
            .map(|row| likeness(&marks[row], axis) + if row >= parted { gap(&marks[row], axis) } else { 0 })
            .sum()
    };
    let scores: Vec<i32> = (0..(2 * columns - 1).max(1)).map(score).collect();
    let most = scores.iter().copied().max().unwrap_or(0);
    let best: Vec<i32> =
        (0..).zip(&scores).filter(|(_, score)| **score == most).map(|(axis, _)| axis).collect();
    let near = best.iter().map(|axis| (axis - middle).abs()).min().unwrap_or(0);
    match best.iter().filter(|axis| (**axis - middle).abs() == near).collect::<Vec<_>>()[..] {
        [one] => *one,
        // Both sides alike: it stands in the middle.
        _ => middle,
    }
}

/// How like both sides of an axis are in a row: pairs of one mark count double.
fn likeness(row: &[Option<Mark>], axis: i32) -> i32 {
    /// Farther out lie arms and what they hold, in half pegs.
    const WITHIN: i32 = 7;
    let at = |twice: i32| {
        usize::try_from(twice / 2).ok().filter(|_| twice >= 0).and_then(|c| row.get(c).copied().flatten())
    };
    let own = if axis % 2 == 0 && at(axis).is_some() { 2 } else { 0 };
    let first = if axis % 2 == 0 { 2 } else { 1 };
    let pairs = (first..=WITHIN).step_by(2).map(|off| {
        // An axis between two pegs has a pair more: the last counts half, so that both kinds weigh the same.
        let weight = if off == WITHIN { 1 } else { 2 };
        match (at(axis - off), at(axis + off)) {
            (Some(left), Some(right)) if left == right => 2 * weight,
            (Some(_), Some(_)) => weight,
            _ => 0,
        }
    });
    own + pairs.sum::<i32>()
}

/// What a gap between legs speaks for an axis.
fn gap(row: &[Option<Mark>], axis: i32) -> i32 {
    /// As much as a pair of one mark.
    const SAID: i32 = 4;
    let at = |column: i32| {
        usize::try_from(column).ok().and_then(|column| row.get(column).copied().flatten()).is_some()
    };
    let left = axis / 2;
    let right = left + axis % 2;
    let is_gap = !at(left) && !at(right) && at(left - 1) && at(right + 1);
    if is_gap { SAID } else { 0 }
}

/// The bands of a figure that does not say its zones: its neck is where it is narrowest near a guide's, what is below
/// is shared out as the class nearest in rows has it.
pub(super) fn guessed(marks: &[Vec<Option<Mark>>]) -> Bands {
    let rows = marks.len();
    let axis = axis(marks, 0..rows);
    let width = |row: usize| {
        let at_axis = runs(&marks[row])
            .into_iter()
            .filter(|(first, last)| 2 * *first as i32 - 2 <= axis && axis <= 2 * *last as i32 + 2);
        at_axis.map(|(first, last)| last - first + 1).max().unwrap_or(0)
    };
    /// A pole above the head is thinner.
    const HEAD: usize = 3;
    let top = (0..rows).find(|row| width(*row) >= HEAD).unwrap_or(0);
    let body = rows - top;
    let neck = neck(top, body, rows, width);
    let head = (neck - top).min(HeightClass::GUIDE.rows.get(Zone::Head));
    let rest = rows - neck - 1;
    let feet = usize::from(rest >= 2);
    let below = |class: &HeightClass| [Zone::Torso, Zone::Legs, Zone::Feet].map(|zone| class.rows.get(zone));
    // The first of equals: the classes go down in height.
    let far = |class: &HeightClass| below(class).iter().sum::<usize>().abs_diff(rest);
    let class = HeightClass::ALL.into_iter().min_by_key(far).unwrap_or(HeightClass::GUIDE);
    let [torso, legs, _] = below(&class);
    let torso = ((rest - feet) * torso + (torso + legs) / 2) / (torso + legs);
    let zones = [neck - head, head, 1, torso, rest - feet - torso, feet];
    // They add up to the figure's own rows, at least one and no more than a figure may have.
    let zones = ZoneRows::new(zones).unwrap_or(HeightClass::GUIDE.rows);
    Bands::of(&zones)
}

/// The row of the neck: narrow, and near the sixth row of a guide.
fn neck(top: usize, body: usize, rows: usize, width: impl Fn(usize) -> usize) -> usize {
    /// The guide has five rows of head over its neck, in 24.
    const GUIDE: (usize, usize) = (5, 24);
    /// Where a neck may be, in twentieths of the body.
    const FROM: usize = 3;
    const TO: usize = 8;
    let first = top + 3.max(body * FROM / 20);
    let last = (top + 4.max(body * TO / 20)).min(rows);
    let cost = |row: usize| GUIDE.1 * width(row) + (GUIDE.1 * (row - top)).abs_diff(GUIDE.0 * body);
    let narrowest = (first..last).filter(|row| width(*row) > 0).rev().min_by_key(|row| cost(*row));
    narrowest.unwrap_or_else(|| (top + GUIDE.0).min(rows - 1))
}
