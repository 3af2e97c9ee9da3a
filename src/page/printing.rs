//! Sheets and pictures of a figure, as the command line makes them.

use serde::Deserialize;

use super::shared::Shared;
use crate::error::{Error, Result};
use crate::figure::Figure;
use crate::plan::parse_pitch;
use crate::sheet::{Paper, SheetOptions, ShowOptions, Subject, build_sheet, pdf, png, raster, show_figures};
use crate::tray::Tray;

/// What is asked of a sheet.
#[derive(Debug, Deserialize)]
pub struct SheetWishes {
    /// The figure.
    pub file: String,
    /// `a4` or `letter`.
    pub paper: Option<String>,
    /// From bead to bead.
    pub pitch: Option<String>,
}

/// What is asked of a picture.
#[derive(Debug, Deserialize)]
pub struct ShowWishes {
    /// The figure.
    pub file: String,
    /// As the iron leaves the beads, not as pegged.
    #[serde(default)]
    pub fused: bool,
}

/// The sheet to peg from, as PDF; pitch and board are those of the cast where none is asked for.
///
/// # Errors
/// [`Error::BadValue`].
pub fn sheet(figure: &Figure, shared: &Shared, wishes: &SheetWishes) -> Result<Vec<u8>> {
    let paper = match wishes.paper.as_deref() {
        None | Some("a4") => Paper::A4,
        Some("letter") => Paper::Letter,
        Some(other) => {
            return Err(Error::BadValue {
                option: "--paper",
                value: other.into(),
                why: "there is no paper size of that name".into(),
                right: "choose a4 or letter".into(),
            });
        }
    };
    let usual = SheetOptions::default();
    let pitch = wishes.pitch.as_deref().map(parse_pitch).transpose()?;
    let options = SheetOptions {
        paper,
        pitch: pitch.or(shared.pitch).unwrap_or(usual.pitch),
        board: shared.board.unwrap_or(usual.board),
        ..usual
    };
    Ok(pdf(&build_sheet(&[Subject { figure, reference: None }], &shared.tray, &options)))
}

/// The figure as a picture, as PNG.
///
/// # Errors
/// [`Error::BadValue`] where it would be too large.
pub fn show(figure: &Figure, tray: &Tray, wishes: &ShowWishes) -> Result<Vec<u8>> {
    let options = ShowOptions { fused: wishes.fused, ..ShowOptions::default() };
    let sheet = show_figures(&[Subject { figure, reference: None }], tray, &options)?;
    Ok(png(&raster(&sheet, &sheet.pages[0], 1.0)))
}
