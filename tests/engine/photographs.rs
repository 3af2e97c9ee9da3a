//! Drawn photographs: they repeat, their corners are true, every sort is met, and what counts as found.

use std::collections::HashSet;

use image::RgbaImage;
use smallcast::score::{KnownFigure, SheetScore, Sheets, sheet_score};
use smallcast::tray::Tray;
use smallcast::trial::{
    BARE_PICTURES, Beside, Corner, Drawing, Framing, Lighting, Manner, Setting, Surface, Thrown, Trial,
    bare_picture, known_figures,
};

fn figures() -> (Tray, Vec<KnownFigure>) {
    let tray = Tray::embedded();
    let figures = known_figures(&tray).expect("the known figures fit the embedded tray");
    (tray, figures)
}

/// Figure and seed of the first photograph of which something holds.
fn first(figures: &[KnownFigure], of: impl Fn(&Setting) -> bool) -> (&KnownFigure, u64) {
    let all = (0..50).flat_map(|seed| figures.iter().map(move |figure| (figure, seed)));
    all.into_iter()
        .find(|(figure, seed)| of(&Setting::of(&figure.name, *seed)))
        .expect("each sort is met in so many")
}

fn drawn((figure, seed): (&KnownFigure, u64), tray: &Tray) -> Drawing {
    Trial { figure, manner: Manner::TableSheet, seed }.drawing(tray)
}

/// A sheet of which nothing is hidden or dark.
fn is_open(setting: &Setting) -> bool {
    setting.thrown == Thrown::Nothing
        && setting.corner == Corner::Clear
        && setting.beside == Beside::Nothing
        && setting.lighting != Lighting::Lamp
}

fn luma(picture: &RgbaImage, (x, y): (f64, f64)) -> f64 {
    let pixel = picture.get_pixel(x as u32, y as u32);
    f64::from(pixel[0]) + f64::from(pixel[1]) + f64::from(pixel[2])
}

#[test]
fn a_photograph_follows_from_figure_and_seed_and_its_corners_are_where_the_paper_ends() {
    let (tray, figures) = figures();
    let plain = |setting: &Setting| {
        is_open(setting) && setting.framing == Framing::Whole && setting.surface == Surface::Black
    };
    let chosen = first(&figures, plain);
    let drawing = drawn(chosen, &tray);
    assert_eq!(drawing.pixels, drawn(chosen, &tray).pixels);
    let corners = drawing.sheet.expect("a sheet is drawn");
    let mut middle = (0.0, 0.0);
    corners.iter().for_each(|corner| middle = (middle.0 + corner.0 / 4.0, middle.1 + corner.1 / 4.0));
    // From the middle through each corner and through the middle of each side: paper just before, table just past.
    let sides = (0..4).map(|i| {
        let (a, b) = (corners[i], corners[(i + 1) % 4]);
        ((a.0 + b.0) / 2.0, (a.1 + b.1) / 2.0)
    });
    for end in corners.into_iter().chain(sides) {
        let at = |part: f64| (middle.0 + part * (end.0 - middle.0), middle.1 + part * (end.1 - middle.1));
        let (before, past) = (luma(&drawing.pixels, at(0.985)), luma(&drawing.pixels, at(1.015)));
        assert!(before > 2.0 * past, "at {end:?}: {before} before, {past} past");
    }
    let (a, b, d) = (corners[0], corners[1], corners[3]);
    assert!(a.0 < b.0 && a.1 < d.1, "clockwise from the top left: {corners:?}");
}

#[test]
fn the_frame_cuts_what_it_is_to_cut() {
    let (tray, figures) = figures();
    for (framing, shown) in [(Framing::CornerOut, 3..=3), (Framing::Cut, 0..=2)] {
        let drawing = drawn(first(&figures, |setting| setting.framing == framing), &tray);
        let (width, height) = (f64::from(drawing.pixels.width()), f64::from(drawing.pixels.height()));
        let inside = |(x, y): &(f64, f64)| *x >= 0.0 && *y >= 0.0 && *x <= width && *y <= height;
        let count = drawing.sheet.unwrap().iter().filter(|corner| inside(corner)).count();
        assert!(shown.contains(&count), "{framing:?} shows {count} corners");
    }
}

