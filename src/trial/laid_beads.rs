//! Photographs of beads of known colours, laid in rows on a sheet of paper beside a grey patch, as a telephone takes
//! them: aslant, in any light, with glosses, shadows and noise.

mod bead;

use image::{Rgb, RgbImage};
use imageproc::geometric_transformations::Projection;
use rayon::prelude::*;

use super::camera::jpeg;
use super::canvas::stored;
use super::chance::{Chance, Noise};
use bead::Bead;

/// Linear light, red, green, blue; 1 is what the picture holds at most.
type Colour = [f64; 3];

/// A place on the sheet in millimetres.
type Place = (f64, f64);

/// What sort of bead is laid.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum BeadKind {
    /// Of one colour, on its end.
    Upright,
    /// Of one colour, on its side.
    Lying,
    /// On its end, and the light shines in much of it.
    Glossy,
    /// See-through.
    Clear,
    /// Full of sparks.
    Glitter,
}

/// A bead to be laid.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct LaidBead {
    /// What its face sends back, as the camera sees that in this light, where paper sends back [`LaidScene::paper`].
    pub colour: [f64; 3],
    /// Its sort.
    pub kind: BeadKind,
}

/// Beads on a sheet and the light on them.
#[derive(Clone, Debug, PartialEq)]
pub struct LaidScene {
    /// The beads in reading order.
    pub beads: Vec<LaidBead>,
    /// How many lie in a row.
    pub in_a_row: usize,
    /// What paper sends back in this light, as the camera sees it.
    pub paper: [f64; 3],
    /// What the patch sends back, where one lies there.
    pub patch: Option<[f64; 3]>,
    /// How bright the picture is: 1 brings full white to the end of what it holds.
    pub exposure: f64,
    /// How much of the light is lost from one side of the sheet to the other, 0 to 1; from a third on, a hand's soft
    /// shadow lies over a corner too.
    pub uneven: f64,
    /// Starts every chance: where beads lie, how the sheet lies, which way the light comes.
    pub seed: u64,
}

/// A photograph of beads, and where they lie in it.
#[derive(Clone, Debug)]
pub struct LaidPhotograph {
    /// The bytes of a JPEG file.
    pub file: Vec<u8>,
    /// The beads' middles in pixels, in reading order.
    pub places: Vec<(f64, f64)>,
}

/// Width and height of the sheet in millimetres: A6, and of the photograph in pixels: a bead is about 28 across, as on A4
/// in 5 megapixels.
const SHEET: Place = (148.0, 105.0);
const SIZE: (u32, u32) = (960, 720);

impl LaidScene {
    /// The photograph.
    pub fn photograph(&self) -> LaidPhotograph {
        /// Of JPEG files from messengers to telephones.
        const QUALITY: (f64, f64) = (78.0, 94.0);
        let mut chance = Chance::of(self.seed, "laid beads");
        let laid = Laid::new(self, &mut chance);
        let noise = chance.noise();
        let mut picture = RgbImage::new(SIZE.0, SIZE.1);
        picture.par_enumerate_pixels_mut().for_each(|(x, y, pixel)| {
            *pixel = laid.pixel((x, y), noise);
        });
        let file = jpeg(&picture, chance.within(QUALITY.0, QUALITY.1) as u8);
        let places = laid.beads.iter().map(|bead| laid.in_picture(bead.at)).collect();
        LaidPhotograph { file, places }
    }
}

/// A scene with everything in its place.
struct Laid<'a> {
    scene: &'a LaidScene,
    beads: Vec<Bead>,
    patch: Place,
    /// From the picture to millimetres of the sheet.
    sheet: Projection,
    light: Light,
    table: Noise,
    camera: Camera,
}

/// Which way the light comes and how it falls off.
pub(super) struct Light {
    /// The step towards it over the sheet, of length 1, and the tangent of its distance from the upright.
    pub towards: Place,
    pub tangent: f64,
    /// The part that comes from all around.
    pub around: f64,
    /// How dark a bead's shadow is at its darkest, and over how many millimetres its edge goes.
    pub shade: f64,
    pub edge: f64,
    uneven: f64,
    vignette: f64,
    hand: Option<Place>,
}

