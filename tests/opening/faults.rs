//! What is refused, or opened with a warning: files that are no pictures, cut, too large, empty.

use std::io::Write;

use image::{DynamicImage, ImageFormat, Rgb, RgbImage};
use smallcast::error::{Error, Warning};
use smallcast::reference::open::{Limits, Picture, decode, open};

use crate::encode::{Beside, drawing, encode, fixture, gif, jpeg, png, tiff, webp};

fn refused(bytes: &[u8]) -> Error {
    decode("it", bytes, &Limits::default()).expect_err("this must not open")
}

#[test]
fn what_is_no_picture_is_called_so() {
    let svg = br#"<svg xmlns="http://www.w3.org/2000/svg" width="9" height="9"/>"#;
    let film = b"\0\0\0\x18ftypisom\0\0\x02\0isommp42";
    let texts: [&[u8]; 7] =
        [b"", b"P", b"a figure", b"BMs are words too, here and there", svg, film, &[0; 4096]];
    for bytes in texts {
        assert_eq!(refused(bytes), Error::NotAPicture { file: "it".into() });
    }
}

/// A TIFF of floating light and a JPEG of 12 bits are sorts that cannot be opened.
#[test]
fn rare_sorts_of_a_format_are_no_picture_here() {
    let mut deep = jpeg(&DynamicImage::ImageRgb8(drawing(8, 8)), &Beside::default());
    let frame = deep.windows(2).position(|w| w == [0xFF, 0xC0]).expect("a frame header");
    (deep[frame + 1], deep[frame + 4]) = (0xC1, 12); // twelve bits a sample
    assert_eq!(refused(&deep), Error::NotAPicture { file: "it".into() });
    let light = DynamicImage::ImageRgb32F(image::Rgb32FImage::from_pixel(2, 2, Rgb([0.2, 0.4, 0.6])));
    assert_eq!(refused(&encode(&light, ImageFormat::Tiff)), Error::NotAPicture { file: "it".into() });
}

/// ISO/IEC 23008-12 brands; the size field counts the whole box.
#[test]
fn telephone_pictures_are_called_by_their_name() {
    let cases: [(&[u8], &str); 4] = [
        (b"\0\0\0\x18ftypheic\0\0\0\0mif1heic", "HEIC"),
        (b"\0\0\0\x18ftypmif1\0\0\0\0mif1heix", "HEIC"),
        (b"\0\0\0\x18ftypavif\0\0\0\0mif1miaf", "AVIF"),
        (b"\0\0\0\x18ftypmif1\0\0\0\0miafavif", "AVIF"),
    ];
    for (bytes, name) in cases {
        let error = refused(bytes);
        assert!(matches!(&error, Error::TelephonePicture { format, .. } if *format == name), "{error}");
        assert!(error.hint().contains("JPEG"), "{}", error.hint());
    }
}

fn is_damaged(bytes: &[u8]) -> bool {
    matches!(decode("it", bytes, &Limits::default()), Err(Error::DamagedPicture { .. }))
}

#[test]
fn cut_files_of_lossless_formats_are_refused_wherever_pixels_are_missing() {
    let picture = DynamicImage::ImageRgb8(drawing(40, 40));
    let none = Beside::default();
    let files = [
        ("PNG", png(&picture, &none)),
        ("WebP", webp(&picture, &none)),
        ("GIF", gif(&picture, 1)),
        ("BMP", encode(&picture, ImageFormat::Bmp)),
        ("TIFF", tiff((40, 40), 3, picture.as_bytes(), &[])),
    ];
    for (name, file) in files {
        for tenths in 1..10 {
            assert!(is_damaged(&file[..file.len() * tenths / 10]), "{name} cut at {tenths} tenths");
        }
    }
}

/// How many pixels of a cut picture differ from the whole one's.
fn pixels_off(cut: &Picture, whole: &Picture) -> usize {
    assert_eq!(cut.size(), whole.size());
    cut.pixels().pixels().zip(whole.pixels().pixels()).filter(|(a, b)| a != b).count()
}

