//! One flat skin for a face, and its outline: what every design by eye of our sketches has in common there.
//!
//! A blush, the shade beside a nose and strokes of a pencil make three colours of a face that has one. A designer
//! gives it one, lets the chin be narrower than the cheeks and leaves ears out.

use std::collections::BTreeSet;

use super::detect::{Asked, Claim, Detector, Rank};
use super::face;
use super::scene::{Peg, SHOWS, Scene};
use super::silhouette::spans_of;
use crate::colour::{Lab, ciede2000};
use crate::grid::{commonest, counts};
use crate::plan::{Build, Zone, ZoneRows};
use crate::reference::middle::middle_colour;

/// One skin for a face.
pub(super) const DETECTOR: Detector = Detector {
    name: "skin",
    what: "Beads of a face in another light than its skin, the corners of its chin, and its ears.",
    why: "A blush and the shade beside a nose make three colours of a face that has one.",
    source: "Every design by eye of our sketches.",
    example: "Rosy cheeks in coloured pencil.",
    limits: "Within 16 CIEDE2000 of the face's skin; a chin is left narrower by a bead to each side where it is skin alone.",
    find,
};

/// What lies within this of the face's skin (CIEDE2000) and may be skin is the same skin in another light.
const SAME: f64 = 16.0;

/// Farthest column of a head.
const SIDE: i32 = Build::HEAD / 2;

/// The rows of a face, from its eyes to the neck, and those of its head.
struct Rows {
    eyes: usize,
    chin: usize,
    neck: usize,
}

impl Rows {
    fn of(zones: &ZoneRows) -> Option<Self> {
        let eyes = face::eye_row(zones)?;
        let chin = zones.rows_of(Zone::Head).end - 1;
        Some(Self { eyes, chin, neck: chin + zones.get(Zone::Neck) })
    }
}

/// So many beads of skin are a face.
pub(super) const LEAST_FACE: usize = 4;

/// Places of a face without its outermost columns' corners, from its eyes to its chin.
pub(super) fn face_pegs(zones: &ZoneRows) -> impl Iterator<Item = Peg> {
    let rows = Rows::of(zones).map_or(0..0, |rows| rows.eyes..rows.neck + 1);
    rows.flat_map(|row| (-SIDE..=SIDE).map(move |column| (row, column)))
}

fn find(scene: &Scene) -> Vec<Claim> {
    let (Some(skin), Some(rows)) = (scene.skin(), Rows::of(scene.zones)) else { return Vec::new() };
    let claim = |pegs, asked| Claim { pegs, asked, rank: Rank::Skin, stands: 0.0 };
    vec![
        claim(one_skin(scene, &rows, skin), Asked::Label(skin)),
        claim(beyond_outline(scene, &rows, skin), Asked::Bare),
    ]
}

/// Beads of a face that take its skin: those in another light, and a lone one of a colour that nothing else about
/// the head has. `skin` is the face's label.
fn one_skin(scene: &Scene, rows: &Rows, skin: u8) -> Vec<Peg> {
    let (colours, colour) = (&scene.colours, |label: u8| scene.colour(label));
    let own = colour(skin);
    let is_head = |peg: &Peg| peg.0 <= rows.neck && peg.1.abs() <= SIDE;
    let lone = |peg: &Peg, label: u8| {
        let about = colours.iter().filter(|(other, l)| **l == label && is_head(other));
        (rows.eyes + 1..rows.chin).contains(&peg.0) && about.count() == 1
    };
    let takes = |peg: &Peg, label: u8| is_same_skin(colour(label), own) || lone(peg, label);
    let face = colours.iter().filter(|(peg, _)| is_head(peg) && peg.0 >= rows.eyes);
    let other = face.filter(|(_, label)| **label != skin);
    other.filter(|(peg, label)| takes(peg, **label)).map(|(peg, _)| *peg).collect()
}

