//! What a camera or a messenger does to a picture.

use image::codecs::jpeg::JpegEncoder;
use image::{Rgb, RgbImage};
use imageproc::geometric_transformations::Projection;
use rayon::prelude::*;

use super::canvas::{Paint, lit, over, shown, stored};
use super::chance::{Chance, Noise};

/// Bytes of a JPEG of this quality, its colour at half size as telephones and messengers store it.
pub(super) fn jpeg(picture: &RgbImage, quality: u8) -> Vec<u8> {
    let halved = with_coarse_chroma(picture);
    let mut bytes = Vec::new();
    // Writing to memory cannot fail for a picture smaller than JPEG's 65 535 pixels a side.
    let written = JpegEncoder::new_with_quality(&mut bytes, quality).encode_image(&halved);
    debug_assert!(written.is_ok());
    bytes
}

/// Each 2 x 2 pixels share one mean chroma (Cb and Cr of JFIF 1.02, as 4:2:0 JPEG stores them).
fn with_coarse_chroma(picture: &RgbImage) -> RgbImage {
    /// Weights of luma in JFIF 1.02, which are those of ITU-R BT.601.
    const LUMA: [f32; 3] = [0.299, 0.587, 0.114];
    let (width, height) = picture.dimensions();
    let luma =
        |p: &Rgb<u8>| LUMA[0] * f32::from(p[0]) + LUMA[1] * f32::from(p[1]) + LUMA[2] * f32::from(p[2]);
    let mut coarse = picture.clone();
    for (top, left) in (0..height).step_by(2).flat_map(|y| (0..width).step_by(2).map(move |x| (y, x))) {
        let block =
            || (top..(top + 2).min(height)).flat_map(|y| (left..(left + 2).min(width)).map(move |x| (x, y)));
        let mut sum = [0.0_f32; 3];
        for (x, y) in block() {
            let pixel = picture.get_pixel(x, y);
            let grey = luma(pixel);
            (0..3).for_each(|c| sum[c] += f32::from(pixel[c]) - grey);
        }
        let count = block().count() as f32;
        for (x, y) in block() {
            let grey = luma(picture.get_pixel(x, y));
            let channel = |c: usize| (grey + sum[c] / count).round().clamp(0.0, 255.0) as u8;
            coarse.put_pixel(x, y, Rgb([channel(0), channel(1), channel(2)]));
        }
    }
    coarse
}

/// A sheet on a table as a telephone sees it.
#[derive(Debug)]
pub(super) struct Shot {
    sheet: Projection,
    table: Table,
    light: Lamp,
    noise: Noise,
    /// Where the sheet's corners are seen, clockwise from its top left.
    pub corners: [(f64, f64); 4],
}

/// Width and height of the photograph: 12 megapixels.
pub(super) const SHOT: (u32, u32) = (3000, 4000);

#[derive(Debug)]
struct Table {
    paint: Paint,
    grain: Noise,
    /// How long the grain is beside its width.
    stretch: f64,
    contrast: f64,
}

impl Table {
    /// Brown wood, slate, pale wood and dark green cloth: all darker than paper, as tables under a sheet are.
    const PAINTS: [Paint; 4] =
        [[0.22, 0.10, 0.04], [0.10, 0.10, 0.11], [0.30, 0.20, 0.12], [0.05, 0.10, 0.08]];
    /// Stone and cloth have round grain, wood has long.
    const STRETCH: [f64; 2] = [1.0, 25.0];
    /// How far the grain is from the paint, as a part of its light.
    const CONTRAST: (f64, f64) = (0.15, 0.4);
    /// Pixels of the photograph across a grain: about a millimetre of a sheet that fills the frame.
    const GRAIN: f64 = 14.0;
}

/// A warm lamp to one side and a hand's shadow.
#[derive(Debug)]
struct Lamp {
    colour: Paint,
    from: (f64, f64),
    fall: f64,
    hand: (f64, f64),
    reach: f64,
    depth: f64,
}

impl Lamp {
    fn new(chance: &mut Chance) -> Self {
        /// From daylight to a filament lamp: how much blue it lacks, and the part of that which green lacks too.
        const WARM: (f64, f64) = (0.0, 0.3);
        const GREEN: f32 = 0.35;
        /// Exposed so that white paper does not burn out.
        const BRIGHT: f32 = 0.92;
        /// The lamp stands just outside the frame, to the left or right, in its upper half or above it.
        const SIDES: [f64; 2] = [-0.2, 1.2];
        const HEIGHT: (f64, f64) = (-0.2, 0.6);
        /// How much of the light is lost over the frame.
        const FALL: (f64, f64) = (0.3, 0.6);
        /// The hand with the telephone shades the lower edge, a quarter to a third of the frame, softly.
        const HAND: [(f64, f64); 2] = [(0.0, 1.0), (0.75, 1.15)];
        const REACH: (f64, f64) = (0.2, 0.38);
        const DEPTH: (f64, f64) = (0.2, 0.45);
        let warm = chance.within(WARM.0, WARM.1);
        let side = chance.one_of(&SIDES);
        Self {
            colour: [BRIGHT, BRIGHT - GREEN * warm as f32, BRIGHT - warm as f32],
            from: (side, chance.within(HEIGHT.0, HEIGHT.1)),
            fall: chance.within(FALL.0, FALL.1),
            hand: (chance.within(HAND[0].0, HAND[0].1), chance.within(HAND[1].0, HAND[1].1)),
            reach: chance.within(REACH.0, REACH.1),
            depth: chance.within(DEPTH.0, DEPTH.1),
        }
    }

