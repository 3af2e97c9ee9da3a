//! What of a picture is the figure: grounds, gaps, white cloth, specks, sheets, orientations.

use crate::common::{
    PAPER, WATCHMAN, as_picture, by_rows, drafted, drawn, lit, outline, rows_of, tray, watchman,
    without_empty_sides,
};
use image::{DynamicImage, Rgba, RgbaImage};
use smallcast::draft::draft;
use smallcast::error::Error;
use smallcast::reference::{Limits, Step, open};

#[test]
fn a_softly_shaded_ground_is_still_ground() {
    let mut pixels = drawn(&WATCHMAN, (16.0, 16.0), 40.0);
    lit(&mut pixels, |x, y| [1.0 - 0.12 * x - 0.08 * y * y; 3]);
    let found = drafted(pixels, 24);
    assert_eq!(found[16], ".bb.bb.");
    assert_eq!(found.iter().map(String::len).max(), Some(7));
}

#[test]
fn a_noisy_ground_is_judged_by_its_own_noise() {
    let mut pixels = drawn(&WATCHMAN, (16.0, 16.0), 40.0);
    let mut state = 9_u32;
    for pixel in pixels.pixels_mut() {
        state = state.wrapping_mul(1_664_525).wrapping_add(1_013_904_223);
        let noise = i16::from((state >> 28) as u8) - 8;
        (0..3).for_each(|c| pixel[c] = (i16::from(pixel[c]) + noise).clamp(0, 255) as u8);
    }
    assert_eq!(drafted(pixels, 24), watchman());
}

#[test]
fn a_cut_out_needs_no_ground() {
    let mut pixels = drawn(&WATCHMAN, (16.0, 16.0), 24.0);
    let paper = Rgba([PAPER.r, PAPER.g, PAPER.b, 255]);
    pixels.pixels_mut().filter(|p| **p == paper).for_each(|p| *p = Rgba([255, 0, 255, 0]));
    let tray = tray();
    let found = draft("cut.png", &as_picture(pixels), &by_rows(24), &tray).unwrap();
    assert_eq!(found.reference.step(), Step::CutOut);
    assert_eq!(rows_of(&found, &tray), watchman());
}

/// Clear pixels of a cut-out are never beads: not in a notch, not where the figure fills the frame.
#[test]
fn clear_pixels_are_no_beads() {
    let pixels = RgbaImage::from_fn(160, 160, |x, y| {
        let notch = (40..80).contains(&x) && y >= 80;
        if notch { Rgba([0, 0, 0, 0]) } else { Rgba([168, 69, 47, 255]) }
    });
    assert_eq!(drafted(pixels, 4), ["rrrr", "rrrr", "r.rr", "r.rr"]);
}

/// White cloth in an ink outline on white paper stays; the paper seen under the arm goes.
#[test]
fn white_cloth_inside_an_outline_is_no_gap() {
    let shirt = [
        "...sss...",
        "...sss...",
        "..wwwww..",
        ".wwwwwww.",
        ".w.www.w.",
        ".w.www.w.",
        ".s.www.s.",
        "...bbb...",
        "...b.b...",
        "...b.b...",
        "..kk.kk..",
    ];
    let mut pixels = drawn(&shirt, (24.0, 24.0), 36.0);
    outline(&mut pixels, &shirt, 24.0, 36.0);
    assert_eq!(drafted(pixels, 11), without_empty_sides(&shirt));
}

#[test]
fn specks_beside_the_figure_are_no_part_of_it() {
    let mut pixels = drawn(&WATCHMAN, (16.0, 16.0), 60.0);
    for (x, y) in [(20, 20), (200, 300), (30, 400)] {
        for d in 0..9 {
            pixels.put_pixel(x + d % 3, y + d / 3, Rgba([40, 40, 40, 255]));
        }
    }
    assert_eq!(drafted(pixels, 24), watchman());
}

/// Small marks: half a bead across, as an eye is drawn, in the middle of its place and off it.
#[test]
fn an_eye_smaller_than_a_bead_survives() {
    let face = ["nnnnnnn", "sssssss", "sssssss", "sssssss", "sssssss", "rrrrrrr", "rrrrrrr"];
    let mut pixels = drawn(&face, (30.0, 30.0), 40.0);
    for (column, off) in [(2, 0.0), (4, 4.0)] {
        let middle = (40.0 + (f64::from(column) + 0.5) * 30.0 + off, 40.0 + 2.5 * 30.0);
        for (x, y, pixel) in pixels.enumerate_pixels_mut() {
            if (f64::from(x) + 0.5 - middle.0).hypot(f64::from(y) + 0.5 - middle.1) < 8.0 {
                *pixel = Rgba([32, 33, 36, 255]);
            }
        }
    }
    let found = drafted(pixels, 7);
    assert_eq!(found[2], "ssesess");
    assert_eq!(found[1], "sssssss");
}

/// TIFF 6.0 tag 274: a picture stored in any of the eight orientations, with the tag that says so, is the
/// same figure. (The transform that a reader applies for each value is the table of the tag's rows and
/// columns; the stored picture is its inverse.)
#[test]
fn the_eight_orientations_give_one_figure() {
    let upright = DynamicImage::from(drawn(&WATCHMAN, (9.0, 9.0), 20.0));
    let stored = [
        upright.clone(),
        upright.fliph(),
        upright.rotate180(),
        upright.flipv(),
        upright.rotate90().fliph(),
        upright.rotate270(),
        upright.rotate270().fliph(),
        upright.rotate90(),
    ];
    for (tag, picture) in (1_u8..).zip(stored) {
        let bytes = png_with_orientation(&picture, tag);
        let opened = open::decode("turned.png", &bytes, &Limits::default()).unwrap();
        assert_eq!(opened.size(), (upright.width(), upright.height()), "tag {tag}");
        assert_eq!(drafted(opened.into_pixels(), 24), watchman(), "tag {tag}");
    }
}

/// A PNG with an eXIf chunk that holds nothing but the orientation.
fn png_with_orientation(picture: &DynamicImage, tag: u8) -> Vec<u8> {
    use image::ImageEncoder;
    let tiff = [
        b"MM\0\x2a\0\0\0\x08\0\x01".as_slice(),
        &[0x01, 0x12, 0, 3, 0, 0, 0, 1, 0, tag, 0, 0],
        &[0, 0, 0, 0],
    ]
    .concat();
    let mut bytes = Vec::new();
    let mut encoder = image::codecs::png::PngEncoder::new(&mut bytes);
    encoder.set_exif_metadata(tiff).unwrap();
    let pixels = picture.to_rgba8();
    encoder.write_image(&pixels, pixels.width(), pixels.height(), image::ExtendedColorType::Rgba8).unwrap();
    bytes
}

/// Nine pixels stretched to a hundred rows: what is looked for about each is found in one pass, or this takes a minute.
#[test]
fn a_picture_of_nine_pixels_is_refused_or_drafted_at_once() {
    let mut dot = RgbaImage::from_pixel(3, 3, Rgba([250, 250, 248, 255]));
    dot.put_pixel(1, 1, Rgba([150, 40, 40, 255]));
    match draft("dot.png", &as_picture(dot), &by_rows(100), &tray()) {
        Err(Error::NoSubject { why, .. }) => assert_eq!(why, "it is only 1 pixel high, too few for 100 rows"),
        other => panic!("{:?}", other.map(|draft| draft.warnings)),
    }
}
