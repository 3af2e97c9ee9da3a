//! A sheet on a table as people photograph it: any table, any light, seldom straight.

mod light;
mod lying;
mod plane;
mod setting;
mod surfaces;
mod view;

pub(super) use light::Light;
pub(super) use plane::{Place, covered, off_rod};
pub(super) use surfaces::Top;
pub(super) use view::View;

pub use setting::{Beside, Corner, Framing, Lighting, Setting, Surface, Thrown};

use image::{Rgb, RgbImage, imageops};
use rayon::prelude::*;

use super::camera::between;
use super::canvas::{Paint, over, stored};
use super::chance::Chance;
use lying::{Bare, Contact, Hand, Spiral};
use plane::Slab;

/// The longer side of a sheet in millimetres: A4.
const LONGER: f64 = 297.0;

/// A drawing on its sheet.
#[derive(Debug)]
pub(super) struct Sheet {
    /// The sheet from edge to edge.
    pub pixels: RgbImage,
    /// The box of its figure in those pixels: left, top, right, bottom.
    pub figure: [f64; 4],
}

impl Sheet {
    fn pixels_a_millimetre(&self) -> f64 {
        f64::from(self.pixels.width().max(self.pixels.height())) / LONGER
    }

    fn slab(&self) -> Slab {
        let by = 2.0 * self.pixels_a_millimetre();
        let half = (f64::from(self.pixels.width()) / by, f64::from(self.pixels.height()) / by);
        Slab::new((0.0, 0.0), half, 0.0)
    }

    fn figure(&self) -> Slab {
        let by = self.pixels_a_millimetre();
        let (wide, high) = (f64::from(self.pixels.width()), f64::from(self.pixels.height()));
        let [left, top, right, bottom] = self.figure;
        let middle = ((left + right - wide) / 2.0 / by, (top + bottom - high) / 2.0 / by);
        Slab::new(middle, ((right - left) / 2.0 / by, (bottom - top) / 2.0 / by), 0.0)
    }

    /// The drawing's light at a place of the sheet.
    fn at(&self, (x, y): Place) -> Paint {
        /// The last place between pixels.
        const LAST: f32 = 1.001;
        let by = self.pixels_a_millimetre();
        let (wide, high) = (self.pixels.width() as f32, self.pixels.height() as f32);
        let (u, v) = ((x * by) as f32 + wide / 2.0 - 0.5, (y * by) as f32 + high / 2.0 - 0.5);
        between(&self.pixels, u.clamp(0.0, wide - LAST), v.clamp(0.0, high - LAST)).unwrap_or([1.0; 3])
    }
}

/// A photograph and where the sheet's corners are in it, clockwise from its top left.
pub(super) struct Photograph {
    pub pixels: RgbImage,
    pub corners: [(f64, f64); 4],
}

/// Photographs a sheet.
pub(super) fn photograph(sheet: &Sheet, setting: Setting, chance: &mut Chance) -> Photograph {
    /// Three megapixels: no finder looks closer, and a hundred are drawn in a few minutes.
    const SIZES: [(u32, u32); 3] = [(1500, 2000), (1500, 2000), (2000, 1500)];
    let (slab, figure) = (sheet.slab(), sheet.figure());
    let view = View::new(chance.one_of(&SIZES), (&slab, &figure), setting.framing, chance);
    let scene = Scene::new(sheet, (slab, figure), &view, setting, chance);
    let pixels = developed(&view, |place, pixel| scene.at(place, pixel), chance);
    Photograph { pixels, corners: slab.corners().map(|corner| view.seen(corner)) }
}

/// All that lies on the table, in its light.
struct Scene<'a> {
    drawing: &'a Sheet,
    slab: Slab,
    top: Top,
    light: Light,
    contact: Contact,
    under: Option<Bare>,
    spiral: Option<Spiral>,
    hand: Option<Hand>,
    exposure: f32,
}

impl<'a> Scene<'a> {
    fn new(
        drawing: &'a Sheet,
        (slab, figure): (Slab, Slab),
        view: &View,
        setting: Setting,
        chance: &mut Chance,
    ) -> Self {
        /// Tables stand about straight before whoever photographs, by this many degrees.
        const ASKEW: f64 = 12.0;
        let askew = -view.turn() + chance.either_way(ASKEW).to_radians();
        let mut light = Light::new(setting.lighting, setting.thrown, chance);
        let contact = Contact::of_sheet(light.from(), chance);
        let half = slab.corners()[2];
        let lost = Lost::new((&slab, &figure), view, chance);
        let mut hand = None;
        match (setting.corner, lost) {
            (Corner::Dark, Some(lost)) => light.darken(lost.inward(chance), lost.out, chance),
            (Corner::Held, Some(lost)) => {
                hand = Some(Hand::new((lost.corner, lost.out), lost.free, light.from(), chance));
            }
            _ => {}
        }
        let exposure = exposure(&light, &figure, chance);
        Self {
            drawing,
            slab,
            top: Top::new(setting.surface, askew, chance),
            contact,
            under: (setting.beside == Beside::Sheet).then(|| Bare::under(half, contact, chance)),
            spiral: (setting.beside == Beside::Notebook).then(|| Spiral::new(half, contact, chance)),
            hand,
            light,
            exposure,
        }
    }