    /// How bright it is at a place of the picture, x and y 0 to 1.
    fn at(&self, x: f64, y: f64) -> f64 {
        /// The frame is so much higher than wide that a round shadow is flat in shares of it.
        const FLAT: f64 = 1.3;
        /// How steep the edge of the shadow is: from dark to light over about its reach.
        const EDGE: f64 = 6.0;
        /// From a lamp at one side to the far corner it is about 1.6 frames.
        const ACROSS: f64 = 0.6;
        let far = (x - self.from.0).hypot(y - self.from.1);
        let hand = (x - self.hand.0).hypot((y - self.hand.1) * FLAT) / self.reach;
        let shadow = self.depth / (1.0 + (EDGE * (hand - 1.0)).exp());
        (1.0 - self.fall * far * ACROSS) * (1.0 - shadow)
    }
}

impl Shot {
    /// A way to photograph a drawing of this size.
    pub fn new((width, height): (u32, u32), chance: &mut Chance) -> Self {
        /// The sheet fills the frame except for a margin: this part of it is filled.
        const FILL: (f64, f64) = (0.82, 0.92);
        /// It is turned by a few degrees, as a free hand holds a telephone.
        const TURN: f64 = 3.0;
        /// It is tilted: each corner off by this part of half the sheet, about 3 degrees out of square.
        const TILT: f64 = 0.035;
        let (w, h) = (width as f32, height as f32);
        let (wide, high) = (f64::from(SHOT.0), f64::from(SHOT.1));
        let fill = chance.within(FILL.0, FILL.1);
        let scale = (wide / f64::from(width)).min(high / f64::from(height)) * fill;
        let (half_w, half_h) = (f64::from(width) * scale / 2.0, f64::from(height) * scale / 2.0);
        let angle = chance.either_way(TURN).to_radians();
        let mut corner = |sx: f64, sy: f64| {
            let (x, y) = (sx * half_w, sy * half_h);
            let (dx, dy) = (chance.either_way(TILT) * half_w, chance.either_way(TILT) * half_h);
            let (px, py) = (x * angle.cos() - y * angle.sin() + dx, x * angle.sin() + y * angle.cos() + dy);
            ((wide / 2.0 + px) as f32, (high / 2.0 + py) as f32)
        };
        let corners = [corner(-1.0, -1.0), corner(1.0, -1.0), corner(1.0, 1.0), corner(-1.0, 1.0)];
        let flat = [(0.0, 0.0), (w, 0.0), (w, h), (0.0, h)];
        // Corners of a rectangle moved by a few hundredths never fall into one line.
        let sheet =
            Projection::from_control_points(corners, flat).unwrap_or_else(|| Projection::scale(1.0, 1.0));
        let table = Table {
            paint: chance.one_of(&Table::PAINTS),
            grain: chance.noise(),
            stretch: chance.one_of(&Table::STRETCH),
            contrast: chance.within(Table::CONTRAST.0, Table::CONTRAST.1),
        };
        let corners = corners.map(|(x, y)| (f64::from(x), f64::from(y)));
        Self { sheet, table, light: Lamp::new(chance), noise: chance.noise(), corners }
    }

    /// The photograph of a drawing.
    pub fn of(&self, drawing: &RgbImage) -> RgbImage {
        /// Deviation of the sensor's noise at mid grey, in stored values.
        const NOISE: f64 = 3.0;
        /// Even chance in -1..1 deviates by 1 / sqrt(3): this many times it deviates by 1.
        const EVEN: f64 = 1.7;
        let (wide, high) = (f64::from(SHOT.0), f64::from(SHOT.1));
        let mut picture = RgbImage::new(SHOT.0, SHOT.1);
        picture.par_enumerate_pixels_mut().for_each(|(x, y, pixel)| {
            let (u, v) = self.sheet * (x as f32 + 0.5, y as f32 + 0.5);
            let seen = between(drawing, u - 0.5, v - 0.5).unwrap_or_else(|| self.table_at(x, y));
            let bright = self.light.at(f64::from(x) / wide, f64::from(y) / high);
            let light: Paint = std::array::from_fn(|c| seen[c] * self.light.colour[c] * bright as f32);
            let off = NOISE * EVEN * self.noise.grain(i64::from(x), i64::from(y));
            *pixel = Rgb(stored(light).0.map(|v| (f64::from(v) + off).round().clamp(0.0, 255.0) as u8));
        });
        picture
    }

    fn table_at(&self, x: u32, y: u32) -> Paint {
        let grain = self
            .table
            .grain
            .at(f64::from(x) / (Table::GRAIN * self.table.stretch), f64::from(y) / Table::GRAIN);
        lit(self.table.paint, 1.0 + self.table.contrast * grain)
    }
}

/// The light between four pixels; nothing outside the picture.
pub(super) fn between(picture: &RgbImage, x: f32, y: f32) -> Option<Paint> {
    let (width, height) = (picture.width() as f32, picture.height() as f32);
    if x < 0.0 || y < 0.0 || x >= width - 1.0 || y >= height - 1.0 {
        return None;
    }
    let (x0, y0) = (x as u32, y as u32);
    let (fx, fy) = (f64::from(x - x.floor()), f64::from(y - y.floor()));
    let at = |dx: u32, dy: u32| shown(*picture.get_pixel(x0 + dx, y0 + dy));
    Some(over(over(at(0, 0), at(1, 0), fx), over(at(0, 1), at(1, 1), fx), fy))
}
