//! Where a figure has a mark, seen in a picture: what colour is that hair?

use super::again::options_of;
use crate::colour::Lab;
use crate::error::{Error, Result};
use crate::figure::{Figure, Mark, Placed};
use crate::grid::Grid;
use crate::reference::{Picture, Reference, ReferenceOptions};
use crate::sample::{Layout, SampleGrid};
use crate::units::{Column, Row};

/// Of each window only the middle is asked, this share of it each way: its rim may show a neighbour.
const MIDDLE: f64 = 0.6;

/// How far, in beads, a figure is moved over a picture to find where it fits.
const REACH: i64 = 3;

/// At least this share of the figure's beads must lie on the subject.
const ALIKE: f64 = 0.6;

/// The colours a picture shows where a figure has a mark. `file` is the picture's name in errors.
///
/// The picture may be another reference of the same character: it is read with the figure's rows, and the
/// figure laid where the silhouettes agree best. `part` is the part of the picture the figure was drafted
/// from (x, y, width, height), where that is known.
///
/// # Errors
/// As [`Reference::new`]; [`Error::NoSubject`] if the figure has no bead of that mark there.
pub fn colours_of_mark(
    file: &str,
    picture: &Picture,
    figure: &Figure,
    mark: Mark,
    part: Option<[u32; 4]>,
    seed: u64,
) -> Result<Vec<Lab>> {
    let beads = figure.beads();
    let options = options_of(figure, picture, part, seed);
    let reference = Reference::new(
        file,
        picture,
        &ReferenceOptions {
            crop: options.crop,
            rows: options.rows(),
            as_taken: options.as_taken,
            answers: options.answers.clone(),
        },
    )?;
    let zones = options.zones();
    let layout = match &zones {
        Some(zones) => Layout::Plan(zones, None),
        None => Layout::AsDrawn(options.rows()),
    };
    let samples = SampleGrid::read(&reference, layout, seed);
    let (down, right) = best_shift(figure, &samples, REACH);
    if agreement(figure, &samples, (down, right)) < ALIKE {
        let why = "its silhouette is not the figure's: it may show someone else, or another stance";
        return Err(Error::NoSubject { file: file.into(), why: why.into() });
    }
    let mut colours = Vec::new();
    for (row, column, _) in beads.iter().filter(|(_, _, placed)| placed.is_some_and(|p| p.mark == mark)) {
        if let Some(place) = moved(row, column, (down, right), &samples) {
            colours.extend(middle_of(&reference, &samples, place));
        }
    }
    if colours.is_empty() {
        let why = format!("no bead of the mark '{}' lies on it", mark.get());
        return Err(Error::NoSubject { file: file.into(), why });
    }
    Ok(colours)
}

/// Rows and columns by which the figure is moved so that most of its beads lie on the subject; at most `reach`
/// each way.
pub fn best_shift(figure: &Figure, samples: &SampleGrid, reach: i64) -> (i64, i64) {
    let beads = figure.beads();
    let shifts = (-reach..=reach).flat_map(|down| (-reach..=reach).map(move |right| (down, right)));
    let agreeing = |shift: &(i64, i64)| on_subject(&beads, samples, *shift);
    // The first of equals is the farthest up and left; the least shift is the likelier one.
    shifts.max_by_key(|shift| (agreeing(shift), -(shift.0.abs() + shift.1.abs()))).unwrap_or((0, 0))
}

/// The share of a figure's beads that lie on the subject.
fn agreement(figure: &Figure, samples: &SampleGrid, shift: (i64, i64)) -> f64 {
    let beads = figure.beads();
    let all = beads.iter().filter(|(_, _, placed)| placed.is_some()).count();
    on_subject(&beads, samples, shift) as f64 / all.max(1) as f64
}

fn on_subject(beads: &Grid<Option<Placed>>, samples: &SampleGrid, shift: (i64, i64)) -> usize {
    let filled =
        |row, column| moved(row, column, shift, samples).is_some_and(|place| samples.beads()[place].filled);
    beads.iter().filter(|(row, column, placed)| placed.is_some() && filled(*row, *column)).count()
}

fn moved(row: Row, column: Column, (down, right): (i64, i64), samples: &SampleGrid) -> Option<(Row, Column)> {
    let row = Row(usize::try_from(row.0 as i64 + down).ok()?);
    let column = Column(usize::try_from(column.0 as i64 + right).ok()?);
    samples.beads().get(row, column).map(|_| (row, column))
}

/// The pixels in the middle of a bead's window.
fn middle_of(reference: &Reference, samples: &SampleGrid, place: (Row, Column)) -> Vec<Lab> {
    let window = samples.lattice().window(place.0, place.1);
    let rim = (1.0 - MIDDLE) / 2.0;
    let range = |start: f64, length: f64| {
        let from = (start + length * rim).max(0.0).round() as usize;
        from..((start + length * (1.0 - rim)).max(0.0).round() as usize).max(from + 1)
    };
    let (ys, xs) = (range(window.y, window.height), range(window.x, window.width));
    let colours = reference.colours();
    ys.flat_map(|y| xs.clone().filter_map(move |x| colours.get((y, x)).copied())).collect()
}
