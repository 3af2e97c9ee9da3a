//! Beads as a sheet prints them, each kind drawn once.

use std::collections::BTreeMap;

use super::beads::rim;
use super::drawing::{Anchor, Item, Pen, SymbolId, Type, at};
use super::font::{CAPITALS, Face};
use crate::colour::Srgb;

/// A bead's radius in pegs' distance: on paper neighbours touch, so that a number of beads measures just as many
/// pegs.
const RADIUS: f64 = 0.5;

/// Width of the rim that parts a bead from its neighbour and a pale one from the paper.
const RIM: f64 = 0.045;

/// How far the rim is from the bead's colour, on dark beads and on light ones: white must show on paper.
const LIGHTER: f64 = 0.3;
const DARKER: f64 = 0.55;

/// The mark's em, in pegs' distance: as large as a wide capital may be within the rim.
const MARK: f64 = 0.66;

/// The symbols of a sheet, in the order they were first asked for.
#[derive(Debug, Default)]
pub(super) struct Symbols {
    places: BTreeMap<(Srgb, char, u64), SymbolId>,
    items: Vec<Vec<Item>>,
}

impl Symbols {
    /// A bead with its mark, its middle at the symbol's zero.
    pub fn bead(&mut self, colour: Srgb, mark: char, pitch: f64) -> SymbolId {
        let items = &mut self.items;
        *self.places.entry((colour, mark, pitch.to_bits())).or_insert_with(|| {
            items.push(marked_bead(colour, mark, pitch));
            SymbolId(items.len() - 1)
        })
    }

    pub fn into_items(self) -> Vec<Vec<Item>> {
        self.items
    }
}

fn marked_bead(colour: Srgb, mark: char, pitch: f64) -> Vec<Item> {
    let mut pen = Pen::default();
    let width = RIM * pitch;
    pen.disc(at(0.0, 0.0), RADIUS * pitch, colour);
    pen.ring(at(0.0, 0.0), RADIUS * pitch - width / 2.0, width, rim(colour, (LIGHTER, DARKER)));
    let kind = Type { face: Face::Bold, size: MARK * pitch, ink: colour.ink() };
    // Capitals stand in the middle; all marks share their line, so that c and C are told apart.
    pen.text(at(0.0, CAPITALS * kind.size / 2.0), Anchor::Middle, kind, &mark.to_string());
    pen.items
}
