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
    let mut done = [Lab::new(0.0, 0.0, 0.0); LANES];
    let mut filled = 0;
    for [r, g, b] in light {
        lanes[0][filled] = r;
        lanes[1][filled] = g;
        lanes[2][filled] = b;
        filled += 1;
        if filled == LANES {
            some(&lanes, &mut done);
            labs.extend_from_slice(&done);
            filled = 0;
        }
    }
    some(&lanes, &mut done);
    labs.extend_from_slice(&done[..filled]);
    labs
}

/// The Lab of some pixels. Plain loops over the lanes, which become the processor's own.
fn some(light: &[Lanes; 3], out: &mut [Lab; LANES]) {
    let mut xyz = [[0.0; LANES]; 3];
    for ((row, white), out) in TO_XYZ.iter().zip(D65).zip(&mut xyz) {
        let [r, g, b] = [(row[0] / white) as f32, (row[1] / white) as f32, (row[2] / white) as f32];
        for lane in 0..LANES {
            out[lane] = response(r * light[0][lane] + g * light[1][lane] + b * light[2][lane]);
        }
    }
    let [x, y, z] = xyz;
    for lane in 0..LANES {
        out[lane].l = f64::from(116.0 * y[lane] - 16.0);
        out[lane].a = f64::from(500.0 * (x[lane] - y[lane]));
        out[lane].b = f64::from(200.0 * (y[lane] - z[lane]));
    }
}

/// CIE 15's response: a cube root, and a straight line in the dark that meets it. Both are taken everywhere and
/// added, each held still where the other rules: a branch would part what runs side by side.
fn response(t: f32) -> f32 {
    const KNEE: f32 = EPSILON as f32;
    const SLOPE: f32 = (KAPPA / 116.0) as f32;
    cube_root(t.max(KNEE)) + SLOPE * (t.min(KNEE) - KNEE)
}

/// The cube root of a number from [`EPSILON`] to a little over 1.
fn cube_root(t: f32) -> f32 {
    // A ratio that is right at 0.01, 0.1 and 1 and within a tenth between: no whole numbers, which would not
    // run side by side. Halley's rule triples the digits: 10 % becomes 0.1 %, then less than single precision
    // shows.
    let guess = (0.1772 + 4.644 * t) / (1.0 + 3.8212 * t);
    halley(halley(guess, t), t)
}

fn halley(root: f32, t: f32) -> f32 {
    let cube = root * root * root;
    root * ((cube + t + t) / (cube + cube + t))
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
