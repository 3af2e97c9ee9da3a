//! Two plain methods to measure against: what a maker gets from any general-purpose library in an afternoon.
//!
//! Both see the picture as it is: what differs from the border's middle colour (or is opaque) is the subject,
//! its largest piece is kept, its box is cut into equal rows and columns.

use std::collections::HashMap;

use image::RgbaImage;
use ndarray::Array2;

use crate::colour::{Lab, Linear, Srgb};
use crate::grid::Grid;
use crate::reference::subject::pieces;
use crate::reference::{Area, colour_of, resample};
use crate::tray::{BeadId, Tray};

/// Which plain method.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Plain {
    /// The mean colour of each window, then the nearest bead.
    BoxAverage,
    /// The nearest bead of each pixel, then the commonest in each window.
    Majority,
}

/// Most pixel rows that are looked at: two dozen to a bead.
const MOST_ROWS: f64 = 600.0;

/// A pixel is subject from this distance to the border's colour on, in Lab units: past a scan's noise.
const DIFFERS: f64 = 12.0;

/// A window is a bead where at least half of it is subject.
const COVERED: f64 = 0.5;

/// Drafts plainly; empty where nothing differs from the border.
pub fn draft_plainly(method: Plain, picture: &RgbaImage, rows: usize, tray: &Tray) -> Grid<Option<BeadId>> {
    let whole = Area::whole(picture);
    let size = |length: f64| ((length * (1.0_f64).min(MOST_ROWS / whole.height)) as usize).max(1);
    let seen = resample(picture, whole, size(whole.height), size(whole.width));
    let clear = seen.iter().any(|light| light[3] < 0.5);
    let colours = seen.map(|&light| colour_of(light).lab());
    let subject = largest_piece(&if clear { seen.map(|light| light[3] >= 0.5) } else { differing(&colours) });
    let Some((top, bottom, left, right)) = span(&subject) else { return Grid::from_fn(0, 0, |_, _| None) };
    let pitch = (bottom - top) as f64 / rows as f64;
    let columns = (((right - left) as f64 / pitch).round() as usize).max(1);
    let wide = (right - left) as f64 / columns as f64;
    // Pixels repeat their colours: each is matched once.
    let mut known: HashMap<Srgb, Option<BeadId>> = HashMap::new();
    let mut nearest = |colour: Lab| {
        let colour = colour.srgb();
        *known.entry(colour).or_insert_with(|| tray.nearest(colour.lab(), 1).first().map(|near| near.0))
    };
    Grid::from_fn(rows, columns, |row, column| {
        let part = |start: usize, at: usize, pitch: f64| {
            let first = start as f64 + at as f64 * pitch;
            (first.round() as usize)..((first + pitch).round() as usize)
        };
        let ys = part(top, row.0, pitch);
        let all: Vec<(usize, usize)> = ys
            .flat_map(|y| part(left, column.0, wide).map(move |x| (y, x)))
            .filter(|p| subject.get(*p).is_some())
            .collect();
        let inside: Vec<Lab> = all.iter().filter(|p| subject[**p]).map(|p| colours[*p]).collect();
        let covered = inside.len() as f64 >= COVERED * all.len().max(1) as f64 && !inside.is_empty();
        covered.then(|| match method {
            Plain::BoxAverage => nearest(mean(&inside)),
            Plain::Majority => commonest(inside.iter().map(|&colour| nearest(colour))),
        })?
    })
}

fn mean(colours: &[Lab]) -> Lab {
    let sum = colours.iter().fold([0.0; 3], |s, c| {
        let Linear { r, g, b } = c.linear();
        [s[0] + r, s[1] + g, s[2] + b]
    });
    let [r, g, b] = sum.map(|v| v / colours.len() as f64);
    Linear { r, g, b }.lab()
}

fn commonest(beads: impl Iterator<Item = Option<BeadId>>) -> Option<BeadId> {
    let mut counts: Vec<(BeadId, usize)> = Vec::new();
    for bead in beads.flatten() {
        match counts.iter_mut().find(|c| c.0 == bead) {
            Some(count) => count.1 += 1,
            None => counts.push((bead, 1)),
        }
    }
    counts.iter().rev().max_by_key(|c| c.1).map(|c| c.0)
}

fn differing(colours: &Array2<Lab>) -> Array2<bool> {
    let (rows, columns) = colours.dim();
    let border = || {
        let ends = |x: usize, y: usize| x == 0 || y == 0 || x + 1 == columns || y + 1 == rows;
        colours.indexed_iter().filter(move |((y, x), _)| ends(*x, *y)).map(|(_, c)| *c)
    };
    let middle = |of: fn(&Lab) -> f64| {
        let mut values: Vec<f64> = border().map(|c| of(&c)).collect();
        values.sort_by(f64::total_cmp);
        values[values.len() / 2]
    };
    let ground = Lab::new(middle(|c| c.l), middle(|c| c.a), middle(|c| c.b));
    colours.map(|c| c.distance_squared(ground) > DIFFERS * DIFFERS)
}

fn largest_piece(mask: &Array2<bool>) -> Array2<bool> {
    let mut kept = Array2::from_elem(mask.dim(), false);
    let largest = pieces(mask).into_iter().max_by_key(Vec::len).unwrap_or_default();
    largest.into_iter().for_each(|p| kept[p] = true);
    kept
}

fn span(mask: &Array2<bool>) -> Option<(usize, usize, usize, usize)> {
    let set = || mask.indexed_iter().filter(|(_, set)| **set).map(|(p, _)| p);
    let (top, left) = (set().map(|p| p.0).min()?, set().map(|p| p.1).min()?);
    Some((top, set().map(|p| p.0).max()? + 1, left, set().map(|p| p.1).max()? + 1))
}