    /// What a pixel this many millimetres wide sees at a place.
    fn at(&self, place: Place, pixel: f64) -> Paint {
        let off = self.slab.off(place);
        let mut seen = self.top.at(place);
        let beneath = self.under.iter().chain(self.spiral.as_ref().map(|spiral| &spiral.opposite));
        for bare in beneath {
            seen = bare.over(seen, place, pixel);
        }
        seen = lying::beneath(&self.slab, &self.contact, seen, place);
        let part = covered(off, pixel);
        if part > 0.0 {
            seen = over(seen, self.drawing.at(place), part);
        }
        if let Some(spiral) = &self.spiral {
            seen = spiral.over(seen, place, pixel);
        }
        if let Some(hand) = &self.hand {
            seen = hand.over(seen, place, pixel);
        }
        let light = self.light.at(place);
        std::array::from_fn(|c| seen[c] * light[c] * self.exposure)
    }
}

/// A corner that is to be lost.
#[derive(Clone, Copy)]
struct Lost {
    corner: Place,
    /// The way out over it, of length 1.
    out: Place,
    /// Millimetres from it to the figure's box.
    free: f64,
}

impl Lost {
    /// One of the corners that the frame shows.
    fn new((slab, figure): (&Slab, &Slab), view: &View, chance: &mut Chance) -> Option<Self> {
        let shown: Vec<Place> =
            slab.corners().into_iter().filter(|corner| view.is_inside(view.seen(*corner), 0.0)).collect();
        if shown.is_empty() {
            return None;
        }
        let corner = chance.one_of(&shown);
        let away = corner.0.hypot(corner.1);
        let out = (corner.0 / away, corner.1 / away);
        Some(Self { corner, out, free: figure.off(corner) })
    }

    /// A place on the line beyond which it is dark: near the corner, before the figure.
    fn inward(&self, chance: &mut Chance) -> Place {
        /// As shares of the way from the corner to the figure.
        const IN: (f64, f64) = (0.35, 0.85);
        let far = self.free * chance.within(IN.0, IN.1);
        (self.corner.0 - far * self.out.0, self.corner.1 - far * self.out.1)
    }
}

/// Exposed by the light on the figure, well or too dark.
fn exposure(light: &Light, figure: &Slab, chance: &mut Chance) -> f32 {
    /// Light that white paper about the figure comes to.
    const WHITE: (f64, f64) = (0.2, 0.8);
    let [first, _, third, _] = figure.corners();
    let middle = ((first.0 + third.0) / 2.0, (first.1 + third.1) / 2.0);
    let places = figure.corners().into_iter().chain([middle]);
    // The brightest counts, so that paper never burns out.
    let brightest = places.flat_map(|place| light.at(place)).fold(f32::MIN_POSITIVE, f32::max);
    chance.within(WHITE.0, WHITE.1) as f32 / brightest
}

/// What lens and sensor make of a scene: `seen` is the light of a place in pixels this many millimetres wide.
pub(super) fn developed(
    view: &View,
    seen: impl Fn(Place, f64) -> Paint + Sync,
    chance: &mut Chance,
) -> RgbImage {
    /// How far out of focus, in pixels.
    const SOFT: (f64, f64) = (0.5, 1.6);
    /// Deviation of the sensor's noise in stored values; even chance in -1..1 deviates by 1 / sqrt(3).
    const NOISE: (f64, f64) = (1.0, 5.0);
    const EVEN: f64 = 1.732;
    /// How much of the light a lens loses at the frame's corners.
    const CORNERS: (f64, f64) = (0.0, 0.28);
    let (wide, high) = (f64::from(view.size.0), f64::from(view.size.1));
    let loses = chance.within(CORNERS.0, CORNERS.1);
    let mut picture = RgbImage::new(view.size.0, view.size.1);
    picture.par_enumerate_pixels_mut().for_each(|(x, y, pixel)| {
        let (px, py) = (f64::from(x) + 0.5, f64::from(y) + 0.5);
        let (place, millimetres) = view.place((px, py));
        let out = ((px / wide - 0.5).powi(2) + (py / high - 0.5).powi(2)) * 2.0;
        let kept = (1.0 - loses * out) as f32;
        *pixel = stored(seen(place, millimetres).map(|v| v * kept));
    });
    let mut soft = imageops::blur(&picture, chance.within(SOFT.0, SOFT.1) as f32);
    let (noise, by) = (chance.noise(), EVEN * chance.within(NOISE.0, NOISE.1));
    soft.par_enumerate_pixels_mut().for_each(|(x, y, pixel)| {
        let Rgb(seen) = *pixel;
        pixel.0 = std::array::from_fn(|c| {
            let off = by * noise.grain(i64::from(x) * 3 + c as i64, i64::from(y));
            (f64::from(seen[c]) + off).round().clamp(0.0, 255.0) as u8
        });
    });
    soft
}
