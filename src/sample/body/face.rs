//! A face stays a face: eyes and a mouth drawn far smaller than a bead become beads.

use super::columns::Stretch;
use super::reading::Reading;
use super::signs::{CLEARLY, Peg, Sign};
use super::silhouette::Span;
use super::{aim, glasses, skin};
use crate::colour::{Lab, ciede2000};
use crate::plan::{Zone, ZoneRows};
use crate::reference::Reference;
use crate::sample::labels::GROUND;

/// The eyes of a face: the row they lie in and their colour. They lie to both sides of the axis, one bead
/// between them (both designs by eye of every sketch; common practice, no source).
pub(super) struct Eyes {
    pub row: usize,
    pub colour: Lab,
    /// How much speaks for them, 0 to 1.
    pub stands: f64,
}

/// A mouth: its colour, and how much speaks for it, 0 to 1.
pub(super) struct Mouth {
    pub colour: Lab,
    pub stands: f64,
}

/// Columns of the two eyes, from the axis.
pub(super) const EYES: [i32; 2] = [-1, 1];

/// Eyes are at least so much darker than the skin.
const DARKER: f64 = 15.0;

/// The row of the head, from its top, that has the eyes.
const EYE_ROW: usize = 2;

/// Finds the eyes in the row that has them: as dark as the darkest of what is drawn there. `skin` is
/// what shows about them; a face is told by it.
pub(super) fn find_eyes(
    reference: &Reference,
    row: usize,
    lines: &[f64],
    rows: &[Vec<Stretch>],
    skin: Option<Lab>,
) -> Option<Eyes> {
    /// How far above and below its row an eye may be drawn, in beads.
    const ABOUT: f64 = 0.3;
    /// The darkest pixels there, as a share of all.
    const DARKEST: f64 = 0.06;
    let skin = skin.filter(|c| is_skin(*c))?;
    let pitch = lines[row + 1] - lines[row];
    let down = Span { from: lines[row] - ABOUT * pitch, to: lines[row + 1] + ABOUT * pitch };
    let inner = rows[row].iter().filter(|s| s.column.abs() <= EYES[1]);
    let across = inner.fold(None, |span: Option<Span>, s| {
        Some(span.map_or(s.span, |all| Span { from: all.from.min(s.span.from), to: all.to.max(s.span.to) }))
    })?;
    let colours = reference.colours();
    let clamp = |v: f64, most: usize| (v.max(0.0) as usize).min(most);
    let (high, wide) = colours.dim();
    let mut seen: Vec<Lab> = (clamp(down.from, high)..clamp(down.to, high))
        .flat_map(|y| (clamp(across.from, wide)..clamp(across.to, wide)).map(move |x| (y, x)))
        .map(|place| colours[place])
        .collect();
    seen.sort_by(|a, b| a.l.total_cmp(&b.l));
    seen.truncate(((seen.len() as f64 * DARKEST) as usize).max(1));
    // The middle of the darkest: the colour of the eye itself, not of its rim.
    let colour = *seen.get(seen.len() / 2)?;
    if colour.l + DARKER > skin.l {
        return None;
    }
    let nose = rows[row].iter().find(|s| s.column == 0)?.span.middle();
    // How much is dark to either side of the nose: a lock of hair or a patch of shade has no other like it.
    let dark = |from: f64, to: f64| {
        (clamp(down.from, high)..clamp(down.to, high))
            .flat_map(|y| (clamp(from, wide)..clamp(to, wide)).map(move |x| (y, x)))
            .filter(|p| colours[*p].l <= f64::midpoint(colour.l, skin.l))
            .count() as f64
    };
    let (left, right) = (dark(across.from, nose), dark(nose, across.to));
    let pair = left.min(right) / left.max(right).max(1.0);
    let stands = pair.sqrt() * (ciede2000(colour, skin).0 / CLEARLY).min(1.0);
    Some(Eyes { row, colour: aim::eyes(colour), stands })
}

