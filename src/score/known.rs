//! Figures whose beads are known, so that a draft has an answer.

use crate::error::Result;
use crate::figure::Figure;
use crate::grid::Grid;
use crate::plan::ZoneRows;
use crate::tray::{BeadId, Tray};

/// A figure whose beads are known.
#[derive(Clone, Debug)]
pub struct KnownFigure {
    /// Its file's name without the ending.
    pub name: String,
    /// Which bead lies where.
    pub beads: Grid<Option<BeadId>>,
    /// Its rows by zone.
    pub zones: Option<ZoneRows>,
}

impl KnownFigure {
    /// Takes a figure's beads as known. `file` is its name in errors.
    ///
    /// # Errors
    /// [`crate::error::Error::FigureFile`] for a bead that the tray has not.
    pub fn of(name: &str, figure: &Figure, tray: &Tray) -> Result<Self> {
        for entry in figure.legend() {
            if tray.find(&entry.bead).is_none() {
                return Err(crate::error::Error::FigureFile {
                    file: name.into(),
                    why: format!("its bead '{}' is not in the tray", entry.bead),
                    right: "give the tray it was made from with --tray".into(),
                });
            }
        }
        let beads = figure.beads().map(|_, _, placed| {
            let placed = placed.as_ref()?;
            figure.entry(placed.mark).and_then(|entry| tray.find(&entry.bead))
        });
        Ok(Self { name: name.into(), beads, zones: figure.rows().copied() })
    }

    /// Rows from the first bead to the last.
    pub fn rows(&self) -> usize {
        self.beads.rows()
    }
}
