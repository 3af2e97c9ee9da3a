//! Checks against published numbers; each file in `fixtures/published/` names its source.

use std::collections::BTreeMap;

use approx::assert_abs_diff_eq;
use smallcast::colour::{ColourVision, Colours, Lab, Linear, Srgb, ciede2000, contrast_ratio};
use smallcast::plan::{parse_stature, rows_for_stature};
use smallcast::units::Centimetres;

/// The rows of a fixture, each by its column names; lines with `#` before the header are its source.
fn rows(text: &str) -> Vec<BTreeMap<String, String>> {
    let mut reader = csv::ReaderBuilder::new().comment(Some(b'#')).from_reader(text.as_bytes());
    reader.deserialize().collect::<Result<_, _>>().expect("the fixture is a sound CSV file")
}

fn number(row: &BTreeMap<String, String>, column: &str) -> f64 {
    row[column].parse().unwrap_or_else(|_| panic!("{column} holds {}", row[column]))
}

fn colour(text: &str) -> Srgb {
    text.parse().unwrap_or_else(|_| panic!("{text} is a colour"))
}

const SHARMA: &str = include_str!("../../fixtures/published/ciede2000-sharma-2005.csv");

#[test]
fn ciede2000_gives_the_34_published_differences_in_both_orders() {
    let pairs = rows(SHARMA);
    assert_eq!(pairs.len(), 34);
    for row in &pairs {
        let one = Lab::new(number(row, "L1"), number(row, "a1"), number(row, "b1"));
        let other = Lab::new(number(row, "L2"), number(row, "a2"), number(row, "b2"));
        let printed = number(row, "deltaE00");
        // The hues of these two pairs lie 180 degrees apart but for rounding: the last bit of the
        // arc tangent chooses between two mean hues, and the paper prints only one of the results.
        let other_hue = match row["pair"].as_str() {
            "10" => 7.2195,
            "14" => 4.7461,
            _ => printed,
        };
        let in_a_batch = Colours::new([other, one]).differences(one)[0];
        for difference in [ciede2000(one, other).0, ciede2000(other, one).0, in_a_batch] {
            let error = (difference - printed).abs().min((difference - other_hue).abs());
            assert!(error < 1e-4, "pair {}: {difference}, printed {printed}", row["pair"]);
        }
    }
}

/// A plain linear congruential sequence (Knuth, MMIX), so that the colours are the same everywhere.
struct Dice(u64);

impl Dice {
    fn between(&mut self, low: f64, high: f64) -> f64 {
        self.0 = self.0.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        low + (high - low) * ((self.0 >> 11) as f64 / (1_u64 << 53) as f64)
    }

    fn lab(&mut self) -> Lab {
        Lab::new(self.between(0.0, 100.0), self.between(-100.0, 100.0), self.between(-100.0, 100.0))
    }
}

/// The hues of two colours lie more than 180 degrees apart and add to 360 or more: there palette
/// departs from the printed formula, by up to 1.9e-4.
fn is_across_the_red_axis(one: Lab, other: Lab) -> bool {
    let mean = (one.chroma() + other.chroma()) / 2.0;
    let seventh = mean.powi(7);
    let stretch = 1.0 + 0.5 * (1.0 - (seventh / (seventh + 25_f64.powi(7))).sqrt());
    let hue = |lab: Lab| lab.b.atan2(lab.a * stretch).to_degrees().rem_euclid(360.0);
    (hue(one) - hue(other)).abs() > 180.0 && hue(one) + hue(other) >= 360.0
}

