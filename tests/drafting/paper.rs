//! Photographed and printed paper: sheets whole, in part and filling the frame, ruled pages, pale areas.

use image::{Rgba, RgbaImage};
use imageproc::geometric_transformations::Projection;
use smallcast::draft::{Draft, DraftOptions, draft};
use smallcast::error::{Error, Warning};
use smallcast::reference::{Answer, Area, Enclosed, Step};

use crate::common::{WATCHMAN, as_picture, by_rows, drafted, drawn, lit, rows_of, tray, watchman};

/// A brown table.
const TABLE: Rgba<u8> = Rgba([110, 74, 48, 255]);

/// A sheet with its corners at these places of a photograph of the table, under warm light that falls off to
/// one side.
fn photographed(sheet: &RgbaImage, corners: [(f32, f32); 4], size: (u32, u32)) -> RgbaImage {
    let (width, height) = (sheet.width() as f32, sheet.height() as f32);
    let flat = [(0.0, 0.0), (width, 0.0), (width, height), (0.0, height)];
    let seen = Projection::from_control_points(corners, flat).unwrap();
    let mut photo = RgbaImage::from_fn(size.0, size.1, |x, y| {
        let (u, v) = seen * (x as f32 + 0.5, y as f32 + 0.5);
        let on_sheet = u >= 0.0 && v >= 0.0 && u < width && v < height;
        if on_sheet { *sheet.get_pixel(u as u32, v as u32) } else { TABLE }
    });
    lit(&mut photo, |x, y| [1.0, 0.9, 0.72].map(|c| c * (0.95 - 0.3 * x - 0.15 * y)));
    photo
}

fn draft_of(photo: RgbaImage, options: &DraftOptions) -> Draft {
    draft("photo.jpg", &as_picture(photo), options, &tray()).unwrap()
}

#[test]
fn a_photographed_sheet_is_straightened_and_its_light_evened() {
    let sheet = drawn(&WATCHMAN, (20.0, 20.0), 160.0);
    let corners = [(70.0, 60.0), (760.0, 20.0), (700.0, 1060.0), (30.0, 980.0)];
    let found = draft_of(photographed(&sheet, corners, (800, 1100)), &by_rows(24));
    assert_eq!(found.reference.step(), Step::Sheet);
    assert_eq!(rows_of(&found, &tray()), watchman());
    // The map back: the subject's place in the photograph, not on the straightened sheet.
    let [x, y, w, h] = found.reference.used();
    assert!(x > 150 && y > 120 && w < 500 && h < 800, "{x} {y} {w} {h}");
}

/// A turned sheet that runs out of the frame at two sides: the frame's edges are none of the paper's.
#[test]
fn a_sheet_partly_in_view_is_told_from_the_table() {
    let sheet = drawn(&WATCHMAN, (20.0, 20.0), 200.0);
    let corners = [(110.0, 60.0), (800.0, 130.0), (720.0, 1180.0), (30.0, 1110.0)];
    let found = draft_of(photographed(&sheet, corners, (640, 1000)), &by_rows(24));
    assert_eq!(found.reference.step(), Step::Sheet);
    assert_eq!(rows_of(&found, &tray()), watchman());
}

/// Paper to every edge of the photograph: grainy, warm, and darker to one corner.
fn close_up() -> RgbaImage {
    let mut photo = drawn(&WATCHMAN, (20.0, 20.0), 120.0);
    lit(&mut photo, |x, y| [1.0, 0.92, 0.8].map(|c| c * (0.9 - 0.3 * x - 0.2 * y * y)));
    let mut state = 3_u32;
    for pixel in photo.pixels_mut() {
        state = state.wrapping_mul(1_664_525).wrapping_add(1_013_904_223);
        let grain = i16::from((state >> 29) as u8) - 4;
        (0..3).for_each(|c| pixel[c] = (i16::from(pixel[c]) + grain).clamp(0, 255) as u8);
    }
    photo
}

/// How far the figure's beads lie from the colours that were read, on average.
fn apart(draft: &Draft) -> f64 {
    let used = || draft.matched.colours().iter().filter(|colour| colour.count > 0);
    used().map(|c| c.chosen.difference.0 * c.count as f64).sum::<f64>()
        / used().map(|c| c.count as f64).sum::<f64>()
}

#[test]
fn paper_that_fills_the_frame_has_its_light_evened_unless_it_is_to_stay_as_taken() {
    let found = draft_of(close_up(), &by_rows(24));
    assert_eq!(found.reference.step(), Step::Paper);
    assert_eq!(rows_of(&found, &tray()), watchman());
    let taken = draft_of(close_up(), &DraftOptions { as_taken: true, ..by_rows(24) });
    assert_eq!(taken.reference.step(), Step::AsTaken);
    let (evened, taken) = (apart(&found), apart(&taken));
    assert!(evened < 2.0 && taken > 2.0 * evened, "{evened:.1} against {taken:.1}");
}

/// A tilted sheet that is to stay as taken is not straightened: cropped to the paper, the figure leans as it was
/// photographed.
#[test]
fn a_tilted_sheet_stays_tilted_when_it_is_to_stay_as_taken() {
    let sheet = drawn(&WATCHMAN, (20.0, 20.0), 160.0);
    let corners = [(170.0, 20.0), (760.0, 110.0), (620.0, 1080.0), (30.0, 990.0)];
    let photo = photographed(&sheet, corners, (800, 1100));
    let crop = Some(Area { x: 210.0, y: 180.0, width: 360.0, height: 720.0 });
    let whole = draft_of(photo.clone(), &by_rows(24));
    assert_eq!((whole.reference.step(), rows_of(&whole, &tray())), (Step::Sheet, watchman()));
    let taken = draft_of(photo, &DraftOptions { as_taken: true, crop, ..by_rows(24) });
    // How far the feet stand left of the hat, in beads.
    let middle = |rows: std::ops::Range<usize>| {
        let beads = taken.matched.beads().iter();
        let here = beads.filter(|(row, _, bead)| rows.contains(&row.0) && bead.is_some());
        let columns: Vec<f64> = here.map(|(_, column, _)| column.0 as f64).collect();
        columns.iter().sum::<f64>() / columns.len() as f64
    };
    let lean = middle(0..2) - middle(22..24);
    assert!(lean > 2.0, "{lean}");
}

