//! Pictures as light: shrinking and stretching without inventing colours.
//!
//! Averages are taken in linear light with alpha multiplied in, so that clear pixels lend no colour
//! and black beside white makes the grey that the eye sees from afar.

use image::RgbaImage;
use ndarray::Array2;

use crate::colour::{Linear, Srgb};

/// A rectangle of pixels: x and y of its corner, width and height, all in pixels.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Area {
    /// Left edge.
    pub x: f64,
    /// Top edge.
    pub y: f64,
    /// Width, above 0.
    pub width: f64,
    /// Height, above 0.
    pub height: f64,
}

impl Area {
    /// The whole of a picture.
    pub fn whole(pixels: &RgbaImage) -> Self {
        Self { x: 0.0, y: 0.0, width: f64::from(pixels.width()), height: f64::from(pixels.height()) }
    }

    /// This area grown by `margin` pixels on every side, kept inside `bounds`.
    pub fn grown_within(self, margin: f64, bounds: Area) -> Self {
        let left = (self.x - margin).max(bounds.x);
        let top = (self.y - margin).max(bounds.y);
        let right = (self.x + self.width + margin).min(bounds.x + bounds.width);
        let bottom = (self.y + self.height + margin).min(bounds.y + bounds.height);
        Self { x: left, y: top, width: right - left, height: bottom - top }
    }
}

/// One pixel of light: linear red, green and blue times alpha, and alpha; each 0 to 1.
pub type Light = [f32; 4];

/// Opacity from which a pixel counts as there at all when its colour is asked for.
const BARELY_THERE: f32 = 1.0 / 512.0;

/// The colour of a pixel of light, and black where it is clear.
pub fn colour_of(light: Light) -> Linear {
    let [r, g, b, alpha] = light;
    let scale = if alpha > BARELY_THERE { 1.0 / f64::from(alpha) } else { 0.0 };
    Linear { r: f64::from(r) * scale, g: f64::from(g) * scale, b: f64::from(b) * scale }
}

/// Brings an area of a picture to `rows` x `columns` pixels of light.
///
/// Shrinking weighs with a tent two target pixels wide (its stray frequencies stay under 5 %, a plain
/// box lets 21 % through); stretching draws straight lines between pixel centres.
pub fn resample(pixels: &RgbaImage, area: Area, rows: usize, columns: usize) -> Array2<Light> {
    let across = taps(area.x, area.width, columns, pixels.width() as usize);
    let down = taps(area.y, area.height, rows, pixels.height() as usize);
    let first_row = down.iter().map(|t| t.first).min().unwrap_or(0);
    let last_row = down.iter().map(|t| t.first + t.weights.len()).max().unwrap_or(0);
    let light: Vec<f32> = (0..=255).map(|v| Srgb::new(v, v, v).linear().r as f32).collect();

    let mut squeezed = Array2::from_elem((last_row - first_row, columns), [0.0_f32; 4]);
    let stride = pixels.width() as usize * 4;
    for (y, mut out) in squeezed.outer_iter_mut().enumerate() {
        let row = &pixels.as_raw()[(first_row + y) * stride..][..stride];
        for (tap, out) in across.iter().zip(out.iter_mut()) {
            for (pixel, &weight) in row[tap.first * 4..].chunks_exact(4).zip(&tap.weights) {
                let alpha = weight * f32::from(pixel[3]) / 255.0;
                for channel in 0..3 {
                    out[channel] += alpha * light[pixel[channel] as usize];
                }
                out[3] += alpha;
            }
        }
    }
    Array2::from_shape_fn((rows, columns), |(y, x)| {
        let tap = &down[y];
        let mut sum = [0.0_f32; 4];
        for (i, &weight) in tap.weights.iter().enumerate() {
            let from = squeezed[(tap.first - first_row + i, x)];
            (0..4).for_each(|c| sum[c] += weight * from[c]);
        }
        sum
    })
}

/// Which source pixels a target pixel is made of, with weights that add up to 1.
struct Taps {
    first: usize,
    weights: Vec<f32>,
}

fn taps(start: f64, length: f64, targets: usize, sources: usize) -> Vec<Taps> {
    let step = length / targets as f64;
    let reach = step.max(1.0);
    (0..targets)
        .map(|i| {
            let centre = start + (i as f64 + 0.5) * step;
            let first = (centre - reach - 0.5).ceil().clamp(0.0, (sources - 1) as f64) as usize;
            let last = (centre + reach - 0.5).floor().clamp(first as f64, (sources - 1) as f64) as usize;
            let tent = |p: usize| (1.0 - (p as f64 + 0.5 - centre).abs() / reach).max(1e-6);
            let sum: f64 = (first..=last).map(tent).sum();
            Taps { first, weights: (first..=last).map(|p| (tent(p) / sum) as f32).collect() }
        })
        .collect()
}
