//! The plain body: what a maker dresses.
//!
//! Of the guide it has what the trade gives it (common practice, no source): a head of four rows of four beads with
//! two on top and one more for an ear, a neck, a torso of five, arms of nine beads, two thick, that hang from the
//! shoulder, legs of two with a gap between them, feet that turn out. Other rows, builds and looks follow from that.

mod head;
mod limbs;

use super::{BodyPart, Build, Look, Zone, ZoneRows};
use crate::grid::Grid;
use crate::units::{Column, Row};

/// What a bead of a plain body stands for.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Material {
    /// Face, ears, neck and hands.
    Skin,
    /// Hair.
    Hair,
    /// What the torso wears.
    Shirt,
    /// The same cloth on the arms, where it has to differ from the torso's, or the arms melt into it.
    Sleeve,
    /// What the legs wear.
    Trousers,
    /// The dark line between legs that stand together.
    Line,
    /// What the feet wear.
    Shoes,
}

impl Material {
    /// All of them, in the order a legend has them.
    pub const ALL: [Self; 7] =
        [Self::Skin, Self::Hair, Self::Shirt, Self::Sleeve, Self::Trousers, Self::Line, Self::Shoes];

    /// Its name.
    pub fn name(self) -> &'static str {
        match self {
            Self::Skin => "skin",
            Self::Hair => "hair",
            Self::Shirt => "shirt",
            Self::Sleeve => "sleeve",
            Self::Trousers => "trousers",
            Self::Line => "line",
            Self::Shoes => "shoes",
        }
    }

    /// The character it is shown as in plain text; each has its own.
    pub fn character(self) -> char {
        match self {
            Self::Skin => 's',
            Self::Hair => 'h',
            Self::Shirt => 't',
            Self::Sleeve => 'a',
            Self::Trousers => 'l',
            Self::Line => 'i',
            Self::Shoes => 'k',
        }
    }
}

/// A part of a plain body.
#[derive(Clone, Debug, PartialEq)]
pub struct PlainPart {
    /// Which.
    pub part: BodyPart,
    /// Row and column of the first peg of `beads` in the body.
    pub at: (Row, Column),
    /// Its beads, no row or column of them without one.
    pub beads: Grid<Option<Material>>,
}

/// A plain body: its parts over one another, the last wins. It has as many rows as its zones, holds together side to
/// side, and is its own mirror image except for the head of one who is turned.
#[derive(Clone, Debug, PartialEq)]
pub struct PlainBody {
    parts: Vec<PlainPart>,
    rows: usize,
    columns: usize,
    axis: Column,
}

impl PlainBody {
    /// The body of this many rows, this wide, in a group's look.
    pub fn new(zones: &ZoneRows, build: Build, look: Look) -> Self {
        let plan = Plan::new(zones, build, look);
        let drawn = [
            (BodyPart::Legs, limbs::legs(&plan)),
            (BodyPart::Feet, limbs::feet(&plan)),
            (BodyPart::Torso, limbs::torso(&plan)),
            // The figure's own right is on the looker's left.
            (BodyPart::RightArm, limbs::arm(&plan, -1)),
            (BodyPart::LeftArm, limbs::arm(&plan, 1)),
            (BodyPart::Head, head::head(&plan)),
            (BodyPart::Hair, head::hair(&plan)),
        ];
        let offsets = || drawn.iter().flat_map(|(_, pegs)| pegs.iter().map(|peg| peg.column));
        let first = offsets().min().unwrap_or(0);
        let columns = offsets().max().map_or(0, |last| (last - first + 1) as usize);
        let parts = drawn.iter().filter_map(|(part, pegs)| part_of(*part, pegs, first)).collect();
        // No part but reaches the axis or lies to both sides of it: the first column is none to its right.
        Self { parts, rows: zones.total(), columns, axis: Column((-first).max(0) as usize) }
    }

    /// The parts that have beads, lowest first.
    pub fn parts(&self) -> &[PlainPart] {
        &self.parts
    }

    /// One part, where the body has rows for it.
    pub fn part(&self, part: BodyPart) -> Option<&PlainPart> {
        self.parts.iter().find(|own| own.part == part)
    }

    /// How many rows.
    pub fn rows(&self) -> usize {
        self.rows
    }

    /// How many columns.
    pub fn columns(&self) -> usize {
        self.columns
    }

    /// The column the torso and the legs are mirrored on.
    pub fn axis(&self) -> Column {
        self.axis
    }

    /// The beads that show, parts laid over one another.
    pub fn beads(&self) -> Grid<Option<Material>> {
        let mut beads = Grid::from_fn(self.rows, self.columns, |_, _| None);
        for PlainPart { at, beads: own, .. } in &self.parts {
            for (row, column, material) in own.iter().filter(|(_, _, material)| material.is_some()) {
                beads[(Row(at.0.0 + row.0), Column(at.1.0 + column.0))] = *material;
            }
        }
        beads
    }

    /// The beads as text, a line a row: [`Material::character`], `.` for an empty peg.
    pub fn text(&self) -> String {
        let mut text = String::new();
        for (_, column, material) in self.beads().iter() {
            text.push(material.map_or('.', Material::character));
            if column.0 + 1 == self.columns {
                text.push('\n');
            }
        }
        text
    }
}

/// A bead of a part: its column counts from the axis, to the right.
#[derive(Clone, Copy, Debug)]
struct Peg {
    row: usize,
    column: i32,
    material: Material,
}

fn peg(row: usize, column: i32, material: Material) -> Peg {
    Peg { row, column, material }
}

/// Pegs side by side in one row.
fn across(
    row: usize,
    columns: impl IntoIterator<Item = i32>,
    material: Material,
) -> impl Iterator<Item = Peg> {
    columns.into_iter().map(move |column| peg(row, column, material))
}

/// What all parts are drawn from.
struct Plan {
    zones: ZoneRows,
    build: Build,
    look: Look,
}

impl Plan {
    fn new(zones: &ZoneRows, build: Build, look: Look) -> Self {
        Self { zones: *zones, build, look }
    }

    fn rows(&self, zone: Zone) -> usize {
        self.zones.get(zone)
    }

    /// The first row of a zone, or where it would be.
    fn first(&self, zone: Zone) -> usize {
        Zone::ALL[..zone as usize].iter().map(|&above| self.rows(above)).sum()
    }

    /// Beads of the torso to each side of the axis.
    fn half(&self) -> i32 {
        self.build.torso / 2
    }
}

/// A part brought to its own rows and columns; `first` is the body's first column.
fn part_of(part: BodyPart, pegs: &[Peg], first: i32) -> Option<PlainPart> {
    let (top, bottom) = (pegs.iter().map(|p| p.row).min()?, pegs.iter().map(|p| p.row).max()?);
    let (left, right) = (pegs.iter().map(|p| p.column).min()?, pegs.iter().map(|p| p.column).max()?);
    let mut beads = Grid::from_fn(bottom - top + 1, (right - left + 1) as usize, |_, _| None);
    for peg in pegs {
        beads[(Row(peg.row - top), Column((peg.column - left) as usize))] = Some(peg.material);
    }
    Some(PlainPart { part, at: (Row(top), Column((left - first) as usize)), beads })
}
