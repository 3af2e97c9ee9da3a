//! Paper with nothing on it is no figure; what may be one is drafted, and what speaks against it is said.

use image::{Rgba, RgbaImage};
use smallcast::draft::{Draft, DraftOptions, draft};
use smallcast::error::{Error, Result, Warning};
use smallcast::reference::{Area, Corners};

use crate::common::{WATCHMAN, as_picture, by_rows, drawn, lit, tray};

const BLUE: Rgba<u8> = Rgba([70, 96, 140, 255]);
const CARD: Rgba<u8> = Rgba([236, 230, 214, 255]);
const RUST: Rgba<u8> = Rgba([168, 69, 47, 255]);

/// A turned sheet of a colour on a blue ground, in light that falls off.
fn sheet_of(colour: Rgba<u8>) -> RgbaImage {
    let corners = [(210.0, 180.0), (400.0, 150.0), (440.0, 410.0), (240.0, 440.0)];
    let mut picture = on_blue(|x, y| {
        let inside = (0..4).all(|i: usize| {
            let ((ax, ay), (bx, by)): ((f64, f64), (f64, f64)) = (corners[i], corners[(i + 1) % 4]);
            (bx - ax) * (y - ay) - (by - ay) * (x - ax) >= 0.0
        });
        inside.then_some(colour)
    });
    lit(&mut picture, |x, y| [1.0 - 0.2 * x - 0.1 * y; 3]);
    picture
}

fn on_blue(shown: impl Fn(f64, f64) -> Option<Rgba<u8>>) -> RgbaImage {
    RgbaImage::from_fn(640, 600, |x, y| shown(f64::from(x) + 0.5, f64::from(y) + 0.5).unwrap_or(BLUE))
}

/// The same with a disc on it, so many pixels from middle to rim.
fn with_disc(mut picture: RgbaImage, radius: i32) -> RgbaImage {
    for (x, y) in (-radius..=radius).flat_map(|x| (-radius..=radius).map(move |y| (x, y))) {
        if x * x + y * y <= radius * radius {
            picture.put_pixel((320 + x) as u32, (300 + y) as u32, Rgba([40, 34, 32, 255]));
        }
    }
    picture
}

fn drafted(picture: RgbaImage, options: &DraftOptions) -> Result<Draft> {
    draft("it.png", &as_picture(picture), options, &tray())
}

fn warnings_of(picture: RgbaImage) -> Vec<Warning> {
    drafted(picture, &by_rows(12)).unwrap().warnings
}

#[test]
fn paper_with_nothing_on_it_is_refused_and_what_to_do_is_said() {
    let refused = drafted(sheet_of(CARD), &by_rows(12));
    let Err(error @ Error::OnlyPaper { .. }) = refused else { panic!("{:?}", refused.map(|d| d.warnings)) };
    let (said, hint) = (error.to_string(), error.hint());
    assert!(said.contains("straight sides") && !said.contains('\n'), "{said}");
    assert!(hint.contains("--crop") && hint.contains("--corners"), "{hint}");
}

#[test]
fn what_the_maker_names_is_drafted_whatever_it_looks_like() {
    let crop = Some(Area { x: 150.0, y: 100.0, width: 340.0, height: 380.0 });
    let cropped = drafted(sheet_of(CARD), &DraftOptions { crop, ..by_rows(12) }).unwrap();
    assert!(!cropped.warnings.contains(&Warning::OneColour), "{:?}", cropped.warnings);
    // A pale card on a sheet: refused until the sheet's corners are given.
    let mut on_white = sheet_of(Rgba([215, 208, 190, 255]));
    on_white.pixels_mut().filter(|p| p[2] > p[1]).for_each(|p| *p = Rgba([248, 248, 247, 255]));
    assert!(matches!(drafted(on_white.clone(), &by_rows(12)), Err(Error::OnlyPaper { .. })));
    let corners = Some(Corners::parse("100,80,560,80,560,520,100,520").unwrap());
    let given = drafted(on_white, &DraftOptions { corners, ..by_rows(12) }).unwrap();
    assert!(!given.warnings.contains(&Warning::OneColour), "{:?}", given.warnings);
}

