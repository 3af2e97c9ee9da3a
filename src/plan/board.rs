//! What beads are pegged on: how far apart, on how many pegs.

use crate::error::{Error, Result};
use crate::units::Millimetres;

/// The pegs of one board.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Board {
    /// Pegs down.
    pub rows: usize,
    /// Pegs across.
    pub columns: usize,
}

impl Board {
    /// The common square board (common practice, no source).
    pub const USUAL: Self = Self { rows: 29, columns: 29 };

    /// Fewest and most pegs a side: fewer are no board, more are a slip.
    const SIDE: std::ops::RangeInclusive<usize> = 4..=200;

    /// Reads `29x29`: pegs across, pegs down.
    ///
    /// # Errors
    /// [`Error::BadValue`].
    pub fn parse(text: &str) -> Result<Self> {
        let sides = text.split_once(['x', 'X', '×']);
        let side = |text: &str| text.trim().parse().ok().filter(|pegs| Self::SIDE.contains(pegs));
        match sides.and_then(|(across, down)| Some((side(across)?, side(down)?))) {
            Some((columns, rows)) => Ok(Self { rows, columns }),
            None => Err(Error::BadValue {
                option: "--board",
                value: text.into(),
                why: "this is not a board size".into(),
                right: "write pegs across and down, 4 to 200 each, such as 29x29".into(),
            }),
        }
    }
}

/// The distance of two beads side by side.
pub fn parse_pitch(text: &str) -> Result<Millimetres> {
    /// Smaller beads cannot carry a mark, larger ones are none.
    const PITCHES: std::ops::RangeInclusive<f64> = 1.5..=20.0;
    let number = text.trim().strip_suffix("mm").unwrap_or(text.trim()).trim();
    match number.replace(',', ".").parse() {
        Ok(pitch) if PITCHES.contains(&pitch) => Ok(Millimetres(pitch)),
        _ => Err(Error::BadValue {
            option: "--pitch",
            value: text.into(),
            why: "this is not a distance between beads".into(),
            right: "write millimetres, 1.5 to 20: regular beads 5mm, small ones 2.6mm".into(),
        }),
    }
}
