//! Where each arm ends.

use super::field::Field;
use crate::grid::Grid;
use crate::plan::BodyPart;
use crate::units::{Column, Row};

/// The hand of one arm: its beads of skin; all of the arm's where it is bare or gloved all the way.
#[derive(Clone, Debug, PartialEq)]
pub(in crate::figure) struct Hand {
    /// The arm it ends.
    pub arm: BodyPart,
    /// Its beads; at least one.
    pub beads: Vec<(Row, Column)>,
    /// The bead farthest from the shoulder: where the arm ends.
    pub end: (Row, Column),
}

/// The hands of a body whose parts are known.
pub(super) fn hands(field: &Field, parts: &Grid<Option<BodyPart>>) -> Vec<Hand> {
    let hand = |arm: BodyPart| {
        let own = parts.iter().filter(|(.., part)| **part == Some(arm));
        let own: Vec<(Row, Column)> = own.map(|(row, column, _)| (row, column)).collect();
        let (skin, cloth): (Vec<_>, Vec<_>) =
            own.iter().partition(|(row, column)| field.is_skin((row.0, column.0)));
        let beads = if skin.is_empty() || cloth.is_empty() { own } else { skin };
        // In half pegs, since the axis may lie between two.
        let far = |(row, column): &(Row, Column)| {
            let down = 2 * (row.0 as i32 - field.bands.torso as i32);
            (down * down + field.off(column.0).pow(2), row.0)
        };
        let end = beads.iter().copied().max_by_key(far)?;
        Some(Hand { arm, beads, end })
    };
    [BodyPart::RightArm, BodyPart::LeftArm].into_iter().filter_map(hand).collect()
}
