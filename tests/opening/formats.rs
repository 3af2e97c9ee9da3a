//! Every format and depth opens to the pixels that went in. The fixtures are small drawings of
//! sorts that the encoders here do not write: palettes, single bits, refining scans, lossy WebP.

use image::{DynamicImage, GrayImage, ImageBuffer, ImageFormat, Luma, LumaA, Rgb, Rgba, RgbaImage};
use smallcast::error::Warning;
use smallcast::reference::open::{Limits, Picture, decode, open};

use crate::encode::{Beside, drawing, encode, fixture, fixture_path, gif, jpeg, png, tiff};

fn opened(bytes: &[u8]) -> Picture {
    decode("drawing", bytes, &Limits::default()).expect("the picture opens")
}

/// Opens, and wants nothing to be said about it.
fn pixels(bytes: &[u8]) -> RgbaImage {
    let picture = opened(bytes);
    assert_eq!(picture.warnings, []);
    picture.into_pixels()
}

#[test]
fn lossless_formats_give_back_each_pixel() {
    let colours = DynamicImage::ImageRgb8(drawing(7, 5));
    for format in [ImageFormat::Png, ImageFormat::WebP, ImageFormat::Bmp, ImageFormat::Tiff] {
        assert_eq!(pixels(&encode(&colours, format)), colours.to_rgba8(), "{format:?}");
    }
    let few = DynamicImage::ImageRgb8(ImageBuffer::from_fn(7, 5, |x, _| Rgb([x as u8 * 40, 0, 90])));
    assert_eq!(pixels(&gif(&few, 1)), few.to_rgba8());
}

#[test]
fn greys_and_alpha_stand_as_they_were_written() {
    let greys = DynamicImage::ImageLuma8(GrayImage::from_fn(16, 16, |x, y| Luma([(x * 16 + y) as u8])));
    for format in [ImageFormat::Png, ImageFormat::Bmp, ImageFormat::Tiff] {
        assert_eq!(pixels(&encode(&greys, format)), greys.to_rgba8(), "{format:?}");
    }
    let grey_alpha = ImageBuffer::from_fn(16, 16, |x, y| LumaA([(x * 16 + y) as u8, (y * 16) as u8]));
    let grey_alpha = DynamicImage::ImageLumaA8(grey_alpha);
    assert_eq!(pixels(&encode(&grey_alpha, ImageFormat::Png)), grey_alpha.to_rgba8());
}

/// Alpha is straight: a faint pixel keeps its full colour, and a clear one whatever it had.
#[test]
fn alpha_stays_straight() {
    let faint = RgbaImage::from_fn(16, 4, |x, y| Rgba([250, 20, y as u8 * 60, x as u8 * 17]));
    let picture = DynamicImage::ImageRgba8(faint.clone());
    for format in [ImageFormat::Png, ImageFormat::WebP, ImageFormat::Bmp, ImageFormat::Tiff] {
        assert_eq!(pixels(&encode(&picture, format)), faint, "{format:?}");
    }
}

/// TIFF 6.0, tag 338 ExtraSamples: 1 says the colours are multiplied by alpha, 2 that they are not.
#[test]
fn a_tiff_s_multiplied_alpha_is_taken_out_of_its_colours() {
    const EXTRA: u16 = 338;
    let samples = [100, 50, 0, 128, 200, 100, 7, 255, 0, 0, 0, 0];
    let multiplied = pixels(&tiff((3, 1), 4, &samples, &[(EXTRA, 1)]));
    assert_eq!(multiplied.as_raw()[..], [199, 100, 0, 128, 200, 100, 7, 255, 0, 0, 0, 0]);
    let straight = pixels(&tiff((3, 1), 4, &samples, &[(EXTRA, 2)]));
    assert_eq!(straight.as_raw()[..], samples);
}