/// What the camera adds.
struct Camera {
    /// Deviation of the noise in stored values.
    noise: f64,
    /// Light scattered in the lens over all of the picture.
    veil: f64,
    /// How the picture's scale of light is bent.
    curve: f64,
}

impl Light {
    fn new(uneven: f64, chance: &mut Chance) -> Self {
        const TANGENT: (f64, f64) = (0.4, 1.0);
        const AROUND: (f64, f64) = (0.35, 0.65);
        const EDGE: (f64, f64) = (0.3, 1.2);
        const VIGNETTE: (f64, f64) = (0.05, 0.2);
        let angle = chance.within(0.0, std::f64::consts::TAU);
        let around = chance.within(AROUND.0, AROUND.1);
        let hand = (chance.within(-10.0, 45.0), chance.within(SHEET.1 - 30.0, SHEET.1 + 10.0));
        Self {
            towards: (angle.cos(), angle.sin()),
            tangent: chance.within(TANGENT.0, TANGENT.1),
            around,
            shade: 1.0 - around,
            edge: chance.within(EDGE.0, EDGE.1),
            uneven,
            vignette: chance.within(VIGNETTE.0, VIGNETTE.1),
            hand: (uneven > 1.0 / 3.0).then_some(hand),
        }
    }

    /// How bright it is at a place of the sheet.
    fn at(&self, (x, y): Place) -> f64 {
        /// A hand's soft shadow: how far it reaches, over how much its edge goes, how dark it is.
        const HAND: (f64, f64, f64) = (40.0, 10.0, 0.3);
        let (u, v) = (x / SHEET.0 - 0.5, y / SHEET.1 - 0.5);
        let along = u * self.towards.0 + v * self.towards.1;
        let fall = 1.0 - self.uneven * (0.5 - along).clamp(0.0, 1.0);
        let vignette = 1.0 - self.vignette * (u * u + v * v) * 2.0;
        let hand = self.hand.map_or(1.0, |hand| {
            let far = (x - hand.0).hypot(y - hand.1);
            1.0 - HAND.2 / (1.0 + ((far - HAND.0) / HAND.1).exp())
        });
        fall * vignette * hand
    }
}

impl<'a> Laid<'a> {
    fn new(scene: &'a LaidScene, chance: &mut Chance) -> Self {
        const NOISE: (f64, f64) = (1.5, 3.0);
        const VEIL: f64 = 0.008;
        const CURVE: f64 = 0.05;
        let light = Light::new(scene.uneven, chance);
        let camera = Camera {
            // A sensor that gets half the light is half as noisy again.
            noise: chance.within(NOISE.0, NOISE.1) / scene.exposure.max(0.1).sqrt(),
            veil: chance.within(0.0, VEIL),
            curve: 1.0 + chance.either_way(CURVE),
        };
        Self {
            scene,
            beads: laid_out(scene, chance),
            patch: (SHEET.0 - 22.0, SHEET.1 - 18.0),
            sheet: view(chance),
            light,
            table: chance.noise(),
            camera,
        }
    }

    fn in_picture(&self, (x, y): Place) -> (f64, f64) {
        let (px, py) = self.sheet.invert() * (x as f32, y as f32);
        (f64::from(px), f64::from(py))
    }

    fn pixel(&self, (x, y): (u32, u32), noise: Noise) -> Rgb<u8> {
        /// Three even chances in -1..1 together deviate by 1.
        const CHANNELS: i64 = 3;
        let (u, v) = self.sheet * (x as f32 + 0.5, y as f32 + 0.5);
        let place = (f64::from(u), f64::from(v));
        let bright = self.light.at(place) * self.scene.exposure;
        let seen = self.at(place).map(|v| {
            let v = v * bright + self.camera.veil * self.scene.exposure;
            v.max(0.0).powf(self.camera.curve) as f32
        });
        let stored = stored(seen).0;
        let grain = |c: i64, k: i64| noise.grain(i64::from(x) * CHANNELS + c, i64::from(y) * CHANNELS + k);
        Rgb(std::array::from_fn(|c| {
            let off: f64 = (0..CHANNELS).map(|k| grain(c as i64, k)).sum();
            (f64::from(stored[c]) + self.camera.noise * off).round().clamp(0.0, 255.0) as u8
        }))
    }

