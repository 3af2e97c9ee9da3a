//! Trials: known figures drawn as people draw them, drafted, and scored against what they are. Built in by the
//! feature `trial`: its drawn sketches are larger than the rest of the program, and no maker needs them.

mod bare;
mod calibrate;
mod camera;
mod canvas;
mod chance;
mod clutter;
mod draw;
mod fills;
mod ink;
mod known;
mod laid_beads;
mod manner;
mod page;
mod people;
mod proportions;
mod shade;
mod shapes;
mod sketch;
mod table;

pub use bare::{BARE_PICTURES, bare_picture, is_taken_for_a_sheet};
pub use calibrate::{
    FITTED_SEEDS, KEPT_FIGURES, KEPT_MANNERS, fitted_tray, fitted_trials, is_fitted, is_fitted_sketch,
    lessons, weighed,
};
pub use draw::{Drawing, draw};
pub use known::known_figures;
pub use laid_beads::{BeadKind, LaidBead, LaidPhotograph, LaidScene};
pub use manner::Manner;
pub use people::{PeoplePage, people_page};
pub use sketch::{KEPT_SKETCHES, SKETCH, Sketch, sketches};
pub use table::{Beside, Corner, Framing, Lighting, Setting, Surface, Thrown};

use crate::draft::{Draft, DraftOptions, Size, draft};
use crate::error::Result;
use crate::grid::Grid;
use crate::plan::zones_for_rows;
use crate::reference::Picture;
use crate::score::{
    KnownFigure, Plain, Score, SheetScore, draft_plainly, score, sheet_score, with_confidence,
};
use crate::tray::{BeadId, Tray};

/// A known figure, drawn in a manner from a seed.
#[derive(Clone, Copy, Debug)]
pub struct Trial<'a> {
    /// The figure.
    pub figure: &'a KnownFigure,
    /// How it is drawn.
    pub manner: Manner,
    /// Starts every chance of the drawing.
    pub seed: u64,
}

impl Trial<'_> {
    /// The drawing.
    pub fn drawing(&self, tray: &Tray) -> Drawing {
        draw(self.figure, self.manner, self.seed, tray)
    }

    /// What the tool is told: the rows; for natural proportions the rows zone by zone.
    pub fn options(&self) -> DraftOptions {
        let rows = self.figure.rows();
        let size = match self.manner {
            Manner::Natural => Size::Zones(self.figure.zones.unwrap_or_else(|| zones_for_rows(rows))),
            _ => Size::Rows(rows),
        };
        DraftOptions { size, ..DraftOptions::default() }
    }

    /// Drafts the drawing.
    ///
    /// # Errors
    /// Those of [`draft`].
    pub fn draft(&self, drawing: &Drawing, tray: &Tray) -> Result<Draft> {
        self.draft_with(drawing, &self.options(), tray)
    }

    /// Drafts the drawing as asked.
    ///
    /// # Errors
    /// Those of [`draft`].
    pub fn draft_with(&self, drawing: &Drawing, options: &DraftOptions, tray: &Tray) -> Result<Draft> {
        let picture = Picture::of(drawing.pixels.clone());
        draft(self.manner.name(), &picture, options, tray)
    }

    /// Judges the sheet that a draft was made on; none where the drawing shows none.
    pub fn sheet_score(&self, drawing: &Drawing, draft: Option<&Draft>) -> Option<SheetScore> {
        let told = draft.and_then(|draft| draft.reference.sheet()).map(|sheet| sheet.corners.points());
        sheet_score(drawing.sheet?, told, drawing.pixels.dimensions())
    }

    /// Scores a draft; none at all has every bead to mend.
    pub fn score(&self, draft: Option<&Draft>, tray: &Tray) -> Score {
        match draft {
            Some(draft) => score(&self.figure.beads, &with_confidence(draft), tray),
            None => score(&self.figure.beads, &Grid::from_fn(0, 0, |_, _| None), tray),
        }
    }

    /// Scores what a plain method makes of the drawing.
    pub fn score_plain(&self, method: Plain, drawing: &Drawing, tray: &Tray) -> Score {
        let beads = draft_plainly(method, &drawing.pixels, self.figure.rows(), tray);
        score(
            &self.figure.beads,
            &beads.map(|_, _, bead: &Option<BeadId>| bead.map(|bead| (bead, 0.0))),
            tray,
        )
    }
}
