//! A page from an exercise book: rules, holes, a caption, and a doodle beside the figure.

use image::GrayImage;

use super::canvas::{Canvas, Paint, over, paint};
use super::chance::Chance;
use super::ink::{Pen, stroke, trace};
use crate::colour::Lab;

/// Every second page is squared, every second one punched.
const EVERY_SECOND: f64 = 0.5;

/// Rules the page, lined or squared, with a margin line and sometimes punched holes.
pub(super) fn rule(canvas: &mut Canvas, scale: f64, chance: &mut Chance) {
    /// The printer's pale blue, and the red of the margin line.
    const BLUE: Lab = Lab { l: 72.0, a: -4.0, b: -18.0 };
    const RED: Lab = Lab { l: 66.0, a: 40.0, b: 18.0 };
    /// From rule to rule, in beads: a bead about as high as a line of writing, or half as high.
    const STEP: (f64, f64) = (0.9, 1.9);
    /// How much of the paper the ink of a rule covers, pale or strong.
    const COVER: (f64, f64) = (0.4, 0.8);
    /// How thick a rule is, in beads: a hair.
    const THICK: f64 = 0.05;
    /// The margin line and the punched holes, as shares of the page's width; two holes by its height; a hole's
    /// radius in beads; through it a dark desk shows.
    const MARGIN: f64 = 0.04;
    const HOLES_ACROSS: f64 = 0.025;
    const HOLES_DOWN: [f64; 2] = [0.25, 0.75];
    const HOLE: f64 = 0.35;
    const DESK: Paint = [0.35, 0.34, 0.33];
    let (rows, columns) = canvas.dim();
    let blue = paint(BLUE);
    let squared = chance.happens(EVERY_SECOND);
    let step = chance.within(STEP.0, STEP.1) * scale;
    let part = chance.within(COVER.0, COVER.1);
    let width = THICK * scale;
    let phase = chance.within(0.0, step);
    let on_line = |at: usize| (at as f64 + phase) % step < width;
    for ((y, x), pixel) in canvas.indexed_iter_mut() {
        if on_line(y) || (squared && on_line(x)) {
            *pixel = over(*pixel, blue, part);
        }
    }
    if !squared {
        let red = paint(RED);
        let at = (MARGIN * columns as f64) as usize;
        for y in 0..rows {
            for x in at..at + width.max(1.0) as usize {
                canvas[(y, x)] = over(canvas[(y, x)], red, part);
            }
        }
    }
    if chance.happens(EVERY_SECOND) {
        for share in HOLES_DOWN {
            disc(canvas, (HOLES_ACROSS * columns as f64, share * rows as f64), HOLE * scale, DESK);
        }
    }
}

pub(super) fn disc(canvas: &mut Canvas, (cx, cy): (f64, f64), radius: f64, colour: Paint) {
    for ((y, x), pixel) in canvas.indexed_iter_mut() {
        let away = (x as f64 + 0.5 - cx).hypot(y as f64 + 0.5 - cy);
        *pixel = over(*pixel, colour, radius + 0.5 - away);
    }
}

/// A second drawing beside the figure: a sun, a house or a flower. `side` says whether it lies on the right
/// and how many beads wide the room for it is.
pub(super) fn doodle(canvas: &mut Canvas, scale: f64, (right, room): (bool, f64), chance: &mut Chance) {
    /// It lies away from the page's upper and lower edge, and leaves its room some air.
    const DOWN: (f64, f64) = (0.2, 0.8);
    const SIZE: (f64, f64) = (0.22, 0.32);
    let (rows, columns) = canvas.dim();
    let off = (0.5 * room) * scale;
    let cx = if right { columns as f64 - off } else { off };
    let cy = chance.within(DOWN.0, DOWN.1) * rows as f64;
    let size = chance.within(SIZE.0, SIZE.1) * room * scale;
    drawn(canvas, scale, ((cx, cy), size), chance);
}