/// Beads of skin that no design has: the corners of a chin, where nothing but skin is wider than it, and ears.
fn beyond_outline(scene: &Scene, rows: &Rows, skin: u8) -> Vec<Peg> {
    let (colours, colour) = (&scene.colours, |label: u8| scene.colour(label));
    let is_same = |label: u8| is_same_skin(colour(label), colour(skin));
    let beyond = |row: usize, column: i32, side: i32| colours.contains_key(&(row, column + side));
    let mut left_out = Vec::new();
    for side in [-1, 1] {
        let corner = (rows.chin, SIDE * side);
        if colours.get(&corner) == Some(&skin) && !beyond(corner.0, corner.1, side) {
            left_out.push(corner);
        }
        for row in scene.zones.first(Zone::Head)..=rows.chin {
            let ear = (row, (SIDE + 1) * side);
            let is_arm = [row.saturating_sub(1), row, row + 1].iter().any(|row| beyond(*row, ear.1, side));
            let is_skin = colours.get(&ear).is_some_and(|label| is_same(*label));
            if is_skin && !is_arm {
                left_out.push(ear);
            }
        }
    }
    left_out
}

/// Whether a colour may be a face's own skin in another light.
fn is_same_skin(colour: Lab, own: Lab) -> bool {
    SKIN.hold(colour) && ciede2000(colour, own).0 < SAME
}

/// Colours skin can have: how light at least, how strong, and which hues in degrees.
pub(super) struct Tones {
    darkest: f64,
    chroma: (f64, f64),
    hues: (f64, f64),
}

impl Tones {
    /// Whether a colour may be skin of these tones.
    pub fn hold(&self, colour: Lab) -> bool {
        colour.l > self.darkest
            && (self.chroma.0..self.chroma.1).contains(&colour.chroma())
            && (self.hues.0..self.hues.1).contains(&colour.hue())
    }
}

/// In some light: from red to yellow, neither grey nor strong.
pub(super) const SKIN: Tones = Tones { darkest: 25.0, chroma: (6.0, 48.0), hues: (30.0, 88.0) };

/// Fair to tan, in full light.
pub(super) const FAIR: Tones = Tones { darkest: 55.0, chroma: (14.0, 50.0), hues: (15.0, 68.0) };

/// Fair to tan, however faint: between red and yellow, light, not strong.
pub(super) const LIGHT: Tones = Tones { darkest: 60.0, chroma: (0.0, 42.0), hues: (25.0, 80.0) };

/// Whether a colour is that of a face in its light or its shade: of the same hue, as strong, and not as strong as cloth
/// that is dyed.
fn is_kin(face: Lab, other: Lab) -> bool {
    /// Degrees of hue, and how many times as strong.
    const HUE: f64 = 14.0;
    const TIMES: f64 = 1.5;
    const DYED: f64 = 45.0;
    let (one, two) = (face.chroma(), other.chroma());
    (face.hue() - other.hue()).abs() <= HUE && one.max(two) <= (TIMES * one.min(two)).min(DYED)
}

/// A face whose strokes ran together with a sack's or a hat's is told by the fair skin that shows between them: it
/// gets a label of its own.
pub(super) fn name_fair_face(scene: &mut Scene) {
    let Some(had) = scene.skin().filter(|had| !FAIR.hold(scene.colour(*had))) else { return };
    let windows = face_pegs(scene.zones).filter(|peg| scene.colours.get(peg) == Some(&had));
    let fair: Vec<(Peg, Vec<Lab>)> = windows
        .filter_map(|peg| {
            let (down, across) = spans_of(scene.window(peg)?);
            let all: Vec<Lab> = scene.drawn(down, across).collect();
            let seen: Vec<Lab> = all.iter().copied().filter(|colour| FAIR.hold(*colour)).collect();
            // Elsewhere it is a beard or a sack.
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

    /// The labels that are skin: those of the face's rows that can be, and those that are their kin.
    pub fn skins(&self) -> BTreeSet<u8> {
        /// A label of fewer beads there has none.
        const FEW: usize = 2;
        // Strokes are all as faint as skin.
        let row = face::eye_row(self.zones).filter(|_| !self.labels.stroked);
        let Some(row) = row else { return BTreeSet::new() };
        let face = (row - 1..=row + 2).flat_map(|row| (-2..=2).map(move |column| (row, column)));
        let seen = counts(face.filter_map(|peg| self.colours.get(&peg).copied()));
        let often = seen.iter().filter(|(_, n)| **n >= FEW).map(|(label, _)| self.colour(*label));
        let faces: Vec<Lab> = often.filter(|colour| face::is_skin(*colour)).collect();
        let all = 1..=self.labels.clusters.len() as u8;
        all.filter(|&label| faces.iter().any(|face| is_kin(*face, self.colour(label)))).collect()
    }
}