#[test]
fn ciede2000_agrees_with_palette() {
    use palette::color_difference::Ciede2000;
    let theirs = |one: Lab, other: Lab| {
        let lab = |c: Lab| palette::Lab::<palette::white_point::D65, f64>::new(c.l, c.a, c.b);
        lab(one).difference(lab(other))
    };
    let mut dice = Dice(34);
    let mut across = 0;
    for _ in 0..4000 {
        let (one, other) = (dice.lab(), dice.lab());
        let error = (ciede2000(one, other).0 - theirs(one, other)).abs();
        let is_across = is_across_the_red_axis(one, other);
        across += usize::from(is_across);
        let tolerance = if is_across { 2e-4 } else { 1e-9 };
        assert!(error < tolerance, "{one} and {other} differ from palette by {error}");
    }
    assert!(across > 100, "only {across} pairs lie where palette departs");
}

const WORKED: &str = include_str!("../../fixtures/published/srgb-worked-values.csv");

/// Within one step of eight bits in each channel, as the fixture allows.
fn assert_same_to_a_step(found: Srgb, wanted: Srgb, what: &str) {
    let near = |x: u8, y: u8| x.abs_diff(y) <= 1;
    let same = near(found.r, wanted.r) && near(found.g, wanted.g) && near(found.b, wanted.b);
    assert!(same, "{what}: {found}, wanted {wanted}");
}

#[test]
fn srgb_has_the_worked_lab_values_and_luminance() {
    let worked = rows(WORKED);
    assert_eq!(worked.len(), 16);
    for row in &worked {
        let srgb = colour(&row["hex"]);
        let lab = srgb.lab();
        assert_abs_diff_eq!(lab.l, number(row, "L"), epsilon = 0.03);
        assert_abs_diff_eq!(lab.a, number(row, "a"), epsilon = 0.03);
        assert_abs_diff_eq!(lab.b, number(row, "b"), epsilon = 0.03);
        // Six decimals are printed.
        assert_abs_diff_eq!(srgb.linear().luminance(), number(row, "Y"), epsilon = 1e-6);
        assert_eq!(lab.srgb(), srgb);
    }
}

#[test]
fn colour_deficiencies_and_contrast_have_the_worked_values() {
    for row in &rows(WORKED) {
        let srgb = colour(&row["hex"]);
        for vision in ColourVision::ALL {
            let what = format!("{srgb} to {} eyes", vision.name());
            assert_same_to_a_step(vision.simulate_srgb(srgb), colour(&row[vision.name()]), &what);
        }
        let (black, white) = (Srgb::new(0, 0, 0), Srgb::new(255, 255, 255));
        assert_abs_diff_eq!(contrast_ratio(srgb, white), number(row, "contrast_white"), epsilon = 0.001);
        assert_abs_diff_eq!(contrast_ratio(black, srgb), number(row, "contrast_black"), epsilon = 0.001);
    }
}

/// IEC 61966-2-1 as printed: the curve's straight part below 0.04045, its power above.
#[test]
fn the_transfer_curve_is_that_of_the_standard() {
    for value in 0..=255_u8 {
        let v = f64::from(value) / 255.0;
        let light = if v <= 0.04045 { v / 12.92 } else { ((v + 0.055) / 1.055).powf(2.4) };
        let grey = Srgb::new(value, value, value);
        assert_abs_diff_eq!(grey.linear().g, light, epsilon = 1e-12);
        assert_eq!(grey.linear().srgb(), grey);
    }
    // By hand: 10/255/12.92, the last whole step on the straight part.
    assert_abs_diff_eq!(Srgb::new(10, 0, 0).linear().r, 0.003_035_27, epsilon = 1e-8);
}

#[test]
fn averages_are_made_in_light() {
    let mix = |whites: f64, blacks: f64| {
        let share = whites / (whites + blacks);
        let (white, black) = (Srgb::new(255, 255, 255).linear(), Srgb::new(0, 0, 0).linear());
        let part = |w: f64, b: f64| share * w + (1.0 - share) * b;
        Linear { r: part(white.r, black.r), g: part(white.g, black.g), b: part(white.b, black.b) }.srgb()
    };
    assert_eq!(mix(1.0, 1.0), Srgb::new(188, 188, 188));
    assert_eq!(mix(1.0, 3.0), Srgb::new(137, 137, 137));
}

