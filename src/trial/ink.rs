//! Outlines: an uneven line along the borders of shapes.

use image::{GrayImage, Luma};
use imageproc::distance_transform::euclidean_squared_distance_transform;
use ndarray::Array2;

use super::canvas::{Canvas, Paint, over};
use super::chance::{Chance, Noise};
use super::shapes::Shape;

/// A pen: how thick it draws in beads, how uneven, in what.
#[derive(Clone, Copy, Debug)]
pub(super) struct Pen {
    pub paint: Paint,
    pub thick: f64,
    pub uneven: Noise,
}

impl Pen {
    pub fn new(paint: Paint, thick: f64, chance: &mut Chance) -> Self {
        Self { paint, thick, uneven: chance.noise() }
    }
}

/// Draws a line along every border of the shapes. `scale` is fine pixels a bead.
pub(super) fn outline(canvas: &mut Canvas, shapes: &Array2<Shape>, pen: &Pen, scale: f64) {
    let (rows, columns) = shapes.dim();
    let mut border = GrayImage::new(columns as u32, rows as u32);
    for ((y, x), shape) in shapes.indexed_iter() {
        let right = x + 1 < columns && shapes[(y, x + 1)] != *shape;
        let below = y + 1 < rows && shapes[(y + 1, x)] != *shape;
        if right || below {
            border.put_pixel(x as u32, y as u32, Luma([255]));
        }
    }
    trace(canvas, &border, pen, scale);
}

/// Draws over marked pixels with a pen.
pub(super) fn trace(canvas: &mut Canvas, marked: &GrayImage, pen: &Pen, scale: f64) {
    /// A line swells and thins by this part, over about a bead.
    const UNEVEN: f64 = 0.35;
    /// Further off than this many times its thickness there is no ink of it.
    const REACH: f64 = 2.0;
    let distances = euclidean_squared_distance_transform(marked);
    for ((y, x), paint) in canvas.indexed_iter_mut() {
        let distance = distances.get_pixel(x as u32, y as u32)[0].sqrt();
        if distance > REACH * pen.thick * scale {
            continue;
        }
        let swell = 1.0 + UNEVEN * pen.uneven.at(x as f64 / scale, y as f64 / scale);
        let half = 0.5 * pen.thick * scale * swell;
        // One pixel of soft edge.
        *paint = over(*paint, pen.paint, half + 0.5 - distance);
    }
}

/// Marks the pixels of a stroke through some points.
pub(super) fn stroke(marked: &mut GrayImage, points: &[(f64, f64)]) {
    for pair in points.windows(2) {
        let ((x0, y0), (x1, y1)) = (pair[0], pair[1]);
        let steps = (x1 - x0).abs().max((y1 - y0).abs()).ceil().max(1.0) as usize;
        for step in 0..=steps {
            let t = step as f64 / steps as f64;
            let (x, y) = ((x0 + t * (x1 - x0)).round(), (y0 + t * (y1 - y0)).round());
            let inside =
                x >= 0.0 && y >= 0.0 && x < f64::from(marked.width()) && y < f64::from(marked.height());
            if inside {
                marked.put_pixel(x as u32, y as u32, Luma([255]));
            }
        }
    }
}
