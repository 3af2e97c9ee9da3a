//! A draft as the page shows it: the table, and what can be moved on the picture.

use std::collections::BTreeMap;
use std::sync::{Arc, Mutex};

use serde::Serialize;

use super::making::{Asked, Wishes, areas, landmarks};
use super::readings::{Stamp, held};
use super::table::Table;
use crate::draft::{Draft, DraftOptions, draft};
use crate::error::Result;
use crate::reference::{Person, Picture};
use crate::tray::Tray;

/// A picture in pixels, and as it is shown.
#[derive(Debug, Serialize)]
struct Size {
    width: u32,
    height: u32,
    shown: (u32, u32),
}

/// The answer to a draft that was asked for. All places are in pixels of the upright picture.
#[derive(Debug, Serialize)]
pub struct Drafted<'a> {
    table: Table<'a>,
    marks: BTreeMap<&'static str, f64>,
    areas: Vec<Asked>,
    picture: Size,
    /// The part that holds the figure: x, y, width, height.
    used: [u32; 4],
    /// The corners of the sheet, as given or else as found: clockwise from the top left.
    sheet: Option<[(f64, f64); 4]>,
    /// The people of the page in reading order, where there are several and none was chosen, each as a box.
    people: Vec<[u32; 4]>,
    warnings: Vec<String>,
}

impl<'a> Drafted<'a> {
    /// What is told of a draft of a picture that is shown in this many pixels.
    pub fn new(
        table: Table<'a>,
        (picture, shown): (&Picture, (u32, u32)),
        found: &Draft,
        wishes: &Wishes,
    ) -> Self {
        let (width, height) = picture.size();
        let people = found.reference.people();
        Self {
            table,
            marks: landmarks(found),
            areas: areas(found, wishes),
            picture: Size { width, height, shown },
            used: found.reference.used(),
            sheet: found.reference.sheet().map(|sheet| sheet.corners.points()),
            people: if people.len() > 1 { people.iter().map(Person::crop).collect() } else { Vec::new() },
            warnings: found.warnings.iter().map(ToString::to_string).collect(),
        }
    }
}

/// All that a draft depends on, but what stays the same while the page is up.
#[derive(Clone, PartialEq)]
pub struct Key {
    /// The picture's file.
    pub picture: Option<Stamp>,
    /// What was asked.
    pub wishes: Wishes,
}

/// The draft that was made last: what is saved is what was looked at, and not drafted again.
#[derive(Default)]
pub struct Last(Mutex<Option<(Key, Arc<Draft>)>>);

impl Last {
    /// The draft of a picture, made where it is not the last one.
    ///
    /// # Errors
    /// As [`draft`].
    pub fn of(
        &self,
        key: Key,
        (name, picture): (&str, &Picture),
        options: &DraftOptions,
        tray: &Tray,
    ) -> Result<Arc<Draft>> {
        if let Some((known, last)) = &*held(&self.0)
            && *known == key
        {
            return Ok(Arc::clone(last));
        }
        let made = Arc::new(draft(name, picture, options, tray)?);
        *held(&self.0) = Some((key, Arc::clone(&made)));
        Ok(made)
    }
}
