//! A picture as its decoder leaves it, and the last steps that all formats share.

use image::metadata::Orientation;
use image::{DynamicImage, RgbaImage};

/// Decoded pixels with what must still be done to them.
pub(super) struct Opened {
    /// sRGB, straight alpha; upright only after [`Opened::turned`].
    pub(super) pixels: RgbaImage,
    /// How to hold the picture.
    pub(super) orientation: Orientation,
    /// The picture carried a colour profile that could not be used.
    pub(super) profile_unread: bool,
    /// Part of the pixels is missing.
    pub(super) cut_off: bool,
    /// More pictures follow this one.
    pub(super) animated: bool,
}

impl Opened {
    /// Pixels with nothing left to do.
    pub(super) fn new(pixels: RgbaImage) -> Self {
        Self {
            pixels,
            orientation: Orientation::NoTransforms,
            profile_unread: false,
            cut_off: false,
            animated: false,
        }
    }

    /// The pixels upright. Quarter turns make a second picture, everything else works in place.
    pub(super) fn turned(self) -> RgbaImage {
        let mut picture = DynamicImage::ImageRgba8(self.pixels);
        picture.apply_orientation(self.orientation);
        picture.into_rgba8()
    }
}

/// Bytes of a pixel of the picture that is handed out.
pub(super) const RGBA: u64 = 4;

/// Bytes a pixel while turning upright: a second picture for quarter turns.
pub(super) fn turning_cost(orientation: Orientation) -> u64 {
    use Orientation::{Rotate90, Rotate90FlipH, Rotate270, Rotate270FlipH};
    match orientation {
        Rotate90 | Rotate90FlipH | Rotate270 | Rotate270FlipH => 2 * RGBA,
        _ => RGBA,
    }
}
