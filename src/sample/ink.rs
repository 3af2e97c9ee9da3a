//! Ink: the thin dark lines a drawing is outlined with, which belong to no bead of their own.

use image::{GrayImage, Luma};
use imageproc::morphology::{Mask, grayscale_close};
use ndarray::Array2;

use crate::colour::Lab;
use crate::reference::PIXELS_PER_BEAD;
use crate::reference::mask::pieces_around;
use crate::sample::piece::{Place, sides};

/// Half the width a line may have and still be ink, in beads: a bead of its own is twice as wide.
const HALF_WIDTH: f64 = 0.25;

/// How much darker than both its sides a line must be, in units of L*.
const DARKER: f64 = 12.0;

/// A dark spot that fits a square of this side, in beads, is a mark (an eye, a button), not a line.
const SPOT_SIDE: f64 = 0.95;

/// A spot is rounder than this (its sides' ratio); a pen's slip is longer. Wider than what is a mark in the
/// end, since ink around an eye makes it longer.
const SPOT_RATIO: f64 = 2.2;

/// A spot covers at least this part of a bead; below it is a slip of the pen.
const LEAST_SPOT: f64 = 0.06;

/// Where the ink is: darker than what lies on both sides (a black top-hat over L*).
///
/// A dark bead is wider than a line and stays; a small dark spot that touches no line stays as well.
pub(crate) fn find_ink(colours: &Array2<Lab>) -> Array2<bool> {
    let (rows, columns) = colours.dim();
    let lightness = GrayImage::from_fn(columns as u32, rows as u32, |x, y| {
        Luma([(colours[(y as usize, x as usize)].l * 2.55).clamp(0.0, 255.0) as u8])
    });
    let radius = (HALF_WIDTH * PIXELS_PER_BEAD).round() as u8;
    let closed = grayscale_close(&lightness, &Mask::disk(radius));
    let threshold = (DARKER * 2.55) as u8;
    let mut ink = Array2::from_shape_fn((rows, columns), |(y, x)| {
        let at = |picture: &GrayImage| picture.get_pixel(x as u32, y as u32)[0];
        at(&closed).saturating_sub(at(&lightness)) >= threshold
    });
    // Corners count: a pen's line one pixel wide must not fall apart.
    for spot in pieces_around(&ink).iter().filter(|spot| is_mark(spot)) {
        spot.iter().for_each(|&p| ink[p] = false);
    }
    ink
}

fn is_mark(spot: &[Place]) -> bool {
    let (down, across) = sides(spot);
    let (height, width) = (down.len() as f64, across.len() as f64);
    let side = height.max(width);
    side <= SPOT_SIDE * PIXELS_PER_BEAD
        && side <= SPOT_RATIO * height.min(width)
        && spot.len() as f64 >= LEAST_SPOT * PIXELS_PER_BEAD * PIXELS_PER_BEAD
}
