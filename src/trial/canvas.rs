//! Paper, paint and ink as light: what a drawing is made on before a scanner or a camera sees it.

use std::sync::LazyLock;

use image::{Rgb, RgbImage};
use ndarray::Array2;

use crate::colour::{Lab, Linear, Srgb};

/// Linear light, red, green, blue, each 0 to 1.
pub(super) type Paint = [f32; 3];

/// The light of a colour.
pub(super) fn paint(colour: Lab) -> Paint {
    let Linear { r, g, b } = colour.linear();
    [r, g, b].map(|v| v.clamp(0.0, 1.0) as f32)
}

/// This much of one paint over another; `part` 0 to 1.
pub(super) fn over(below: Paint, above: Paint, part: f64) -> Paint {
    let part = part.clamp(0.0, 1.0) as f32;
    std::array::from_fn(|c| below[c] * (1.0 - part) + above[c] * part)
}

/// Light dimmed or brightened.
pub(super) fn lit(paint: Paint, by: f64) -> Paint {
    paint.map(|v| (v * by as f32).clamp(0.0, 1.0))
}

/// Fine pixels to one pixel of the finished picture, each way: edges come out smooth.
pub(super) const FINE: usize = 2;

/// A fine plane of light.
pub(super) type Canvas = Array2<Paint>;

/// The finished picture: [`FINE`] x [`FINE`] fine pixels to one.
pub(super) fn finished(canvas: &Canvas) -> RgbImage {
    let (rows, columns) = (canvas.nrows() / FINE, canvas.ncols() / FINE);
    RgbImage::from_fn(columns as u32, rows as u32, |x, y| {
        let mut sum = [0.0_f32; 3];
        for (dy, dx) in (0..FINE).flat_map(|dy| (0..FINE).map(move |dx| (dy, dx))) {
            let fine = canvas[(y as usize * FINE + dy, x as usize * FINE + dx)];
            (0..3).for_each(|c| sum[c] += fine[c]);
        }
        stored(sum.map(|v| v / (FINE * FINE) as f32))
    })
}

/// Steps of light told apart on the way to a picture file: fine enough for the darkest of its 256 values.
const STEPS: usize = 8192;

static STORED: LazyLock<Vec<u8>> = LazyLock::new(|| {
    let grey = |step: usize| step as f64 / (STEPS - 1) as f64;
    (0..STEPS).map(|step| Linear { r: grey(step), g: 0.0, b: 0.0 }.srgb().r).collect()
});

/// Light as a pixel of a picture file.
pub(super) fn stored(light: Paint) -> Rgb<u8> {
    let table = &*STORED;
    Rgb(light.map(|v| table[(v.clamp(0.0, 1.0) * (STEPS - 1) as f32 + 0.5) as usize]))
}

static SHOWN: LazyLock<[f32; 256]> =
    LazyLock::new(|| std::array::from_fn(|v| Srgb::new(v as u8, 0, 0).linear().r as f32));

/// The light of a pixel of a picture file.
pub(super) fn shown(pixel: Rgb<u8>) -> Paint {
    let table = &*SHOWN;
    pixel.0.map(|v| table[v as usize])
}
