//! An opened picture, of which no more is decoded than is looked at.

use std::fmt;
use std::sync::{Arc, OnceLock};

use image::RgbaImage;

use super::jpeg::Later;
use crate::error::Warning;
use crate::reference::shrink::Area;

/// How many pixels each way one pixel of a kept look stands for, finest first.
const LOOKS: [u32; 4] = [1, 2, 4, 8];

/// An opened picture: upright, sRGB, 8 bits, straight alpha; at least one pixel.
///
/// Of a large plain JPEG only the means of its pixels are decoded at first, and all of it when it is asked for.
#[derive(Clone)]
pub struct Picture {
    size: (u32, u32),
    looks: [OnceLock<RgbaImage>; LOOKS.len()],
    later: Option<Arc<Later>>,
    /// What the maker should know about how it opened.
    pub warnings: Vec<Warning>,
}

impl Picture {
    /// A picture of these pixels, at least one, that nothing is to be said of.
    pub fn of(pixels: RgbaImage) -> Self {
        Self::with(pixels, Vec::new())
    }

    pub(super) fn with(pixels: RgbaImage, warnings: Vec<Warning>) -> Self {
        let mut looks = LOOKS.map(|_| OnceLock::new());
        let size = pixels.dimensions();
        looks[0] = pixels.into();
        Self { size, looks, later: None, warnings }
    }

    /// A picture of which the means of `by` x `by` pixels are known so far.
    pub(super) fn seen_from_afar(means: RgbaImage, by: u32, later: Later, warnings: Vec<Warning>) -> Self {
        let mut looks = LOOKS.map(|_| OnceLock::new());
        if let Some(at) = LOOKS.iter().position(|known| *known == by) {
            looks[at] = means.into();
        }
        Self { size: later.upright_size(), looks, later: Some(Arc::new(later)), warnings }
    }

    /// Width and height in pixels.
    pub fn size(&self) -> (u32, u32) {
        self.size
    }

    /// All of it.
    pub fn whole(&self) -> Area {
        let (width, height) = self.size;
        Area { x: 0.0, y: 0.0, width: width.into(), height: height.into() }
    }

    /// All its pixels. The first time this may cost the decoding.
    pub fn pixels(&self) -> &RgbaImage {
        self.kept(0)
    }

    /// All its pixels, as [`Picture::pixels`].
    pub fn into_pixels(mut self) -> RgbaImage {
        self.pixels();
        self.looks[0].take().unwrap_or_default()
    }

    /// Pixels of which each stands for at most `most` x `most` of the picture's, and for how many each way: the
    /// coarsest that are known already, else the coarsest there are.
    pub(in crate::reference) fn look(&self, most: f64) -> (&RgbaImage, u32) {
        let fits = |at: &usize| f64::from(LOOKS[*at]) <= most;
        let coarsest_first = || (0..LOOKS.len()).rev().filter(fits);
        let known = coarsest_first().find(|&at| self.looks[at].get().is_some());
        let at = known.or_else(|| coarsest_first().next()).unwrap_or(0);
        (self.kept(at), LOOKS[at])
    }

    /// The pixels of a look, decoded where they are not known yet. Two who ask at once may both decode it: neither
    /// waits for the other.
    fn kept(&self, at: usize) -> &RgbaImage {
        let look = &self.looks[at];
        look.get().unwrap_or_else(|| {
            let pixels = self.decoded(LOOKS[at]);
            look.get_or_init(|| pixels)
        })
    }

    fn decoded(&self, by: u32) -> RgbaImage {
        let decoded = self.later.as_ref().and_then(|later| later.decode(by));
        decoded.unwrap_or_else(|| self.stretched(by))
    }

    /// What can be shown where a file decodes as means and yet not as pixels: the means, larger.
    fn stretched(&self, by: u32) -> RgbaImage {
        let known = LOOKS.iter().zip(&self.looks).find_map(|(by, look)| Some((by, look.get()?)));
        let Some((stand, means)) = known else { return RgbaImage::new(self.size.0, self.size.1) };
        let place = |at: u32, most: u32| (at * by / stand).min(most - 1);
        RgbaImage::from_fn((self.size.0 / by).max(1), (self.size.1 / by).max(1), |x, y| {
            *means.get_pixel(place(x, means.width()), place(y, means.height()))
        })
    }
}

impl fmt::Debug for Picture {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.debug_struct("Picture")
            .field("size", &self.size)
            .field("warnings", &self.warnings)
            .finish_non_exhaustive()
    }
}

impl PartialEq for Picture {
    /// Whether all pixels and warnings are the same.
    fn eq(&self, other: &Self) -> bool {
        self.size == other.size && self.warnings == other.warnings && self.pixels() == other.pixels()
    }
}