    /// What a place of the sheet or the table sends back in full light.
    fn at(&self, place: Place) -> Colour {
        /// Half the patch's side.
        const PATCH: f64 = 9.0;
        let is_paper = (0.0..=SHEET.0).contains(&place.0) && (0.0..=SHEET.1).contains(&place.1);
        if !is_paper {
            let grain = 1.0 + 0.25 * self.table.at(place.0 / 30.0, place.1 / 1.2);
            return [0.20, 0.11, 0.06].map(|v: f64| v * grain);
        }
        let on_patch = |at: Place| (at.0 - self.patch.0).abs().max((at.1 - self.patch.1).abs()) <= PATCH;
        let below = match self.scene.patch {
            Some(patch) if on_patch(place) => patch,
            _ => self.scene.paper.map(|v| v * (1.0 + 0.006 * self.table.at(place.0 / 3.0, place.1 / 3.0))),
        };
        let dark = self.beads.iter().map(|bead| bead.shadow_at(place, &self.light)).fold(0.0, f64::max);
        let below = below.map(|v| v * (1.0 - self.light.shade * dark));
        let bead = self.beads.iter().find(|bead| bead.covers(place));
        bead.map_or(below, |bead| bead.over(below, place, &self.light, self.scene.paper))
    }
}

/// Beads in rows that lie somewhat aslant, unevenly.
fn laid_out(scene: &LaidScene, chance: &mut Chance) -> Vec<Bead> {
    /// From bead to bead and row to row in millimetres, and how far beads lie off.
    const APART: f64 = 14.5;
    const ROWS: f64 = 21.0;
    const OFF: (f64, f64) = (2.0, 1.1);
    const CORNER: Place = (22.0, 19.0);
    /// Up or down over a row, in millimetres for one.
    const SLANT: f64 = 0.04;
    let mut beads = Vec::new();
    for (row, in_row) in scene.beads.chunks(scene.in_a_row.max(1)).enumerate() {
        let slant = chance.either_way(SLANT);
        for (column, bead) in in_row.iter().enumerate() {
            let x = CORNER.0 + APART * column as f64 + chance.either_way(OFF.0);
            let y = CORNER.1 + ROWS * row as f64 + slant * (x - CORNER.0) + chance.either_way(OFF.1);
            beads.push(Bead::new(*bead, (x, y), chance));
        }
    }
    beads
}

/// A way to photograph the sheet.
fn view(chance: &mut Chance) -> Projection {
    /// The sheet fills this much of the frame, turned by some degrees, each corner off by a part of its half.
    const FILL: (f64, f64) = (0.84, 0.92);
    const TURN: f64 = 3.0;
    const TILT: f64 = 0.05;
    let fill = chance.within(FILL.0, FILL.1);
    let scale = (f64::from(SIZE.0) / SHEET.0).min(f64::from(SIZE.1) / SHEET.1) * fill;
    let (sin, cos) = chance.either_way(TURN).to_radians().sin_cos();
    let mut corner = |sx: f64, sy: f64| {
        let half = (SHEET.0 * scale / 2.0, SHEET.1 * scale / 2.0);
        let (x, y) = (half.0 * (sx + chance.either_way(TILT)), half.1 * (sy + chance.either_way(TILT)));
        (
            (f64::from(SIZE.0) / 2.0 + x * cos - y * sin) as f32,
            (f64::from(SIZE.1) / 2.0 + x * sin + y * cos) as f32,
        )
    };
    let seen = [corner(-1.0, -1.0), corner(1.0, -1.0), corner(1.0, 1.0), corner(-1.0, 1.0)];
    let (w, h) = (SHEET.0 as f32, SHEET.1 as f32);
    // Corners of a rectangle moved by a few hundredths never fall into one line.
    Projection::from_control_points(seen, [(0.0, 0.0), (w, 0.0), (w, h), (0.0, h)])
        .unwrap_or_else(|| Projection::scale(1.0, 1.0))
}
