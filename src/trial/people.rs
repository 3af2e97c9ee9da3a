//! A page with several known figures side by side, drawn to one scale by one hand.

use super::camera;
use super::canvas::{Canvas, FINE, finished, lit};
use super::chance::Chance;
use super::draw::{Drafter, Drawing, Table, manners};
use super::page;
use super::proportions::RowMap;
use super::shapes::Frame;
use crate::draft::{DraftOptions, PeopleDrafted, Size, draft_each};
use crate::error::Result;
use crate::grid::Grid;
use crate::reference::Picture;
use crate::score::{KnownFigure, Score, score, with_confidence};
use crate::tray::Tray;

/// A page of people whose beads are known.
#[derive(Clone, Debug)]
pub struct PeoplePage<'a> {
    /// The drawing.
    pub drawing: Drawing,
    /// Who stands there, left to right.
    pub people: Vec<&'a KnownFigure>,
}

/// Fewest and most people of a page.
const PEOPLE: (f64, f64) = (2.0, 6.0);

/// Beads between two neighbours' boxes; below 0 the boxes overlap, as far as the figures allow.
const GAP: (f64, f64) = (-2.5, 4.0);

/// Beads of bare paper between any two figures: a pen's breadth is drawn on either side.
const APART: f64 = 1.4;

/// How far the ground a figure stands on lies off the common one, in beads.
const STANDING: f64 = 1.5;

/// Bare page around all of them, in beads; below, where names are written, more.
const MARGIN: (f64, f64) = (1.5, 4.0);
const BELOW: f64 = 3.5;

/// Draws a page of people. The same figures and seed give the same page, on any machine.
pub fn people_page<'a>(figures: &'a [KnownFigure], seed: u64, tray: &Tray) -> PeoplePage<'a> {
    /// Pixels a bead.
    const SCALE: (f64, f64) = (16.0, 24.0);
    /// Every second page has names under the figures.
    const NAMED: f64 = 0.5;
    /// Grain of the paper, and a lamp to one side: the light of the middle, how much it changes across.
    const NOISE: f64 = 0.012;
    const MIDDLE: f64 = 0.95;
    const FALL: f64 = 0.08;
    /// As a telephone stores it.
    const QUALITY: u8 = 86;
    let mut chance = Chance::of(seed, "people page");
    let people = chosen(figures, &mut chance);
    let places = places(&people, &mut chance);
    let scale = chance.within(SCALE.0, SCALE.1) * FINE as f64;
    let mut margin = || chance.within(MARGIN.0, MARGIN.1);
    let [left, right, above, below] = [margin(), margin(), margin(), margin() + BELOW];
    let wide = places.iter().zip(&people).map(|((x, _), f)| x + f.beads.columns() as f64).fold(0.0, f64::max);
    let high = places.iter().zip(&people).map(|((_, y), f)| y + f.rows() as f64).fold(0.0, f64::max);
    let (height, width) =
        (((high + above + below) * scale) as usize, ((wide + left + right) * scale) as usize);
    let named = chance.happens(NAMED);
    let mut drafters: Vec<Drafter> =
        people.iter().map(|figure| Drafter::new(figure, tray, "people page", seed)).collect();
    let paper = drafters[0].paper();
    let mut canvas = Canvas::from_elem((height, width), paper);
    for (drafter, (x, y)) in drafters.iter_mut().zip(&places) {
        let frame = Frame { scale, left: (x + left) * scale, top: (y + above) * scale, rows: RowMap::even() };
        let table = Table { frame, height, width };
        drafter.marker(&mut canvas, &table, false);
        if named {
            let at = (table.frame.left / scale, (high + above + STANDING) + 1.0);
            page::name(&mut canvas, scale, at, &mut chance);
        }
    }
    manners::roughen(&mut canvas, &mut chance, NOISE);
    let fall = chance.either_way(FALL);
    let light = |x: usize| MIDDLE + fall * (x as f64 / width as f64 - 0.5);
    canvas.indexed_iter_mut().for_each(|((_, x), paint)| *paint = lit(*paint, light(x)));
    PeoplePage { drawing: manners::through_jpeg(camera::jpeg(&finished(&canvas), QUALITY)), people }
}

/// This many different figures.
fn chosen<'a>(figures: &'a [KnownFigure], chance: &mut Chance) -> Vec<&'a KnownFigure> {
    let mut left: Vec<&KnownFigure> = figures.iter().collect();
    let count = (chance.within(PEOPLE.0, PEOPLE.1) as usize).min(left.len());
    (0..count).map(|_| left.remove(chance.within(0.0, left.len() as f64) as usize)).collect()
}

/// Where each figure's upper left corner lies, in beads.
fn places(people: &[&KnownFigure], chance: &mut Chance) -> Vec<(f64, f64)> {
    /// A figure that comes too near the one before is moved on by this.
    const STEP: f64 = 0.25;
    let tallest = people.iter().map(|figure| figure.rows()).max().unwrap_or(0) as f64;
    let mut places: Vec<(f64, f64)> = Vec::new();
    let mut end = 0.0;
    for figure in people {
        let y = tallest - figure.rows() as f64 + STANDING + chance.either_way(STANDING);
        let gap = if places.is_empty() { 0.0 } else { chance.within(GAP.0, GAP.1) };
        let mut x = f64::max(end + gap, 0.0);
        while places.iter().zip(people).any(|(place, other)| touch((figure, (x, y)), (other, *place))) {
            x += STEP;
        }
        end = f64::max(end, x + figure.beads.columns() as f64);
        places.push((x, y));
    }
    places
}

/// Whether two figures come nearer to each other than they may.
fn touch(
    (one, (x, y)): (&KnownFigure, (f64, f64)),
    (other, (left, top)): (&KnownFigure, (f64, f64)),
) -> bool {
    let filled = |figure: &KnownFigure| -> Vec<(f64, f64)> {
        let beads = figure.beads.iter().filter(|(_, _, bead)| bead.is_some());
        beads.map(|(row, column, _)| (column.0 as f64, row.0 as f64)).collect()
    };
    let others = filled(other);
    // Two squares of one bead: their corners lie a bead beyond their places.
    let near = |a: f64, b: f64| (a - b).abs() < 1.0 + APART;
    filled(one)
        .iter()
        .any(|(cx, cy)| others.iter().any(|(ox, oy)| near(x + cx, left + ox) && near(y + cy, top + oy)))
}

impl PeoplePage<'_> {
    /// Drafts all of them: told only the rows of one, the first of the tallest.
    ///
    /// # Errors
    /// Those of [`draft_each`].
    pub fn drafted(&self, tray: &Tray) -> Result<PeopleDrafted> {
        let picture = Picture::of(self.drawing.pixels.clone());
        let rows = self.people.iter().map(|figure| figure.rows()).max().unwrap_or(1);
        let options = DraftOptions { size: Size::Rows(rows), ..DraftOptions::default() };
        draft_each("page", &picture, (&options, None), tray)
    }

    /// Scores the drafts one by one; one that is not there has every bead to mend.
    pub fn scores(&self, cast: &PeopleDrafted, tray: &Tray) -> Vec<Score> {
        let score_of = |(at, figure): (usize, &&KnownFigure)| match cast.people.get(at) {
            Some(member) => score(&figure.beads, &with_confidence(&member.draft), tray),
            None => score(&figure.beads, &Grid::from_fn(0, 0, |_, _| None), tray),
        };
        self.people.iter().enumerate().map(score_of).collect()
    }
}
