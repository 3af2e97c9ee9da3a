//! What a line of changes says: where, which way, and what.

use crate::plan::Zone;
use crate::units::{Column, Row};

/// A place as a line of changes names it: row and column counted from 0 at the figure's first peg, below 0
/// above and left of it. In the line itself they count from 1.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Spot {
    /// Row; -1 is the one above the first.
    pub row: i32,
    /// Column; -1 is the one left of the first.
    pub column: i32,
}

impl Spot {
    /// A place of the figure's grid.
    pub fn at(row: Row, column: Column) -> Self {
        // A grid has at most a thousand rows and columns.
        Self { row: row.0 as i32, column: column.0 as i32 }
    }

    /// The place of the grid; none above or left of its first peg.
    pub(super) fn inside(self) -> Option<(Row, Column)> {
        Some((Row(usize::try_from(self.row).ok()?), Column(usize::try_from(self.column).ok()?)))
    }
}

/// Where a part moves.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Way {
    /// To the viewer's left.
    Left,
    /// To the viewer's right.
    Right,
    /// Towards the head.
    Up,
    /// Towards the feet.
    Down,
}

/// Which row is doubled or goes.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum RowIn {
    /// The middle one of a zone.
    Middle(Zone),
    /// One row of a zone; the line is refused if it lies in another.
    Of(Zone, Row),
    /// One row, in whatever zone.
    Row(Row),
}

/// A side of the figure, as it is looked at.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Side {
    /// The viewer's left.
    Left,
    /// The viewer's right.
    Right,
}

/// Which column is doubled or goes, in which rows, and which side moves for it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct ColumnIn {
    /// The zone in whose rows; in all rows without one.
    pub zone: Option<Zone>,
    /// The column.
    pub column: Column,
    /// What lies on this side of the column moves, out or in.
    pub side: Side,
}

/// One reversible change of a figure. [`Edit::parse`] and `Display` are inverse.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Edit {
    /// Beads are put, by hand; also beyond the figure's edge.
    Place {
        /// Where; at least one.
        spots: Vec<Spot>,
        /// The bead.
        bead: String,
        /// The part; else the one that shows there, or lies nearest.
        part: Option<String>,
    },
    /// Several beads are put at once, as [`Edit::Place`] puts one.
    PlaceSeveral {
        /// Where, at least one place, and the bead; at least two of them.
        beads: Vec<(Vec<Spot>, String)>,
        /// The part; else the one that shows there, or lies nearest.
        part: Option<String>,
    },
    /// Beads are taken off; the pegs stay empty by hand.
    Lift {
        /// Where; at least one.
        spots: Vec<Spot>,
        /// The part; else the one that shows there.
        part: Option<String>,
    },
    /// One bead for another.
    Swap {
        /// The bead that goes.
        old: String,
        /// The bead that comes.
        new: String,
        /// The part; else everywhere.
        part: Option<String>,
        /// Whether beads placed by hand change too.
        by_hand: bool,
    },
    /// Other beads stand for colours that keep what was asked for.
    Rematch {
        /// A line's mark or its bead, and the bead that comes; at least one.
        beads: Vec<(String, String)>,
        /// Whether beads settled by hand change too, where the tool had chosen the line's bead.
        by_hand: bool,
    },
    /// A patch has another bead.
    Fill {
        /// A peg of it.
        at: Spot,
        /// The bead.
        bead: String,
        /// The part whose patch it is; else what shows.
        part: Option<String>,
    },
    /// What shows at some places goes elsewhere.
    Move {
        /// Which; at least one.
        spots: Vec<Spot>,
        /// Where the first corner of the box about them comes.
        to: Spot,
        /// Whether left and right change places.
        mirrored: bool,
    },
    /// What shows at some places is laid once more elsewhere.
    Copy {
        /// Which; at least one.
        spots: Vec<Spot>,
        /// Where the first corner of the box about them comes.
        to: Spot,
        /// Whether left and right change places.
        mirrored: bool,
        /// The part it goes to; else the one it is of, or what shows there.
        part: Option<String>,
    },
    /// Left and right change places within the box about some places.
    MirrorThese {
        /// Which; at least one.
        spots: Vec<Spot>,
    },
    /// What shows at some places becomes a part.
    PartOf {
        /// Its name.
        name: String,
        /// Which; at least one.
        spots: Vec<Spot>,
    },
    /// A part moves.
    Shift {
        /// The part.
        part: String,
        /// Where to.
        way: Way,
        /// By how many pegs, 1 or more.
        by: u16,
    },
    /// Left and right of a part change places.
    Mirror {
        /// The part.
        part: String,
    },
    /// A row is doubled.
    AddRow(RowIn),
    /// A row goes.
    DropRow(RowIn),
    /// A column is doubled.
    AddColumn(ColumnIn),
    /// A column goes.
    DropColumn(ColumnIn),
    /// A new, empty part on top.
    NewPart {
        /// Its name.
        name: String,
    },
    /// A part goes.
    Remove {
        /// The part.
        part: String,
    },
    /// Another name for a part.
    Call {
        /// The part.
        part: String,
        /// The new name.
        name: String,
    },
    /// A part is laid over another.
    Over {
        /// The part.
        part: String,
        /// The other; else the next one above it.
        other: Option<String>,
    },
    /// A part is laid under another.
    Under {
        /// The part.
        part: String,
        /// The other; else the next one below it.
        other: Option<String>,
    },
    /// A part of another figure is copied in: one of the body in place of this figure's, any other on top.
    Take {
        /// The part: a layer of the other figure, or a part of the body that is found in it.
        part: String,
        /// The other figure's file.
        from: String,
        /// Its name here, beside this figure's own; else the same.
        name: Option<String>,
        /// Where its first peg lies; else where this figure's plan has it.
        at: Option<Spot>,
    },
    /// Another mark for a line of the legend.
    Mark {
        /// Its mark, or its bead.
        old: String,
        /// The new mark.
        new: char,
    },
    /// What shows is settled.
    Keep {
        /// Where; at least one.
        spots: Vec<Spot>,
    },
    /// A bead is the one for its colour, wherever that lies.
    KeepBead {
        /// The bead.
        bead: String,
    },
    /// What shows is to be asked again.
    Doubt {
        /// Where; at least one.
        spots: Vec<Spot>,
    },
    /// A finding is meant so.
    Meant {
        /// The rule.
        rule: String,
        /// A bead of the finding; else the whole figure.
        at: Option<Spot>,
        /// The reason.
        why: String,
    },
    /// Notes that a finding is meant so go.
    NotMeant {
        /// The rule.
        rule: String,
        /// The place of the note; else all notes on the rule.
        at: Option<Spot>,
    },
    /// The figure's name.
    Name {
        /// The new name.
        name: String,
    },
    /// The figure's reference picture; the part of it and the corners of its sheet stay as they are.
    Reference {
        /// The file, as it is found from beside the figure file.
        picture: String,
    },
    /// The figure's height class; its rows stay as they are. A standing height that was noted is forgotten.
    Class {
        /// The class.
        name: String,
    },
    /// The figure's standing height; its rows stay as they are.
    Stands {
        /// In millimetres.
        millimetres: u16,
    },
}
