//! Pictures like photographs in which there is no sheet of paper: whoever finds one is wrong.

mod forms;
mod people;
mod scenes;

use image::{DynamicImage, RgbaImage};

use super::camera;
use super::chance::Chance;
use super::table::{Light, Lighting, Thrown, View, developed};
use crate::reference::{Picture, Reference, ReferenceOptions};

/// Pictures there are: each of ten scenes five times.
pub const BARE_PICTURES: u64 = 50;

/// The picture without a sheet from this seed: a laid table, somebody painted on a wall, the corner of a room, a
/// floor, a window, a landscape, tiles, a drawing whose paper has no edge in the picture, fruit on a cloth, or
/// somebody before a wall, one after the other.
pub fn bare_picture(seed: u64) -> RgbaImage {
    /// Width and height: smaller than a telephone's, which shows no more.
    const SIZES: [(u32, u32); 3] = [(900, 1200), (900, 1200), (1200, 900)];
    /// How far what lies is seen out of square, and what stands, in degrees.
    const LYING: f64 = 20.0;
    const STANDING: f64 = 5.0;
    /// White comes to this much light.
    const EXPOSED: (f64, f64) = (0.4, 0.95);
    const LIGHTS: [Lighting; 3] = [Lighting::Lamp, Lighting::Dusk, Lighting::Window];
    const THROWN: [Thrown; 4] = [Thrown::Nothing, Thrown::Nothing, Thrown::Telephone, Thrown::Hand];
    /// As telephones store pictures.
    const QUALITY: (f64, f64) = (70.0, 92.0);
    let mut chance = Chance::of(seed, "no sheet");
    let scene = scenes::scene(seed, &mut chance);
    let most = if scene.lies { LYING } else { STANDING };
    let view = View::of_plane(chance.one_of(&SIZES), most, &mut chance);
    let (lighting, thrown) = (chance.one_of(&LIGHTS), chance.one_of(&THROWN));
    let light = Light::new(lighting, thrown, &mut chance);
    let exposure = chance.within(EXPOSED.0, EXPOSED.1) as f32;
    let seen = |place, pixel| {
        let ground = scene.ground.at(place);
        let paint = scene.forms.iter().fold(ground, |below, form| form.over(below, place, pixel));
        let light = light.at(place);
        std::array::from_fn(|c| paint[c] * light[c] * exposure)
    };
    let picture = developed(&view, seen, &mut chance);
    let bytes = camera::jpeg(&picture, chance.within(QUALITY.0, QUALITY.1) as u8);
    // What was just written as JPEG is read as JPEG.
    image::load_from_memory(&bytes).map(DynamicImage::into_rgba8).unwrap_or_default()
}

/// Whether a sheet is found in the picture of this seed, where there is none.
pub fn is_taken_for_a_sheet(seed: u64) -> bool {
    /// A figure of everyday size.
    const ROWS: usize = 24;
    let picture = Picture::of(bare_picture(seed));
    let options = ReferenceOptions::of_rows(ROWS);
    Reference::new("no sheet", &picture, &options).is_ok_and(|reference| reference.sheet().is_some())
}