/// A mouth in the middle of the rows below the eyes: redder than the `skin` about it.
pub(super) fn find_mouth(
    reference: &Reference,
    row: usize,
    lines: &[f64],
    rows: &[Vec<Stretch>],
    skin: Lab,
) -> Option<Mouth> {
    /// A mouth is drawn within so many rows below the eyes' own middle,
    const BELOW: (f64, f64) = (0.7, 2.6);
    /// ... to both sides of the axis, in beads,
    const BESIDE: f64 = 0.6;
    /// ... is redder than the skin by so much of a*, over at least so many beads,
    const REDDER: f64 = 9.0;
    const LEAST: f64 = 0.03;
    /// ... and darker than the skin; a blush is not.
    const DARKER: f64 = 4.0;
    let pitch = lines[row + 1] - lines[row];
    let nose = rows[row].iter().find(|s| s.column == 0)?.span;
    let at = f64::midpoint(lines[row], lines[row + 1]);
    let down = (at + BELOW.0 * pitch, (at + BELOW.1 * pitch).min(*lines.last()?));
    let wide = (BESIDE + 0.5) * nose.width();
    let colours = reference.colours();
    let clamp = |v: f64, most: usize| (v.max(0.0) as usize).min(most);
    let (high, across) = colours.dim();
    let mut lips: Vec<Lab> = (clamp(down.0, high)..clamp(down.1, high))
        .flat_map(|y| {
            (clamp(nose.middle() - wide, across)..clamp(nose.middle() + wide, across)).map(move |x| (y, x))
        })
        .map(|place| colours[place])
        .filter(|c| c.a >= skin.a + REDDER && c.l + DARKER <= skin.l)
        .collect();
    if (lips.len() as f64) < LEAST * pitch * pitch {
        return None;
    }
    // The redder half: the rest is blurred with the skin.
    lips.sort_by(|a, b| b.a.total_cmp(&a.a));
    lips.truncate(lips.len().div_ceil(2));
    let mean = |of: fn(&Lab) -> f64| lips.iter().map(of).sum::<f64>() / lips.len() as f64;
    let colour = Lab::new(mean(|c| c.l), mean(|c| c.a), mean(|c| c.b));
    Some(Mouth { colour, stands: (ciede2000(colour, skin).0 / CLEARLY).min(1.0) })
}

/// A mouth as those who design by eye give it, a deep red whatever it was drawn with: 12 of the 22 mouths designed for
/// our sketches are, 6 are a bright red.
fn deep(own: Lab) -> Lab {
    /// No lighter than this, in L*, and so much yellow to red at most.
    const LIGHTNESS: f64 = 40.0;
    const YELLOW: f64 = 0.5;
    Lab::new(own.l.min(LIGHTNESS), own.a, own.b.min(YELLOW * own.a))
}

/// The row that has the eyes.
pub(super) fn eye_row(zones: &ZoneRows) -> Option<usize> {
    let (_, first, rows) = zones.spans().find(|(zone, ..)| *zone == Zone::Head)?;
    // Below the eyes a face still has a row for its mouth.
    (rows > EYE_ROW + 1).then_some(first + EYE_ROW)
}

/// Whether a colour can be a face's: reddish and yellowish, neither black nor white.
pub(super) fn is_skin(colour: Lab) -> bool {
    /// From the darkest skin beads of the embedded tray to the fairest, with room to both sides.
    const LIGHTNESS: f64 = 20.0;
    const REDDISH: f64 = 2.0;
    const YELLOWISH: f64 = 4.0;
    colour.l > LIGHTNESS && colour.a > REDDISH && colour.b > YELLOWISH
}

