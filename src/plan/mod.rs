//! How tall a figure stands and which rows carry it.
//!
//! Numbers of the trade (common practice, no source): the guide figure stands 24 rows tall, head 5,
//! neck 1, torso 8, legs 9, feet 1; a shorter adult loses a torso row, a taller one gains a leg row.

mod age;
mod board;
mod body_part;
mod build;
mod classes;
mod difference;
mod fit;
mod guide;
mod look;
mod marks;
mod plain;
mod sources;
mod stature;

pub use age::{Age, Heights, Sex};
pub use board::{Board, parse_pitch};
pub use body_part::BodyPart;
pub use build::{Build, BuildKind, Measured};
pub use classes::{Classes, HeightClass};
pub use difference::{Difference, Why};
pub use fit::{FittedRow, fitted_rows};
pub use guide::Guide;
pub use look::{Facing, HeadShape, LegLook, Look};
pub use marks::{Landmark, Marks};
pub use plain::{Material, PlainBody, PlainPart};
pub use sources::{Apart, Heard, Sources};
pub use stature::{GUIDE_STATURE, parse_stature, rows_for_stature, zones_for_rows};

use std::fmt;
use std::ops::Range;

use crate::error::{Error, Result, did_you_mean};

/// A band of rows of the body, named top to bottom.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Zone {
    /// Hat, cap or hair piled above the head's own rows.
    Headwear,
    /// Crown to chin.
    Head,
    /// Chin to shoulder.
    Neck,
    /// Shoulder to hip.
    Torso,
    /// Hip to ankle.
    Legs,
    /// Ankle to sole.
    Feet,
}

impl Zone {
    /// All zones, top to bottom.
    pub const ALL: [Self; 6] = [Self::Headwear, Self::Head, Self::Neck, Self::Torso, Self::Legs, Self::Feet];

    /// Its name in files and on the command line.
    pub fn name(self) -> &'static str {
        match self {
            Self::Headwear => "headwear",
            Self::Head => "head",
            Self::Neck => "neck",
            Self::Torso => "torso",
            Self::Legs => "legs",
            Self::Feet => "feet",
        }
    }

    /// The zone of that name.
    pub fn named(name: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|z| z.name() == name)
    }
}

/// The most rows a figure may have: far beyond any figure of this scale, near enough to catch a typing slip.
pub const MOST_ROWS: usize = 100;

/// The most columns a figure may have: a figure with outstretched props, not a frieze.
pub const MOST_COLUMNS: usize = 150;

/// How many rows each zone has. Adds up to 1..=[`MOST_ROWS`].
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct ZoneRows([usize; 6]);

impl ZoneRows {
    /// Rows of headwear, head, neck, torso, legs, feet.
    ///
    /// # Errors
    /// [`Error::BadValue`] unless they add up to 1..=[`MOST_ROWS`].
    pub fn new(rows: [usize; 6]) -> Result<Self> {
        let total = rows.iter().fold(0_usize, |sum, &r| sum.saturating_add(r));
        if (1..=MOST_ROWS).contains(&total) {
            return Ok(Self(rows));
        }
        Err(Error::BadValue {
            option: "--zones",
            value: Self(rows).to_string(),
            why: format!("the rows add up to {total}"),
            right: format!("make them add up to 1 to {MOST_ROWS}, as in head=5,neck=1,torso=8,legs=9,feet=1"),
        })
    }

    /// Rows known to be right, for the trade's own numbers.
    const fn known(rows: [usize; 6]) -> Self {
        Self(rows)
    }

    /// The same with this many more rows above the head; none past [`MOST_ROWS`].
    pub(crate) fn raised(mut self, rows: usize) -> Option<Self> {
        self.0[Zone::Headwear as usize] += rows;
        Self::new(self.0).ok()
    }

    /// Rows of one zone; 0 where the figure has none.
    pub fn get(&self, zone: Zone) -> usize {
        self.0[zone as usize]
    }

    /// The row a zone begins with, or would.
    pub fn first(&self, zone: Zone) -> usize {
        Zone::ALL.iter().take_while(|above| **above != zone).map(|above| self.get(*above)).sum()
    }

    /// The rows of a zone; empty where it has none.
    pub fn rows_of(&self, zone: Zone) -> Range<usize> {
        self.first(zone)..self.first(zone) + self.get(zone)
    }

    /// The zone a row lies in, and that zone's rows; nothing past the last.
    pub fn at(&self, row: usize) -> Option<(Zone, Range<usize>)> {
        Zone::ALL.into_iter().map(|zone| (zone, self.rows_of(zone))).find(|(_, rows)| rows.contains(&row))
    }

    /// All rows, 1..=[`MOST_ROWS`].
    pub fn total(&self) -> usize {
        self.0.iter().sum()
    }

    /// The zones that have rows, each with its first row and how many, top to bottom.
    pub fn spans(&self) -> impl Iterator<Item = (Zone, usize, usize)> + '_ {
        let mut first = 0;
        Zone::ALL.into_iter().filter_map(move |zone| {
            let (start, rows) = (first, self.get(zone));
            first += rows;
            (rows > 0).then_some((zone, start, rows))
        })
    }

    /// Reads `head=5,neck=1,torso=8,legs=9,feet=1`; zones left out have no rows.
    ///
    /// # Errors
    /// [`Error::BadValue`] that names the faulty part.
    pub fn parse(text: &str) -> Result<Self> {
        let fault = |why: String| Error::BadValue {
            option: "--zones",
            value: text.into(),
            why,
            right: "write zones as head=5,neck=1,torso=8,legs=9,feet=1 (headwear=2 where there is some)"
                .into(),
        };
        let mut rows = [None; 6];
        for part in text.split(',').map(str::trim) {
            let (name, number) =
                part.split_once('=').ok_or_else(|| fault(format!("'{part}' is not ZONE=ROWS")))?;
            let zone = Zone::named(name.trim()).ok_or_else(|| {
                let meant = did_you_mean(name.trim(), Zone::ALL.map(Zone::name));
                fault(format!("there is no zone '{name}'{meant}"))
            })?;
            let count: usize = number
                .trim()
                .parse()
                .map_err(|_| fault(format!("'{number}' is not a whole number of rows")))?;
            if rows[zone as usize].replace(count).is_some() {
                return Err(fault(format!("{name} is given twice")));
            }
        }
        let rows = rows.map(|r| r.unwrap_or(0));
        if rows == [0; 6] {
            return Err(fault("the rows add up to 0".into()));
        }
        Self::new(rows)
    }
}

impl fmt::Display for ZoneRows {
    /// As [`ZoneRows::parse`] reads it.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let parts: Vec<String> =
            self.spans().map(|(zone, _, rows)| format!("{}={rows}", zone.name())).collect();
        f.write_str(&parts.join(","))
    }
}
