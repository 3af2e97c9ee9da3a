//! Sheets on tables: found by their straight sides whatever they lie on, completed where the frame cuts them, and freed
//! of a hard shadow.

use image::{Rgba, RgbaImage};
use imageproc::geometric_transformations::Projection;
use smallcast::draft::{Draft, draft};
use smallcast::tray::Tray;
use smallcast::trial::{Manner, Trial, known_figures};

use crate::common::{WATCHMAN, as_picture, by_rows, drawn, lit, rows_of, tray, watchman};

type Corners = [(f64, f64); 4];

/// What lies at each pixel of a photograph, and what it is.
type Named<'a> = (&'a str, &'a dyn Fn(u32, u32) -> [u8; 3]);

/// Width and height of the photographs.
const SIZE: (u32, u32) = (900, 1200);

/// Where a lens sees a rectangle's corners: one of this width over height, as high as `high` of the frame's longer side,
/// its middle there in the frame, turned in its plane and tilted about a level line, in degrees. The focal length is
/// 0.72 of the longer side: 26 mm on film 36 mm wide (common practice, no source).
fn seen(aspect: f64, high: f64, middle: (f64, f64), turn: f64, tilt: f64) -> Corners {
    let long = f64::from(SIZE.1);
    let focal = 0.72 * long;
    let ((sin, cos), (up, level)) = (turn.to_radians().sin_cos(), tilt.to_radians().sin_cos());
    [(-0.5, -0.5), (0.5, -0.5), (0.5, 0.5), (-0.5, 0.5)].map(|(u, v): (f64, f64)| {
        let (x, y) = (u * aspect * high, v * high);
        let (x, y) = (x * cos - y * sin, x * sin + y * cos);
        let (y, z) = (y * level, 0.72 + y * up);
        (f64::from(SIZE.0) * middle.0 + x / z * focal, f64::from(SIZE.1) * middle.1 + y / z * focal)
    })
}

/// The watchman's sheet on a table, under a lamp to the left.
fn photograph(corners: Corners, table: impl Fn(u32, u32) -> [u8; 3]) -> RgbaImage {
    let sheet = drawn(&WATCHMAN, (20.0, 20.0), 150.0);
    let (width, height) = (sheet.width() as f32, sheet.height() as f32);
    let flat = [(0.0, 0.0), (width, 0.0), (width, height), (0.0, height)];
    let to_sheet = Projection::from_control_points(corners.map(|(x, y)| (x as f32, y as f32)), flat).unwrap();
    let mut photo = RgbaImage::from_fn(SIZE.0, SIZE.1, |x, y| {
        let (u, v) = to_sheet * (x as f32 + 0.5, y as f32 + 0.5);
        let is_on_sheet = u >= 0.0 && v >= 0.0 && u < width && v < height;
        let [r, g, b] = table(x, y);
        if is_on_sheet { *sheet.get_pixel(u as u32, v as u32) } else { Rgba([r, g, b, 255]) }
    });
    lit(&mut photo, |x, y| [0.95, 0.9, 0.8].map(|c| c * (0.95 - 0.25 * x - 0.1 * y)));
    photo
}

/// Width over height of the watchman's sheet.
fn aspect() -> f64 {
    let sheet = drawn(&WATCHMAN, (20.0, 20.0), 150.0);
    f64::from(sheet.width()) / f64::from(sheet.height())
}

fn draft_of(photo: RgbaImage) -> Draft {
    draft("photo.jpg", &as_picture(photo), &by_rows(24), &tray()).unwrap()
}

/// How far the sheet that was found lies from the true one, corner by corner, as a part of its longest side.
fn off(found: &Draft, truth: Corners) -> f64 {
    let found = found.reference.sheet().expect("a sheet").corners.points();
    let away = |a: (f64, f64), b: (f64, f64)| (a.0 - b.0).hypot(a.1 - b.1);
    let longest = (0..4).map(|i| away(truth[i], truth[(i + 1) % 4])).fold(0.0, f64::max);
    let nearest = |corner| found.iter().map(|&other| away(corner, other)).fold(f64::MAX, f64::min);
    truth.iter().map(|&corner| nearest(corner)).fold(0.0, f64::max) / longest
}

