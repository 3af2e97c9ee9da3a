//! Pictures to look at: the right colours in the right places, the same bytes, bounded sizes.

use crate::common::{WATCHMAN, as_picture, by_rows, drawn, tray};
use image::Rgba;
use smallcast::colour::Srgb;
use smallcast::draft::draft;
use smallcast::grid::Grid;
use smallcast::sheet::{candidates_picture, draft_picture, png};
use smallcast::units::{Column, Row};

fn close(one: Rgba<u8>, other: Srgb) -> bool {
    [one[0].abs_diff(other.r), one[1].abs_diff(other.g), one[2].abs_diff(other.b)].iter().all(|d| *d <= 2)
}

#[test]
fn a_draft_s_picture_is_the_same_bytes_each_time_and_opens_again() {
    let tray = tray();
    let found = draft("w", &as_picture(drawn(&WATCHMAN, (12.0, 12.0), 24.0)), &by_rows(24), &tray).unwrap();
    let bytes = png(&draft_picture(&found, &tray));
    assert_eq!(bytes, png(&draft_picture(&found, &tray)));
    let again = image::load_from_memory(&bytes).unwrap().to_rgba8();
    assert_eq!(again, draft_picture(&found, &tray));
    assert!(again.width() <= 2400 && again.height() <= 1000, "{:?}", again.dimensions());
}

/// The ring of a bead, between hole and rim, has the bead's colour; its middle is a hole.
#[test]
fn beads_have_their_own_colour_and_a_hole() {
    let red = Srgb::new(200, 30, 40);
    let figure = Grid::from_fn(3, 2, |row, _| (row == Row(1)).then_some(red));
    let here = Grid::from_fn(3, 2, |row, column| row == Row(1) && column == Column(1));
    let tray = tray();
    let candidates: Vec<_> = ["moss", "gilt"].iter().map(|name| tray.find(name).unwrap()).collect();
    let picture = candidates_picture(&figure, &here, &candidates, &tray);
    let seen: Vec<Srgb> = picture.pixels().map(|p| Srgb::new(p[0], p[1], p[2])).collect();
    let has = |colour: Srgb| seen.iter().filter(|s| close(Rgba([s.r, s.g, s.b, 255]), colour)).count();
    let of = |name: &str| tray.bead(tray.find(name).unwrap()).lab.srgb();
    // Each candidate stands once on light and once on dark; the other bead of the row in all four.
    let (one, two, beside) = (has(of("moss")), has(of("gilt")), has(red));
    assert!(one > 200 && two > 200, "{one} {two}");
    assert!((beside as f64 / one as f64 - 2.0).abs() < 0.3, "{beside} beside {one}");
}

#[test]
fn figures_of_any_size_are_drawn_within_bounds() {
    let tray = tray();
    for (rows, columns) in [(1, 1), (1, 150), (100, 1), (100, 150)] {
        let figure = Grid::from_fn(rows, columns, |_, _| Some(Srgb::new(90, 90, 90)));
        let here = figure.map(|_, _, _| false);
        let candidates: Vec<_> = tray.iter().map(|(id, _)| id).take(2).collect();
        let picture = candidates_picture(&figure, &here, &candidates, &tray);
        assert!(picture.width() <= 7000 && picture.height() <= 7000, "{rows} x {columns}");
    }
}
