//! A figure laid over another picture of the same character.

use super::{DraftOptions, reference_of, samples_of};
use crate::colour::Lab;
use crate::error::{Error, Result};
use crate::grid::Grid;
use crate::reference::{Picture, Reference};
use crate::sample::{BeadSample, SampleGrid};
use crate::units::{Column, Row};

/// Of each window only the middle is asked, this share of it each way: its rim may show a neighbour.
const MIDDLE: f64 = 0.6;

/// How far, in beads, a figure is moved over a picture to find where it fits.
const REACH: i64 = 3;

/// At least this share of the figure's beads must lie on the subject.
const ALIKE: f64 = 0.6;

/// At least this share of the subject's beads must lie under the figure too: a blot hides any figure. A prop may stand beside it.
const COVERED: f64 = 0.45;

/// A picture read with a figure's rows, and the figure laid where the silhouettes agree best.
pub(super) struct Laid {
    reference: Reference,
    samples: SampleGrid,
    shift: (i64, i64),
    agreement: f64,
}

impl Laid {
    /// Lays the places where a figure has beads over a picture. `file` is its name in errors.
    ///
    /// # Errors
    /// As [`Reference::new`]; [`Error::NoSubject`] where the silhouettes do not fit.
    pub fn over(file: &str, picture: &Picture, beads: &Grid<bool>, options: &DraftOptions) -> Result<Self> {
        let reference = reference_of(file, picture, options)?;
        let samples = samples_of(&reference, options);
        let shift = best_shift(beads, &samples, REACH);
        let shared = on_subject(beads, &samples, shift) as f64;
        let subject = count(&samples.beads().map(|_, _, sample| sample.filled));
        let agreement = shared / count(beads).max(1) as f64;
        if agreement < ALIKE || shared / (subject.max(1) as f64) < COVERED {
            let why = "its silhouette is not the figure's: it may show someone else, or another stance";
            return Err(Error::NoSubject { file: file.into(), why: why.into() });
        }
        Ok(Self { reference, samples, shift, agreement })
    }

    /// The share of the figure's beads that lie on the subject, 0 to 1.
    pub fn agreement(&self) -> f64 {
        self.agreement
    }

    /// What the picture was read as.
    pub fn samples(&self) -> &SampleGrid {
        &self.samples
    }

    /// The pixels in the middle of the windows that some of the figure's beads lie on.
    pub fn pixels(&self, here: &Grid<bool>) -> Vec<Lab> {
        self.places(here).flat_map(|place| self.middle_of(place)).collect()
    }

    /// What those windows show, where they show the subject.
    pub fn shown<'a>(&'a self, here: &'a Grid<bool>) -> impl Iterator<Item = &'a BeadSample> {
        self.places(here).map(|place| &self.samples.beads()[place]).filter(|sample| sample.filled)
    }

    fn places<'a>(&'a self, here: &'a Grid<bool>) -> impl Iterator<Item = (Row, Column)> + 'a {
        let here = here.iter().filter(|(_, _, is)| **is);
        here.filter_map(|(row, column, _)| moved(row, column, self.shift, &self.samples))
    }

    /// The pixels in the middle of a bead's window.
    fn middle_of(&self, place: (Row, Column)) -> Vec<Lab> {
        let window = self.samples.lattice().window(place.0, place.1);
        let rim = (1.0 - MIDDLE) / 2.0;
        let range = |start: f64, length: f64| {
            let from = (start + length * rim).max(0.0).round() as usize;
            from..((start + length * (1.0 - rim)).max(0.0).round() as usize).max(from + 1)
        };
        let (ys, xs) = (range(window.y, window.height), range(window.x, window.width));
        let colours = self.reference.colours();
        ys.flat_map(|y| xs.clone().filter_map(move |x| colours.get((y, x)).copied())).collect()
    }
}

fn count(beads: &Grid<bool>) -> usize {
    beads.iter().filter(|(_, _, is)| **is).count()
}

/// Rows and columns by which the figure is moved so that most of its beads lie on the subject.
pub fn best_shift(beads: &Grid<bool>, samples: &SampleGrid, reach: i64) -> (i64, i64) {
    let shifts = (-reach..=reach).flat_map(|down| (-reach..=reach).map(move |right| (down, right)));
    let agreeing = |shift: &(i64, i64)| on_subject(beads, samples, *shift);
    // The first of equals is the farthest up and left; the least shift is the likelier one.
    shifts.max_by_key(|shift| (agreeing(shift), -(shift.0.abs() + shift.1.abs()))).unwrap_or((0, 0))
}

fn on_subject(beads: &Grid<bool>, samples: &SampleGrid, shift: (i64, i64)) -> usize {
    let filled =
        |row, column| moved(row, column, shift, samples).is_some_and(|place| samples.beads()[place].filled);
    beads.iter().filter(|(row, column, is)| **is && filled(*row, *column)).count()
}

fn moved(row: Row, column: Column, (down, right): (i64, i64), samples: &SampleGrid) -> Option<(Row, Column)> {
    let row = Row(usize::try_from(row.0 as i64 + down).ok()?);
    let column = Column(usize::try_from(column.0 as i64 + right).ok()?);
    samples.beads().get(row, column).map(|_| (row, column))
}
