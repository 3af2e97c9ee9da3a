//! What lies at hand for a change.

use std::sync::LazyLock;

use crate::error::{Error, Result};
use crate::figure::Figure;
use crate::plan::Classes;
use crate::tray::Tray;

/// Where figures come from whose parts are taken.
pub trait Others {
    /// The figure of a file, named as in the line.
    ///
    /// # Errors
    /// As [`Figure::open`].
    fn figure(&self, file: &str) -> Result<Figure>;
}

/// No other figures can be reached.
#[derive(Clone, Copy, Debug)]
pub struct NoOthers;

impl Others for NoOthers {
    fn figure(&self, file: &str) -> Result<Figure> {
        Err(Error::Unreadable { file: file.into(), why: "no other figures can be reached here".into() })
    }
}

/// What lies at hand for a change: the beads that may be placed, other figures, the height classes.
#[derive(Clone, Copy)]
pub struct AtHand<'a> {
    /// The maker's tray.
    pub tray: &'a Tray,
    /// Other figures.
    pub others: &'a dyn Others,
    /// The height classes by which rows that come or go are named.
    pub classes: &'a Classes,
}

impl<'a> AtHand<'a> {
    /// These beads and figures, and the trade's height classes.
    pub fn new(tray: &'a Tray, others: &'a dyn Others) -> Self {
        static TRADE: LazyLock<Classes> = LazyLock::new(Classes::trade);
        Self { tray, others, classes: &TRADE }
    }

    /// The same with the height classes of a cast.
    #[must_use]
    pub fn with_classes(self, classes: &'a Classes) -> Self {
        Self { classes, ..self }
    }
}