fn mended(found: &Draft) -> usize {
    let rows = rows_of(found, &tray());
    let truth = watchman();
    if rows.len() != truth.len() {
        return usize::MAX;
    }
    let differ = |(a, b): (&String, &String)| a.chars().zip(b.chars()).filter(|(a, b)| a != b).count();
    rows.iter().zip(&truth).map(differ).sum()
}

#[test]
fn a_sheet_is_found_on_tables_lighter_and_darker_plain_and_patterned() {
    let corners = seen(aspect(), 0.72, (0.5, 0.5), 9.0, 12.0);
    let checks =
        |x: u32, y: u32| if (x / 70 + y / 70).is_multiple_of(2) { [60, 90, 160] } else { [236, 236, 232] };
    let boards = |x: u32, y: u32| {
        if x % 160 < 3 { [90, 64, 40] } else { [176, 134, 88].map(|v| v - (y / 9 % 3) as u8 * 4) }
    };
    let tables: [Named; 5] = [
        ("white", &|_, _| [228, 229, 226]),
        ("black", &|_, _| [30, 30, 32]),
        ("of the paper's own light", &|_, _| [252, 240, 214]),
        ("checked", &checks),
        ("of boards", &boards),
    ];
    for (name, table) in tables {
        let found = draft_of(photograph(corners, table));
        assert!(found.reference.sheet().is_some(), "{name}: no sheet");
        assert!(off(&found, corners) < 0.01, "{name}: {} off", off(&found, corners));
        assert!(mended(&found) <= 3, "{name}: {:#?}", rows_of(&found, &tray()));
    }
}

/// What the frame cuts off follows from what it leaves: a rectangle's sides are square to one another in space, so the
/// missing side runs to where the true one and the side it faces meet.
#[test]
fn a_side_outside_the_frame_runs_as_a_lens_would_see_it() {
    for (middle, turn, tilt) in [((0.5, 0.3), 6.0, 14.0), ((0.5, 0.32), -9.0, 16.0)] {
        let corners = seen(0.8, 0.8, middle, turn, tilt);
        assert!(corners[0].1 < 0.0 && corners[1].1 < 0.0, "the upper side is not cut off: {corners:?}");
        let found = draft_of(photograph(corners, |_, _| [96, 70, 52]));
        let [a, b, c, d] = found.reference.sheet().expect("a sheet").corners.points();
        let away = |a: (f64, f64), b: (f64, f64)| (a.0 - b.0).hypot(a.1 - b.1);
        assert!(away(c, corners[2]) < 8.0 && away(d, corners[3]) < 8.0, "{c:?} {d:?} {corners:?}");
        let slope = |a: (f64, f64), b: (f64, f64)| ((b.1 - a.1) / (b.0 - a.0)).atan().to_degrees();
        let line = |a: (f64, f64), b: (f64, f64)| (a.1 - b.1, b.0 - a.0, a.0 * b.1 - b.0 * a.1);
        let (one, other) = (line(corners[0], corners[1]), line(corners[3], corners[2]));
        let turn_of = one.0 * other.1 - other.0 * one.1;
        let vanishing =
            ((one.1 * other.2 - other.1 * one.2) / turn_of, (other.0 * one.2 - one.0 * other.2) / turn_of);
        let expected = slope(((a.0 + b.0) / 2.0, (a.1 + b.1) / 2.0), vanishing);
        assert!((slope(a, b) - expected).abs() < 3.0, "{turn} {tilt}: {} for {expected}", slope(a, b));
    }
}

