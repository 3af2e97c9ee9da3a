//! Several pictures in one: side by side, or one after the other.

use image::codecs::gif::{GifEncoder, Repeat};
use image::{Delay, Frame, RgbaImage};

/// How long each picture of a film stands, in milliseconds.
const STANDS: u32 = 1600;

/// Pictures side by side, their tops on one line.
pub fn side_by_side(pictures: &[RgbaImage]) -> RgbaImage {
    let width = pictures.iter().map(RgbaImage::width).sum::<u32>().max(1);
    let height = pictures.iter().map(RgbaImage::height).max().unwrap_or(1);
    let mut strip = RgbaImage::new(width, height);
    let mut left = 0;
    for picture in pictures {
        image::imageops::replace(&mut strip, picture, left, 0);
        left += i64::from(picture.width());
    }
    strip
}

/// The bytes of a GIF that shows pictures one after the other, over and over; of one, a still picture.
pub fn gif(pictures: &[RgbaImage]) -> Vec<u8> {
    /// The slowest and finest choice of colours the encoder has.
    const FINEST: i32 = 1;
    let mut bytes = Vec::new();
    let mut encoder = GifEncoder::new_with_speed(&mut bytes, FINEST);
    let film = (pictures.len() > 1).then(|| encoder.set_repeat(Repeat::Infinite));
    let frames = pictures
        .iter()
        .map(|picture| Frame::from_parts(picture.clone(), 0, 0, Delay::from_numer_denom_ms(STANDS, 1)));
    // Writing to memory fails only for sides beyond GIF's 65 535, and none is laid out.
    let written = film.unwrap_or(Ok(())).and_then(|()| encoder.encode_frames(frames));
    debug_assert!(written.is_ok());
    drop(encoder);
    bytes
}