/// 65535 steps to 255: the nearest, so a multiple of 257 comes out exact and full stays full.
#[test]
fn sixteen_bits_become_the_nearest_of_eight() {
    let wide = ImageBuffer::from_fn(256, 3, |x, y| {
        let at = (x * 257) as u16;
        let near = [at, at.saturating_add(128), at.saturating_sub(128)][y as usize];
        Rgb([near, u16::MAX - near, 0])
    });
    let expected = RgbaImage::from_fn(256, 3, |x, _| Rgba([x as u8, 255 - x as u8, 0, 255]));
    for format in [ImageFormat::Png, ImageFormat::Tiff] {
        assert_eq!(pixels(&encode(&DynamicImage::ImageRgb16(wide.clone()), format)), expected, "{format:?}");
    }
    let grey = ImageBuffer::from_fn(256, 1, |x, _| Luma([(x * 257) as u16]));
    let expected = RgbaImage::from_fn(256, 1, |x, _| Rgba([x as u8, x as u8, x as u8, 255]));
    assert_eq!(pixels(&encode(&DynamicImage::ImageLuma16(grey), ImageFormat::Png)), expected);
    let alpha = ImageBuffer::from_fn(256, 1, |x, _| Rgba([u16::MAX, 0, 257, (x * 257) as u16]));
    let expected = RgbaImage::from_fn(256, 1, |x, _| Rgba([255, 0, 1, x as u8]));
    assert_eq!(pixels(&encode(&DynamicImage::ImageRgba16(alpha), ImageFormat::Png)), expected);
}

#[test]
fn palettes_become_their_colours() {
    const COLOURS: [[u8; 3]; 4] = [[255, 0, 0], [0, 255, 0], [0, 0, 255], [250, 240, 10]];
    let files = [("palette.png", 128), ("palette.bmp", 255), ("palette.gif", 255), ("palette.tif", 255)];
    for (name, last_alpha) in files {
        let expected = RgbaImage::from_fn(4, 4, |x, _| {
            let [r, g, b] = COLOURS[x as usize];
            Rgba([r, g, b, if x == 3 { last_alpha } else { 255 }])
        });
        assert_eq!(pixels(&fixture(name)), expected, "{name}");
    }
}

/// A palette TIFF laid out by hand in either byte order (TIFF 6.0, section 5: tag 262 is 3, tag 320 the
/// colour map).
#[test]
fn a_palette_tiff_keeps_its_indices() {
    for (bits, little) in [(8_u16, true), (8, false)] {
        let count = 1_usize << bits;
        let short = |v: u16| if little { v.to_le_bytes() } else { v.to_be_bytes() };
        let long = |v: u32| if little { v.to_le_bytes() } else { v.to_be_bytes() };
        const ENTRIES: u16 = 9;
        let map_at = 8 + 2 + 12 * u32::from(ENTRIES) + 4;
        let strip_at = map_at + 6 * count as u32;
        let strip: &[u8] = &[0, 5, 15, 10];
        let mut bytes = if little { b"II".to_vec() } else { b"MM".to_vec() };
        bytes.extend(short(42));
        bytes.extend(long(8));
        bytes.extend(short(ENTRIES));
        let mut entry = |tag: u16, kind: u16, number: u32, value: u32| {
            bytes.extend(short(tag));
            bytes.extend(short(kind));
            bytes.extend(long(number));
            if kind == 3 && number == 1 {
                bytes.extend(short(value as u16));
                bytes.extend(short(0));
            } else {
                bytes.extend(long(value));
            }
        };
        entry(256, 3, 1, 4);
        entry(257, 3, 1, 1);
        entry(258, 3, 1, bits.into());
        entry(259, 3, 1, 1);
        entry(262, 3, 1, 3);
        entry(273, 4, 1, strip_at);
        entry(278, 3, 1, 1);
        entry(279, 4, 1, strip.len() as u32);
        entry(320, 3, 3 * count as u32, map_at);
        bytes.extend(long(0));
        let level = |channel: usize, index: usize| ((index * 16 + channel * 3) as u16 & 0xFF) << 8;
        for channel in 0..3 {
            (0..count).for_each(|index| bytes.extend(short(level(channel, index))));
        }
        bytes.extend(strip);
        let expected = RgbaImage::from_fn(4, 1, |x, _| {
            let index = [0, 5, 15, 10][x as usize];
            let [r, g, b] = [0, 1, 2].map(|channel| (level(channel, index) >> 8) as u8);
            Rgba([r, g, b, 255])
        });
        assert_eq!(pixels(&bytes), expected, "little-endian: {little}");
    }
}