impl Reading<'_> {
    pub fn take_eyes(&mut self, reference: &Reference) {
        let Some(skin) = self.skin() else { return };
        let colour = self.labels.clusters[usize::from(skin) - 1].colour;
        let Some(row) = self.face_row() else { return };
        let Some(eyes) = find_eyes(reference, row, self.lines, self.rows, Some(colour)) else {
            return;
        };
        let label = self.add_colour(eyes.colour, EYES.len());
        // Hair beside the nose in both rows: a face seen from the side shows one eye.
        let may_be_skin = |label: &u8| {
            *label == skin
                || *label != GROUND && skin::may_be_skin(self.labels.clusters[usize::from(*label) - 1].colour)
        };
        let is_face = |column: i32| {
            [eyes.row, eyes.row + 1]
                .iter()
                .any(|row| self.colours.get(&(*row, column)).is_some_and(may_be_skin))
        };
        let seen = EYES.map(is_face);
        // A hat without rows of its own covers the plan's place for the eyes: they are where they were drawn.
        let is_hidden = eye_row(self.zones) != Some(row);
        let drawn =
            (is_hidden || !seen.contains(&true)).then(|| self.drawn_eyes(eyes.row + 1, skin)).flatten();
        let eyes = Eyes { row: drawn.unwrap_or(eyes.row), ..eyes };
        let sides = EYES.into_iter().zip(seen).filter(|(_, is_seen)| *is_seen || !seen.contains(&true));
        let sides: Vec<i32> = sides.map(|(column, _)| column).collect();
        for column in sides {
            self.set((eyes.row, column), Sign { label, stands: eyes.stands });
        }
        // Hair over the nose would join the eyes.
        self.colours.insert((eyes.row, 0), skin);
        self.clear_second_eyes(eyes.row, skin);
        self.take_glasses(reference, eyes.row, colour);
        let Some(mouth) = find_mouth(reference, eyes.row, self.lines, self.rows, colour) else {
            return;
        };
        // A moustache leaves the mouth a row lower.
        let below =
            [eyes.row + 1, eyes.row + 2].into_iter().find(|row| self.colours.get(&(*row, 0)) == Some(&skin));
        let is_head =
            |row: usize| self.zones.spans().any(|(z, f, n)| z == Zone::Head && (f..f + n).contains(&row));
        if let Some(row) = below.filter(|row| is_head(*row)) {
            let label = self.add_colour(aim::lips(deep(mouth.colour)), 1);
            self.set((row, 0), Sign { label, stands: mouth.stands });
        }
    }

    /// The row of the face's eyes: the plan's, or the next where a hat without rows of its own hides that and skin
    /// begins below it.
    pub fn face_row(&self) -> Option<usize> {
        /// So many of the three beads about the axis are skin where a face begins.
        const BEGINS: usize = 2;
        let row = eye_row(self.zones)?;
        let may_be_skin = |label: &u8| {
            *label != GROUND && skin::may_be_skin(self.labels.clusters[usize::from(*label) - 1].colour)
        };
        let seen = |row: usize| {
            let beads = (EYES[0]..=EYES[1]).filter_map(|column| self.colours.get(&(row, column)));
            beads.filter(|label| may_be_skin(label)).count()
        };
        let is_hidden = seen(row) == 0 && seen(row + 1) >= BEGINS;
        Some(if is_hidden { row + 1 } else { row })
    }

    /// The row of the head from `first` on where two like signs, darker than the skin between them, lie as eyes do.
    fn drawn_eyes(&self, first: usize, skin: u8) -> Option<usize> {
        let end =
            self.zones.spans().find(|(zone, ..)| *zone == Zone::Head).map(|(_, first, rows)| first + rows)?;
        let lightness = |label: u8| self.labels.clusters[usize::from(label) - 1].colour.l;
        // A head drawn large reaches into the row of the neck.
        (first..=end).find(|&row| {
            let [left, right] = EYES.map(|side| self.colours.get(&(row, side)).copied());
            let are_signs = EYES.iter().all(|side| self.signs.contains_key(&(row, *side)));
            let is_dark = |label: u8| label != GROUND && lightness(label) + DARKER <= lightness(skin);
            are_signs
                && left == right
                && left.is_some_and(is_dark)
                && self.colours.get(&(row, 0)) == Some(&skin)
        })
    }

    /// Eyes and brows drawn a row off the plan's were set as signs where they lie; a face has its eyes once. What goes
    /// on over the nose is a moustache, not they.
    fn clear_second_eyes(&mut self, row: usize, skin: u8) {
        let lightness = |label: u8| self.labels.clusters[usize::from(label) - 1].colour.l;
        let is_second = |peg: &Peg| {
            let label = self.colours.get(peg).copied().filter(|label| *label != GROUND);
            self.signs.contains_key(peg)
                && label != self.colours.get(&(peg.0, 0)).copied()
                && label.is_some_and(|label| lightness(label) + DARKER <= lightness(skin))
        };
        let about = [row.wrapping_sub(1), row + 1].into_iter().flat_map(|row| EYES.map(|side| (row, side)));
        let second: Vec<Peg> = about.filter(is_second).collect();
        for peg in second {
            self.signs.remove(&peg);
            self.turn(peg, skin);
        }
    }

    /// Lenses instead of eyes, and the frame's bridge between them.
    pub fn take_glasses(&mut self, reference: &Reference, row: usize, skin: Lab) {
        let beads = [EYES[0], 0, EYES[1]].map(|column| self.stretch((row, column)));
        let [Some(left), Some(nose), Some(right)] = beads else { return };
        let (above, below) = (self.lines[row], self.lines[row + 1]);
        let face = glasses::Face {
            colours: reference.colours(),
            skin,
            down: Span { from: above, to: below },
            across: Span { from: left.span.from, to: right.span.to },
            nose: nose.span.middle(),
            pitch: below - above,
        };
        let Some(found) = glasses::find(&face) else { return };
        let lens = self.add_colour(glasses::LENS, EYES.len());
        for column in EYES {
            self.set((row, column), Sign { label: lens, stands: found.alike });
        }
        let frame = self.add_colour(found.frame, 1);
        self.set((row, 0), Sign { label: frame, stands: found.alike });
    }
}
