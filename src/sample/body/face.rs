//! A face stays a face: eyes and a mouth drawn far smaller than a bead become beads.

use super::columns::centred;
use super::detect::{Asked, Claim, Detector, Rank};
use super::scene::Scene;
use super::signs::CLEARLY;
use super::silhouette::Span;
use super::{aim, skin};
use crate::colour::{Lab, ciede2000};
use crate::plan::{Zone, ZoneRows};
use crate::sample::cluster::mean_of;

/// Two eyes.
pub(super) const EYES_DETECTOR: Detector = Detector {
    name: "eyes",
    what: "What is darkest in the row of a face where the eyes are, as one bead on each side of the nose.",
    why: "A face needs its eyes, and they are too small to fill a window.",
    source: "Both designs by eye of every sketch; common practice, no source.",
    example: "Two dots of a pen.",
    limits: "At least 15 L* darker than the skin.",
    find: find_eyes,
};

/// A mouth.
pub(super) const MOUTH_DETECTOR: Detector = Detector {
    name: "mouth",
    what: "What is redder than the skin below the eyes, as a bead on the axis.",
    why: "It gives a face its look.",
    source: "Both designs by eye of our sketches: 22 of them have a mouth, 12 a deep red one.",
    example: "A smile in red pencil.",
    limits: "Within 0.7 to 2.6 rows below the eyes and a bead of the axis, a* higher by 9 over 0.03 beads at least.",
    find: find_mouth,
};

/// Columns of the two eyes, from the axis: one bead lies between them (both designs by eye of every sketch; common
/// practice, no source).
const EYES: [i32; 2] = [-1, 1];

/// Eyes are at least this much darker than the skin.
const DARKER: f64 = 15.0;

/// An eye or a mouth may be a dot of the pen: this much of a bead, or of what is looked at.
const DOT: f64 = 0.03;

/// The row of the head, from its top, that has the eyes.
const EYE_ROW: usize = 2;

/// A face and where its eyes lie.
struct Face {
    row: usize,
    /// The face's label.
    skin: u8,
    /// How much speaks for them, 0 to 1.
    stands: f64,
}

/// The face of a scene, where eyes are seen.
fn face_of(scene: &Scene) -> Option<Face> {
    let (skin, planned) = (scene.skin()?, scene.face_row()?);
    let stands = darkest(scene, planned, scene.colour(skin))?;
    // A hat without rows of its own covers the plan's place for the eyes: they are where they were drawn.
    let is_hidden = eye_row(scene.zones) != Some(planned);
    let drawn = is_hidden.then(|| scene.drawn_eyes(planned + 1, skin)).flatten();
    Some(Face { row: drawn.unwrap_or(planned), skin, stands })
}

fn find_eyes(scene: &Scene) -> Vec<Claim> {
    let Some(Face { row, stands, .. }) = face_of(scene) else { return Vec::new() };
    let pegs = EYES.map(|column| (row, column)).to_vec();
    vec![Claim { pegs, asked: Asked::Known(aim::EYES), rank: Rank::Eyes, stands }]
}

/// How much speaks for eyes in the row that has them, 0 to 1, where the darkest of what is drawn there is dark enough.
/// `skin` is what shows about them; a face is told by it.
fn darkest(scene: &Scene, row: usize, skin: Lab) -> Option<f64> {
    /// How far above and below its row an eye may be drawn, in beads.
    const ABOUT: f64 = 0.3;
    if !skin::may_be_skin(skin) {
        return None;
    }
    let (lines, rows) = (scene.lines, scene.rows);
    let pitch = lines[row + 1] - lines[row];
    let down = Span { from: lines[row] - ABOUT * pitch, to: lines[row + 1] + ABOUT * pitch };
    let inner = rows[row].iter().filter(|s| s.column.abs() <= EYES[1]);
    let across = inner.map(|s| s.span).reduce(Span::with)?;
    let mut seen: Vec<Lab> = scene.drawn(down, across).collect();
    seen.sort_by(|a, b| a.l.total_cmp(&b.l));
    seen.truncate(((seen.len() as f64 * DOT) as usize).max(1));
    // The middle of the darkest: the colour of the eye itself, not of its rim.
    let colour = *seen.get(seen.len() / 2)?;
    if colour.l + DARKER > skin.l {
        return None;
    }
    let nose = rows[row].iter().find(|s| s.column == 0)?.span.middle();
    // How much is dark to either side of the nose: a lock of hair or a patch of shade has no other like it.
    let is_dark = |seen: &Lab| seen.l <= f64::midpoint(colour.l, skin.l);
    let dark = |side: Span| scene.drawn(down, side).filter(is_dark).count() as f64;
    let (left, right) = (dark(Span { to: nose, ..across }), dark(Span { from: nose, ..across }));
    let pair = left.min(right) / left.max(right).max(1.0);
    Some(pair.sqrt() * (ciede2000(colour, skin).0 / CLEARLY).min(1.0))
}

