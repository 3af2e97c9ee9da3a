//! The ground a figure stands on, learnt from the picture's own border: its colour, how it shades
//! from side to side, and how noisy it is.

use ndarray::Array2;
use rayon::prelude::*;

use super::middle::median;
use crate::colour::Lab;

/// Width of the border strip, as a share of the shorter side.
const STRIP: f64 = 0.02;

/// Pixels of the border that are asked, at most: the noise of this many is known within 2 %.
const MOST_POINTS: usize = 3000;

/// Rounds of the robust fit; each drops what lies beyond three deviations, it settles in four.
const ROUNDS: usize = 6;

/// Median absolute deviation to standard deviation, for normal noise.
const MAD_TO_SIGMA: f64 = 1.4826;

/// Least noise assumed, in Lab units: what eight bits leave.
const LEAST_NOISE: f64 = 0.4;

/// Terms of the surface: 1, x, y, xx, xy, yy.
const TERMS: usize = 6;

/// A smooth ground: each Lab channel a quadratic in x and y, with its noise.
#[derive(Clone, Debug)]
pub(crate) struct Ground {
    surface: [[f64; TERMS]; 3],
    scale: (f64, f64),
    /// Standard deviation of a pixel from the surface, in Lab units.
    pub noise: f64,
    /// Share of the border that lies on the surface, 0 to 1.
    pub agreement: f64,
}

impl Ground {
    /// Fits the ground to the border of a picture of at least one pixel.
    pub fn of_border(colours: &Array2<Lab>) -> Self {
        let (rows, columns) = colours.dim();
        let strip = ((rows.min(columns) as f64 * STRIP).round() as usize).max(1);
        let inner = strip..rows.saturating_sub(strip).max(strip);
        let row = |y: usize| {
            // Between the strips at top and bottom only the sides belong to the border.
            let skipped = if inner.contains(&y) { strip..columns.saturating_sub(strip) } else { 0..0 };
            let right = skipped.end.max(skipped.start);
            (0..skipped.start).chain(right..columns).filter(move |&x| x < columns).map(move |x| (y, x))
        };
        let points: Vec<(usize, usize)> = (0..rows).flat_map(row).collect();
        let every = points.len().div_ceil(MOST_POINTS);
        let some: Vec<_> = points.into_iter().step_by(every.max(1)).collect();
        Self::fit(colours, &some)
    }

    /// Fits the ground to chosen pixels; starts from their median so that a figure that touches the
    /// border does not pull it.
    pub fn fit(colours: &Array2<Lab>, points: &[(usize, usize)]) -> Self {
        let (rows, columns) = colours.dim();
        let scale = (2.0 / (columns.max(2) - 1) as f64, 2.0 / (rows.max(2) - 1) as f64);
        let median =
            |channel: fn(&Lab) -> f64| median(points.iter().map(|&p| channel(&colours[p])).collect());
        let flat = |v: f64| [v, 0.0, 0.0, 0.0, 0.0, 0.0];
        let mut ground = Self {
            surface: [flat(median(|c| c.l)), flat(median(|c| c.a)), flat(median(|c| c.b))],
            scale,
            noise: 0.0,
            agreement: 0.0,
        };
        let seen: Vec<_> = points.iter().map(|&p| (ground.basis(p), colours[p])).collect();
        let mut fitted = Vec::new();
        for round in 0..ROUNDS {
            let distances = ground.measure_noise(&seen);
            let bound = ground.bound();
            let on: Vec<bool> = distances.iter().map(|distance| *distance <= bound).collect();
            // A plane first: a quadratic over few agreeing pixels would bend towards the figure.
            let terms = if round == 0 { 3 } else { TERMS };
            if on.iter().filter(|on| **on).count() < 4 * terms {
                break;
            }
            // The same pixels have the same surface, and so has every round after.
            if round > 1 && on == fitted {
                break;
            }
            let channels = |Lab { l, a, b }: Lab| [l, a, b];
            let kept = seen.iter().zip(&on).filter(|(_, on)| **on);
            let samples = kept.map(|((basis, colour), _)| (*basis, channels(*colour)));
            if let Some(fit) = least_squares(samples, terms) {
                ground.surface = fit;
            }
            fitted = on;
        }
        ground.measure_noise(&seen);
        ground
    }

    /// Beyond this a pixel does not belong to the ground, in Lab units.
    pub fn bound(&self) -> f64 {
        /// Six deviations keep every pixel of a noisy sheet; three units are seen at a glance; and a
        /// border that strays further than twelve shows more than ground and noise.
        const DEVIATIONS: f64 = 6.0;
        const LEAST: f64 = 3.0;
        const MOST: f64 = 12.0;
        (self.noise * DEVIATIONS).clamp(LEAST, MOST)
    }

