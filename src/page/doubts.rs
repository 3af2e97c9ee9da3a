//! Single pegs the tool is not sure of, each with what else could lie there. What is asked of them together is
//! `decisions.rs`'s.

use std::collections::HashMap;

use serde::Serialize;

use super::reading::{Laid, Other};
use super::table::colour_of;
use super::why;
use crate::colour::{Lab, ciede2000};
use crate::figure::{Figure, Mark, Placed, SURE, Second, Sure};
use crate::grid::Grid;
use crate::tray::{BeadId, Tray};
use crate::units::{Column, DeltaE, Row};

/// As many runners-up as there are to choose from by one key without looking for it.
const MOST_OTHERS: usize = 4;

/// A bead, or an empty peg, that is not sure.
#[derive(Debug, Serialize)]
pub struct Doubt<'a> {
    row: usize,
    column: usize,
    /// None is an empty peg that may need a bead.
    bead: Option<&'a str>,
    sure: f64,
    others: Vec<OtherLine<'a>>,
    /// What of the picture it was read from.
    why: Option<String>,
}

impl<'a> Doubt<'a> {
    /// Whether it is about a peg.
    pub fn is_at(&self, (row, column): (Row, Column)) -> bool {
        (self.row, self.column) == (row.0, column.0)
    }

    /// What else could lie there.
    pub fn others(&self) -> Vec<OtherLine<'a>> {
        self.others.clone()
    }
}

/// What else could lie at a peg.
#[derive(Clone, Debug, Serialize)]
pub struct OtherLine<'a> {
    /// None is an empty peg.
    bead: Option<&'a str>,
    sure: Option<f64>,
    /// How far its colour lies from the one that is there (CIEDE2000).
    apart: Option<f64>,
}

/// The doubts of a figure, worst first; equal ones in reading order.
pub fn doubts<'a>(
    figure: &'a Figure,
    pegs: &Grid<Option<(Placed, usize)>>,
    tray: &'a Tray,
    laid: Option<Laid>,
) -> Vec<Doubt<'a>> {
    let mut near = Near::new(figure, tray);
    let mut doubts: Vec<Doubt> = Vec::new();
    for (row, column, peg) in pegs.iter() {
        doubts.extend(match peg {
            Some((bead, _)) => near.of_bead((row, column), bead, laid),
            None => near.of_nothing((row, column), laid),
        });
    }
    // A stable sort: equal ones stay in reading order.
    doubts.sort_by(|one, other| one.sure.total_cmp(&other.sure));
    doubts
}

/// Runners-up, with the tray's nearest beads to each mark looked up once.
pub struct Near<'a> {
    figure: &'a Figure,
    tray: &'a Tray,
    known: HashMap<Mark, Vec<(BeadId, DeltaE)>>,
}

impl<'a> Near<'a> {
    /// Nothing is looked up yet.
    pub fn new(figure: &'a Figure, tray: &'a Tray) -> Self {
        Self { figure, tray, known: HashMap::new() }
    }

