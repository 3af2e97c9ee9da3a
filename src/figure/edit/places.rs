//! Places as a line has them: `4,6`, or `11-14,1-2` for every peg of rows 11 to 14 in columns 1 to 2.

use std::fmt;

use super::Spot;
use crate::plan::{MOST_COLUMNS, MOST_ROWS};

/// Farthest row or column a line may name: far beyond any figure.
pub(super) const FARTHEST: i32 = 1000;

/// The most places of one word: the pegs of the largest figure.
const MOST_PLACES: i64 = (MOST_ROWS * MOST_COLUMNS) as i64;

/// Fewer places than this are named one by one, as they are typed.
const A_BLOCK: usize = 3;

/// The pegs of some rows and columns, first and last, counted as a line has them.
#[derive(Clone, Copy)]
pub(super) struct Block {
    rows: (i32, i32),
    columns: (i32, i32),
}

impl Block {
    /// Of a word such as `4,6` or `11-14,1-2`; none of any other word.
    pub(super) fn read(word: &str) -> Option<Self> {
        let (rows, columns) = word.split_once(',')?;
        Some(Self { rows: span(rows)?, columns: span(columns)? })
    }

    /// Its places, row by row.
    ///
    /// # Errors
    /// Why there are none: it is too far out, or is larger than a figure can be.
    pub(super) fn spots(self) -> Result<Vec<Spot>, &'static str> {
        let ends = [self.rows.0, self.rows.1, self.columns.0, self.columns.1];
        if ends.iter().any(|end| end.saturating_abs() > FARTHEST) {
            return Err("is too far out");
        }
        let many = |(first, last): (i32, i32)| i64::from(last - first + 1);
        if many(self.rows) * many(self.columns) > MOST_PLACES {
            return Err("is more than a figure has");
        }
        let row =
            |row: i32| (self.columns.0..=self.columns.1).map(move |c| Spot { row: row - 1, column: c - 1 });
        Ok((self.rows.0..=self.rows.1).flat_map(row).collect())
    }

    /// The largest block that the first places make up, in their order, and how many they are.
    fn leading(spots: &[Spot]) -> Option<(Self, usize)> {
        let first = spots.first()?;
        let follows = |row: i32, at: usize, spot: &Spot| {
            spot.row == first.row + row && i64::from(spot.column) == i64::from(first.column) + at as i64
        };
        let wide = spots.iter().enumerate().take_while(|(at, spot)| follows(0, *at, spot)).count();
        let is_next = |(row, chunk): &(i32, &[Spot])| {
            chunk.len() == wide && chunk.iter().enumerate().all(|(at, spot)| follows(*row, at, spot))
        };
        let deep = (0..).zip(spots.chunks(wide)).take_while(is_next).count();
        let span = |first: i32, many: usize| (first + 1, first + many as i32);
        Some((Self { rows: span(first.row, deep), columns: span(first.column, wide) }, wide * deep))
    }
}

/// `4` or `11-14`, in either order. A number below 1 has a hyphen of its own.
fn span(text: &str) -> Option<(i32, i32)> {
    let number = |text: &str| text.parse::<i32>().ok();
    let hyphen = text.char_indices().skip(1).find(|(_, c)| *c == '-');
    match hyphen {
        None => number(text).map(|one| (one, one)),
        Some((at, _)) => {
            let (one, other) = (number(&text[..at])?, number(&text[at + 1..])?);
            Some((one.min(other), one.max(other)))
        }
    }
}

/// Places as they are written, so that they are read in the same order.
pub(super) struct Places<'a>(pub &'a [Spot]);

impl fmt::Display for Places<'_> {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let mut rest = self.0;
        let mut between = "";
        while let Some((block, many)) = Block::leading(rest) {
            f.write_str(between)?;
            between = " ";
            let many = if many < A_BLOCK {
                write!(f, "{}", rest[0])?;
                1
            } else {
                write!(f, "{block}")?;
                many
            };
            rest = &rest[many..];
        }
        Ok(())
    }
}

impl fmt::Display for Block {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let span = |(first, last): (i32, i32)| match first == last {
            true => first.to_string(),
            false => format!("{first}-{last}"),
        };
        write!(f, "{},{}", span(self.rows), span(self.columns))
    }
}

impl fmt::Display for Spot {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{},{}", self.row + 1, self.column + 1)
    }
}
