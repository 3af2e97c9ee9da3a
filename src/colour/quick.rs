//! Lab of many pixels at once, for judging pictures pixel by pixel.
//!
//! Single precision and a cube root by Halley's rule: within 0.001 Lab units of [`super::Linear::lab`]. What is
//! reported of a single colour goes the exact way.

use super::{D65, EPSILON, KAPPA, Lab, TO_XYZ};

/// Pixels worked on side by side.
const LANES: usize = 8;

type Lanes = [f32; LANES];

/// The Lab of pixels given as linear red, green and blue, each 0 or more.
pub(crate) fn labs(light: impl ExactSizeIterator<Item = [f32; 3]>) -> Vec<Lab> {
    let mut labs = Vec::with_capacity(light.len());
    let mut lanes = [[0.0; LANES]; 3];
    let mut filled = 0;
    for pixel in light {
        (0..3).for_each(|c| lanes[c][filled] = pixel[c]);
        filled += 1;
        if filled == LANES {
            labs.extend(some(&lanes));
            filled = 0;
        }
    }
    labs.extend(some(&lanes).into_iter().take(filled));
    labs
}

/// The same for one colour's worth of pixels.
fn some(light: &[Lanes; 3]) -> [Lab; LANES] {
    let [x, y, z] = [0, 1, 2].map(|i| {
        let weights = TO_XYZ[i].map(|weight| (weight / D65[i]) as f32);
        let mut out = [0.0; LANES];
        for lane in 0..LANES {
            let [r, g, b] = [light[0][lane], light[1][lane], light[2][lane]];
            out[lane] = response(weights[0] * r + weights[1] * g + weights[2] * b);
        }
        out
    });
    std::array::from_fn(|lane| {
        let (x, y, z) = (x[lane], y[lane], z[lane]);
        Lab::new(f64::from(116.0 * y - 16.0), f64::from(500.0 * (x - y)), f64::from(200.0 * (y - z)))
    })
}

/// CIE 15's response: a cube root, and a straight line in the dark.
fn response(t: f32) -> f32 {
    let line = (KAPPA as f32 * t + 16.0) / 116.0;
    if t > EPSILON as f32 { cube_root(t) } else { line }
}

/// The cube root of a number above [`EPSILON`].
fn cube_root(t: f32) -> f32 {
    /// A third of the exponent; what is added brings it back to the middle and the error under 4 %.
    const THIRD: u32 = 0x2a51_19f2;
    let mut root = f32::from_bits(t.to_bits() / 3 + THIRD);
    // Halley's rule triples the digits: 4 % becomes a hundred-thousandth, then less than single precision shows.
    for _ in 0..2 {
        let cube = root * root * root;
        root *= (cube + t + t) / (cube + cube + t);
    }
    root
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::colour::Linear;

    #[test]
    fn quick_is_as_good_as_exact() {
        let steps = || (0..=20).map(|i| (f64::from(i) / 20.0).powi(3));
        let all: Vec<[f64; 3]> =
            steps().flat_map(|r| steps().flat_map(move |g| steps().map(move |b| [r, g, b]))).collect();
        let quick = labs(all.iter().map(|pixel| pixel.map(|v| v as f32)));
        assert_eq!(quick.len(), all.len());
        for (&[r, g, b], quick) in all.iter().zip(quick) {
            let exact = Linear { r, g, b }.lab();
            assert!(quick.distance_squared(exact).sqrt() < 1e-3, "{r} {g} {b}: {quick} instead of {exact}");
        }
    }
}
