//! Known sketches: drawn by our own hands in their own proportions, never on a grid of beads.
//!
//! A sketch has no one answer. Each was designed in beads by eye, from the picture alone, by two designers who
//! did not see one another's work; a draft is scored against both, and the two against one another say how near
//! to a design by eye a draft can be asked to come. How pictures and designs were made: `fixtures/sketches/README.md`.

use crate::draft::{Draft, DraftOptions, Size, draft};
use crate::error::{Error, Result};
use crate::figure;
use crate::grid::Grid;
use crate::plan::ZoneRows;
use crate::reference::Picture;
use crate::reference::open::{Limits, decode};
use crate::score::{KnownFigure, Plain, Score, draft_plainly, score_within, with_confidence};
use crate::tray::{BeadId, Tray};

/// What sketches are called among the manners of drawing: a manner of its own that no seed draws.
pub const SKETCH: &str = "sketch";

/// Sketches no fit has seen, one by each of the two hands: the ferry woman is the easiest medium, flat colour
/// with clean outlines, and a cut-out as the manner that is kept apart; the coal carter the hardest, wax that
/// lets the paper through, a patterned scarf, a load that hides head and arm.
pub const KEPT_SKETCHES: [&str; 2] = ["coal-carter", "ferry-woman"];

/// A design is laid on a draft up to this many beads aside each way: a prop raised above the head moves the middle.
const SHIFT: isize = 8;

/// A sketch, its two designs, and two figures mended from drafts of it.
#[derive(Clone, Debug)]
pub struct Sketch {
    /// Its name, the picture's file without the ending.
    pub name: String,
    /// The picture's file.
    pub file: String,
    /// Who it shows.
    pub who: String,
    /// What it was drawn in.
    pub medium: String,
    /// The rows it is brought to, zone by zone; designs may have more where a prop stands above the head.
    pub zones: ZoneRows,
    /// The two designs.
    pub designs: [KnownFigure; 2],
    /// What two menders, who did not know where it came from, made of a draft: a figure they would peg.
    pub mended: [KnownFigure; 2],
    bytes: &'static [u8],
}

impl Sketch {
    /// The picture's file as it is.
    pub fn bytes(&self) -> &'static [u8] {
        self.bytes
    }

    /// The picture.
    ///
    /// # Errors
    /// Those of [`decode`]; a test opens them all.
    pub fn picture(&self) -> Result<Picture> {
        decode(&self.file, self.bytes, &Limits::default())
    }

    /// What the tool is told: the rows zone by zone, no landmarks.
    pub fn options(&self) -> DraftOptions {
        DraftOptions { size: Size::Zones(self.zones), ..DraftOptions::default() }
    }

    /// Drafts the sketch.
    ///
    /// # Errors
    /// Those of [`draft`].
    pub fn draft(&self, picture: &Picture, tray: &Tray) -> Result<Draft> {
        self.draft_with(picture, &self.options(), tray)
    }

    /// Drafts the sketch as asked.
    ///
    /// # Errors
    /// Those of [`draft`].
    pub fn draft_with(&self, picture: &Picture, options: &DraftOptions, tray: &Tray) -> Result<Draft> {
        draft(&self.file, picture, options, tray)
    }

    /// Scores a draft against each design; none at all has every bead to mend. Each bead ([`Score::beads`]) is
    /// judged right where a maker keeps it: where any accepted figure, a design or a mended one, has it there.
    pub fn score(&self, draft: Option<&Draft>, tray: &Tray) -> [Score; 2] {
        self.score_beads(&draft.map_or_else(|| Grid::from_fn(0, 0, |_, _| None), with_confidence), tray)
    }

    /// Scores what a plain method makes of the sketch, told as many rows as the first design has.
    pub fn score_plain(&self, method: Plain, picture: &Picture, tray: &Tray) -> [Score; 2] {
        let beads = draft_plainly(method, picture.pixels(), self.designs[0].rows(), tray);
        self.score_beads(&beads.map(|_, _, bead: &Option<BeadId>| bead.map(|bead| (bead, 0.0))), tray)
    }

    fn score_beads(&self, beads: &Grid<Option<(BeadId, f64)>>, tray: &Tray) -> [Score; 2] {
        let of = |figure: &KnownFigure| score_within(SHIFT, &figure.beads, beads, tray);
        let mut scores = self.designs.each_ref().map(of);
        let mended = self.mended.each_ref().map(of);
        // Scores judge a draft's beads in one order, whatever the answer.
        let kept: Vec<bool> = (0..scores[0].beads.len())
            .map(|at| scores.iter().chain(&mended).any(|score| score.beads[at].right))
            .collect();
        for score in &mut scores {
            score.beads.iter_mut().zip(&kept).for_each(|(bead, kept)| bead.right = *kept);
        }
        scores
    }

    /// Beads in which its two designs differ.
    pub fn apart(&self, tray: &Tray) -> usize {
        let [one, other] = &self.designs;
        let other = other.beads.map(|_, _, bead| bead.map(|bead| (bead, 1.0)));
        score_within(SHIFT, &one.beads, &other, tray).mend
    }
}

