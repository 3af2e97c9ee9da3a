//! The photograph that a sheet was found in, small, for showing where the sheet lies.

use image::{Rgba, RgbaImage};

use super::shrink::{Area, Light, Overview, colour_of};
use super::sight::size_within;

/// Longer side of what is kept, in pixels: the corners of a sheet are seen, and it weighs as much as an icon.
const LONGEST: f64 = 420.0;

/// A photograph in small.
#[derive(Clone, Debug)]
pub struct Photograph {
    pixels: RgbaImage,
    area: Area,
}

impl Photograph {
    /// What an area of the upright picture shows.
    pub(super) fn of(overview: &Overview, area: Area) -> Self {
        let (rows, columns) = size_within(area, LONGEST.min(area.width.max(area.height)));
        let light = overview.resample(area, rows, columns);
        let pixels =
            RgbaImage::from_fn(columns as u32, rows as u32, |x, y| on_white(light[(y as usize, x as usize)]));
        Self { pixels, area }
    }

    /// The pixels, none of them clear.
    pub fn pixels(&self) -> &RgbaImage {
        &self.pixels
    }

    /// Whether a place of the upright picture lies in it.
    pub fn shows(&self, place: (f64, f64)) -> bool {
        self.area.holds(place)
    }

    /// Where a place of the upright picture lies in it, in its pixels.
    pub fn place(&self, (x, y): (f64, f64)) -> (f64, f64) {
        let (width, height) = (f64::from(self.pixels.width()), f64::from(self.pixels.height()));
        ((x - self.area.x) / self.area.width * width, (y - self.area.y) / self.area.height * height)
    }
}

fn on_white(light: Light) -> Rgba<u8> {
    let [r, g, b, alpha] = light;
    let seen = colour_of([r + 1.0 - alpha, g + 1.0 - alpha, b + 1.0 - alpha, 1.0]).srgb();
    Rgba([seen.r, seen.g, seen.b, u8::MAX])
}
