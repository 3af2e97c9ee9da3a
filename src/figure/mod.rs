//! The figure: what is saved, shown and, later, edited.

use crate::colour::Lab;
use crate::grid::Grid;
use crate::plan::ZoneRows;
use crate::units::{Centimetres, Column, Confidence, Row};

/// The printable character that stands for a bead in a figure file; never `.` or a space.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Mark(char);

impl Mark {
    /// Marks handed out to legends, in this order; letters first, since they read best.
    pub const ORDER: &'static str =
        "abcdefghijklmnopqrstuvwxyzABCDEFGHIJKLMNOPQRSTUVWXYZ0123456789+*#%&@=?$<>^~:;/|!-_";

    /// A mark from a character, if it can be one.
    pub fn new(c: char) -> Option<Self> {
        let printable = !c.is_control() && !c.is_whitespace() && c != '.';
        (printable && unicode_width::UnicodeWidthChar::width(c) == Some(1)).then_some(Self(c))
    }

    /// The first of [`Self::ORDER`].
    pub const fn first() -> Self {
        Self('a')
    }

    /// The character.
    pub fn get(self) -> char {
        self.0
    }
}

/// Who chose a bead.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum ChosenBy {
    /// The tool, from a picture.
    Match,
    /// The maker.
    Hand,
}

/// What one mark stands for.
#[derive(Clone, Debug, PartialEq)]
pub struct LegendEntry {
    /// The mark.
    pub mark: Mark,
    /// The bead's name in the tray.
    pub bead: String,
    /// The colour the reference asked for, before matching.
    pub aim: Option<Lab>,
    /// How likely the maker keeps this bead for this colour.
    pub confidence: Option<Confidence>,
    /// Who chose it.
    pub by: ChosenBy,
}

/// How settled one bead is.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Sure {
    /// The tool's confidence; written in tenths below 0.9 and in hundredths from there.
    Likely(Confidence),
    /// Settled by the maker's hand.
    ByHand,
}

/// One bead of a part.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Placed {
    /// What it is, by the figure's legend.
    pub mark: Mark,
    /// How settled it is; absent where nobody said.
    pub sure: Option<Sure>,
}

/// A layer of beads with a name; `None` is an empty peg and lets the part below show.
#[derive(Clone, Debug, PartialEq)]
pub struct Part {
    /// Its name.
    pub name: String,
    /// The figure it was copied from, where it was.
    pub from: Option<String>,
    /// Row and column of its first bead in the figure.
    pub at: (Row, Column),
    /// Its beads.
    pub beads: Grid<Option<Placed>>,
}

/// The picture a figure was drafted from.
#[derive(Clone, Debug, PartialEq)]
pub struct Source {
    /// The file's name, beside the figure file.
    pub picture: String,
    /// The used part in pixels of the upright picture: x, y, width, height.
    pub crop: Option<[u32; 4]>,
}

/// A figure of beads: parts over one another, the last wins.
#[derive(Clone, Debug, PartialEq)]
pub struct Figure {
    /// Its name.
    pub name: String,
    /// Standing height.
    pub stature: Option<Centimetres>,
    /// Height class; absent when drafted as drawn.
    pub class: Option<String>,
    /// Where it came from.
    pub source: Option<Source>,
    /// Rows by zone; adds up to the grid. Absent when drafted as drawn.
    pub rows: Option<ZoneRows>,
    /// What each mark stands for.
    pub legend: Vec<LegendEntry>,
    /// The layers, lowest first.
    pub parts: Vec<Part>,
}
