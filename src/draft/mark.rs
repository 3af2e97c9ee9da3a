//! Where a figure has a mark, seen in a picture: what colour is that hair?

use super::again::options_of;
use super::laid::Laid;
use crate::colour::Lab;
use crate::error::{Error, Result};
use crate::figure::{Figure, Mark, Source};
use crate::reference::Picture;

/// The colours a picture shows where a figure has a mark. `file` is the picture's name in errors.
///
/// The picture may be another reference of the same character: it is read with the figure's rows, and the
/// figure laid where the silhouettes agree best. `own` says where in it the figure was drafted from, where it was.
///
/// # Errors
/// As [`crate::reference::Reference::new`]; [`Error::NoSubject`] if the figure has no bead of that mark there.
pub fn colours_of_mark(
    file: &str,
    picture: &Picture,
    figure: &Figure,
    mark: Mark,
    own: Option<&Source>,
    seed: u64,
) -> Result<Vec<Lab>> {
    let beads = figure.beads();
    let options = options_of(figure, picture, own, seed);
    let laid = Laid::over(file, picture, &beads.map(|_, _, placed| placed.is_some()), &options)?;
    let colours = laid.pixels(&beads.map(|_, _, placed| placed.is_some_and(|p| p.mark == mark)));
    if colours.is_empty() {
        let why = format!("no bead of the mark '{}' lies on it", mark.get());
        return Err(Error::NoSubject { file: file.into(), why });
    }
    Ok(colours)
}