/// A cut JPEG is refused, or says so. Only one that lacks nothing but its end mark may be silent,
/// or one whose last block happens to end well a few bytes early; nothing can tell that one.
#[test]
fn a_cut_jpeg_is_never_silent() {
    const FEW_BYTES: usize = 6;
    const ONE_BLOCK: usize = 16 * 16;
    let busy = jpeg(&DynamicImage::ImageRgb8(drawing(48, 48)), &Beside::default());
    let names = ["subsampled.jpg", "cmyk.jpg", "progressive.jpg", "progressive-grey.jpg"];
    let files = [("plain", busy)].into_iter().chain(names.map(|name| (name, fixture(name))));
    for (name, file) in files {
        let whole = decode("it", &file, &Limits::default()).expect("the whole file opens");
        let mut drafted = 0;
        for length in 3..file.len() {
            match decode("it", &file[..length], &Limits::default()) {
                Err(error) => {
                    assert!(matches!(error, Error::DamagedPicture { .. }), "{name} {length}: {error}")
                }
                Ok(cut) if cut.warnings == [Warning::CutOff] => drafted += 1,
                Ok(cut) => {
                    let (off, lost) = (pixels_off(&cut, &whole), file.len() - length);
                    let by_chance = lost <= FEW_BYTES && off <= ONE_BLOCK;
                    assert!(off == 0 || by_chance, "{name}: silent without {lost} bytes, {off} pixels off");
                    assert_eq!(cut.warnings, []);
                }
            }
        }
        assert!(drafted > file.len() / 20, "{name}: {drafted} cuts were drafted");
    }
}

#[test]
fn a_jpeg_without_its_end_mark_or_with_more_behind_it_is_whole() {
    let plain = jpeg(&DynamicImage::ImageRgb8(drawing(64, 96)), &Beside::default());
    for file in [plain, fixture("progressive.jpg"), fixture("progressive-grey.jpg")] {
        let whole = decode("it", &file, &Limits::default()).expect("the whole file opens");
        let unended = &file[..file.len() - 2];
        assert_eq!(decode("it", unended, &Limits::default()).as_ref(), Ok(&whole));
        let followed = [&file[..], b"a telephone's own notes", &file[..]].concat();
        assert_eq!(decode("it", &followed, &Limits::default()), Ok(whole));
    }
}

#[test]
fn half_a_jpeg_is_drafted_and_a_quarter_is_not() {
    let file = jpeg(&DynamicImage::ImageRgb8(drawing(64, 256)), &Beside::default());
    let cut = decode("it", &file[..file.len() * 3 / 4], &Limits::default()).expect("most of it is there");
    assert_eq!(cut.warnings, [Warning::CutOff]);
    assert!(is_damaged(&file[..file.len() / 4]));
}

/// A row of ones is no code of the usual tables: from there on nothing can be read, though the file
/// has its end mark.
#[test]
fn a_jpeg_that_breaks_half_way_is_treated_like_a_cut_one() {
    const NO_CODE: [u8; 8] = [0xFF, 0, 0xFF, 0, 0xFF, 0, 0xFF, 0];
    let file = jpeg(&DynamicImage::ImageRgb8(drawing(64, 256)), &Beside::default());
    let broken = |at: usize| [&file[..at], &NO_CODE, &file[at..]].concat();
    let late = decode("it", &broken(file.len() * 3 / 4), &Limits::default()).expect("most of it is there");
    assert_eq!(late.warnings, [Warning::CutOff]);
    assert!(is_damaged(&broken(file.len() / 4)));
}

/// The strict decoder refuses stray bytes between headers; nothing is missing, so nothing is said.
#[test]
fn an_odd_jpeg_that_is_whole_opens_without_a_word() {
    let file = jpeg(&DynamicImage::ImageRgb8(drawing(64, 96)), &Beside::default());
    let tables = file.windows(2).position(|w| w == [0xFF, 0xDB]).expect("a table");
    let odd = [&file[..tables], &[0; 9], &file[tables..]].concat();
    assert_eq!(decode("it", &odd, &Limits::default()), decode("it", &file, &Limits::default()));
}

#[test]
fn too_many_pixels_are_refused_by_the_header() {
    let limits = Limits { side: 100, bytes: 100 * 50 * 8 };
    let size = |width, height| DynamicImage::ImageRgb8(RgbImage::new(width, height));
    let none = Beside::default();
    for (width, height) in [(101, 1), (1, 101), (100, 100)] {
        let files = [
            png(&size(width, height), &none),
            jpeg(&size(width, height), &none),
            webp(&size(width, height), &none),
            gif(&size(width, height), 1),
            encode(&size(width, height), ImageFormat::Bmp),
            encode(&size(width, height), ImageFormat::Tiff),
        ];
        for (n, file) in files.iter().enumerate() {
            let opened = decode("it", file, &limits);
            // a JPEG and a GIF are written straight into the picture: half the bytes
            let fits = (width, height) == (100, 100) && (n == 1 || n == 3);
            let expected = Error::PictureTooLarge { file: "it".into(), width, height };
            assert_eq!(opened.err(), (!fits).then_some(expected), "file {n}, {width} x {height}");
        }
    }
    assert!(decode("it", &png(&size(100, 50), &none), &limits).is_ok(), "just within");
}