/// A sun, a house or a flower around a place and of a size in fine pixels.
pub(super) fn drawn(
    canvas: &mut Canvas,
    scale: f64,
    ((cx, cy), size): ((f64, f64), f64),
    chance: &mut Chance,
) {
    /// Yellow, red or green.
    const TINTS: [Lab; 3] = [
        Lab { l: 82.0, a: 4.0, b: 70.0 },
        Lab { l: 55.0, a: 60.0, b: 30.0 },
        Lab { l: 60.0, a: -40.0, b: 35.0 },
    ];
    /// A ball pen, thinner than the figure's.
    const INK: Lab = Lab { l: 20.0, a: 2.0, b: -10.0 };
    const THICK: f64 = 0.13;
    /// Corners enough for a circle to look round at this size.
    const CORNERS: usize = 24;
    let (rows, columns) = canvas.dim();
    let tint = chance.one_of(&TINTS);
    let pen = Pen::new(paint(INK), THICK, chance);
    let mut marked = GrayImage::new(columns as u32, rows as u32);
    let round = |radius: f64| -> Vec<(f64, f64)> {
        let turn = |i: usize| i as f64 / CORNERS as f64 * std::f64::consts::TAU;
        (0..=CORNERS).map(|i| (cx + radius * turn(i).cos(), cy + radius * turn(i).sin())).collect()
    };
    // The three shapes are drawn in units of `size`.
    match chance.one_of(&[0, 1, 2]) {
        0 => {
            disc(canvas, (cx, cy), 0.6 * size, paint(tint));
            stroke(&mut marked, &round(0.6 * size));
            for ray in 0..8 {
                let angle = f64::from(ray) / 8.0 * std::f64::consts::TAU;
                let at = |r: f64| (cx + r * size * angle.cos(), cy + r * size * angle.sin());
                stroke(&mut marked, &[at(0.75), at(1.1)]);
            }
        }
        1 => {
            let at = |x: f64, y: f64| (cx + x * size, cy + y * size);
            stroke(
                &mut marked,
                &[at(-0.8, 0.9), at(-0.8, -0.2), at(0.0, -1.0), at(0.8, -0.2), at(0.8, 0.9), at(-0.8, 0.9)],
            );
            disc(canvas, (cx, cy + 0.3 * size), 0.3 * size, paint(tint));
        }
        _ => {
            disc(canvas, (cx, cy), 0.4 * size, paint(tint));
            stroke(&mut marked, &round(0.4 * size));
            stroke(
                &mut marked,
                &[(cx, cy + 0.4 * size), (cx, cy + 1.4 * size), (cx + 0.4 * size, cy + 1.0 * size)],
            );
        }
    }
    trace(canvas, &marked, &pen, scale);
}

/// A name in handwriting, a few letters from a place (x and y in beads) on.
pub(super) fn name(canvas: &mut Canvas, scale: f64, (x, y): (f64, f64), chance: &mut Chance) {
    /// How long it is, in beads.
    const LENGTH: (f64, f64) = (3.0, 6.0);
    let length = chance.within(LENGTH.0, LENGTH.1) * scale;
    write(canvas, scale, ((x * scale, y * scale), length), chance);
}

/// A line of handwriting below the figure.
pub(super) fn caption(canvas: &mut Canvas, scale: f64, chance: &mut Chance) {
    /// How far above the page's lower edge it runs, in beads.
    const ABOVE: f64 = 1.3;
    /// Where it begins and how long it is, as shares of the page's width.
    const START: (f64, f64) = (0.12, 0.3);
    const LENGTH: (f64, f64) = (0.3, 0.5);
    let (rows, columns) = canvas.dim();
    let y = rows as f64 - ABOVE * scale;
    let start = chance.within(START.0, START.1) * columns as f64;
    let length = chance.within(LENGTH.0, LENGTH.1) * columns as f64;
    write(canvas, scale, ((start, y), length), chance);
}

/// Handwriting from a place on, this long, all in fine pixels.
pub(super) fn write(
    canvas: &mut Canvas,
    scale: f64,
    ((start, y), length): ((f64, f64), f64),
    chance: &mut Chance,
) {
    /// How high letters are and how far apart their strokes, in beads.
    const LETTER: (f64, f64) = (0.0, 0.8);
    const STROKE: (f64, f64) = (0.12, 0.3);
    /// A fountain pen's blue, thin.
    const INK: Lab = Lab { l: 25.0, a: 5.0, b: -20.0 };
    const THICK: f64 = 0.09;
    let (rows, columns) = canvas.dim();
    let mut points = Vec::new();
    let mut x = start;
    while x < start + length {
        points.push((x, y - chance.within(LETTER.0, LETTER.1) * scale));
        x += chance.within(STROKE.0, STROKE.1) * scale;
    }
    let mut marked = GrayImage::new(columns as u32, rows as u32);
    stroke(&mut marked, &points);
    let pen = Pen::new(paint(INK), THICK, chance);
    trace(canvas, &marked, &pen, scale);
}
