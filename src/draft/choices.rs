//! Other readings of a picture, where it allows more than one. The maker's eye decides.
//!
//! How likely a reading is stands beside the ordinary one, which is 1: a landmark's doubt shared between a row up
//! and a row down; a lattice's doubt; how near a body's widths come to another build's; the odds of a colour's
//! other beads. A reading that differs in two things is as likely as both together; it comes after those that differ
//! in one. These are reckoned, not fitted: they put the readings in order.

mod over;
mod readings;

use std::fmt;

use super::{Draft, DraftOptions, draft};
use crate::error::Result;
use crate::matching::Wishes;
use crate::plan::{Build, Landmark};
use crate::reference::Picture;
use crate::tray::Tray;
use crate::units::{Column, Row};
use over::{Beads, beads_of, differing, offset};
use readings::{Reading, readings};

/// A reading that differs from another in fewer beads is not worth the maker's look: those are changed by hand.
const FEWEST: usize = 3;

/// One reading of a picture.
#[derive(Clone, Debug)]
pub struct Choice {
    /// How it was read.
    pub options: DraftOptions,
    /// The draft.
    pub draft: Draft,
    /// In what it differs from the ordinary reading, which differs in nothing.
    pub differs: Vec<Difference>,
    /// How likely it is beside the ordinary reading; that one is 1.
    pub likely: f64,
    /// Columns to the right by which it is to be moved so that all readings lie over one another.
    pub column: usize,
    /// Where its beads differ from the ordinary reading's, in rows and columns so moved: another bead, or one
    /// where there was none, or none where there was one.
    pub changed: Vec<(Row, Column)>,
}

/// What a reading takes otherwise than the ordinary one.
#[derive(Clone, Debug, PartialEq)]
pub enum Difference {
    /// The columns lie half a bead to the side.
    HalfBead,
    /// Landmarks are taken a row of beads lower in the picture, or higher.
    Landmarks {
        /// Which.
        landmarks: Vec<Landmark>,
        /// Lower, not higher.
        lower: bool,
    },
    /// The body has another build.
    Build {
        /// Its build.
        build: Build,
        /// The ordinary one.
        instead_of: Build,
    },
    /// A colour became another bead.
    Colour {
        /// What has that colour, told by where it lies.
        what: String,
        /// The bead's name.
        bead: String,
        /// The ordinary one's.
        instead_of: String,
    },
}

impl Difference {
    /// A short plain name of its kind, stable for scripts.
    pub fn name(&self) -> &'static str {
        match self {
            Self::HalfBead => "half-bead",
            Self::Landmarks { .. } => "landmark",
            Self::Build { .. } => "build",
            Self::Colour { .. } => "colour",
        }
    }

    /// Whether two readings can differ in both.
    fn goes_with(&self, other: &Self) -> bool {
        match (self, other) {
            (
                Self::Colour { what: one, instead_of: a, .. },
                Self::Colour { what: two, instead_of: b, .. },
            ) => (one, a) != (two, b),
            // Landmarks moved together leave too little room between them.
            _ => self.name() != other.name(),
        }
    }
}

impl fmt::Display for Difference {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::HalfBead => write!(f, "half a bead to the side"),
            Self::Landmarks { landmarks, lower } => {
                let names: Vec<&str> = landmarks.iter().map(|l| l.name()).collect();
                let way = if *lower { "lower" } else { "higher" };
                write!(f, "the {} a row {way} in the picture", names.join(" and "))
            }
            Self::Build { build, instead_of } if build.torso != instead_of.torso => {
                let word = if build.torso > instead_of.torso { "stouter" } else { "slimmer" };
                let (torso, other) = (in_words(build.torso), in_words(instead_of.torso));
                write!(f, "{word}: a torso of {torso} instead of {other}")
            }
            Self::Build { build, instead_of } => {
                write!(f, "legs of {} instead of {}", in_words(build.leg), in_words(instead_of.leg))
            }
            Self::Colour { what, bead, instead_of } => write!(f, "{what} in {bead} instead of {instead_of}"),
        }
    }
}

/// A width in words, as far as builds go.
fn in_words(beads: i32) -> String {
    const WORDS: [&str; 8] = ["none", "one", "two", "three", "four", "five", "six", "seven"];
    usize::try_from(beads).ok().and_then(|at| WORDS.get(at)).map_or(beads.to_string(), |word| (*word).into())
}

/// Drafts a picture in the ways it can be read, `most` of them or as many as it allows. The first is the ordinary
/// [`draft`], then come those that differ in one thing, the likeliest first, then those that differ in two; each
/// differs from every other in three beads at least. `file` is the picture's name in errors.
///
/// # Errors
/// As [`draft`].
pub fn choices(
    file: &str,
    picture: &Picture,
    options: &DraftOptions,
    tray: &Tray,
    most: usize,
) -> Result<Vec<Choice>> {
    let first = draft(file, picture, options, tray)?;
    choices_of((file, picture), first, options, &Wishes::default(), tray, most)
}

/// The same where the ordinary draft is there already, made with these options and wishes.
///
/// # Errors
/// As [`draft`].
pub fn choices_of(
    (file, picture): (&str, &Picture),
    first: Draft,
    options: &DraftOptions,
    wishes: &Wishes,
    tray: &Tray,
    most: usize,
) -> Result<Vec<Choice>> {
    let readings = readings(&first, tray);
    let mut found = vec![(beads_of(&first), Reading::ordinary(options), first)];
    for reading in readings {
        if found.len() >= most.max(1) {
            break;
        }
        let draft = reading.draft((file, picture), &found[0].2, options, wishes, tray)?;
        let beads = beads_of(&draft);
        if found.iter().all(|(other, ..)| differing(other, &beads, offset(other, &beads)).len() >= FEWEST) {
            found.push((beads, reading, draft));
        }
    }
    Ok(laid_together(found, options))
}

/// The readings over one another, each with where it differs from the first.
fn laid_together(found: Vec<(Beads, Reading, Draft)>, options: &DraftOptions) -> Vec<Choice> {
    let Some((first, ..)) = found.first() else { return Vec::new() };
    let first = first.clone();
    let by: Vec<i64> = found.iter().map(|(beads, ..)| offset(&first, beads)).collect();
    let leftmost = by.iter().copied().min().unwrap_or(0);
    let column = |column: i64| (column - leftmost).max(0) as usize;
    let laid = found.into_iter().zip(by).map(|((beads, reading, draft), by)| Choice {
        options: DraftOptions { supposed: reading.supposed, ..options.clone() },
        changed: differing(&first, &beads, by).into_iter().map(|(r, c)| (r, Column(column(c)))).collect(),
        column: column(by),
        draft,
        differs: reading.differs,
        likely: reading.likely,
    });
    laid.collect()
}