/// Rules across the page or both ways, a third of a bead from paler to darker, are no part of the figure.
#[test]
fn printed_rules_are_taken_out() {
    for squared in [false, true] {
        let mut page = drawn(&WATCHMAN, (20.0, 20.0), 90.0);
        let clean = page.clone();
        for (x, y, pixel) in page.enumerate_pixels_mut() {
            let on_rule = |at: u32| at % 27 == 11;
            let paper = clean.get_pixel(x, y)[2] > 245;
            if paper && (on_rule(y) || squared && on_rule(x)) {
                *pixel = Rgba([176, 203, 226, 255]);
            }
        }
        let found = draft_of(page, &by_rows(24));
        assert!(found.reference.is_ruled(), "squared {squared}");
        assert_eq!(rows_of(&found, &tray()), watchman(), "squared {squared}");
    }
}

/// A second drawing further off than a bead stays out, and that is said when it is large.
#[test]
fn a_second_doodle_is_left_out() {
    let figure = drawn(&WATCHMAN, (16.0, 16.0), 60.0);
    let mut page = RgbaImage::from_pixel(figure.width() * 2 + 40, figure.height(), *figure.get_pixel(0, 0));
    image::imageops::replace(&mut page, &figure, 0, 0);
    image::imageops::replace(&mut page, &figure, i64::from(figure.width()) + 40, 0);
    let found = draft_of(page, &by_rows(24));
    assert_eq!(rows_of(&found, &tray()), watchman());
    let several =
        found.warnings.iter().any(|w| matches!(w, Warning::SeveralPeople { crops } if crops.len() == 2));
    assert!(several, "{:?}", found.warnings);
}

/// So does a small one, without a word.
#[test]
fn a_small_doodle_is_left_out_without_a_word() {
    let mut page = drawn(&WATCHMAN, (16.0, 16.0), 90.0);
    for (x, y) in (0..30).flat_map(|x| (0..30).map(move |y| (x, y))) {
        page.put_pixel(25 + x, 200 + y, Rgba([40, 90, 160, 255]));
    }
    let found = draft_of(page, &by_rows(24));
    assert_eq!(rows_of(&found, &tray()), watchman());
    assert!(found.warnings.is_empty(), "{:?}", found.warnings);
}

/// A frame of rust around the bare paper: a bag with a hole, or one with a white panel?
const PANEL: [&str; 9] =
    ["rrrrrrr", "r.....r", "r.....r", "r.....r", "r.....r", "r.....r", "rrrrrrr", "..b.b..", "..b.b.."];

#[test]
fn a_pale_area_is_asked_about_and_the_answer_taken() {
    let panel = drawn(&PANEL, (24.0, 24.0), 40.0);
    let asked = draft_of(panel.clone(), &by_rows(9));
    let question = asked.warnings.iter().find_map(|warning| match warning {
        Warning::OnlyLikely { x, y, .. } => Some((*x, *y)),
        _ => None,
    });
    let at = question.expect("the panel is asked about");
    assert!((64..184).contains(&at.0) && (64..184).contains(&at.1), "{at:?}");
    for (is, middle) in [(Enclosed::Gap, '.'), (Enclosed::Cloth, 'w')] {
        let at = (f64::from(at.0), f64::from(at.1));
        let options = DraftOptions { answers: vec![Answer { at, is }], ..by_rows(9) };
        let found = draft_of(panel.clone(), &options);
        let row = &rows_of(&found, &tray())[3];
        assert_eq!(row.chars().nth(3), Some(middle), "{row}");
        assert!(!found.warnings.iter().any(|w| matches!(w, Warning::OnlyLikely { .. })));
    }
}

#[test]
fn an_answer_where_nothing_was_asked_is_refused() {
    let answers = vec![Answer { at: (5.0, 5.0), is: Enclosed::Cloth }];
    let options = DraftOptions { answers, ..by_rows(24) };
    let picture = as_picture(drawn(&WATCHMAN, (16.0, 16.0), 40.0));
    match draft("watchman.png", &picture, &options, &tray()) {
        Err(Error::BadValue { option, value, .. }) => {
            assert_eq!((option, value.as_str()), ("--cloth", "5,5"))
        }
        other => panic!("{:?}", other.map(|draft| draft.warnings)),
    }
}

/// A shadow with a soft edge across a photographed sheet is light, not ink.
#[test]
fn a_soft_shadow_on_the_sheet_is_divided_out() {
    let sheet = drawn(&WATCHMAN, (20.0, 20.0), 160.0);
    let corners = [(70.0, 60.0), (760.0, 20.0), (700.0, 1060.0), (30.0, 980.0)];
    let mut photo = photographed(&sheet, corners, (800, 1100));
    lit(&mut photo, |x, y| {
        let into = ((x + 0.4 * y - 0.75) / 0.08).clamp(0.0, 1.0);
        [1.0 - 0.4 * into; 3]
    });
    assert_eq!(drafted(photo, 24), watchman());
}
