//! Height classes: the common casts of rows, by name.

use std::borrow::Cow;

use super::{Zone, ZoneRows};
use crate::error::{Error, Result, did_you_mean};

/// A named height class and the rows it has (common practice, no source).
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct HeightClass {
    /// Its name in files and on the command line.
    pub name: Cow<'static, str>,
    /// Its rows by zone.
    pub rows: ZoneRows,
}

/// The guide's rows.
pub(super) const GUIDE_ROWS: [usize; 6] = [0, 5, 1, 8, 9, 1];

const fn class(name: &'static str, rows: [usize; 6]) -> HeightClass {
    HeightClass { name: Cow::Borrowed(name), rows: ZoneRows::known(rows) }
}

impl HeightClass {
    /// The figure all others are measured against.
    pub const GUIDE: Self = class("guide", GUIDE_ROWS);

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

    /// Whether a figure of these rows is of the class: those below the headwear are its own, and where it has headwear
    /// that as well.
    pub fn has_rows(&self, rows: &ZoneRows) -> bool {
        let below = Zone::ALL[1..].iter().all(|&zone| self.rows.get(zone) == rows.get(zone));
        below && (self.rows.get(Zone::Headwear) == 0 || self.rows == *rows)
    }
}

/// The height classes that can be asked for by name, in order: a cast's own come first. Never empty, names unique.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Classes(Vec<HeightClass>);

impl Default for Classes {
    fn default() -> Self {
        Self::trade()
    }
}

impl Classes {
    /// The trade's, tallest first.
    pub fn trade() -> Self {
        Self(HeightClass::ALL.to_vec())
    }

    /// A cast's own classes, beside the trade's or in place of those of the same name. Names of `own` are unique.
    pub fn with(own: Vec<HeightClass>) -> Self {
        let is_own = |class: &HeightClass| own.iter().any(|one| one.name == class.name);
        let trade: Vec<HeightClass> = HeightClass::ALL.into_iter().filter(|class| !is_own(class)).collect();
        Self(own.into_iter().chain(trade).collect())
    }

    /// One class alone.
    pub fn of(class: HeightClass) -> Self {
        Self(vec![class])
    }

    /// Every class.
    pub fn iter(&self) -> impl Iterator<Item = &HeightClass> {
        self.0.iter()
    }

    /// The class of that name.
    ///
    /// # Errors
    /// [`Error::BadValue`] that lists the names there are, and says which was likely meant.
    pub fn named(&self, name: &str) -> Result<HeightClass> {
        self.iter().find(|class| class.name == name).cloned().ok_or_else(|| {
            let names: Vec<&str> = self.iter().map(|class| class.name.as_ref()).collect();
            let meant = did_you_mean(name, names.iter().copied());
            Error::BadValue {
                option: "--class",
                value: name.into(),
                why: format!("there is no height class of that name{meant}"),
                right: format!("choose one of {}", names.join(", ")),
            }
        })
    }

    /// The class with just these rows below the headwear, if there is one.
    pub fn with_rows(&self, rows: &ZoneRows) -> Option<&HeightClass> {
        self.iter().find(|class| class.has_rows(rows))
    }
}