#[test]
fn a_hundred_photographs_show_every_sort() {
    let (_, figures) = figures();
    let all: Vec<Setting> =
        figures.iter().flat_map(|figure| (0..4).map(move |seed| Setting::of(&figure.name, seed))).collect();
    fn sorts<T: std::hash::Hash + Eq>(all: &[Setting], of: fn(&Setting) -> T) -> usize {
        all.iter().map(of).collect::<HashSet<T>>().len()
    }
    assert_eq!(sorts(&all, |setting| setting.surface), Surface::ALL.len());
    assert_eq!(sorts(&all, |setting| setting.lighting), 3);
    assert_eq!(sorts(&all, |setting| setting.thrown), 3);
    assert_eq!(sorts(&all, |setting| setting.framing), 4);
    assert_eq!(sorts(&all, |setting| setting.corner), 3);
    assert_eq!(sorts(&all, |setting| setting.beside), 3);
    assert!(sorts(&all, Setting::to_string) > 60, "hardly two are alike");
}

/// A sheet of 600 by 800 in a picture of 1000 by 1200.
const SHEET: [(f64, f64); 4] = [(200.0, 200.0), (800.0, 200.0), (800.0, 1000.0), (200.0, 1000.0)];
const PICTURE: (u32, u32) = (1000, 1200);

fn moved(by: (f64, f64), corners: [(f64, f64); 4]) -> [(f64, f64); 4] {
    corners.map(|(x, y)| (x + by.0, y + by.1))
}

#[test]
fn a_whole_sheet_is_found_where_its_corners_are_near() {
    let score = |told| sheet_score(SHEET, told, PICTURE).expect("its sides are in view");
    assert_eq!(score(Some(SHEET)), SheetScore { found: true, off: Some(0.0) });
    // Whichever corner comes first.
    let [a, b, c, d] = SHEET;
    assert_eq!(score(Some([c, d, a, b])), SheetScore { found: true, off: Some(0.0) });
    let near = score(Some(moved((16.0, 0.0), SHEET)));
    assert!(near.found && (near.off.unwrap() - 0.02).abs() < 1e-12, "{near:?}");
    let far = score(Some(moved((0.0, 32.0), SHEET)));
    assert!(!far.found && (far.off.unwrap() - 0.04).abs() < 1e-12, "{far:?}");
    assert_eq!(score(None), SheetScore { found: false, off: None });
}

#[test]
fn of_a_cut_sheet_the_part_in_view_counts() {
    // Its upper corners are above the frame.
    let cut = [(200.0, -400.0), (800.0, -400.0), (800.0, 1000.0), (200.0, 1000.0)];
    let score = |told| sheet_score(cut, Some(told), PICTURE).expect("its sides are in view");
    // Where a side ends out of sight is nothing to find.
    let [_, _, c, d] = cut;
    let short = score([(200.0, -50.0), (800.0, -50.0), c, d]);
    assert!(short.found && short.off == Some(0.0), "{short:?}");
    // The corners in view are right, but a side leaves the frame elsewhere: 100 of 600 pixels at the upper edge.
    let aslant = score([(130.0, -400.0), (960.0, -400.0), c, d]);
    assert!(!aslant.found && aslant.off == Some(0.0), "{aslant:?}");
    // The frame shows no side of this one, however it is told.
    let over = [(-10.0, -10.0), (1010.0, -10.0), (1010.0, 1210.0), (-10.0, 1210.0)];
    assert_eq!(sheet_score(over, None, PICTURE), None);
    assert_eq!(sheet_score(over, Some(SHEET), PICTURE), None);
}

#[test]
fn sheets_are_summed_up_over_those_found() {
    assert_eq!(Sheets::of(&[]), None);
    let score = |found, off| SheetScore { found, off };
    let three = [score(true, Some(0.01)), score(true, None), score(false, Some(0.5))];
    assert_eq!(Sheets::of(&three), Some(Sheets { drawn: 3, found: 2, off: Some(0.01) }));
    let none = Sheets { drawn: 1, found: 0, off: None };
    assert_eq!(Sheets::of(&[score(false, None)]), Some(none));
}

#[test]
fn a_picture_without_a_sheet_follows_from_its_seed() {
    let picture = bare_picture(5);
    assert_eq!(picture, bare_picture(5));
    assert!(picture.dimensions() != (0, 0) && picture != bare_picture(5 + BARE_PICTURES));
}
