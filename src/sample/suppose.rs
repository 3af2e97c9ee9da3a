//! Other ways to read a picture than the likeliest.

use super::lattice::Lattice;
use crate::grid::Grid;
use crate::plan::{Build, Landmark, Marks};
use crate::reference::Area;
use crate::units::{Column, Row};

/// What a reading supposes beyond what the maker said; nothing is the ordinary reading.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Supposed {
    /// Columns half a bead to the side; heard where the drawing is laid on a lattice, not on a body's axis.
    pub half_across: bool,
    /// Landmarks beside those the maker gave, as pixel rows of the upright picture.
    pub marks: Option<Marks>,
    /// The widths of the body.
    pub build: Option<Build>,
    /// Names of detectors that do not look ([`crate::sample::DETECTORS`]).
    pub without: Vec<&'static str>,
}

impl Supposed {
    /// The maker's landmarks, and the supposed ones where the maker gave none; nothing where none are supposed.
    pub(super) fn marks_with(&self, given: Option<&Marks>) -> Option<Marks> {
        let supposed = self.marks?;
        let of = |landmark| given.and_then(|marks| marks.get(landmark)).or_else(|| supposed.get(landmark));
        let all: Vec<(Landmark, f64)> = Landmark::ALL.into_iter().filter_map(|l| Some((l, of(l)?))).collect();
        Some(Marks::of(&all))
    }
}

/// The lattice with its columns half a bead to the left, and one more of them at the right.
pub(super) fn half_across(lattice: &Lattice) -> Lattice {
    let last = lattice.columns() - 1;
    windows(lattice, lattice.columns() + 1, |row, column| {
        let own = lattice.window(row, Column(column.min(last)));
        // Past the last column its ruler goes on.
        let beyond = own.width * (column.max(last) - last) as f64;
        Area { x: own.x + beyond - own.width / 2.0, ..own }
    })
}

/// The columns from `first` to `last` alone of a lattice whose windows lie on no ruler.
pub(super) fn columns_of(lattice: &Lattice, first: usize, last: usize) -> Lattice {
    windows(lattice, last + 1 - first, |row, column| lattice.window(row, Column(first + column)))
}

fn windows(lattice: &Lattice, columns: usize, window: impl Fn(Row, usize) -> Area) -> Lattice {
    let lines = (0..=lattice.rows()).map(|row| lattice.row_line(row)).collect();
    let windows = Grid::from_fn(lattice.rows(), columns, |row, column| window(row, column.0));
    Lattice::of_windows(lines, windows, lattice.proportions())
}
