//! The corners of a sheet, given by hand or kept with the figure.

use image::{Rgba, RgbaImage};
use smallcast::draft::{Draft, DraftOptions, draft, draft_again};
use smallcast::error::{Error, Warning};
use smallcast::reference::{Area, Corners, Picture, Step};

use crate::common::{WATCHMAN, as_picture, by_rows, drawn, rows_of, tray, watchman};
use crate::paper::{TABLE, photographed};

const CORNERS: [(f32, f32); 4] = [(170.0, 20.0), (760.0, 110.0), (620.0, 1080.0), (30.0, 990.0)];
const TYPED: &str = "170,20,760,110,620,1080,30,990";

/// A card of the table's own colour: nothing shows where it ends but the figure on it.
fn on_a_table_of_its_colour() -> Picture {
    let sheet = drawn(&WATCHMAN, (20.0, 20.0), 160.0);
    let ground = *sheet.get_pixel(0, 0);
    as_picture(photographed(&sheet, CORNERS, (800, 1100), ground))
}

fn draft_of(picture: &Picture, options: &DraftOptions) -> Draft {
    draft("photo.jpg", picture, options, &tray()).unwrap()
}

fn given(text: &str) -> DraftOptions {
    DraftOptions { corners: Some(Corners::parse(text).unwrap()), ..by_rows(24) }
}

#[test]
fn corners_given_straighten_a_sheet_that_nothing_shows() {
    let photo = on_a_table_of_its_colour();
    let leaning = draft_of(&photo, &by_rows(24));
    assert_eq!(leaning.reference.sheet(), None);
    assert_ne!(rows_of(&leaning, &tray()), watchman());
    for order in [TYPED, "620,1080,170,20,30,990,760,110", " 30,990, 170,20 ,620,1080,760,110"] {
        let found = draft_of(&photo, &given(order));
        assert_eq!(found.reference.step(), Step::SheetGiven);
        assert_eq!(found.reference.sheet().unwrap().corners.to_string(), TYPED);
        assert_eq!(rows_of(&found, &tray()), watchman(), "{order}");
    }
}

/// A wide strip of card turned so far that its top left corner lies below its middle: still read from left to right.
#[test]
fn a_wide_sheet_begins_where_its_top_does() {
    let corners = Corners::parse("20,210,600,30,640,140,60,320").unwrap();
    assert_eq!(corners.points(), [(20.0, 210.0), (600.0, 30.0), (640.0, 140.0), (60.0, 320.0)]);
}

#[test]
fn what_are_no_corners_is_told_in_one_line() {
    let faults = [
        ("", "not four corners"),
        ("1,2,3", "not four corners"),
        ("10,10,90,10,90,90,10,inf", "not four corners"),
        ("10,10,90,10,90,90,10,90,5", "not four corners"),
        ("10,10,90,10,90,90,10,x", "not four corners"),
        ("10,10,90,10,90,90,10,1e9", "farther out"),
        ("10,10,90,10,90,90,12,12", "nearly the same point"),
        ("10,10,90,10,50,11,10,90", "nearly on one line"),
        ("10,10,90,10,90,90,70,30", "between the other three"),
        ("0,0,2000,0,2000,100,0,100", "strip"),
    ];
    for (text, said) in faults {
        match Corners::parse(text) {
            Err(Error::BadValue { option: "--corners", why, right, .. }) => {
                assert!(why.contains(said), "{text}: {why}");
                assert!(right.contains("four corners") && !why.contains('\n'), "{text}: {right}");
            }
            other => panic!("{text}: {other:?}"),
        }
    }
}

#[test]
fn corners_lie_in_the_picture_or_on_its_edge() {
    let corners = Corners::parse("0,0,800,0,800,1100,0,1100").unwrap();
    assert_eq!(corners.check_within((800, 1100)), Ok(()));
    let Err(Error::BadValue { why, .. }) = corners.check_within((800, 1099)) else { panic!("accepted") };
    assert!(why.contains("800,1100") && why.contains("800 x 1099 pixels"), "{why}");
    assert!(Corners::parse("-1,0,800,0,800,1100,0,1100").unwrap().check_within((800, 1100)).is_err());
}

/// The figure keeps the sheet, found or given, and is read from it again as it was.
#[test]
fn a_figure_read_again_from_its_sheet_is_the_same() {
    let sheet = drawn(&WATCHMAN, (20.0, 20.0), 160.0);
    let on_wood = as_picture(photographed(&sheet, CORNERS, (800, 1100), TABLE));
    let cases =
        [(on_wood, by_rows(24), Step::Sheet), (on_a_table_of_its_colour(), given(TYPED), Step::SheetGiven)];
    for (photo, options, step) in cases {
        let first = draft_of(&photo, &options);
        assert_eq!(first.reference.step(), step);
        let figure = first.figure("watchman", "photo.jpg", &options, &tray()).unwrap();
        let source = figure.source().unwrap();
        assert_eq!(source.corners, first.reference.sheet().map(|sheet| sheet.corners));
        let again = draft_again("photo.jpg", &photo, &figure, options.seed, &tray()).unwrap();
        assert_eq!(again.reference.step(), Step::SheetGiven);
        assert_eq!(again.reference.used(), first.reference.used());
        assert_eq!(again.reference.colours(), first.reference.colours());
        assert_eq!(rows_of(&again, &tray()), rows_of(&first, &tray()));
    }
}

/// Two figures side by side on one sheet: the crop says which.
fn two_on_a_sheet() -> Picture {
    let one = drawn(&WATCHMAN, (20.0, 20.0), 80.0);
    let ground = *one.get_pixel(0, 0);
    let mut sheet = RgbaImage::from_pixel(2 * one.width(), one.height(), ground);
    image::imageops::replace(&mut sheet, &one, 0, 0);
    let mut other = one.clone();
    other.pixels_mut().filter(|pixel| **pixel == Rgba([168, 69, 47, 255])).for_each(|pixel| {
        *pixel = Rgba([90, 97, 48, 255]);
    });
    image::imageops::replace(&mut sheet, &other, i64::from(one.width()), 0);
    as_picture(photographed(
        &sheet,
        [(60.0, 40.0), (1160.0, 110.0), (1090.0, 1020.0), (20.0, 930.0)],
        (1200, 1060),
        ground,
    ))
}

#[test]
fn a_crop_says_where_on_the_sheet_the_figure_lies() {
    let photo = two_on_a_sheet();
    let crops = [(60.0, "rust"), (590.0, "moss")];
    for (x, coat) in crops {
        let crop = Some(Area { x, y: 80.0, width: 520.0, height: 920.0 });
        let options = DraftOptions { crop, ..given("60,40,1160,110,1090,1020,20,930") };
        let found = draft_of(&photo, &options);
        let tray = tray();
        let names: Vec<&str> = found.legend.iter().map(|line| tray.bead(line.bead).name.as_str()).collect();
        assert!(names.contains(&coat), "{names:?}");
        assert!(!found.warnings.contains(&Warning::SeveralPieces), "{:?}", found.warnings);
        assert_eq!(rows_of(&found, &tray).len(), 24);
    }
    let off = DraftOptions {
        crop: Some(Area { x: 1190.0, y: 0.0, width: 8.0, height: 8.0 }),
        ..given("60,40,1160,110,1090,1020,20,930")
    };
    let refused = draft("photo.jpg", &photo, &off, &tray());
    assert!(
        matches!(refused, Err(Error::BadValue { option: "--crop", .. })),
        "{:?}",
        refused.map(|d| d.warnings)
    );
}
