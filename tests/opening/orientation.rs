//! The eight orientations all come out upright.
//!
//! Source: TIFF 6.0 specification (1992), tag 274 Orientation, taken over unchanged by EXIF 2.3:
//! for each value, which side of the visual picture the 0th row and the 0th column of the stored
//! one are.

use image::{DynamicImage, Rgb, RgbImage};
use smallcast::reference::open::{Limits, decode};

use crate::encode::{Beside, exif, jpeg, png, tiff, webp};

#[derive(Clone, Copy, Debug, PartialEq)]
enum Side {
    Top,
    Bottom,
    Left,
    Right,
}
use Side::{Bottom, Left, Right, Top};

/// Value, side of the 0th row, side of the 0th column.
const TABLE: [(u16, Side, Side); 8] = [
    (1, Top, Left),
    (2, Top, Right),
    (3, Bottom, Right),
    (4, Bottom, Left),
    (5, Left, Top),
    (6, Right, Top),
    (7, Right, Bottom),
    (8, Left, Bottom),
];

const WIDTH: u32 = 32;
const HEIGHT: u32 = 16;

/// What a person should see: four corners of four colours, wider than high. The corners are whole
/// blocks of a JPEG, so that they stay even.
fn upright() -> RgbImage {
    RgbImage::from_fn(WIDTH, HEIGHT, |x, y| match (x < WIDTH / 2, y < HEIGHT / 2) {
        (true, true) => Rgb([240, 20, 20]),
        (false, true) => Rgb([20, 200, 20]),
        (true, false) => Rgb([20, 20, 220]),
        (false, false) => Rgb([230, 230, 40]),
    })
}

/// The picture as it is stored, straight from the table: walking down the stored rows goes away
/// from the side of the 0th row, and along them away from the side of the 0th column.
fn stored(row_side: Side, column_side: Side) -> RgbImage {
    let upright = upright();
    let lies = matches!(row_side, Left | Right);
    let (width, height) = if lies { (HEIGHT, WIDTH) } else { (WIDTH, HEIGHT) };
    let away = |side: Side, steps: u32| match side {
        Top | Left => steps,
        Bottom => HEIGHT - 1 - steps,
        Right => WIDTH - 1 - steps,
    };
    RgbImage::from_fn(width, height, |column, row| {
        let (by_row, by_column) = (away(row_side, row), away(column_side, column));
        let (x, y) = if lies { (by_row, by_column) } else { (by_column, by_row) };
        *upright.get_pixel(x, y)
    })
}

fn check(bytes: &[u8], tolerance: u8, what: &str) {
    let picture = decode("turned", bytes, &Limits::default()).expect("the picture opens").into_pixels();
    let expected = DynamicImage::ImageRgb8(upright()).to_rgba8();
    assert_eq!(picture.dimensions(), expected.dimensions(), "{what}");
    let worst = picture.iter().zip(expected.iter()).map(|(a, b)| a.abs_diff(*b)).max();
    assert!(worst <= Some(tolerance), "{what}: off by {worst:?}");
}

#[test]
fn every_orientation_in_every_format_that_tells_it_comes_out_upright() {
    for (value, row, column) in TABLE {
        let picture = DynamicImage::ImageRgb8(stored(row, column));
        for little in [true, false] {
            let beside = Beside { exif: Some(exif(value, little)), ..Beside::default() };
            check(&jpeg(&picture, &beside), 4, &format!("JPEG {value}"));
            check(&png(&picture, &beside), 0, &format!("PNG {value}"));
            check(&webp(&picture, &beside), 0, &format!("WebP {value}"));
        }
        let size = (picture.width(), picture.height());
        let scan = tiff(size, 3, picture.as_bytes(), &[(274, value.into())]);
        check(&scan, 0, &format!("TIFF {value}"));
    }
}

#[test]
fn an_orientation_outside_the_table_turns_nothing() {
    for value in [0, 9, 300] {
        let beside = Beside { exif: Some(exif(value, true)), ..Beside::default() };
        check(&png(&DynamicImage::ImageRgb8(upright()), &beside), 0, &format!("{value}"));
    }
    let beside = Beside { exif: Some(b"nonsense".to_vec()), ..Beside::default() };
    check(&png(&DynamicImage::ImageRgb8(upright()), &beside), 0, "nonsense");
}