fn find_mouth(scene: &Scene) -> Vec<Claim> {
    let Some(Face { row, skin, .. }) = face_of(scene) else { return Vec::new() };
    let own = scene.colour(skin);
    let is_head = scene.zone(Zone::Head).is_some_and(|(first, rows)| row + 1 < first + rows);
    let is_skin = scene.colours.get(&(row + 1, 0)) == Some(&skin);
    let Some(lips) = lips_below(scene, row, own).filter(|_| is_head && is_skin) else { return Vec::new() };
    let asked = Asked::Known(aim::LIPS);
    let stands = (ciede2000(lips, own).0 / CLEARLY).min(1.0);
    vec![Claim { pegs: vec![(row + 1, 0)], asked, rank: Rank::Mouth, stands }]
}

/// The colour of a mouth in the middle of the rows below the eyes: redder than the `skin` about it.
fn lips_below(scene: &Scene, row: usize, skin: Lab) -> Option<Lab> {
    /// A mouth is drawn within this many rows below the eyes' own middle,
    const BELOW: (f64, f64) = (0.7, 2.6);
    /// It is redder than the skin by this much of a*, over at least this many beads,
    const REDDER: f64 = 9.0;
    /// It is darker than the skin too; a blush is not.
    const DARKER: f64 = 4.0;
    let lines = scene.lines;
    let pitch = lines[row + 1] - lines[row];
    let nose = scene.rows[row].iter().find(|s| s.column == 0)?.span;
    let at = f64::midpoint(lines[row], lines[row + 1]);
    let down = Span { from: at + BELOW.0 * pitch, to: (at + BELOW.1 * pitch).min(*lines.last()?) };
    let across = centred(nose.middle(), 2.0 * nose.width());
    let is_lip = |c: &Lab| c.a >= skin.a + REDDER && c.l + DARKER <= skin.l;
    let mut lips: Vec<Lab> = scene.drawn(down, across).filter(is_lip).collect();
    if (lips.len() as f64) < DOT * pitch * pitch {
        return None;
    }
    // The redder half: the rest is blurred with the skin.
    lips.sort_by(|a, b| b.a.total_cmp(&a.a));
    lips.truncate(lips.len().div_ceil(2));
    mean_of(lips)
}

/// The row that has the eyes.
pub(super) fn eye_row(zones: &ZoneRows) -> Option<usize> {
    let (_, first, rows) = zones.spans().find(|(zone, ..)| *zone == Zone::Head)?;
    // Below the eyes a face still has a row for its mouth.
    (rows > EYE_ROW + 1).then_some(first + EYE_ROW)
}

impl Scene<'_> {
    /// The row of the face's eyes: the plan's, or the next where a hat without rows of its own hides that and skin
    /// begins below it.
    pub fn face_row(&self) -> Option<usize> {
        /// This many of the three beads about the axis are skin where a face begins.
        const BEGINS: usize = 2;
        let row = eye_row(self.zones)?;
        let may_be_skin = |label: &&u8| skin::may_be_skin(self.colour(**label));
        let seen = |row: usize| {
            let beads = (EYES[0]..=EYES[1]).filter_map(|column| self.colours.get(&(row, column)));
            beads.filter(may_be_skin).count()
        };
        let is_hidden = seen(row) == 0 && seen(row + 1) >= BEGINS;
        Some(if is_hidden { row + 1 } else { row })
    }

    /// The row of the head from `first` on where two like marks, darker than the skin between them, lie as eyes do.
    fn drawn_eyes(&self, first: usize, skin: u8) -> Option<usize> {
        let end = self.zone(Zone::Head).map(|(first, rows)| first + rows)?;
        let is_dark = |label: u8| self.colour(label).l + DARKER <= self.colour(skin).l;
        // A head drawn large reaches into the row of the neck.
        (first..=end).find(|&row| {
            let [left, right] = EYES.map(|side| self.blobs.get(&(row, side)).map(|sign| sign.label));
            left == right && left.is_some_and(is_dark) && self.seen((row, 0)) == Some(skin)
        })
    }
}