    /// The ground's colour at a pixel (row, column).
    pub fn at(&self, place: (usize, usize)) -> Lab {
        self.of_basis(&self.basis(place))
    }

    fn of_basis(&self, basis: &[f64; TERMS]) -> Lab {
        let value = |c: usize| basis.iter().zip(&self.surface[c]).map(|(b, s)| b * s).sum();
        Lab::new(value(0), value(1), value(2))
    }

    /// How far every pixel's colour lies from the ground there, in Lab units.
    pub fn distances(&self, colours: &Array2<Lab>) -> Array2<f64> {
        let (rows, columns) = colours.dim();
        let mut out = Array2::zeros((rows, columns));
        let lines =
            out.outer_iter_mut().into_par_iter().enumerate().zip(colours.outer_iter().into_par_iter());
        lines.for_each(|((y, mut out), colours)| {
            let v = y as f64 * self.scale.1 - 1.0;
            // Along a row each channel is a parabola in u.
            let rows = self.surface.map(|s| [s[0] + s[2] * v + s[5] * v * v, s[1] + s[4] * v, s[3]]);
            for ((x, out), colour) in out.iter_mut().enumerate().zip(colours) {
                let u = x as f64 * self.scale.0 - 1.0;
                let at = |[start, slope, bend]: [f64; 3]| start + (slope + bend * u) * u;
                let (l, a, b) = (at(rows[0]) - colour.l, at(rows[1]) - colour.a, at(rows[2]) - colour.b);
                *out = (l * l + a * a + b * b).sqrt();
            }
        });
        out
    }

    fn basis(&self, (y, x): (usize, usize)) -> [f64; TERMS] {
        let (u, v) = (x as f64 * self.scale.0 - 1.0, y as f64 * self.scale.1 - 1.0);
        [1.0, u, v, u * u, u * v, v * v]
    }

    /// Learns the noise from how far pixels lie from the surface, each given by its basis and colour; tells that.
    fn measure_noise(&mut self, seen: &[([f64; TERMS], Lab)]) -> Vec<f64> {
        let distance =
            |(basis, colour): &([f64; TERMS], Lab)| self.of_basis(basis).distance_squared(*colour).sqrt();
        let distances: Vec<f64> = seen.iter().map(distance).collect();
        self.noise = (MAD_TO_SIGMA * median(distances.clone())).max(LEAST_NOISE);
        let bound = self.bound();
        let on = distances.iter().filter(|&&d| d <= bound).count();
        self.agreement = on as f64 / distances.len().max(1) as f64;
        distances
    }
}

/// Weights of the first `terms` basis functions that fit the samples best, for each of their values; nothing
/// if they do not determine them. Normal equations by Gauss-Jordan with pivots: the basis is small and scaled
/// to -1..1.
pub(crate) fn least_squares<const N: usize, const C: usize>(
    samples: impl Iterator<Item = ([f64; N], [f64; C])>,
    terms: usize,
) -> Option<[[f64; N]; C]> {
    // Left the products of the basis with itself, right those with the values.
    let mut equations = [([0.0; N], [0.0; C]); N];
    for (basis, values) in samples {
        for (i, (left, right)) in equations.iter_mut().enumerate() {
            left.iter_mut().zip(&basis).for_each(|(sum, b)| *sum += basis[i] * b);
            right.iter_mut().zip(&values).for_each(|(sum, v)| *sum += basis[i] * v);
        }
    }
    let equations = &mut equations[..terms];
    for i in 0..terms {
        let size = |at: usize| f64::abs(equations[at].0[i]);
        let pivot = (i..terms).max_by(|&a, &b| size(a).total_cmp(&size(b)))?;
        equations.swap(i, pivot);
        let lead = equations[i];
        if lead.0[i].abs() < 1e-9 {
            return None;
        }
        for (_, (left, right)) in equations.iter_mut().enumerate().filter(|(j, _)| *j != i) {
            let factor = left[i] / lead.0[i];
            left.iter_mut().zip(&lead.0).for_each(|(v, l)| *v -= factor * l);
            right.iter_mut().zip(&lead.1).for_each(|(v, l)| *v -= factor * l);
        }
    }
    let weight = |i: usize, channel: usize| equations[i].1[channel] / equations[i].0[i];
    Some(std::array::from_fn(|c| std::array::from_fn(|i| if i < terms { weight(i, c) } else { 0.0 })))
}
