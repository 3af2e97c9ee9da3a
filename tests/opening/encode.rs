//! Picture files made in memory, and the fixtures no encoder here can write.

use std::path::PathBuf;

use image::codecs::gif::GifEncoder;
use image::codecs::jpeg::JpegEncoder;
use image::codecs::png::PngEncoder;
use image::codecs::webp::WebPEncoder;
use image::{DynamicImage, ImageEncoder, ImageFormat, Rgb, RgbImage};

/// The bytes of `fixtures/pictures/NAME`.
pub fn fixture(name: &str) -> Vec<u8> {
    std::fs::read(fixture_path(name)).expect("the fixture is part of the repository")
}

pub fn fixture_path(name: &str) -> PathBuf {
    PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("fixtures/pictures").join(name)
}

/// A picture as a file of a format.
pub fn encode(picture: &DynamicImage, format: ImageFormat) -> Vec<u8> {
    let mut file = std::io::Cursor::new(Vec::new());
    picture.write_to(&mut file, format).expect("the encoder takes this picture");
    file.into_inner()
}

/// A busy drawing, so that every part of a file carries something.
pub fn drawing(width: u32, height: u32) -> RgbImage {
    RgbImage::from_fn(width, height, |x, y| {
        let (x, y) = (x as u8, y as u8);
        Rgb([x.wrapping_mul(37) ^ y.wrapping_mul(11), x.wrapping_mul(5).wrapping_add(y), y.wrapping_mul(29)])
    })
}

/// What goes into a file beside its pixels.
#[derive(Default)]
pub struct Beside {
    pub exif: Option<Vec<u8>>,
    pub profile: Option<Vec<u8>>,
}

impl Beside {
    fn give_to(&self, encoder: &mut impl ImageEncoder) {
        if let Some(exif) = self.exif.clone() {
            encoder.set_exif_metadata(exif).expect("this format carries EXIF");
        }
        if let Some(profile) = self.profile.clone() {
            encoder.set_icc_profile(profile).expect("this format carries profiles");
        }
    }
}

fn write(mut encoder: impl ImageEncoder, picture: &DynamicImage, beside: &Beside) {
    beside.give_to(&mut encoder);
    let (width, height) = (picture.width(), picture.height());
    encoder
        .write_image(picture.as_bytes(), width, height, picture.color().into())
        .expect("the encoder takes this picture");
}

pub fn png(picture: &DynamicImage, beside: &Beside) -> Vec<u8> {
    let mut file = Vec::new();
    write(PngEncoder::new(&mut file), picture, beside);
    file
}

pub fn jpeg(picture: &DynamicImage, beside: &Beside) -> Vec<u8> {
    let mut file = Vec::new();
    write(JpegEncoder::new_with_quality(&mut file, 100), picture, beside);
    file
}

pub fn webp(picture: &DynamicImage, beside: &Beside) -> Vec<u8> {
    let mut file = Vec::new();
    write(WebPEncoder::new_lossless(&mut file), picture, beside);
    file
}

/// A GIF of so many equal frames.
pub fn gif(picture: &DynamicImage, frames: usize) -> Vec<u8> {
    let mut file = Vec::new();
    let mut encoder = GifEncoder::new(&mut file);
    let frame = image::Frame::new(picture.to_rgba8());
    encoder.encode_frames(std::iter::repeat_n(frame, frames)).expect("the encoder takes this picture");
    drop(encoder);
    file
}

/// An EXIF block whose only entry is the orientation, in either order of bytes.
pub fn exif(orientation: u16, little: bool) -> Vec<u8> {
    tiff_directory(little, &[(274, 1, orientation.into())], 8)
}

/// A TIFF of one strip of raw samples; `tags` come on top of the needful ones.
pub fn tiff(size: (u32, u32), channels: u32, samples: &[u8], tags: &[(u16, u32)]) -> Vec<u8> {
    const HEAD: u32 = 8;
    let mut entries = vec![
        (256, 1, size.0),
        (257, 1, size.1),
        (258, channels, 8),
        (259, 1, 1),                                // not compressed
        (262, 1, if channels < 3 { 1 } else { 2 }), // greys, or red, green, blue
        (273, 1, HEAD),
        (277, 1, channels),
        (278, 1, size.1),
        (279, 1, samples.len() as u32),
    ];
    entries.extend(tags.iter().map(|(tag, value)| (*tag, 1, *value)));
    entries.sort_unstable();
    let mut file = tiff_directory(true, &entries, HEAD + samples.len() as u32);
    file.splice(HEAD as usize..HEAD as usize, samples.iter().copied());
    file
}

/// A TIFF's head, and its directory at a place; an entry is a tag, a count and the value all its
/// 16-bit numbers have. The caller fills what lies between.
fn tiff_directory(little: bool, entries: &[(u16, u32, u32)], at: u32) -> Vec<u8> {
    let short = |n: u16| if little { n.to_le_bytes() } else { n.to_be_bytes() };
    let long = |n: u32| if little { n.to_le_bytes() } else { n.to_be_bytes() };
    let mut file = if little { b"II".to_vec() } else { b"MM".to_vec() };
    file.extend(short(42));
    file.extend(long(at));
    file.extend(short(entries.len() as u16));
    let mut beyond = Vec::new();
    let after = at + 2 + entries.len() as u32 * 12 + 4;
    for (tag, count, value) in entries {
        file.extend(short(*tag));
        file.extend(short(3)); // 16-bit numbers
        file.extend(long(*count));
        if *count > 2 {
            file.extend(long(after + beyond.len() as u32));
            (0..*count).for_each(|_| beyond.extend(short(*value as u16)));
        } else {
            file.extend(short(*value as u16));
            file.extend(short(if *count == 2 { *value as u16 } else { 0 }));
        }
    }
    file.extend(long(0));
    file.extend(beyond);
    file
}
