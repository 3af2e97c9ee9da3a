//! Evening a look's light: what each channel is multiplied by changes slowly, so it is worked out at knots and
//! runs straight between them.

use ndarray::{Array2, Axis};
use rayon::prelude::*;

use super::shrink::Light;

/// Pixels from knot to knot: half of what the finest shadows are learnt at.
pub(super) const STEP: usize = 4;

/// Where the pixels of a look lie along one side of a sheet, 0 to 1.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Span {
    /// The middle of the first pixel.
    first: f64,
    /// From pixel to pixel.
    step: f64,
}

impl Span {
    /// `pixels` pixels from `start` on over `length`; the sheet is `whole` long.
    pub fn of(start: f64, length: f64, whole: f64, pixels: usize) -> Self {
        let step = length / pixels as f64 / whole;
        Self { first: start / whole + step / 2.0, step }
    }

    fn at(self, pixel: usize) -> f64 {
        self.first + self.step * pixel as f64
    }
}

/// Multiplies every pixel by the gain at its place (across, down), worked out every this many pixels; no channel rises
/// above full.
pub(super) fn multiply(
    light: &mut Array2<Light>,
    across: Span,
    down: Span,
    step: usize,
    gain: impl Fn(f64, f64) -> [f32; 3] + Sync,
) {
    /// Knots down that are worked out one after another.
    const TOGETHER: usize = 16;
    let band = TOGETHER * step;
    let bands = light.axis_chunks_iter_mut(Axis(0), band).into_par_iter().enumerate();
    bands.for_each(|(at, mut light)| {
        let columns = light.ncols();
        let knots = columns.div_ceil(step) + 1;
        let line = |y: usize| -> Vec<[f32; 3]> {
            (0..knots).map(|k| gain(across.at(k * step), down.at(at * band + y))).collect()
        };
        let mut below = line(0);
        let mut here = below.clone();
        let mut above = Vec::new();
        for (y, mut row) in light.outer_iter_mut().enumerate() {
            if y % step == 0 {
                above = std::mem::replace(&mut below, line(y + step));
            }
            let part = (y % step) as f32 / step as f32;
            for (here, (above, below)) in here.iter_mut().zip(above.iter().zip(&below)) {
                (0..3).for_each(|c| here[c] = above[c] + (below[c] - above[c]) * part);
            }
            for (x, pixel) in row.iter_mut().enumerate() {
                let (left, right) = (here[x / step], here[x / step + 1]);
                let part = (x % step) as f32 / step as f32;
                for c in 0..3 {
                    pixel[c] = (pixel[c] * (left[c] + (right[c] - left[c]) * part)).min(pixel[3]);
                }
            }
        }
    });
}
