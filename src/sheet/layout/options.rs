//! What a maker may ask of a sheet.

use crate::error::{Error, Result};
use crate::plan::Board;
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

    /// Reads `0.985` or `98.5%`, or `0.985,0.99` where across and down differ.
    ///
    /// # Errors
    /// [`Error::BadValue`].
    pub fn parse(text: &str) -> Result<Self> {
        /// A printer farther off has fitted the page, which its settings can stop.
        const NEAR: std::ops::RangeInclusive<f64> = 0.9..=1.1;
        let number = |part: &str| match part.trim().strip_suffix('%') {
            Some(percent) => percent.trim().parse::<f64>().ok().map(|percent| percent / 100.0),
            None => part.trim().parse().ok(),
        };
        let numbers: Option<Vec<f64>> = text.split(',').map(number).collect();
        match numbers.as_deref() {
            Some(&[both]) if NEAR.contains(&both) => Ok(Self { across: both, down: both }),
            Some(&[across, down]) if NEAR.contains(&across) && NEAR.contains(&down) => Ok(Self { across, down }),
            _ => Err(Error::BadValue {
                option: "--printer-scale",
                value: text.into(),
                why: "this is not a scale from 0.9 to 1.1".into(),
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
    /// Whether figures that fit on one board stand side by side on it; else each has its own, with the runs of its
    /// rows beside it.
    pub together: bool,
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
            together: false,
        }
    }
}
