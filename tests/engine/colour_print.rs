//! What the library of colours does for us, beside the formulas as they are printed: CIE 15 (Lab), ICC.1:2022 annex E
//! (the Bradford transform), and the von Kries transform in the cones of Hunt, Pointer and Estevez as B. Lindbloom,
//! "Chromatic Adaptation", prints both.

use proptest::prelude::*;
use smallcast::colour::{Lab, Linear};

type Three = [f64; 3];
type Matrix = [Three; 3];

/// ASTM E308, 2 degree observer.
const D65: Three = [0.95047, 1.0, 1.08883];
const D50: Three = [0.96422, 1.0, 0.82521];

const BRADFORD: Matrix = [[0.8951, 0.2664, -0.1614], [-0.7502, 1.7135, 0.0367], [0.0389, -0.0685, 1.0296]];
const CONES: Matrix = [[0.40024, 0.7076, -0.08081], [-0.2263, 1.16532, 0.0457], [0.0, 0.0, 0.91822]];

/// Bradford from D50 to D65 as one matrix, by the same page (from memory; seven decimals).
const D50_TO_D65: Matrix = [
    [0.9555766, -0.0230393, 0.0631636],
    [-0.0282895, 1.0099416, 0.0210077],
    [0.0122982, -0.0204830, 1.3299098],
];

/// How far ours may lie from the print, in units of Lab.
const PRINT: f64 = 1e-6;
/// Where the print is a matrix rounded to seven decimals: half of the last, three times a row, where Lab is steepest (dark
/// colours, 500 x 7.787 a unit of X).
const ROUNDED_PRINT: f64 = 6e-4;

fn times(matrix: &Matrix, v: Three) -> Three {
    matrix.map(|row| row.iter().zip(v).map(|(m, v)| m * v).sum())
}

/// CIE 15, from XYZ to Lab.
fn lab(xyz: Three, white: Three) -> Three {
    let f = |t: f64| {
        if t > (24.0_f64 / 116.0).powi(3) { t.cbrt() } else { 841.0 / 108.0 * t + 16.0 / 116.0 }
    };
    let [x, y, z] = [0, 1, 2].map(|i| f(xyz[i] / white[i]));
    [116.0 * y - 16.0, 500.0 * (x - y), 200.0 * (y - z)]
}

/// CIE 15, from Lab to XYZ.
fn xyz([l, a, b]: Three, white: Three) -> Three {
    let f = |t: f64| if t > 24.0 / 116.0 { t.powi(3) } else { (t - 16.0 / 116.0) * 108.0 / 841.0 };
    let y = (l + 16.0) / 116.0;
    [f(y + a / 500.0) * white[0], f(y) * white[1], f(y - b / 200.0) * white[2]]
}

fn assert_near(found: Lab, printed: Three, tolerance: f64) -> Result<(), TestCaseError> {
    for (found, printed) in [found.l, found.a, found.b].into_iter().zip(printed) {
        prop_assert!((found - printed).abs() < tolerance, "{found}, printed {printed}");
    }
    Ok(())
}

/// Each cone's answer is divided by its answer to the white it sees, so that what is adapted has the same answers beside
/// D65: said of the cones themselves, no matrix is turned round.
fn assert_adapted(cones: &Matrix, seen: Lab, white: Lab, adapted: Lab) -> Result<(), TestCaseError> {
    let of = |lab: Lab| times(cones, xyz([lab.l, lab.a, lab.b], D65));
    let bright = xyz([white.l, white.a, white.b], D65)[1];
    let (seen, white, adapted, daylight) = (of(seen), of(white), of(adapted), times(cones, D65));
    for i in 0..3 {
        let printed = seen[i] / white[i] * daylight[i] * bright;
        prop_assert!((adapted[i] - printed).abs() < PRINT, "cone {i}: {}, printed {printed}", adapted[i]);
    }
    Ok(())
}

fn any_measured() -> impl Strategy<Value = Three> {
    (0.0..=100.0, -100.0..=100.0, -100.0..=100.0).prop_map(|(l, a, b)| [l, a, b])
}

fn any_white() -> impl Strategy<Value = Lab> {
    (50.0..=100.0, -15.0..=15.0, -25.0..=25.0).prop_map(|(l, a, b)| Lab::new(l, a, b))
}

proptest! {
    #[test]
    fn light_becomes_lab_as_printed(light in prop::array::uniform3(0.0..=1.0)) {
        let [r, g, b] = light;
        // IEC 61966-2-1, the matrix of four digits.
        let matrix = [[0.4124, 0.3576, 0.1805], [0.2126, 0.7152, 0.0722], [0.0193, 0.1192, 0.9505]];
        assert_near(Linear { r, g, b }.lab(), lab(times(&matrix, light), D65), PRINT)?;
    }

    #[test]
    fn what_was_measured_under_d50_is_adapted_as_printed(measured in any_measured()) {
        let [l, a, b] = measured;
        let printed = lab(times(&D50_TO_D65, xyz(measured, D50)), D65);
        assert_near(Lab::from_d50(l, a, b), printed, ROUNDED_PRINT)?;
    }

    #[test]
    fn a_tinted_white_is_taken_out_as_printed(seen in any_measured(), white in any_white()) {
        let seen = Lab::new(seen[0], seen[1], seen[2]);
        assert_adapted(&BRADFORD, seen, white, seen.beside_white(white))?;
        assert_adapted(&CONES, seen, white, seen.untinted(white))?;
    }
}

#[test]
fn beside_black_nothing_is_told() {
    let (colour, black) = (Lab::new(40.0, 20.0, -30.0), Lab::new(0.0, 0.0, 0.0));
    assert_eq!((colour.beside_white(black), colour.untinted(black)), (colour, colour));
}