/// Every light that the clipping of `simulate` leaves alone shows the matrix: a dim grey with a little
/// more of one primary stays inside 0 to 1, and the grey itself is kept, for the rows add to 1.
#[test]
fn colour_deficiencies_follow_the_published_matrices() {
    const GREY: f64 = 0.5;
    const STEP: f64 = 0.125;
    let published = rows(include_str!("../../fixtures/published/cvd-matrices.csv"));
    for vision in ColourVision::ALL {
        let row = published
            .iter()
            .find(|r| r["model"] == "machado2009" && r["type"] == vision.name() && r["severity"] == "1.0")
            .expect("the fixture has each deficiency at its strongest");
        for primary in 0..3 {
            let mut light = [GREY; 3];
            light[primary] += STEP;
            let seen = vision.simulate(Linear { r: light[0], g: light[1], b: light[2] });
            for (channel, value) in [seen.r, seen.g, seen.b].into_iter().enumerate() {
                let entry = number(row, &format!("m{}{}", channel + 1, primary + 1));
                // Rows add to 1 within the six printed decimals.
                assert_abs_diff_eq!((value - GREY) / STEP, entry, epsilon = 1e-5);
            }
        }
        let primaries = [Srgb::new(255, 0, 0), Srgb::new(0, 255, 0), Srgb::new(0, 0, 255)];
        for (primary, srgb) in primaries.into_iter().enumerate() {
            let seen = vision.simulate(srgb.linear());
            for (channel, value) in [seen.r, seen.g, seen.b].into_iter().enumerate() {
                let entry = number(row, &format!("m{}{}", channel + 1, primary + 1));
                assert_abs_diff_eq!(value, entry.clamp(0.0, 1.0), epsilon = 1e-9);
            }
        }
    }
}

/// CDC 2000 medians: 24 rows are the man of 20 years (176.85 cm).
#[test]
fn published_statures_become_rows() {
    let charts = rows(include_str!("../../fixtures/published/stature-by-age.csv"));
    let median = |sex: &str, age: &str| {
        let row = charts.iter().find(|r| r["sex"] == sex && r["age_years"] == age);
        Centimetres(number(row.expect("the chart has this age"), "median_cm"))
    };
    assert_eq!(rows_for_stature(median("male", "20")), 24);
    assert_eq!(rows_for_stature(median("female", "20")), 22);
    for sex in ["male", "female"] {
        assert_eq!(rows_for_stature(median(sex, "10")), 19, "{sex}, ten years");
        assert_eq!(rows_for_stature(median(sex, "5")), 15, "{sex}, five years");
        assert_eq!(rows_for_stature(median(sex, "2")), 12, "{sex}, two years");
    }
}

#[test]
fn statures_are_read_in_each_unit() {
    for (text, cm) in [
        ("165cm", 165.0),
        ("165", 165.0),
        ("1.65m", 165.0),
        ("5ft5in", 165.1),
        ("65in", 165.1),
        ("6ft", 182.88),
        ("1,65m", 165.0),
        ("165,5 cm", 165.5),
        ("5'5\"", 165.1),
        ("5′5″", 165.1),
        ("5’ 5”", 165.1),
        ("5'5''", 165.1),
        ("6'", 182.88),
        ("65\"", 165.1),
    ] {
        let read = parse_stature(text).unwrap_or_else(|e| panic!("{text}: {e}"));
        assert_abs_diff_eq!(read.0, cm, epsilon = 1e-9);
    }
    for text in [
        "", "tall", "39cm", "401", "-5ft", "5ftx", "5ft12in", "5ft14in", "5'12\"", "1,6,5m", "1.6,5m", "nan",
        "inf", "1e9m",
    ] {
        assert!(parse_stature(text).is_err(), "{text} was read");
    }
}
