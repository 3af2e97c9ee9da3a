//! Other ways to read a picture than the likeliest.

use crate::plan::{Build, Landmark, Marks};

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
