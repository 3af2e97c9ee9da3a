//! The photograph that a sheet was found in, small, for showing where the sheet lies.

use image::{Rgba, RgbaImage};

use ndarray::Array2;

use super::shrink::{Area, Light, colour_of};

/// A photograph in small: the look from afar in which its sheet was found.
#[derive(Clone, Debug)]
pub struct Photograph {
    light: Array2<Light>,
    area: Area,
}

impl Photograph {
    /// What an area of the upright picture shows.
    pub(super) fn of(light: Array2<Light>, area: Area) -> Self {
        Self { light, area }
    }

    /// Width and height in pixels.
    pub fn size(&self) -> (f64, f64) {
        let (rows, columns) = self.light.dim();
        (columns as f64, rows as f64)
    }

    /// The pixels, none of them clear.
    pub fn pixels(&self) -> RgbaImage {
        let (rows, columns) = self.light.dim();
        RgbaImage::from_fn(columns as u32, rows as u32, |x, y| on_white(self.light[(y as usize, x as usize)]))
    }

    /// Whether a place of the upright picture lies in it.
    pub fn shows(&self, place: (f64, f64)) -> bool {
        self.area.holds(place)
    }

    /// Where a place of the upright picture lies in it, in its pixels.
    pub fn place(&self, (x, y): (f64, f64)) -> (f64, f64) {
        let (width, height) = self.size();
        ((x - self.area.x) / self.area.width * width, (y - self.area.y) / self.area.height * height)
    }
}

fn on_white(light: Light) -> Rgba<u8> {
    let [r, g, b, alpha] = light;
    let seen = colour_of([r + 1.0 - alpha, g + 1.0 - alpha, b + 1.0 - alpha, 1.0]).srgb();
    Rgba([seen.r, seen.g, seen.b, u8::MAX])
}