/// Headers that claim the most they can, with nothing behind them.
#[test]
fn bombs_are_refused_for_their_size() {
    let mut png = png(&DynamicImage::ImageRgb8(RgbImage::new(1, 1)), &Beside::default());
    png[16..24].copy_from_slice(&[0, 1, 0, 0, 0, 1, 0, 0]);
    let mut bmp = encode(&DynamicImage::ImageRgb8(RgbImage::new(1, 1)), ImageFormat::Bmp);
    bmp[18..26].copy_from_slice(&[0, 0, 1, 0, 0, 0, 1, 0]);
    let mut gif = gif(&DynamicImage::ImageRgb8(RgbImage::new(1, 1)), 1);
    gif[6..10].copy_from_slice(&[0xFF; 4]);
    let tiff = tiff((60_000, 60_000), 3, &[0; 12], &[]);
    for bytes in [png, bmp, gif, tiff] {
        let error = refused(&bytes);
        assert!(
            matches!(error, Error::PictureTooLarge { width: 60_000.., height: 60_000.., .. }),
            "{error:?}"
        );
    }
}

#[test]
fn pictures_without_pixels_are_refused() {
    let one = DynamicImage::ImageRgb8(RgbImage::new(1, 1));
    let none = Beside::default();
    let mut png = png(&one, &none);
    png[16..20].fill(0);
    let mut gif = gif(&one, 1);
    gif[6..8].fill(0);
    let mut bmp = encode(&one, ImageFormat::Bmp);
    bmp[18..22].fill(0);
    let mut jpeg = jpeg(&one, &none);
    let frame = jpeg.windows(2).position(|w| w == [0xFF, 0xC0]).expect("a frame header");
    jpeg[frame + 7..frame + 9].fill(0);
    for (name, bytes) in
        [("PNG", png), ("GIF", gif), ("BMP", bmp), ("JPEG", jpeg), ("TIFF", tiff((0, 3), 3, &[], &[]))]
    {
        assert!(is_damaged(&bytes), "{name}");
    }
}

#[test]
fn a_file_beyond_the_bound_is_not_read() {
    let folder = tempfile::tempdir().expect("a folder for the test");
    let path = folder.path().join("large.png");
    let mut file = std::fs::File::create(&path).expect("the folder takes files");
    file.write_all(&png(&DynamicImage::ImageRgb8(drawing(2, 2)), &Beside::default())).expect("room");
    let limits = Limits { side: 100, bytes: 1 << 20 };
    assert!(open(&path, &limits).is_ok());
    // a hole: the length grows, the disk does not
    file.set_len(1 << 40).expect("files may have holes");
    let error = open(&path, &limits).expect_err("too large a file");
    assert!(matches!(error, Error::FileTooLarge { most, .. } if most == 1 << 20), "{error}");
}

#[test]
fn a_folder_and_a_missing_file_cannot_be_read() {
    let folder = tempfile::tempdir().expect("a folder for the test");
    for path in [folder.path().to_owned(), folder.path().join("none.png")] {
        let error = open(&path, &Limits::default()).expect_err("nothing to read");
        assert!(matches!(error, Error::Unreadable { .. }), "{error:?}");
    }
}

#[cfg(unix)]
#[test]
fn an_endless_device_is_left_at_once() {
    let zeros = std::path::Path::new("/dev/zero");
    assert!(matches!(open(zeros, &Limits::default()), Err(Error::Unreadable { .. })));
}

#[test]
fn errors_are_one_line_without_control_characters() {
    let file = gif(&DynamicImage::ImageRgb8(drawing(4, 4)), 1);
    for error in [
        decode("a\u{1b}[2Jb\nc", &file[..40], &Limits::default()).expect_err("cut"),
        decode("\u{202e}gnp", b"text", &Limits::default()).expect_err("text"),
    ] {
        let line = error.to_string();
        assert!(!line.contains(|c: char| c.is_control() || c == '\u{202e}'), "{line:?}");
    }
}
