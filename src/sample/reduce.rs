//! What each window shows: edges kept, never a blend of two neighbours.

use crate::grid::Grid;
use crate::reference::{Area, PIXELS_PER_BEAD};
use crate::sample::labels::{GROUND, Labels};
use crate::sample::lattice::Lattice;
use crate::sample::piece::{Piece, Place, sides};
use crate::sample::{BeadSample, Share};

/// A window's middle counts more than its rim: a Gaussian of this deviation, in beads.
const FOCUS: f64 = 0.38;

/// A small clean spot wins the window its middle lies in when it covers so much of a bead: an eye is
/// drawn smaller than a bead, and is what makes the face.
const LEAST_MARK: f64 = 0.10;

/// It is at most a bead large, else it is no small mark but a part.
const MOST_MARK: f64 = 1.1;

/// It is rounder than this (its sides' ratio): slivers along an edge are no marks.
const MARK_RATIO: f64 = 2.0;

/// ... fills its box at least so far,
const MARK_FILLS: f64 = 0.55;

/// ... and differs at least so much from all it touches, in Lab units.
const STANDS_OUT: f64 = 25.0;

/// A bead needs this share of subject in its window.
pub(crate) const COVERED: f64 = 0.5;

/// Reads every window of the lattice.
pub(crate) fn read_windows(labels: &Labels, lattice: &Lattice) -> Grid<BeadSample> {
    let marks = find_marks(labels);
    Grid::from_fn(lattice.rows(), lattice.columns(), |row, column| {
        let window = lattice.window(row, column);
        let mark = marks.iter().filter(|mark| lies_in(mark, window)).max_by_key(|mark| mark.pixels.len());
        read_window(labels, mark.map(|m| m.label), window)
    })
}

fn read_window(labels: &Labels, mark: Option<u8>, window: Area) -> BeadSample {
    let shares = weighed_shares(labels, window);
    let cover = 1.0 - shares[GROUND as usize];
    let mut colours = colours_by_share(&shares);
    if let Some(place) = colours.iter().position(|c| Some(c.colour as u8 + 1) == mark) {
        colours[..=place].rotate_right(1);
    }
    let filled = cover >= COVERED && !colours.is_empty();
    BeadSample { filled, cover, colours, is_mark: mark.is_some(), set_by: None }
}

/// The colours of a window that has such shares of each label, the largest first.
pub(crate) fn colours_by_share(shares: &[f64]) -> Vec<Share> {
    let mut colours: Vec<Share> = shares
        .iter()
        .enumerate()
        .skip(1)
        .filter(|(_, share)| **share > 0.0)
        .map(|(label, &share)| Share { colour: label - 1, share })
        .collect();
    colours.sort_by(|a, b| b.share.total_cmp(&a.share).then(a.colour.cmp(&b.colour)));
    colours
}

/// The share of each label in a window, its middle weighing more. Adds up to 1.
pub(crate) fn weighed_shares(labels: &Labels, window: Area) -> Vec<f64> {
    let (rows, columns) = labels.plane.dim();
    let mut shares = vec![0.0; labels.clusters.len() + 1];
    let weigh = |p: usize, start: f64, length: f64| {
        let inside = ((p as f64 + 1.0).min(start + length) - (p as f64).max(start)).max(0.0);
        let off = (p as f64 + 0.5 - start - length / 2.0) / length;
        inside * (-off * off / (2.0 * FOCUS * FOCUS)).exp()
    };
    let range = |start: f64, length: f64, most: usize| {
        (start.floor().max(0.0) as usize)..((start + length).ceil().clamp(0.0, most as f64) as usize)
    };
    let mut total = 0.0;
    let across: Vec<(usize, f64)> =
        range(window.x, window.width, columns).map(|x| (x, weigh(x, window.x, window.width))).collect();
    for y in range(window.y, window.height, rows) {
        let down = weigh(y, window.y, window.height);
        for &(x, along) in &across {
            let weight = down * along;
            shares[labels.plane[(y, x)] as usize] += weight;
            total += weight;
        }
    }
    if total > 0.0 {
        shares.iter_mut().for_each(|s| *s /= total);
    } else {
        shares[GROUND as usize] = 1.0;
    }
    shares
}

/// Whether the middle of a mark lies in a window.
fn lies_in(mark: &Piece, window: Area) -> bool {
    let (y, x) = mark.middle();
    (window.x..window.x + window.width).contains(&x) && (window.y..window.y + window.height).contains(&y)
}

/// Eyes, buttons, buckles: small round spots that stand out from all they touch and touch no ground.
fn find_marks(labels: &Labels) -> Vec<Piece> {
    let bead = PIXELS_PER_BEAD * PIXELS_PER_BEAD;
    let mut pieces = Piece::all(labels);
    pieces.retain(|piece| {
        (LEAST_MARK * bead..=MOST_MARK * bead).contains(&(piece.pixels.len() as f64))
            && is_round(&piece.pixels)
            && stands_out(piece, labels)
    });
    pieces
}

fn is_round(pixels: &[Place]) -> bool {
    let (down, across) = sides(pixels);
    let (height, width) = (down.len() as f64, across.len() as f64);
    height.max(width) <= MARK_RATIO * height.min(width) && pixels.len() as f64 >= MARK_FILLS * height * width
}

fn stands_out(piece: &Piece, labels: &Labels) -> bool {
    let colour = |label: u8| labels.clusters[usize::from(label) - 1].colour;
    let is_apart = |other: u8| {
        other != GROUND && colour(other).distance_squared(colour(piece.label)) >= STANDS_OUT * STANDS_OUT
    };
    piece.touches.iter().all(|&other| is_apart(other))
}
