//! A page from an exercise book: rules, holes, a caption, and a doodle beside the figure.

use image::GrayImage;

use super::canvas::{Canvas, Paint, over, paint};
use super::chance::Chance;
use super::ink::{Pen, stroke, trace};
use crate::colour::Lab;

/// Rules the page, lined or squared, with a margin line and sometimes punched holes.
pub(super) fn rule(canvas: &mut Canvas, scale: f64, chance: &mut Chance) {
    let (rows, columns) = canvas.dim();
    let blue = paint(Lab::new(72.0, -4.0, -18.0));
    let squared = chance.happens(0.5);
    let step = chance.within(0.9, 1.9) * scale;
    let part = chance.within(0.4, 0.8);
    let width = 0.05 * scale;
    let phase = chance.within(0.0, step);
    let on_line = |at: usize| (at as f64 + phase) % step < width;
    for ((y, x), pixel) in canvas.indexed_iter_mut() {
        if on_line(y) || (squared && on_line(x)) {
            *pixel = over(*pixel, blue, part);
        }
    }
    if !squared {
        let red = paint(Lab::new(66.0, 40.0, 18.0));
        let at = (0.04 * columns as f64) as usize;
        for y in 0..rows {
            for x in at..at + width.max(1.0) as usize {
                canvas[(y, x)] = over(canvas[(y, x)], red, part);
            }
        }
    }
    if chance.happens(0.5) {
        for share in [0.25, 0.75] {
            disc(canvas, (0.025 * columns as f64, share * rows as f64), 0.35 * scale, [0.35, 0.34, 0.33]);
        }
    }
}

fn disc(canvas: &mut Canvas, (cx, cy): (f64, f64), radius: f64, colour: Paint) {
    for ((y, x), pixel) in canvas.indexed_iter_mut() {
        let away = (x as f64 + 0.5 - cx).hypot(y as f64 + 0.5 - cy);
        *pixel = over(*pixel, colour, radius + 0.5 - away);
    }
}

/// A second drawing beside the figure: a sun, a house or a flower. `side` says whether it lies on the right
/// and how many beads wide the room for it is.
pub(super) fn doodle(canvas: &mut Canvas, scale: f64, (right, room): (bool, f64), chance: &mut Chance) {
    let (rows, columns) = canvas.dim();
    let off = (0.5 * room) * scale;
    let cx = if right { columns as f64 - off } else { off };
    let cy = chance.within(0.2, 0.8) * rows as f64;
    let size = chance.within(0.22, 0.32) * room * scale;
    let tint =
        chance.one_of(&[Lab::new(82.0, 4.0, 70.0), Lab::new(55.0, 60.0, 30.0), Lab::new(60.0, -40.0, 35.0)]);
    let pen = Pen::new(paint(Lab::new(20.0, 2.0, -10.0)), 0.13, chance);
    let mut marked = GrayImage::new(columns as u32, rows as u32);
    let round = |radius: f64| -> Vec<(f64, f64)> {
        let turn = |i: usize| i as f64 / 24.0 * std::f64::consts::TAU;
        (0..=24).map(|i| (cx + radius * turn(i).cos(), cy + radius * turn(i).sin())).collect()
    };
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

/// A line of handwriting below the figure.
pub(super) fn caption(canvas: &mut Canvas, scale: f64, chance: &mut Chance) {
    let (rows, columns) = canvas.dim();
    let y = rows as f64 - 1.3 * scale;
    let start = chance.within(0.12, 0.3) * columns as f64;
    let length = chance.within(0.3, 0.5) * columns as f64;
    let mut points = Vec::new();
    let mut x = start;
    while x < start + length {
        points.push((x, y - chance.within(0.0, 0.8) * scale));
        x += chance.within(0.12, 0.3) * scale;
    }
    let mut marked = GrayImage::new(columns as u32, rows as u32);
    stroke(&mut marked, &points);
    let pen = Pen::new(paint(Lab::new(25.0, 5.0, -20.0)), 0.09, chance);
    trace(canvas, &marked, &pen, scale);
}