#[test]
fn a_mark_or_a_colour_makes_it_a_figure() {
    let marked = warnings_of(with_disc(sheet_of(CARD), 12));
    assert!(!marked.contains(&Warning::OneColour), "{marked:?}");
    let coloured = warnings_of(sheet_of(RUST));
    assert!(coloured.contains(&Warning::OneColour), "{coloured:?}");
}

#[test]
fn a_pale_disc_is_drafted_and_doubted() {
    let round = on_blue(|x, y| ((x - 320.0).hypot(y - 300.0) < 120.0).then_some(CARD));
    assert!(warnings_of(round).contains(&Warning::OneColour));
}

#[test]
fn a_box_with_a_line_around_it_is_drawn() {
    let boxed = on_blue(|x, y| {
        let off = (x - 320.0).abs().max((y - 300.0).abs());
        let ink = Rgba([28, 26, 30, 255]);
        (off < 120.0).then_some(if off > 116.0 { ink } else { CARD })
    });
    assert!(drafted(boxed, &by_rows(12)).is_ok());
}

/// A cut-out is the maker's own doing.
#[test]
fn a_cut_out_card_is_drafted() {
    let clear = on_blue(|x, y| {
        let inside = (x - 320.0).abs() < 90.0 && (y - 300.0).abs() < 120.0;
        Some(if inside { CARD } else { Rgba([0; 4]) })
    });
    assert!(warnings_of(clear).is_empty());
}

#[test]
fn a_figure_that_an_edge_cuts_is_told_of_which() {
    let whole = drawn(&WATCHMAN, (16.0, 16.0), 48.0);
    let draft_of = |picture, options| drafted(picture, &options).unwrap().warnings;
    assert_eq!(draft_of(whole.clone(), by_rows(24)), []);
    let (width, height) = whole.dimensions();
    let cut = image::imageops::crop_imm(&whole, 0, 0, width, height - 58).to_image();
    assert_eq!(draft_of(cut, by_rows(24)), [Warning::TouchesEdge { of: "picture" }]);
    let crop = Some(Area { x: 0.0, y: 0.0, width: f64::from(width), height: f64::from(height - 58) });
    let cropped = DraftOptions { crop, ..by_rows(24) };
    assert_eq!(draft_of(whole, cropped), [Warning::TouchesEdge { of: "crop" }]);
}

#[test]
fn what_touches_three_sides_is_drafted_and_doubted() {
    let table = |top: f64| {
        with_disc(
            on_blue(|x, y| ((x - 320.0).abs() < 300.0 || y > 560.0).then_some(RUST).filter(|_| y > top)),
            30,
        )
    };
    let cut = warnings_of(table(40.0));
    assert!(cut.iter().any(|w| matches!(w, Warning::TouchesThree { of: "picture" })), "{cut:?}");
    assert!(!cut.iter().any(|w| matches!(w, Warning::TouchesEdge { .. })), "{cut:?}");
}

/// A pale thread leads farther than the look from afar sees, and ends long before the picture does.
#[test]
fn what_ends_within_the_picture_touches_no_edge() {
    let figure = drawn(&WATCHMAN, (20.0, 20.0), 40.0);
    let mut picture = RgbaImage::from_pixel(2400, 2400, *figure.get_pixel(0, 0));
    image::imageops::replace(&mut picture, &figure, 1000, 900);
    for (x, y) in (1200..1700).flat_map(|x| (1105..1107).map(move |y| (x, y))) {
        let pixel = picture.get_pixel_mut(x, y);
        if pixel[2] > 240 {
            *pixel = Rgba([232, 233, 230, 255]);
        }
    }
    let warnings = drafted(picture, &by_rows(24)).unwrap().warnings;
    assert!(!warnings.iter().any(|w| matches!(w, Warning::TouchesEdge { .. })), "{warnings:?}");
}
