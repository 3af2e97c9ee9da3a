//! A figure's own drafting, laid out again: where its rows and columns lie in its picture.

use super::{Draft, DraftOptions, Size, draft};
use crate::error::Result;
use crate::figure::{Figure, Source};
use crate::reference::{Area, Picture};
use crate::tray::Tray;

/// Ground looked at around the figure's own part of its picture, in beads.
const ROUND: f64 = 3.0;

/// How a picture is read with the figure's own rows. `own` says where in it the figure was drafted from, where it
/// was: which part, on a sheet with which corners.
pub fn options_of(figure: &Figure, picture: &Picture, own: Option<&Source>, seed: u64) -> DraftOptions {
    let rows = figure.beads().rows();
    let size = figure.rows().map_or(Size::Rows(rows), |rows| Size::Zones(*rows));
    let options = DraftOptions { size, seed, ..DraftOptions::default() };
    let whole = picture.whole();
    let crop = own.and_then(|own| own.crop).map(|[x, y, width, height]| {
        let [x, y, width, height] = [x, y, width, height].map(f64::from);
        let bead = height / options.rows() as f64;
        Area { x, y, width, height }.grown_within(ROUND * bead, whole)
    });
    // A part that no longer lies in the picture says nothing.
    let crop = crop.filter(|crop| crop.width >= 1.0 && crop.height >= 1.0);
    DraftOptions { crop, corners: own.and_then(|own| own.corners), ..options }
}

/// Drafts a figure's picture again with the figure's own rows, to show how it was read. What the maker's hand
/// changed since is in the figure alone.
///
/// # Errors
/// As [`draft`].
pub fn draft_again(file: &str, picture: &Picture, figure: &Figure, seed: u64, tray: &Tray) -> Result<Draft> {
    draft(file, picture, &options_of(figure, picture, figure.source(), seed), tray)
}
