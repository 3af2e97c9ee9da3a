//! The maker's own beads in a photograph: laid in rows on white paper beside a grey or white patch, found, and read.
//!
//! The sheet is straightened and its light learnt as for a reference ([`FlatSheet`]). Beads are found by their outlines
//! (`spots`), ordered row by row (`rows`); each one's light is taken beside the paper around it (`measure`). The patch
//! tells the light's colour; the transform of von Kries brings what was seen to D65 ([`Lab::untinted`]).

mod colour;
mod field;
mod light;
mod measure;
mod own_tray;
mod patch;
mod rows;
mod shade;
mod spots;

use crate::colour::{Lab, Srgb};
use crate::error::{Error, Result};
use crate::reference::{Corners, FlatSheet, Picture};
use crate::units::DeltaE;

pub use light::{SeenLight, Tint};
pub use own_tray::{NamedBead, OwnTray, Renewed, names_of};

/// How a photograph of beads is read.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct SeenOptions {
    /// The sheet's corners, where the maker gives them.
    pub corners: Option<Corners>,
    /// The patch's own lightness L*, where the maker knows it.
    pub patch: Option<f64>,
}

/// How a bead lies.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Pose {
    /// On its end: a ring is seen.
    Upright,
    /// On its side.
    Lying,
}

/// What makes a bead's colour doubtful.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Doubt {
    /// Too little of it is free of edges, gloss and shade.
    FewPixels,
    /// Much of it shines.
    Glossy,
    /// Another bead lies close by.
    NearAnother,
    /// The picture holds no lighter, darker or more vivid colour than what is seen.
    Clipped,
}

impl Doubt {
    /// In the maker's words.
    pub fn word(self) -> &'static str {
        match self {
            Self::FewPixels => "few clean pixels",
            Self::Glossy => "glossy",
            Self::NearAnother => "close to another bead",
            Self::Clipped => "at the end of what the picture can show",
        }
    }
}

/// Why a bead has no one colour.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Unreadable {
    /// What lies below shows through.
    Clear,
    /// Sparks of other colours are in it.
    Glitter,
}

impl Unreadable {
    /// As the column `finish` has it.
    pub fn word(self) -> &'static str {
        match self {
            Self::Clear => "clear",
            Self::Glitter => "glitter",
        }
    }
}

/// A bead's colour as it was read.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ReadColour {
    /// Lab under D65.
    pub lab: Lab,
    /// Two in three lie within this of the bead's true colour, nineteen in twenty within twice as much.
    pub uncertainty: DeltaE,
}

/// One bead of a photograph.
#[derive(Clone, Debug, PartialEq)]
pub struct SeenBead {
    /// Its middle in pixels of the upright photograph.
    pub place: (f64, f64),
    /// Its radius in those pixels.
    pub radius: f64,
    /// How it lies.
    pub pose: Pose,
    /// The colour its clean part has in the photograph, nothing taken off.
    pub shown: Srgb,
    /// Its colour, or why it has none.
    pub colour: std::result::Result<ReadColour, Unreadable>,
    /// What makes that doubtful, each once.
    pub doubts: Vec<Doubt>,
}

/// The patch that told the light.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Patch {
    /// Its middle in pixels of the upright photograph.
    pub place: (f64, f64),
    /// Half its side in those pixels.
    pub half: f64,
    /// Its colour as it was read: none except for lightness.
    pub lab: Lab,
}

/// The beads of a photograph in reading order, and the light they were seen in.
#[derive(Clone, Debug, PartialEq)]
pub struct SeenBeads {
    /// Row by row from the top, each from the left; at least one.
    pub beads: Vec<SeenBead>,
    /// How many beads are in each row.
    pub rows: Vec<usize>,
    /// The grey or white patch; none where the paper was taken for white.
    pub patch: Option<Patch>,
    /// The light.
    pub light: SeenLight,
    /// The corners of the sheet in the photograph; none where paper fills it.
    pub corners: Option<Corners>,
}

/// Reads the beads of a photograph; `file` is its name in errors.
///
/// # Errors
/// [`Error::NoSubject`] where no paper, or no bead on it, is found.
pub fn read(file: &str, picture: &Picture, options: &SeenOptions) -> Result<SeenBeads> {
    let sheet = FlatSheet::of(file, picture, options.corners)?;
    let field = field::Field::of(&sheet);
    let none = || Error::NoSubject {
        file: file.into(),
        why: "no beads are seen on white paper in it: round things of one size, in rows".into(),
    };
    let found = spots::find(&field).ok_or_else(none)?;
    let patch = patch::find(&field, &found);
    let on_paper = |spot: &spots::BeadSpot| patch.as_ref().is_none_or(|patch| !patch.holds(spot));
    let spots: Vec<_> = found.spots.iter().copied().filter(on_paper).collect();
    if spots.is_empty() {
        return Err(none());
    }
    let (spots, rows) = rows::in_reading_order(spots, found.radius);
    let reading = colour::ColourReader::of(&sheet, patch.as_ref(), &spots, options.patch);
    let bead = |spot: &spots::BeadSpot| {
        let measure = measure::measure(&field, &sheet, spot, &spots);
        let (place, radius) = in_photograph(&sheet, (spot.x, spot.y), spot.radius);
        SeenBead {
            place,
            radius,
            pose: measure.pose,
            shown: reading.shown(&sheet, spot, &measure),
            colour: measure.unreadable.map_or_else(|| Ok(reading.colour(&measure)), Err),
            doubts: measure.doubts,
        }
    };
    let beads = spots.iter().map(bead).collect();
    let patch = patch.map(|patch| {
        let (place, half) = in_photograph(&sheet, patch.middle, patch.half);
        Patch { place, half, lab: reading.lab(patch.share.map(f64::from)) }
    });
    let corners = sheet.sheet().map(|sheet| sheet.corners);
    Ok(SeenBeads { beads, rows, patch, light: reading.light, corners })
}

/// A place of the flat sheet and a length there, in pixels of the upright photograph.
fn in_photograph(sheet: &FlatSheet, (x, y): (f64, f64), length: f64) -> ((f64, f64), f64) {
    let middle = sheet.picture_place((x + 0.5, y + 0.5));
    let aside = [(x + length, y), (x, y + length)].map(|(x, y)| sheet.picture_place((x + 0.5, y + 0.5)));
    let far = aside.map(|(x, y)| (x - middle.0).hypot(y - middle.1));
    (middle, (far[0] + far[1]) / 2.0)
}