/// Every known sketch, by name.
///
/// # Errors
/// [`Error::FigureFile`] if a design does not fit the embedded tray, or the list of sketches is not whole; a test
/// reads them all.
pub fn sketches(tray: &Tray) -> Result<Vec<Sketch>> {
    FILES.iter().map(|embedded| embedded.read(tray)).collect()
}

/// What is compiled in of one sketch.
struct Embedded {
    name: &'static str,
    file: &'static str,
    bytes: &'static [u8],
    designs: [&'static str; 2],
    mended: [&'static str; 2],
}

impl Embedded {
    fn read(&self, tray: &Tray) -> Result<Sketch> {
        let known = |text: &str| KnownFigure::of(self.name, &figure::read(self.name, text)?, tray);
        let both = |[one, other]: [&str; 2]| -> Result<_> { Ok([known(one)?, known(other)?]) };
        let [_, who, medium, .., zones, _] = self.line()?;
        Ok(Sketch {
            name: self.name.into(),
            file: self.file.into(),
            zones: ZoneRows::parse(&zones)?,
            who,
            medium,
            designs: both(self.designs)?,
            mended: both(self.mended)?,
            bytes: self.bytes,
        })
    }

    /// Its line of the list.
    fn line(&self) -> Result<[String; COLUMNS]> {
        let mut reader = csv::Reader::from_reader(INDEX.as_bytes());
        let mut lines = reader.records().filter_map(std::result::Result::ok);
        let found = lines.find(|line| line.get(0) == Some(self.file));
        let cells = found.map(|line| line.iter().map(str::to_owned).collect::<Vec<_>>());
        cells.and_then(|cells| cells.try_into().ok()).ok_or_else(|| Error::FigureFile {
            file: self.file.into(),
            why: "the list of sketches has no whole line for it".into(),
            right: "this is a fault of the program: src/trial/sketches/index.csv".into(),
        })
    }
}

/// The list of sketches: picture, who, medium, stature, class, zones, landmarks.
const INDEX: &str = include_str!("sketches/index.csv");

/// Columns of the list.
const COLUMNS: usize = 7;

macro_rules! known {
    ($($name:literal $ending:literal),* $(,)?) => {
        [$(Embedded {
            name: $name,
            file: concat!($name, $ending),
            bytes: include_bytes!(concat!("sketches/", $name, $ending)),
            designs: [
                include_str!(concat!("sketches/", $name, ".1.figure.toml")),
                include_str!(concat!("sketches/", $name, ".2.figure.toml")),
            ],
            mended: [
                include_str!(concat!("sketches/mended/", $name, ".1.figure.toml")),
                include_str!(concat!("sketches/mended/", $name, ".2.figure.toml")),
            ],
        }),*]
    };
}

const FILES: [Embedded; 10] = known![
    "baker-uncle" ".jpg",
    "bridge-warden" ".jpg",
    "coal-carter" ".jpg",
    "ferry-woman" ".png",
    "harbour-child" ".jpg",
    "kite-girl" ".jpg",
    "lamp-boy" ".jpg",
    "oyster-seller" ".jpg",
    "rope-dancer" ".jpg",
    "school-teacher" ".jpg",
];
