//! Figures as pictures to show: pegged or fused, beside their references, and step by step from the picture
//! to the beads.

use std::sync::Arc;

use image::RgbaImage;

use super::beads::{self, peg_colour};
use super::drawing::{Anchor, Page, Pen, Point, Sheet, Type, Unit, at};
use super::font::Face;
use super::ground::Ground;
use super::kinds::Kinds;
use super::layout::Subject;
use super::picture::{draw_reference, span};
use crate::colour::Srgb;
use crate::draft::Draft;
use crate::error::{Error, Result};
use crate::figure::Figure;
use crate::grid::Grid;
use crate::tray::Tray;
use crate::units::{Column, Row};

/// Pegs of ground left around the figures and between them.
const ROUND: usize = 2;

/// Height in pixels of a picture whose beads nobody gave a size, as far as a bead keeps these bounds.
const HEIGHT: f64 = 840.0;
const BEADS: (f64, f64) = (5.0, 40.0);

/// Most pixels a side.
const MOST_SIDE: f64 = 16_000.0;

/// How figures are shown.
#[derive(Clone, Copy, Debug, Default)]
pub struct ShowOptions {
    /// Pixels from bead to bead; chosen by the figure's height where not given.
    pub bead: Option<u32>,
    /// As the iron leaves them, not as pegged.
    pub fused: bool,
    /// Show the board's pegs.
    pub board: bool,
    /// The ground; the one the figures stand out from where not given.
    pub ground: Option<Ground>,
    /// No ground at all.
    pub clear: bool,
}

/// Figures side by side on one ground, their feet on one line, each beside its reference where it has one.
///
/// # Errors
/// [`Error::BadValue`] where the beads are so large that the picture would be.
pub fn show_figures(subjects: &[Subject], tray: &Tray, options: &ShowOptions) -> Result<Sheet> {
    let kinds: Vec<(Kinds, _)> = subjects.iter().map(|subject| Kinds::of(subject.figure, tray)).collect();
    let rows = kinds.iter().map(|(figure, _)| figure.beads.rows()).max().unwrap_or(0).max(1);
    let bead = options.bead.map_or_else(|| fitting_bead(rows), f64::from);
    // In pegs: what stands where, from the left.
    let mut left = ROUND as f64;
    let mut places = Vec::new();
    for (subject, (figure, _)) in subjects.iter().zip(&kinds) {
        let high = figure.beads.rows().max(1) as f64;
        let picture = subject.reference.as_ref().map(|picture| {
            let wide = high * f64::from(picture.width()) / f64::from(picture.height());
            let place = (left, wide, Arc::clone(picture));
            // Whole pegs, so that figures stand on the board's.
            left += wide.ceil() + ROUND as f64;
            place
        });
        places.push((picture, left));
        left += (figure.beads.columns().max(1) + ROUND) as f64;
    }
    let (wide, high) = (left, (rows + 2 * ROUND) as f64);
    check_size(bead, wide.max(high))?;
    let all = together(&kinds, &places, (high as usize, wide as usize), rows);
    let ground = options.ground.unwrap_or_else(|| Ground::suiting(&all));
    let mut pen = Pen::default();
    if options.board {
        pegs(&mut pen, &all, at(0.0, 0.0), bead, ground);
    }
    for ((picture, left), (figure, _)) in places.iter().zip(&kinds) {
        let top = ((ROUND + rows - figure.beads.rows()) as f64) * bead;
        if let Some((left, wide, picture)) = picture {
            let size = (wide * bead, figure.beads.rows().max(1) as f64 * bead);
            pen.picture(at(left * bead, top), size, Arc::clone(picture));
        }
        draw(&mut pen, &figure.colours(), at(left * bead, top), bead, (options.fused, ground));
    }
    let names: Vec<&str> = kinds.iter().map(|(figure, _)| figure.name.as_str()).collect();
    let title = names.join(" · ");
    let warnings =
        kinds.iter().flat_map(|(_, said)| said.iter().filter(|w| w.name() == "not-in-tray").cloned());
    let page = Page {
        size: ((wide * bead).round(), (high * bead).round()),
        scale: (1.0, 1.0),
        ground: (!options.clear).then(|| ground.colour()),
        items: pen.items,
    };
    let warnings = warnings.collect();
    Ok(Sheet { title, unit: Unit::Pixel, symbols: Vec::new(), pages: vec![page], warnings })
}

/// Pixels of a bead in a picture of about the usual height.
fn fitting_bead(rows: usize) -> f64 {
    (HEIGHT / (rows + 2 * ROUND) as f64).clamp(BEADS.0, BEADS.1).floor()
}

pub(super) fn check_size(bead: f64, pegs: f64) -> Result<()> {
    if bead >= 1.0 && bead * pegs <= MOST_SIDE {
        return Ok(());
    }
    Err(Error::BadValue {
        option: "--bead",
        value: bead.to_string(),
        why: format!("the picture would be {} pixels a side", (bead * pegs).round()),
        right: format!("give a bead 1 to {} pixels here", (MOST_SIDE / pegs).floor()),
    })
}

/// All steps stand in memory at once, and once more beside one another.
fn check_film(bead: f64, size: (f64, f64)) -> Result<()> {
    /// Pixels of all steps: with the strip of them 192 MiB.
    const MOST: f64 = (24 << 20) as f64;
    let pixels = size.0 * size.1 * STEPS.len() as f64;
    if pixels <= MOST {
        return Ok(());
    }
    Err(Error::BadValue {
        option: "--bead",
        value: bead.to_string(),
        why: format!("the steps would have {:.0} million pixels", pixels / 1e6),
        right: format!("give a bead 1 to {} pixels here", (bead * (MOST / pixels).sqrt()).floor().max(1.0)),
    })
}

