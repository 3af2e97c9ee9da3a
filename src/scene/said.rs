//! What a scene file says, before any figure is laid.

use std::ops::Range;

use super::Boards;
use crate::units::{Column, Row};

/// What a scene file says. Rows and columns are counted from 0 here and from 1 in the file; lines of the file are counted
/// from 1.
#[derive(Clone, Debug, PartialEq)]
pub struct Said {
    /// The scene's name.
    pub name: String,
    /// Its boards.
    pub boards: Boards,
    /// Its grounds; later ones lie over earlier ones.
    pub grounds: Vec<Ground>,
    /// People on ground lines.
    pub lines: Vec<Line>,
    /// Figures at places of their own.
    pub places: Vec<Place>,
}

/// A name, and the line of the file where it stands.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Named {
    /// The name.
    pub name: String,
    /// The line.
    pub line: usize,
}

/// A rectangle of one bead under all figures: sky, a wall, pavement.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Ground {
    /// The bead.
    pub bead: Named,
    /// Its rows, within the boards.
    pub rows: Range<usize>,
    /// Its columns, within the boards.
    pub columns: Range<usize>,
}

/// Figures on one ground line.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Line {
    /// The peg row of their soles, within the boards.
    pub row: Row,
    /// The figures, from the left; where they stand in several rows, the back ones first.
    pub figures: Vec<Named>,
    /// Where they stand.
    pub stand: Stand,
}

/// Where the figures of a line stand.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Stand {
    /// Spread over these columns; the line of the file that says so.
    Spread(Range<usize>, usize),
    /// Each with its leftmost peg in a column of its own; as many as there are figures.
    Columns(Vec<Column>),
}

/// A figure at a place of its own.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Place {
    /// The figure.
    pub figure: Named,
    /// What it is called here; else by its figure.
    pub name: Option<Named>,
    /// Its top left peg, within the boards.
    pub at: (Row, Column),
    /// What it stands over, by name.
    pub over: Option<Named>,
    /// What it stands under, by name.
    pub under: Option<Named>,
}

impl Said {
    /// Every figure that is named, in the order of the file's lines and then its places.
    pub fn figures(&self) -> impl Iterator<Item = &Named> {
        let lines = self.lines.iter().flat_map(|line| &line.figures);
        lines.chain(self.places.iter().map(|place| &place.figure))
    }
}
