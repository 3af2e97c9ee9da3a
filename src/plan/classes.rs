//! Height classes: the common casts of rows, by name.

use super::{Zone, ZoneRows};
use crate::error::{Error, Result};

/// A named height class and the rows it has (common practice, no source).
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct HeightClass {
    /// Its name in files and on the command line.
    pub name: &'static str,
    /// Its rows by zone.
    pub rows: ZoneRows,
}

/// From this likeness of spelling on (Jaro-Winkler) a name was likely meant.
const LIKELY: f64 = 0.8;

const fn class(name: &'static str, rows: [usize; 6]) -> HeightClass {
    HeightClass { name, rows: ZoneRows::known(rows) }
}

impl HeightClass {
    /// The figure all others are measured against.
    pub const GUIDE: Self = class("guide", [0, 5, 1, 8, 9, 1]);

    /// Every class, tallest first.
    pub const ALL: [Self; 7] = [
        class("very-tall", [1, 5, 1, 9, 10, 1]),
        class("taller", [0, 5, 1, 8, 10, 1]),
        Self::GUIDE,
        class("shorter", [0, 5, 1, 7, 9, 1]),
        class("older-child", [0, 5, 1, 5, 7, 1]),
        class("child", [0, 5, 1, 5, 5, 1]),
        class("small-child", [0, 5, 1, 4, 4, 1]),
    ];

    /// The class of that name.
    ///
    /// # Errors
    /// [`Error::BadValue`] that lists the names there are, tallest first, and says which was likely meant.
    pub fn named(name: &str) -> Result<Self> {
        Self::ALL.into_iter().find(|c| c.name == name).ok_or_else(|| {
            let names = Self::ALL.map(|c| c.name);
            let likely = names.into_iter().find(|known| strsim::jaro_winkler(known, name) >= LIKELY);
            let meant = likely.map_or(String::new(), |likely| format!(" (did you mean {likely}?)"));
            Error::BadValue {
                option: "--class",
                value: name.into(),
                why: format!("there is no height class of that name{meant}"),
                right: format!("choose one of {}", names.join(", ")),
            }
        })
    }

    /// The class with just these rows below the headwear, if there is one.
    pub fn with_rows(rows: &ZoneRows) -> Option<Self> {
        Self::ALL.into_iter().find(|c| {
            Zone::ALL[1..].iter().all(|&z| c.rows.get(z) == rows.get(z))
                && (c.rows.get(Zone::Headwear) == 0 || c.rows == *rows)
        })
    }
}