#[test]
fn single_bits_become_black_and_white() {
    let expected = RgbaImage::from_fn(5, 4, |x, y| {
        let grey = if (x + y) % 2 == 0 { 255 } else { 0 };
        Rgba([grey, grey, grey, 255])
    });
    for name in ["one-bit.png", "one-bit.bmp", "one-bit.tif"] {
        assert_eq!(pixels(&fixture(name)), expected, "{name}");
    }
}

/// The most a channel differs anywhere.
fn worst(a: &RgbaImage, b: &RgbaImage) -> u8 {
    assert_eq!(a.dimensions(), b.dimensions());
    a.iter().zip(b.iter()).map(|(a, b)| a.abs_diff(*b)).max().expect("pictures are not empty")
}

#[test]
fn a_jpeg_comes_close_and_is_opaque() {
    let soft = ImageBuffer::from_fn(33, 17, |x, y| Rgb([x as u8 * 7, y as u8 * 14, 128]));
    let soft = DynamicImage::ImageRgb8(soft);
    assert!(worst(&pixels(&jpeg(&soft, &Beside::default())), &soft.to_rgba8()) <= 4);
    let grey = DynamicImage::ImageLuma8(soft.to_luma8());
    assert!(worst(&pixels(&jpeg(&grey, &Beside::default())), &grey.to_rgba8()) <= 4);
}

/// The same drawing, once in one scan, once in refining ones, in greys, and in press inks. Its
/// disc is red (200, 40, 60) and the block below it blue (20, 60, 180).
#[test]
fn the_other_sorts_of_jpeg_and_lossy_webp_show_the_drawing() {
    let near = |p: &Rgba<u8>, to: [u8; 3]| p.0[..3].iter().zip(to).all(|(a, b)| a.abs_diff(b) <= 12);
    for name in ["subsampled.jpg", "progressive.jpg", "cmyk.jpg", "lossy.webp"] {
        let picture = pixels(&fixture(name));
        assert_eq!(picture.dimensions(), (48, 64), "{name}");
        assert!(near(picture.get_pixel(24, 22), [200, 40, 60]), "{name} {:?}", picture.get_pixel(24, 22));
        assert!(near(picture.get_pixel(24, 52), [20, 60, 180]), "{name} {:?}", picture.get_pixel(24, 52));
        assert!(picture.pixels().all(|p| p.0[3] == 255), "{name}");
    }
    let grey = pixels(&fixture("progressive-grey.jpg"));
    assert!(near(grey.get_pixel(24, 22), [90; 3]), "{:?}", grey.get_pixel(24, 22));
    let half = pixels(&fixture("lossy-alpha.webp"));
    assert_eq!((half.get_pixel(3, 22).0[3], half.get_pixel(40, 22).0[3]), (0, 255));
}

#[test]
fn of_an_animation_the_first_frame_is_opened_and_it_is_said() {
    let red = RgbaImage::from_pixel(8, 8, Rgba([200, 0, 0, 255]));
    for name in ["animated.png", "animated.webp"] {
        let picture = opened(&fixture(name));
        assert_eq!(
            (picture.warnings.clone(), picture.into_pixels()),
            (vec![Warning::Animation], red.clone()),
            "{name}"
        );
    }
    let picture = opened(&gif(&DynamicImage::ImageRgba8(red.clone()), 2));
    assert_eq!((picture.warnings.clone(), picture.into_pixels()), (vec![Warning::Animation], red));
}

#[test]
fn the_content_decides_and_the_name_does_not() {
    let folder = tempfile::tempdir().expect("a folder for the test");
    let bytes = png(&DynamicImage::ImageRgb8(drawing(3, 2)), &Beside::default());
    for name in ["drawing.jpg", "drawing.tiff", "drawing.txt", "drawing"] {
        let path = folder.path().join(name);
        std::fs::write(&path, &bytes).expect("the folder takes files");
        let picture = open(&path, &Limits::default()).expect("a PNG under any name");
        assert_eq!(picture.size(), (3, 2), "{name}");
    }
    let bytes = fixture("progressive.jpg");
    assert_eq!(
        open(&fixture_path("progressive.jpg"), &Limits::default()),
        decode("", &bytes, &Limits::default())
    );
}
