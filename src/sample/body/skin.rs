//! One flat skin for a face: what every design by eye of our sketches has in common there.
//!
//! A blush, the shade beside a nose and strokes of a pencil make three colours of a face that has one.

use std::ops::Range;

use super::detect::{Asked, Claim, Detector, Rank};
use super::face;
use super::scene::{Peg, SHOWS, Scene};
use super::silhouette::sides_of;
use crate::colour::{Lab, ciede2000};
use crate::plan::{Build, Zone, ZoneRows};
use crate::reference::middle::middle_colour;
use crate::sample::piece::commonest;

/// One skin for a face.
pub(super) const DETECTOR: Detector = Detector {
    name: "skin",
    what: "Beads of a face in another light than its skin.",
    why: "A blush and the shade beside a nose make three colours of a face that has one.",
    source: "Every design by eye of our sketches.",
    example: "Rosy cheeks in coloured pencil.",
    limits: "Within 16 CIEDE2000 of the face's skin.",
    find,
};

/// What lies within this of the face's skin (CIEDE2000) and may be skin is the same skin in another light.
const SAME: f64 = 16.0;

/// Farthest column of a head.
const SIDE: i32 = Build::HEAD / 2;

/// This many beads of skin are a face.
pub(super) const LEAST_FACE: usize = 4;

/// Places of a face, from its eyes to the neck.
pub(super) fn face_pegs(zones: &ZoneRows) -> impl Iterator<Item = Peg> {
    let end =
        zones.spans().filter(|(zone, ..)| *zone <= Zone::Neck).map(|(_, first, rows)| first + rows).max();
    let rows = face::eye_row(zones).zip(end).map_or(0..0, |(eyes, end)| eyes..end);
    rows.flat_map(|row| (-SIDE..=SIDE).map(move |column| (row, column)))
}

/// Beads of a face that take its skin.
fn find(scene: &Scene) -> Vec<Claim> {
    let Some(skin) = scene.skin() else { return Vec::new() };
    let own = scene.colour(skin);
    let takes = |peg: &Peg| {
        let label = scene.colours.get(peg).filter(|label| **label != skin);
        label.is_some_and(|label| is_same_skin(scene.colour(*label), own))
    };
    let pegs = face_pegs(scene.zones).filter(takes).collect();
    vec![Claim { pegs, asked: Asked::Label(skin), rank: Rank::Skin, stands: 0.0 }]
}

/// Whether a colour may be a face's own skin in another light.
fn is_same_skin(colour: Lab, own: Lab) -> bool {
    may_be_skin(colour) && ciede2000(colour, own).0 < SAME
}

/// Colours skin can have: how light at least, how strong, and which hues in degrees.
struct Tones {
    darkest: f64,
    chroma: Range<f64>,
    hues: Range<f64>,
}

impl Tones {
    fn hold(&self, colour: Lab) -> bool {
        let hue = colour.b.atan2(colour.a).to_degrees();
        colour.l > self.darkest && self.chroma.contains(&colour.chroma()) && self.hues.contains(&hue)
    }
}

/// In some light: from red to yellow, neither grey nor strong.
const SKIN: Tones = Tones { darkest: 20.0, chroma: 5.0..48.0, hues: 20.0..88.0 };

/// Fair to tan in full light, however faint it is drawn.
const FAIR: Tones = Tones { darkest: 57.0, chroma: 0.0..48.0, hues: 18.0..80.0 };

/// Skin that is seen without a face about it is no fainter.
const DRAWN: f64 = 14.0;

/// Whether a colour may be skin in some light.
pub(super) fn may_be_skin(colour: Lab) -> bool {
    SKIN.hold(colour)
}

/// Whether a face's colour may be fair to tan skin in full light.
pub(super) fn may_be_fair(colour: Lab) -> bool {
    FAIR.hold(colour)
}

/// Whether a pixel shows fair to tan skin.
pub(super) fn shows_fair(colour: Lab) -> bool {
    may_be_fair(colour) && colour.chroma() >= DRAWN
}

/// A face whose strokes ran together with a sack's or a hat's is told by the fair skin that shows between them: it
/// gets a label of its own.
pub(super) fn name_fair_face(scene: &mut Scene) {
    let Some(had) = scene.skin().filter(|had| !shows_fair(scene.colour(*had))) else { return };
    let windows = face_pegs(scene.zones).filter(|peg| scene.colours.get(peg) == Some(&had));
    let fair: Vec<(Peg, Vec<Lab>)> = windows
        .filter_map(|peg| {
            let (down, across) = sides_of(scene.window(peg)?);
            let all: Vec<Lab> = scene.drawn(down, across).collect();
            let seen: Vec<Lab> = all.iter().copied().filter(|colour| shows_fair(*colour)).collect();
            (seen.len() as f64 >= SHOWS * all.len() as f64).then_some((peg, seen))
        })
        .collect();
    if fair.len() < LEAST_FACE {
        return;
    }
    let seen: Vec<Lab> = fair.iter().flat_map(|(_, seen)| seen.iter().copied()).collect();
    let label = scene.labels.add_colour(middle_colour(&seen), seen.len());
    for (peg, _) in fair {
        scene.turn(peg, label);
    }
}

impl Scene<'_> {
    /// The label most of the face's middle has.
    pub fn skin(&self) -> Option<u8> {
        let row = self.face_row()?;
        let middle = [row, row + 1].into_iter().flat_map(|row| (-1..=1).map(move |column| (row, column)));
        commonest(middle.filter_map(|peg| self.colours.get(&peg).copied()))
    }
}