fn draw(
    pen: &mut Pen,
    colours: &Grid<Option<Srgb>>,
    corner: Point,
    bead: f64,
    (fused, ground): (bool, Ground),
) {
    if fused {
        ironed(pen, colours, corner, bead);
    } else {
        beads::pegged(pen, colours, corner, bead, ground, false);
    }
}

pub(super) fn ironed(pen: &mut Pen, colours: &Grid<Option<Srgb>>, corner: Point, bead: f64) {
    /// Smaller beads have no pixels to spare for a dimple.
    const LEAST: f64 = 8.0;
    beads::fused(pen, colours, corner, bead);
    if bead >= LEAST {
        beads::dimples(pen, colours, corner, bead);
    }
}

type Placed = (Option<(f64, f64, Arc<RgbaImage>)>, f64);

/// All figures on the pegs of one board.
fn together<T>(
    kinds: &[(Kinds, T)],
    places: &[Placed],
    (high, wide): (usize, usize),
    rows: usize,
) -> Grid<Option<Srgb>> {
    let mut all = Grid::from_fn(high, wide, |_, _| None);
    for ((_, left), (figure, _)) in places.iter().zip(kinds) {
        let top = ROUND + rows - figure.beads.rows();
        for (row, column, colour) in figure.colours().iter() {
            let place = (Row(top + row.0), Column(*left as usize + column.0));
            if all.get(place.0, place.1).is_some() {
                all[place] = *colour;
            }
        }
    }
    all
}

/// The pegs that no bead is on, the first at a corner.
pub(super) fn pegs(pen: &mut Pen, all: &Grid<Option<Srgb>>, corner: Point, bead: f64, ground: Ground) {
    /// Radius of a peg's dot, in pegs' distance.
    const PEG: f64 = 0.1;
    for (row, column, _) in all.iter().filter(|(_, _, colour)| colour.is_none()) {
        let middle = at(corner.x + (column.0 as f64 + 0.5) * bead, corner.y + (row.0 as f64 + 0.5) * bead);
        pen.disc(middle, PEG * bead, peg_colour(ground));
    }
}

/// The steps from the picture to the beads, a page each, all of one size: the reference, its rows and columns,
/// its colours bead by bead, the beads on their pegs, the finished figure.
///
/// `draft` is the figure's own picture read again ([`crate::draft::draft_again`]).
///
/// # Errors
/// As [`show_figures`].
pub fn show_steps(figure: &Figure, draft: &Draft, tray: &Tray, options: &ShowOptions) -> Result<Sheet> {
    let (kinds, _) = Kinds::of(figure, tray);
    let own = kinds.colours();
    let aims = draft.matched.beads().map(|_, _, bead| {
        bead.as_ref()
            .and_then(|bead| draft.matched.colours().get(bead.colour))
            .map(|colour| colour.aim.srgb())
    });
    let (rows, columns) = (own.rows().max(aims.rows()).max(1), own.columns().max(aims.columns()).max(1));
    let bead = options.bead.map_or_else(|| fitting_bead(rows), f64::from);
    let size = ((columns + 2 * ROUND) as f64 * bead, (rows + 2 * ROUND) as f64 * bead);
    // A caption wants some width whatever the figure.
    let size = (size.0.max(LEAST_WIDE), size.1 + CAPTION);
    check_size(bead, size.0.max(size.1) / bead)?;
    check_film(bead, size)?;
    let ground = options.ground.unwrap_or_else(|| Ground::suiting(&own));
    let top = ROUND as f64 * bead;
    let centred = |beads: &Grid<Option<Srgb>>| at((size.0 - beads.columns() as f64 * bead) / 2.0, top);
    let (left, upper, right, lower) = span(draft);
    let room = (size.0 - bead, rows as f64 * bead);
    let scale = (room.1 / (lower - upper).max(1.0)).min(room.0 / (right - left).max(1.0));
    let reference = at((size.0 - (right - left) * scale) / 2.0, top);
    let step = |number: usize, pen: &mut Pen| match number {
        0 | 1 => draw_reference(pen, draft, reference, scale, number == 1),
        2 => beads::fused(pen, &aims, centred(&aims), bead),
        3 => beads::pegged(pen, &own, centred(&own), bead, ground, true),
        _ => ironed(pen, &own, centred(&own), bead),
    };
    let page = |(number, caption): (usize, &&str)| {
        let mut pen = Pen::default();
        step(number, &mut pen);
        let words = Type { face: Face::Regular, size: LETTERS, ink: ground.ink() };
        let place = at(size.0 / 2.0, size.1 - CAPTION / 2.0);
        pen.text(place, Anchor::Middle, words, &format!("{}  {caption}", number + 1));
        let size = (size.0.round(), size.1.round());
        Page { size, scale: (1.0, 1.0), ground: Some(ground.colour()), items: pen.items }
    };
    let pages = STEPS.iter().enumerate().map(page).collect();
    Ok(Sheet { title: kinds.name, unit: Unit::Pixel, symbols: Vec::new(), pages, warnings: Vec::new() })
}

/// What the steps are called.
const STEPS: [&str; 5] =
    ["the reference", "its rows and columns", "its colours, bead by bead", "beads on their pegs", "ironed"];

/// Height of a caption and of its letters, and least width of a step, in pixels.
const CAPTION: f64 = 44.0;
const LETTERS: f64 = 22.0;
const LEAST_WIDE: f64 = 320.0;
