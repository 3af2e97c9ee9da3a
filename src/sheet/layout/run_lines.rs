//! The runs beside their rows, in the largest letters that fit.

use super::super::font::{Face, POINT};
use super::words::wrapped;

/// The runs of rows, broken into lines: most rows on one, in the larger letters, the few long ones on two.
pub(super) struct Runs {
    /// Each row's em and lines.
    pub rows: Vec<(f64, Vec<String>)>,
}

impl Runs {
    /// Sizes in points, best first: smaller ones cannot be read at arm's length.
    const SIZES: [f64; 6] = [8.5, 8.0, 7.5, 7.0, 6.5, 6.0];

    /// The least size, in points, of rows that take two lines.
    const SMALLEST: f64 = 6.5;

    /// From line to line, in ems: close, since every other row has a band.
    pub const LEADING: f64 = 1.04;

    /// This much of a row's height may be words.
    const FULL: f64 = 0.96;

    /// At least this share of the rows must stand on one line of the larger letters.
    const MOST: f64 = 0.5;

    /// The runs of rows of beads `pitch` apart, in a width; nothing where they cannot be read.
    pub fn fit(texts: &[String], width: f64, pitch: f64) -> Option<Self> {
        /// Wide enough for a word: else lines break within words.
        const LEAST: f64 = 25.0;
        let sizes = || Self::SIZES.into_iter().map(|points| points * POINT);
        if width < LEAST || texts.is_empty() {
            return None;
        }
        let broken = |text: &String, size: f64| wrapped(text, Face::Regular, size, width);
        // The largest letters of which two lines stand in a row, where they can be read.
        let small = (pitch * Self::FULL / 2.0 / Self::LEADING).min(Self::SIZES[0] * POINT);
        let small = Some(small).filter(|small| *small >= Self::SMALLEST * POINT);
        let in_rows = |size: f64| -> Option<Self> {
            let row = |text: &String| {
                let lines = broken(text, size);
                if lines.len() == 1 {
                    return Some((size, lines));
                }
                let small = small?.min(size);
                Some((small, broken(text, small))).filter(|(_, lines)| lines.len() <= 2)
            };
            let rows: Vec<_> = texts.iter().map(row).collect::<Option<_>>()?;
            let single = rows.iter().filter(|(_, lines)| lines.len() == 1).count();
            (single as f64 >= Self::MOST * texts.len() as f64).then_some(Self { rows })
        };
        sizes().filter(|size| size * Self::LEADING <= pitch * Self::FULL).find_map(in_rows)
    }
}