    /// The tray's nearest beads to the colour of a bead of the figure.
    pub fn of_colour(&mut self, bead: &str) -> Vec<OtherLine<'a>> {
        let Some(entry) = self.figure.legend().iter().find(|entry| entry.bead == bead) else {
            return Vec::new();
        };
        let mut others = self.nearest(entry.mark, self.tray.find(bead));
        others.truncate(MOST_OTHERS);
        others
    }

    fn of_bead(
        &mut self,
        (row, column): (Row, Column),
        bead: &Placed,
        laid: Option<Laid>,
    ) -> Option<Doubt<'a>> {
        let Some(Sure::Likely(step)) = bead.sure else { return None };
        let sure = step.confidence().get();
        if sure >= SURE {
            return None;
        }
        let entry = self.figure.entry(bead.mark)?;
        let now = self.tray.find(&entry.bead);
        let colour = colour_of(entry, self.tray);
        let read = laid.map(|laid| laid.others(row, column, now)).filter(|others| !others.is_empty());
        let mut others: Vec<OtherLine> = match read {
            Some(others) => others.into_iter().map(|other| self.line(&other, colour)).collect(),
            None => self.nearest(bead.mark, now),
        };
        if let Some(said) = bead.or.and_then(|or| self.said(or, colour)) {
            bring_first(&mut others, said);
        }
        Some(self.doubt((row, column), Some(&entry.bead), sure, others, laid))
    }

    /// What the figure's own file says could lie there.
    fn said(&self, or: Second, now: Option<Lab>) -> Option<OtherLine<'a>> {
        let (bead, lab) = match or {
            Second::Itself => return None,
            Second::Empty => (None, None),
            Second::Bead(mark) => {
                let entry = self.figure.entry(mark)?;
                (Some(entry.bead.as_str()), colour_of(entry, self.tray))
            }
        };
        let apart = lab.zip(now).map(|(lab, now)| tenths(ciede2000(lab, now).0));
        Some(OtherLine { bead, sure: None, apart })
    }

    fn of_nothing(&self, (row, column): (Row, Column), laid: Option<Laid>) -> Option<Doubt<'a>> {
        if self.figure.is_bare(row, column) {
            return None;
        }
        let (sure, others) = laid?.nearly(row, column)?;
        let others = others.iter().map(|other| self.line(other, None)).collect();
        Some(self.doubt((row, column), None, sure.get(), others, laid))
    }

    fn doubt(
        &self,
        (row, column): (Row, Column),
        bead: Option<&'a str>,
        sure: f64,
        mut others: Vec<OtherLine<'a>>,
        laid: Option<Laid>,
    ) -> Doubt<'a> {
        others.truncate(MOST_OTHERS);
        let others = within_a_whole(sure, others);
        let why = why::of_windows(laid, &[(row, column)], self.tray);
        Doubt { row: row.0, column: column.0, bead, sure: hundredths(sure), others, why }
    }

    fn line(&self, other: &Other, now: Option<Lab>) -> OtherLine<'a> {
        let bead = other.bead.map(|bead| self.tray.bead(bead));
        let apart = bead.zip(now).map(|(bead, now)| tenths(ciede2000(bead.lab, now).0));
        OtherLine {
            bead: bead.map(|bead| bead.name.as_str()),
            sure: Some(hundredths(other.sure.get())),
            apart,
        }
    }

    /// Where no drawing tells: the beads nearest to the colour that was asked for.
    fn nearest(&mut self, mark: Mark, now: Option<BeadId>) -> Vec<OtherLine<'a>> {
        let (figure, tray) = (self.figure, self.tray);
        let colour = figure.entry(mark).and_then(|entry| entry.aim.or_else(|| colour_of(entry, tray)));
        let near = self
            .known
            .entry(mark)
            .or_insert_with(|| colour.map_or_else(Vec::new, |colour| tray.nearest(colour, MOST_OTHERS + 1)));
        let others = near.iter().filter(|(bead, _)| Some(*bead) != now);
        others
            .map(|(bead, apart)| OtherLine {
                bead: Some(tray.bead(*bead).name.as_str()),
                sure: None,
                apart: Some(tenths(apart.0)),
            })
            .collect()
    }
}

/// What else could lie there, no surer together than what is left of a whole.
pub fn within_a_whole(sure: f64, mut others: Vec<OtherLine>) -> Vec<OtherLine> {
    let together: f64 = others.iter().filter_map(|other| other.sure).sum();
    let left = (1.0 - sure).max(0.0);
    if together > left {
        let share = left / together;
        others.iter_mut().for_each(|other| other.sure = other.sure.map(|sure| hundredths(sure * share)));
    }
    others
}

/// What the file says comes first, with what is known of it besides.
fn bring_first<'a>(others: &mut Vec<OtherLine<'a>>, said: OtherLine<'a>) {
    match others.iter().position(|other| other.bead == said.bead) {
        Some(at) => others[..=at].rotate_right(1),
        None => others.insert(0, said),
    }
}

fn hundredths(v: f64) -> f64 {
    (v * 100.0).round() / 100.0
}

fn tenths(v: f64) -> f64 {
    (v * 10.0).round() / 10.0
}
