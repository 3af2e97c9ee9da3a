//! The grids of a part in a figure file: its beads, and what is said of each.

use serde::Deserialize;
use toml::Spanned;

use super::file::{FARTHEST, Place};
use super::{Mark, Part, Placed, Second, Sure};
use crate::error::Result;
use crate::grid::Grid;
use crate::units::{Column, Row};

/// What stands for an empty peg, and where nothing is said.
pub(super) const NONE: char = '.';

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct FilePart {
    name: String,
    from: Option<String>,
    #[serde(default)]
    at: [usize; 2],
    beads: Spanned<String>,
    sure: Option<Spanned<String>>,
    why: Option<Spanned<String>>,
    or: Option<Spanned<String>>,
}

/// A grid beside the beads: what its characters say, one for every bead.
struct Beside {
    name: &'static str,
    /// Whether a character can stand beside a bead's.
    fits: fn(char, char) -> bool,
    /// What a wrong character fails to say of a bead.
    says: &'static str,
    right: &'static str,
}

const SURE: Beside = Beside {
    name: "sure",
    // A peg may be left empty by hand; how sure the tool is of an empty one is not kept.
    fits: |sure, bead| match Sure::from_character(sure) {
        Some(Sure::ByHand) => true,
        Some(Sure::Likely(_)) => bead != NONE,
        None => sure == NONE,
    },
    says: "how sure it is",
    right: "0 to 8 are tenths, A to J hundredths from 0.90, ! is by hand, . is unknown",
};

const WHY: Beside = Beside {
    name: "why",
    fits: |why, bead| why == NONE || (bead != NONE && Mark::new(why).is_some()),
    says: "which detector set it",
    right: "use the marks of [why] for beads, and . where no detector set one",
};

const OR: Beside = Beside {
    name: "or",
    fits: |or, bead| if bead == NONE { or == NONE } else { or == NONE || Mark::new(or).is_some() },
    says: "what else it could be",
    right: "for a bead use the legend's marks, its own for nothing else, and . for an empty peg",
};

/// Rows of characters.
type Lines = Vec<Vec<char>>;

/// Reads a part.
pub(super) fn part_of(place: &Place, part: &FilePart) -> Result<Part> {
    let beads = lines(part.beads.get_ref());
    let columns = beads.iter().map(Vec::len).max().unwrap_or(0);
    check_size(place, part, beads.len(), columns)?;
    check_marks(place, part, &beads)?;
    let read = |beside: &Beside, field: &Option<Spanned<String>>| match field {
        Some(field) => beside.read(place, field, &beads).map(Some),
        None => Ok(None),
    };
    let (sure, why, or) = (read(&SURE, &part.sure)?, read(&WHY, &part.why)?, read(&OR, &part.or)?);
    let at = |rows: &Option<Lines>, row: Row, column: Column| {
        rows.as_ref().and_then(|rows| rows.get(row.0)?.get(column.0).copied())
    };
    let grid = Grid::from_fn(beads.len(), columns, |row, column| {
        let mark = Mark::new(*beads.get(row.0)?.get(column.0)?)?;
        let second = |or: char| match Mark::new(or) {
            None => Second::Empty,
            Some(other) if other == mark => Second::Itself,
            Some(other) => Second::Bead(other),
        };
        Some(Placed {
            mark,
            sure: at(&sure, row, column).and_then(Sure::from_character),
            why: at(&why, row, column).and_then(Mark::new),
            or: at(&or, row, column).map(second),
        })
    });
    let by_hand = Some(Sure::ByHand.character());
    let is_bare = |&(row, column, placed): &(_, _, &Option<Placed>)| {
        placed.is_none() && at(&sure, row, column) == by_hand
    };
    let bare = grid.iter().filter(is_bare).map(|(row, column, _)| (row, column)).collect();
    let [row, column] = part.at;
    let (name, from) = (part.name.clone(), part.from.clone());
    Ok(Part { name, from, at: (Row(row), Column(column)), beads: grid, bare })
}

/// The rows of a multi-line text; the line break before its closing quotes is not one more row.
fn lines(text: &str) -> Lines {
    text.lines().map(|line| line.trim_end().chars().collect()).collect()
}

fn check_size(place: &Place, part: &FilePart, rows: usize, columns: usize) -> Result<()> {
    let far = [part.at[0], part.at[1], rows, columns].into_iter().any(|v| v > FARTHEST);
    if !far && columns > 0 {
        return Ok(());
    }
    let fault = if columns == 0 { "empty" } else { "too large" };
    let why = format!("part '{}' is {fault} or too far out", part.name);
    let right = format!("give it at least one bead, and at most {FARTHEST} rows and columns");
    Err(place.fault(part.beads.span().start, &why, &right))
}

fn check_marks(place: &Place, part: &FilePart, beads: &Lines) -> Result<()> {
    for (row, line) in beads.iter().enumerate() {
        if let Some(c) = line.iter().find(|&&c| c != NONE && Mark::new(c).is_none()) {
            let why = format!("'{}' cannot stand for a bead", c.escape_debug());
            let right = "use the legend's marks, and '.' for an empty peg";
            return Err(place.fault_in_line(place.line_of(&part.beads, row), &why, right));
        }
    }
    Ok(())
}

impl Beside {
    fn read(&self, place: &Place, field: &Spanned<String>, beads: &Lines) -> Result<Lines> {
        let said = lines(field.get_ref());
        let name = self.name;
        if said.len() != beads.len() {
            let why = format!("{name} has {} rows and beads has {}", said.len(), beads.len());
            let right = format!("give {name} one character for each character of beads");
            return Err(place.fault(field.span().start, &why, &right));
        }
        for (row, (line, beads)) in said.iter().zip(beads).enumerate() {
            let fault = |why: String| Err(place.fault_in_line(place.line_of(field, row), &why, self.right));
            if line.len() != beads.len() {
                return fault(format!("{} characters of {name} for {} of beads", line.len(), beads.len()));
            }
            let misfit = line.iter().zip(beads).find(|&(&said, &bead)| !(self.fits)(said, bead));
            if let Some((said, bead)) = misfit {
                return fault(format!("'{}' does not say, for '{bead}', {}", said.escape_debug(), self.says));
            }
        }
        Ok(said)
    }
}
