//! A face stays a face: eyes and a mouth drawn far smaller than a bead become beads.

use super::columns::centred;
use super::detect::{Asked, Claim, Detector, Rank};
use super::scene::{Peg, Scene};
use super::signs::CLEARLY;
use super::silhouette::Span;
use super::{aim, skin};
use crate::colour::{Lab, ciede2000};
use crate::plan::{Zone, ZoneRows};

/// Two eyes.
pub(super) const EYES_DETECTOR: Detector = Detector {
    name: "eyes",
    what: "What is darkest in the row of a face that has the eyes, as a bead to each side of the nose.",
    why: "A face without eyes is none, and they fill no window.",
    source: "Both designs by eye of every sketch; common practice, no source.",
    example: "Two dots of a pen.",
    limits: "At least 15 L* darker than the skin; of a face seen from the side one eye, where hair lies beside the nose.",
    find: find_eyes,
};

/// A mouth.
pub(super) const MOUTH_DETECTOR: Detector = Detector {
    name: "mouth",
    what: "What is redder than the skin below the eyes, as a bead on the axis.",
    why: "It gives a face its look.",
    source: "Both designs by eye of our sketches: 22 of them have a mouth, 12 a deep red one.",
    example: "A smile in red pencil.",
    limits: "Within 0.7 to 2.6 rows below the eyes and 0.6 beads of the axis, a* higher by 9 over 0.03 beads at least.",
    find: find_mouth,
};

/// Columns of the two eyes, from the axis.
const EYES: [i32; 2] = [-1, 1];

/// Eyes are at least so much darker than the skin.
const DARKER: f64 = 15.0;

/// The row of the head, from its top, that has the eyes.
const EYE_ROW: usize = 2;

/// A face and where its eyes lie.
struct Face {
    row: usize,
    /// The face's label.
    skin: u8,
    /// Columns in which one shows. They lie to both sides of the axis, one bead between them (both designs by eye of
    /// every sketch; common practice, no source).
    sides: Vec<i32>,
    /// How much speaks for them, 0 to 1.
    stands: f64,
}

/// The face of a scene, where eyes are seen.
fn face_of(scene: &Scene) -> Option<Face> {
    let (skin, row) = (scene.skin()?, scene.face_row()?);
    let stands = darkest(scene, row, scene.colour(skin))?;
    // Hair beside the nose in both rows: a face seen from the side shows one eye.
    let may_be_skin = |label: u8| label == skin || skin::SKIN.hold(scene.colour(label));
    let is_face = |column: i32| {
        let seen = |row: usize| scene.seen((row, column)).is_some_and(may_be_skin);
        seen(row) || seen(row + 1)
    };
    let seen = EYES.map(is_face);
    let sides = EYES.into_iter().zip(seen).filter(|(_, is_seen)| *is_seen || !seen.contains(&true));
    let sides = sides.map(|(column, _)| column).collect();
    Some(Face { row, skin, sides, stands })
}

fn find_eyes(scene: &Scene) -> Vec<Claim> {
    let Some(Face { row, skin, sides, stands }) = face_of(scene) else { return Vec::new() };
    let pegs = sides.into_iter().map(|column| (row, column)).collect();
    let claim = |pegs, asked, rank| Claim { pegs, asked, rank, stands };
    vec![
        claim(pegs, Asked::Known(aim::EYES), Rank::Eyes),
        // Hair over the nose would join the eyes.
        claim(vec![(row, 0)], Asked::Label(skin), Rank::AroundEyes),
        claim(scene.second_eyes(row, skin), Asked::Label(skin), Rank::AroundEyes),
    ]
}

/// How much speaks for eyes in the row that has them, 0 to 1, where the darkest of what is drawn there is dark enough.
/// `skin` is what shows about them; a face is told by it.
fn darkest(scene: &Scene, row: usize, skin: Lab) -> Option<f64> {
    /// How far above and below its row an eye may be drawn, in beads.
    const ABOUT: f64 = 0.3;
    /// The darkest pixels there, as a share of all: an eye may be a dot of the pen.
    const DARKEST: f64 = 0.03;
    if !is_skin(skin) {
        return None;
    }
    let (lines, rows) = (scene.lines, scene.rows);
    let pitch = lines[row + 1] - lines[row];
    let down = Span { from: lines[row] - ABOUT * pitch, to: lines[row + 1] + ABOUT * pitch };
    let inner = rows[row].iter().filter(|s| s.column.abs() <= EYES[1]);
    let across = inner.map(|s| s.span).reduce(Span::with)?;
    let mut seen: Vec<Lab> = scene.drawn(down, across).collect();
    seen.sort_by(|a, b| a.l.total_cmp(&b.l));
    seen.truncate(((seen.len() as f64 * DARKEST) as usize).max(1));
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
    // A moustache leaves the mouth a row lower.
    let is_skin = |row: &usize| scene.colours.get(&(*row, 0)) == Some(&skin);
    let is_head = |row: &usize| *row < scene.zones.rows_of(Zone::Head).end;
    let below = [row + 1, row + 2].into_iter().find(is_skin).filter(is_head);
    let (Some(below), Some(lips)) = (below, lips_below(scene, row, own)) else { return Vec::new() };
    let asked = Asked::Known(aim::LIPS);
    let stands = (ciede2000(lips, own).0 / CLEARLY).min(1.0);
    vec![Claim { pegs: vec![(below, 0)], asked, rank: Rank::Mouth, stands }]
}

