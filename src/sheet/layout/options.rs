//! What a maker may ask of a sheet.

use crate::error::{Error, Result};
use crate::units::Millimetres;

/// The paper.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Paper {
    /// ISO 216: 210 x 297 mm.
    A4,
    /// ANSI/ASME Y14.1 size A: 8.5 x 11 in, 215.9 x 279.4 mm.
    Letter,
}

impl Paper {
    /// Width and height in millimetres.
    pub fn size(self) -> (f64, f64) {
        match self {
            Self::A4 => (210.0, 297.0),
            Self::Letter => (215.9, 279.4),
        }
    }
}

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
                why: "this is no board".into(),
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
    match number.parse() {
        Ok(pitch) if PITCHES.contains(&pitch) => Ok(Millimetres(pitch)),
        _ => Err(Error::BadValue {
            option: "--pitch",
            value: text.into(),
            why: "this is no distance of beads".into(),
            right: "write millimetres, 1.5 to 20: regular beads 5mm, small ones 2.6mm".into(),
        }),
    }
}

/// What a printer makes of 1 mm, across and down.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct PrinterScale {
    /// Across.
    pub across: f64,
    /// Down.
    pub down: f64,
}

impl PrinterScale {
    /// A printer that prints true.
    pub const TRUE: Self = Self { across: 1.0, down: 1.0 };

    /// Reads `0.985`, or `0.985,0.99` where across and down differ.
    ///
    /// # Errors
    /// [`Error::BadValue`].
    pub fn parse(text: &str) -> Result<Self> {
        /// A printer farther off has fitted the page, which its settings can stop.
        const NEAR: std::ops::RangeInclusive<f64> = 0.9..=1.1;
        let numbers: Option<Vec<f64>> = text.split(',').map(|part| part.trim().parse().ok()).collect();
        match numbers.as_deref() {
            Some(&[both]) if NEAR.contains(&both) => Ok(Self { across: both, down: both }),
            Some(&[across, down]) if NEAR.contains(&across) && NEAR.contains(&down) => Ok(Self { across, down }),
            _ => Err(Error::BadValue {
                option: "--printer-scale",
                value: text.into(),
                why: "this is no scale from 0.9 to 1.1".into(),
                right: "measure the rulers of --test-page and divide by 100: 98.5 mm is 0.985; across,down where \
                        they differ, such as 0.985,0.99"
                    .into(),
            }),
        }
    }
}

/// The order of pegging to print step by step.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Steps {
    /// One colour after the other, the most beads first.
    Colour,
    /// One row after the other, from the top.
    Row,
}

/// What a maker may ask of a sheet.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct SheetOptions {
    /// The paper.
    pub paper: Paper,
    /// From bead to bead.
    pub pitch: Millimetres,
    /// What the printer makes of a millimetre.
    pub printer: PrinterScale,
    /// The board the beads stand on.
    pub board: Board,
    /// Steps to print as well, if any.
    pub steps: Option<Steps>,
}

impl Default for SheetOptions {
    /// Regular beads, 5 mm apart (common practice, no source), on the usual board, on A4.
    fn default() -> Self {
        Self {
            paper: Paper::A4,
            pitch: Millimetres(5.0),
            printer: PrinterScale::TRUE,
            board: Board::USUAL,
            steps: None,
        }
    }
}
