//! The reliability diagram: bars as high as beads were right, red where confidence was off.

use image::RgbaImage;
use smallcast::score::Judged;
use smallcast::sheet::{png, reliability_picture};
use smallcast::units::{Column, Row};

/// Beads of one confidence, of which the first `right` are right.
fn beads(count: usize, right: usize, confidence: f64) -> Vec<Judged> {
    (0..count).map(|at| Judged { confidence, right: at < right, at: (Row(0), Column(at)) }).collect()
}

/// How many pixels are far more red than blue, and how many the other way round but light.
fn red_and_bars(picture: &RgbaImage) -> (usize, usize) {
    let count = |is: fn(&image::Rgba<u8>) -> bool| picture.pixels().filter(|pixel| is(pixel)).count();
    (count(|p| p[0] > 150 && p[2] < 80), count(|p| p[0] > 150 && p[2].saturating_sub(p[0]) > 25))
}

#[test]
fn red_lines_show_only_where_confidence_is_off_and_as_long_as_it_is() {
    let red = |confidence, right| red_and_bars(&reliability_picture(&beads(100, right, confidence))).0;
    assert_eq!(red(0.55, 55), 0);
    let (modest, bold) = (red(0.55, 95), red(0.55, 15));
    assert!(modest > 500 && modest.abs_diff(bold) < modest / 10, "{modest} above, {bold} below");
    let half = red(0.55, 75);
    assert!((0.4..0.6).contains(&(half as f64 / modest as f64)), "{half} of {modest}");
}

#[test]
fn bars_are_as_high_as_beads_were_right() {
    let bar = |right| red_and_bars(&reliability_picture(&beads(100, right, 0.55))).1 as f64;
    let (quarter, whole) = (bar(25), bar(100));
    assert!((0.2..0.3).contains(&(quarter / whole)), "{quarter} of {whole}");
    // Another bin of beads is another bar.
    let two: Vec<Judged> = [beads(10, 10, 0.55), beads(10, 10, 0.85)].concat();
    let both = red_and_bars(&reliability_picture(&two)).1 as f64;
    assert!((1.8..2.2).contains(&(both / whole)), "{both} beside {whole}");
}

#[test]
fn the_same_beads_give_the_same_bytes_and_any_number_fits() {
    let none = reliability_picture(&[]);
    for count in [1, 1000, 2_000_000] {
        let picture = reliability_picture(&beads(count, count / 2, 0.31));
        assert_eq!(picture.dimensions(), none.dimensions());
        assert_eq!(png(&picture), png(&reliability_picture(&beads(count, count / 2, 0.31))));
    }
}