/// The colour of a mouth in the middle of the rows below the eyes: redder than the `skin` about it.
fn lips_below(scene: &Scene, row: usize, skin: Lab) -> Option<Lab> {
    /// A mouth is drawn within so many rows below the eyes' own middle,
    const BELOW: (f64, f64) = (0.7, 2.6);
    /// ... to both sides of the axis, in beads,
    const BESIDE: f64 = 0.6;
    /// ... is redder than the skin by so much of a*, over at least so many beads,
    const REDDER: f64 = 9.0;
    const LEAST: f64 = 0.03;
    /// ... and darker than the skin; a blush is not.
    const DARKER: f64 = 4.0;
    let lines = scene.lines;
    let pitch = lines[row + 1] - lines[row];
    let nose = scene.rows[row].iter().find(|s| s.column == 0)?.span;
    let at = f64::midpoint(lines[row], lines[row + 1]);
    let down = Span { from: at + BELOW.0 * pitch, to: (at + BELOW.1 * pitch).min(*lines.last()?) };
    let across = centred(nose.middle(), 2.0 * (BESIDE + 0.5) * nose.width());
    let is_lip = |c: &Lab| c.a >= skin.a + REDDER && c.l + DARKER <= skin.l;
    let mut lips: Vec<Lab> = scene.drawn(down, across).filter(is_lip).collect();
    if (lips.len() as f64) < LEAST * pitch * pitch {
        return None;
    }
    // The redder half: the rest is blurred with the skin.
    lips.sort_by(|a, b| b.a.total_cmp(&a.a));
    lips.truncate(lips.len().div_ceil(2));
    Lab::mean(lips.into_iter().map(|colour| (colour, 1.0)))
}

/// The row that has the eyes.
pub(super) fn eye_row(zones: &ZoneRows) -> Option<usize> {
    let head = zones.rows_of(Zone::Head);
    // Below the eyes a face still has a row for its mouth.
    (head.len() > EYE_ROW + 1).then_some(head.start + EYE_ROW)
}

/// Whether a colour can be a face's: reddish and yellowish, neither black nor white.
pub(super) fn is_skin(colour: Lab) -> bool {
    /// From the darkest skin beads of the embedded tray to the fairest, with room to both sides.
    const LIGHTNESS: f64 = 20.0;
    const REDDISH: f64 = 2.0;
    const YELLOWISH: f64 = 4.0;
    colour.l > LIGHTNESS && colour.a > REDDISH && colour.b > YELLOWISH
}

impl Scene<'_> {
    /// The row of the face's eyes: the plan's, or the next where a hat without rows of its own hides that and skin
    /// begins below it.
    pub fn face_row(&self) -> Option<usize> {
        /// So many of the three beads about the axis are skin where a face begins.
        const BEGINS: usize = 2;
        let row = eye_row(self.zones)?;
        let may_be_skin = |label: &&u8| skin::SKIN.hold(self.colour(**label));
        let seen = |row: usize| {
            let beads = (EYES[0]..=EYES[1]).filter_map(|column| self.colours.get(&(row, column)));
            beads.filter(may_be_skin).count()
        };
        let is_hidden = seen(row) == 0 && seen(row + 1) >= BEGINS;
        Some(if is_hidden { row + 1 } else { row })
    }

    /// Eyes and brows drawn a row off the plan's lie as marks of their own; a face has its eyes once. What goes on over
    /// the nose is a moustache, not they.
    fn second_eyes(&self, row: usize, skin: u8) -> Vec<Peg> {
        let is_dark = |label: u8| self.colour(label).l + DARKER <= self.colour(skin).l;
        let is_second = |peg: &Peg| {
            let label = self.blobs.get(peg).map(|sign| sign.label);
            label.is_some_and(is_dark) && label != self.seen((peg.0, 0))
        };
        let about = [row.wrapping_sub(1), row + 1].into_iter().flat_map(|row| EYES.map(|side| (row, side)));
        about.filter(is_second).collect()
    }
}
