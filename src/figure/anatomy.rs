//! Which part of the body each bead of a figure belongs to.
//!
//! A figure whose parts have names of the body says so itself. Any other is read by its shape: zones say which rows
//! are head, torso, legs; the axis, the middle of most of its rows, says what is left and right; materials say the
//! rest. Hair is what lies about the face and is no skin; a hat is what lies over it; an arm hangs from the shoulder
//! rows beside the torso and ends at its hand; what goes on without a gap from the torso across the legs is a skirt;
//! what is left, or lies beyond a hand, is held. It is a reading, not knowledge: the maker's own parts win.

mod arms;
mod bands;
mod below;
mod field;
mod hands;
mod head;
mod held;
mod parted;

use super::Figure;
use crate::grid::Grid;
use crate::plan::{BodyPart, Zone, ZoneRows};
use crate::units::{Column, Row};
use field::Field;
pub(super) use hands::Hand;
pub(super) use parted::height;

/// The parts of one figure.
#[derive(Clone, Debug, PartialEq)]
pub struct Anatomy {
    parts: Grid<Option<BodyPart>>,
    zones: Option<ZoneRows>,
    axis: Option<f64>,
    hands: Vec<Hand>,
}

impl Anatomy {
    /// Which part each bead that shows belongs to: every bead has just one, an empty peg none.
    pub fn of(figure: &Figure) -> Self {
        let beads = figure.beads();
        let named = beads
            .map(|row, column, bead| bead.and_then(|_| BodyPart::named(&figure.part_at(row, column)?.name)));
        let Some(field) = Field::of(&beads.map(|_, _, bead| bead.map(|bead| bead.mark)), figure.rows())
        else {
            return Self { parts: named, zones: None, axis: None, hands: Vec::new() };
        };
        let says_all =
            beads.iter().all(|(row, column, bead)| bead.is_none() || named[(row, column)].is_some());
        let (zones, axis) = (Some(field.bands.zones()), Some(f64::from(field.axis) / 2.0));
        let parts = if says_all {
            named
        } else {
            let read = field.read();
            beads.map(|row, column, bead| bead.and_then(|_| named[(row, column)].or(read[row.0][column.0])))
        };
        let hands = hands::hands(&field, &parts);
        Self { parts, zones, axis, hands }
    }

    /// The part of each bead that shows, in the figure's own grid.
    pub fn parts(&self) -> &Grid<Option<BodyPart>> {
        &self.parts
    }

    /// The part at a place; none where no bead shows.
    pub fn part(&self, row: Row, column: Column) -> Option<BodyPart> {
        self.parts.get(row, column).copied().flatten()
    }

    /// Whether the figure has a bead of that part.
    pub fn has(&self, part: BodyPart) -> bool {
        self.parts.iter().any(|(_, _, own)| *own == Some(part))
    }

    /// Rows by zone: the figure's own, else as its outline lets them be guessed; none of a figure without beads.
    pub fn zones(&self) -> Option<&ZoneRows> {
        self.zones.as_ref()
    }

    /// The column its body stands about, counted from 0 and in halves; none of a figure without beads.
    pub fn axis(&self) -> Option<f64> {
        self.axis
    }

    /// The hand of an arm; none where it has no bead.
    pub(super) fn hand(&self, arm: BodyPart) -> Option<&Hand> {
        self.hands.iter().find(|hand| hand.arm == arm)
    }

    /// The first row of a zone and how many rows it has; none of a figure without beads.
    pub fn rows_of(&self, zone: Zone) -> Option<(usize, usize)> {
        let zones = self.zones?;
        Some((zones.first(zone), zones.get(zone)))
    }
}
