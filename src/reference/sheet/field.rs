//! Where a picture changes, and which way.

use ndarray::{Array2, Zip};
use rayon::prelude::*;

use super::line::Point;
use crate::reference::shrink::{Light, straight};

/// The picture as the logarithm of its light, smoothed a little, and its change from pixel to pixel.
pub(super) struct Field {
    /// Red, green and blue.
    pub light: Array2<[f32; 3]>,
    /// How much the three change together from a pixel to the next, in the direction in which they change most.
    pub change: Array2<f32>,
}

/// Light so faint that its logarithm would be noise: about a twentieth of full on the screen's scale.
const FAINT: f32 = 0.0037;

/// The screen's curve is about this root of light, so that a change of 0.06 is one of 6 % in stored values.
const ROOT: f32 = 2.2;

impl Field {
    pub fn of(light: &Array2<Light>) -> Self {
        let log = |light: Light| {
            let [r, g, b] = straight(light);
            let of = |v: f32| (v.max(0.0) + FAINT).ln() / ROOT;
            [of(r), of(g), of(b)]
        };
        let mut logs = Array2::from_elem(light.dim(), [0.0; 3]);
        Zip::from(&mut logs).and(light).par_for_each(|out, light| *out = log(*light));
        let light = smoothed(&logs);
        let change = changes(&light);
        Self { light, change }
    }

    /// The direction in which the three change most at a pixel, of length 1.
    pub fn towards(&self, pixel: (usize, usize)) -> [f32; 2] {
        Tensor::at(&self.light, pixel).towards()
    }

    /// Rows and columns.
    pub fn dim(&self) -> (usize, usize) {
        self.change.dim()
    }

    /// The pixel a place lies in; none outside the picture. Pixel (0, 0) has its middle at (0, 0).
    pub fn pixel(&self, (x, y): Point) -> Option<(usize, usize)> {
        let (rows, columns) = self.dim();
        let inside = x > -0.5 && y > -0.5 && x < columns as f64 - 0.5 && y < rows as f64 - 0.5;
        inside.then_some(((y + 0.5) as usize, (x + 0.5) as usize))
    }

    /// The light at a place; none outside the picture.
    pub fn at(&self, place: Point) -> Option<[f32; 3]> {
        self.pixel(place).map(|p| self.light[p])
    }
}

/// A bell of deviation 1.2 pixels, to three pixels each side: finer than any sheet's edge, coarser than what a
/// photograph's compression leaves.
const REACH: usize = 3;
const BELL: [f32; REACH + 1] = [0.333, 0.235, 0.083, 0.0145];

fn smoothed(values: &Array2<[f32; 3]>) -> Array2<[f32; 3]> {
    let (rows, columns) = values.dim();
    let mut out = Array2::from_elem((rows, columns), [0.0_f32; 3]);
    out.outer_iter_mut().into_par_iter().enumerate().for_each(|(y, mut line)| {
        // Down first, with as much to each side as the bell is wide, then across; edges are repeated.
        let mut down = vec![[0.0_f32; 3]; columns + 2 * REACH];
        for step in 0..=2 * REACH {
            let from = (y + step).saturating_sub(REACH).min(rows - 1);
            let weight = BELL[step.abs_diff(REACH)];
            let Some(from) = values.as_slice().map(|all| &all[from * columns..][..columns]) else { continue };
            let out = down[REACH..REACH + columns].as_flattened_mut();
            out.iter_mut().zip(from.as_flattened()).for_each(|(out, from)| *out += weight * from);
        }
        let (first, last) = (down[REACH], down[REACH + columns - 1]);
        down[..REACH].fill(first);
        down[REACH + columns..].fill(last);
        let Some(out) = line.as_slice_mut() else { return };
        let out = out.as_flattened_mut();
        for step in 0..=2 * REACH {
            let weight = BELL[step.abs_diff(REACH)];
            let from = down[step..step + columns].as_flattened();
            out.iter_mut().zip(from).for_each(|(out, from)| *out += weight * from);
        }
    });
    out
}

/// The structure tensor of the three channels at a pixel (Di Zenzo 1986).
struct Tensor {
    xx: f32,
    xy: f32,
    yy: f32,
}

impl Tensor {
    fn at(light: &Array2<[f32; 3]>, (y, x): (usize, usize)) -> Self {
        let (rows, columns) = light.dim();
        let (above, below) = (light[(y.saturating_sub(1), x)], light[((y + 1).min(rows - 1), x)]);
        let (left, right) = (light[(y, x.saturating_sub(1))], light[(y, (x + 1).min(columns - 1))]);
        Self::of(above, below, left, right)
    }

    #[inline]
    fn of(above: [f32; 3], below: [f32; 3], left: [f32; 3], right: [f32; 3]) -> Self {
        let mut sum = Self { xx: 0.0, xy: 0.0, yy: 0.0 };
        for c in 0..3 {
            let (dx, dy) = ((right[c] - left[c]) / 2.0, (below[c] - above[c]) / 2.0);
            sum.xx += dx * dx;
            sum.xy += dx * dy;
            sum.yy += dy * dy;
        }
        sum
    }

    fn half(&self) -> f32 {
        (self.xx - self.yy) / 2.0
    }

    fn spread(&self) -> f32 {
        (self.half() * self.half() + self.xy * self.xy).sqrt()
    }

    /// The root of its greater eigenvalue.
    fn change(&self) -> f32 {
        ((self.xx + self.yy) / 2.0 + self.spread()).sqrt()
    }

    /// And the direction of that.
    fn towards(&self) -> [f32; 2] {
        // (cos 2a, sin 2a) of the direction is (xx - yy, 2 xy) / 2 spread.
        let spread = self.spread();
        let cos = if spread > 0.0 { self.half() / spread } else { 1.0 };
        let dx = ((1.0 + cos) / 2.0).max(0.0).sqrt();
        let dy = ((1.0 - cos) / 2.0).max(0.0).sqrt().copysign(self.xy);
        [dx, dy]
    }
}

fn changes(light: &Array2<[f32; 3]>) -> Array2<f32> {
    let mut change = Array2::from_elem(light.dim(), 0.0_f32);
    let (rows, columns) = light.dim();
    let Some(all) = light.as_slice() else { return change };
    let row = |y: usize| &all[y * columns..][..columns];
    change.outer_iter_mut().into_par_iter().enumerate().for_each(|(y, mut line)| {
        let (above, here, below) = (row(y.saturating_sub(1)), row(y), row((y + 1).min(rows - 1)));
        // Within the row each has both neighbours; its ends are looked at by themselves.
        let within = here.windows(3).zip(above.iter().zip(below).skip(1));
        for (change, (near, (above, below))) in line.iter_mut().skip(1).zip(within) {
            *change = Tensor::of(*above, *below, near[0], near[2]).change();
        }
        for x in [0, columns - 1] {
            line[x] = Tensor::at(light, (y, x)).change();
        }
    });
    change
}