/// The straight edge of a telephone's shadow runs across the figure: its colours stay one on both sides.
#[test]
fn a_hard_shadow_across_the_figure_is_taken_out() {
    let corners = seen(aspect(), 0.8, (0.5, 0.5), 3.0, 5.0);
    let mut photo = photograph(corners, |_, _| [96, 70, 52]);
    lit(&mut photo, |x, y| [if 0.9 * x + 0.35 * y > 0.63 { 0.55 } else { 1.0 }; 3]);
    let found = draft_of(photo);
    assert!(mended(&found) <= 6, "{:#?}", rows_of(&found, &tray()));
}

#[test]
fn the_sheet_on_top_is_the_one() {
    let top = seen(aspect(), 0.66, (0.48, 0.5), 8.0, 6.0);
    let under = seen(aspect(), 0.72, (0.56, 0.54), -5.0, 6.0);
    let below = Projection::from_control_points(
        under.map(|(x, y)| (x as f32, y as f32)),
        [(0.0, 0.0), (1.0, 0.0), (1.0, 1.0), (0.0, 1.0)],
    )
    .unwrap();
    let photo = photograph(top, |x, y| {
        let (u, v) = below * (x as f32, y as f32);
        if (0.0..1.0).contains(&u) && (0.0..1.0).contains(&v) { [226, 222, 206] } else { [70, 60, 58] }
    });
    let found = draft_of(photo);
    assert!(off(&found, top) < 0.01, "{} off", off(&found, top));
}

#[test]
fn tiles_a_shadow_and_a_bare_door_are_no_sheets() {
    let tiles = |x: u32, y: u32| {
        let (x, y) = (x + y / 5, y + SIZE.0 - x / 5);
        if x % 150 < 6 || y % 150 < 6 {
            [150, 150, 148]
        } else if (x / 150 + y / 150) % 2 == 0 {
            [196, 170, 150]
        } else {
            [120, 84, 66]
        }
    };
    let shadow = |x: u32, y: u32| {
        if x > 250 && x < 700 && y > 300 && y < 950 { [96, 92, 84] } else { [192, 184, 168] }
    };
    let door =
        |x: u32, y: u32| if x > 200 && x < 640 && y < 1000 { [226, 214, 190] } else { [120, 130, 150] };
    let scenes: [Named; 3] = [("tiles", &tiles), ("a shadow", &shadow), ("a door", &door)];
    for (name, scene) in scenes {
        // Something to draft stands there as well, so that it is the sheet that is judged.
        let mut picture = RgbaImage::from_fn(SIZE.0, SIZE.1, |x, y| {
            let [r, g, b] = scene(x, y);
            let is_figure = (420..480).contains(&x) && (500..760).contains(&y);
            if is_figure && name != "a door" { Rgba([180, 30, 40, 255]) } else { Rgba([r, g, b, 255]) }
        });
        lit(&mut picture, |x, y| [1.0 - 0.2 * x - 0.1 * y; 3]);
        if let Ok(found) = draft("scene.jpg", &as_picture(picture), &by_rows(24), &tray()) {
            assert!(found.reference.sheet().is_none(), "{name}: {:?}", found.reference.sheet());
        }
    }
}

/// The trial's own photographs of notebooks (`trial/table/lying.rs`): page, spiral, opposite page.
#[test]
fn of_an_open_notebook_the_page_that_is_drawn_on_is_taken() {
    let tray = Tray::embedded();
    let figures = known_figures(&tray).unwrap();
    for (name, seed) in [("butcher", 6), ("peddler", 5)] {
        let figure = figures.iter().find(|figure| figure.name == name).unwrap();
        let trial = Trial { figure, manner: Manner::TableSheet, seed };
        let drawing = trial.drawing(&tray);
        let draft = trial.draft(&drawing, &tray).unwrap();
        let score = trial.sheet_score(&drawing, Some(&draft)).expect("a sheet with a side in view");
        assert!(score.found, "{name} {seed}: {score:?}");
    }
}
