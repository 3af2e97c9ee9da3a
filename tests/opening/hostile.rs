//! No bytes make opening panic, hang or hand out a picture beyond its limits.

use std::sync::LazyLock;

use crate::encode::{Beside, drawing, encode, exif, fixture, gif, jpeg, png, tiff, webp};
use image::{DynamicImage, ImageFormat};
use moxcms::ColorProfile;
use proptest::prelude::*;
use smallcast::error::Error;
use smallcast::reference::open::{Limits, decode};

/// Small enough that a file which lies about its size is quick to refuse, and large enough for
/// every file here.
const LIMITS: Limits = Limits { side: 200, bytes: 200 * 200 * 16 };

/// A file of every sort that can be opened, with what may stand beside the pixels.
static FILES: LazyLock<Vec<Vec<u8>>> = LazyLock::new(|| {
    let colours = DynamicImage::ImageRgb8(drawing(20, 12));
    let profile = ColorProfile::new_display_p3().encode().expect("the profile can be written");
    let beside = Beside { exif: Some(exif(6, false)), profile: Some(profile) };
    let mut files = vec![
        png(&colours, &beside),
        png(&DynamicImage::ImageRgba16(colours.to_rgba16()), &beside),
        jpeg(&colours, &beside),
        webp(&colours, &beside),
        gif(&colours, 2),
        encode(&colours, ImageFormat::Bmp),
        encode(&colours, ImageFormat::Tiff),
        tiff((20, 9), 4, colours.as_bytes(), &[(274, 5), (338, 1)]),
    ];
    let names = [
        "progressive.jpg",
        "cmyk.jpg",
        "subsampled.jpg",
        "lossy.webp",
        "lossy-alpha.webp",
        "animated.png",
        "animated.webp",
        "palette.png",
        "palette.bmp",
        "palette.gif",
        "palette.tif",
        "one-bit.png",
        "one-bit.bmp",
        "one-bit.tif",
    ];
    files.extend(names.map(fixture));
    files
});

/// The beginnings that choose a decoder.
const BEGINNINGS: [&[u8]; 9] = [
    b"\x89PNG\r\n\x1a\n\0\0\0\x0dIHDR",
    b"\xFF\xD8\xFF",
    b"GIF89a",
    b"RIFF\xFF\0\0\0WEBPVP8X",
    b"RIFF\xFF\0\0\0WEBPVP8L",
    b"BM\0\0\0\0\0\0\0\0\0\0\0\0\x28\0\0\0",
    b"II\x2A\0\x08\0\0\0",
    b"MM\0\x2A\0\0\0\x08",
    b"\0\0\0\x18ftypheic",
];

/// What must hold for any bytes.
fn check(bytes: &[u8]) -> Result<(), TestCaseError> {
    match decode("it", bytes, &LIMITS) {
        Ok(picture) => {
            let (width, height) = picture.size();
            prop_assert!(width > 0 && height > 0 && width.max(height) <= LIMITS.side);
        }
        Err(error) => {
            let expected = matches!(
                error,
                Error::NotAPicture { .. }
                    | Error::DamagedPicture { .. }
                    | Error::PictureTooLarge { .. }
                    | Error::TelephonePicture { .. }
            );
            prop_assert!(expected, "{error:?}");
            let line = error.to_string();
            prop_assert!(!line.contains(char::is_control), "{line:?}");
        }
    }
    Ok(())
}

/// One change to a file.
#[derive(Clone, Debug)]
enum Change {
    Set(prop::sample::Index, u8),
    Word(prop::sample::Index, [u8; 4]),
    Cut(prop::sample::Index),
    Remove(prop::sample::Index, u8),
    Repeat(prop::sample::Index, u8),
}

fn change() -> impl Strategy<Value = Change> {
    use prop::sample::Index;
    // sizes and lengths are where decoders trust a file too much
    let telling = prop::sample::select(vec![
        [0u8; 4],
        [0xFF; 4],
        [0x7F, 0xFF, 0xFF, 0xFF],
        [0, 0, 0, 0x80],
        [1, 0, 0, 0],
    ]);
    prop_oneof![
        4 => (any::<Index>(), any::<u8>()).prop_map(|(at, to)| Change::Set(at, to)),
        2 => (any::<Index>(), telling).prop_map(|(at, to)| Change::Word(at, to)),
        1 => any::<Index>().prop_map(Change::Cut),
        1 => (any::<Index>(), any::<u8>()).prop_map(|(at, count)| Change::Remove(at, count)),
        1 => (any::<Index>(), any::<u8>()).prop_map(|(at, count)| Change::Repeat(at, count)),
    ]
}

fn apply(change: &Change, bytes: &mut Vec<u8>) {
    if bytes.is_empty() {
        return;
    }
    let end = |at: usize, count: u8| (at + usize::from(count)).min(bytes.len());
    match change {
        Change::Set(at, to) => *at.get_mut(bytes.as_mut_slice()) = *to,
        Change::Word(at, to) => {
            let at = at.index(bytes.len());
            bytes.iter_mut().skip(at).zip(to).for_each(|(byte, to)| *byte = *to);
        }
        Change::Cut(at) => bytes.truncate(at.index(bytes.len())),
        Change::Remove(at, count) => {
            let at = at.index(bytes.len());
            bytes.drain(at..end(at, *count));
        }
        Change::Repeat(at, count) => {
            let at = at.index(bytes.len());
            let again = bytes[at..end(at, *count)].to_vec();
            bytes.splice(at..at, again);
        }
    }
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 3000, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn any_bytes_behind_any_beginning_are_borne(
        beginning in prop::sample::select(BEGINNINGS.to_vec()),
        rest in prop::collection::vec(any::<u8>(), 0..300),
    ) {
        check(&rest)?;
        check(&[beginning, &rest].concat())?;
    }

    #[test]
    fn any_changed_file_is_borne(
        file in any::<prop::sample::Index>(),
        changes in prop::collection::vec(change(), 1..6),
    ) {
        let mut bytes = file.get(&FILES).clone();
        changes.iter().for_each(|change| apply(change, &mut bytes));
        check(&bytes)?;
    }
}

#[test]
fn every_file_opens_as_it_is() {
    assert!(FILES.iter().all(|file| decode("it", file, &LIMITS).is_ok()));
}

#[test]
fn every_cut_of_every_file_is_borne() {
    for file in FILES.iter() {
        for length in (0..file.len()).step_by(file.len().div_ceil(300)) {
            check(&file[..length]).expect("a cut file is refused or opens");
        }
    }
}

/// Frames within frames of a WebP, as deep as the file is long: no stack may hold that.
#[test]
fn endless_nesting_is_borne() {
    let mut bytes = b"RIFF\0\0\0\0WEBP".to_vec();
    for _ in 0..200_000 {
        bytes.extend(b"ANMF\xF0\xFF\xFF\x0F");
        bytes.extend([0; 16]);
    }
    let length = (bytes.len() as u32 - 8).to_le_bytes();
    bytes[4..8].copy_from_slice(&length);
    assert!(decode("it", &bytes, &LIMITS).is_err());
}
