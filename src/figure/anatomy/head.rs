//! Head, hair and hat.

use std::collections::BTreeSet;

use super::field::{Cell, Cells, Field, Told};
use crate::figure::Mark;
use crate::plan::BodyPart;

/// This far from the axis a brim or a braid may reach, in half pegs.
const BRIM: i32 = 11;

/// A hat of this many beads in a row is none: it is held over the head.
const CANOPY: usize = 12;

/// This far from the axis the head's own beads lie, in half pegs; a brim goes on with their marks.
const HEAD: i32 = 6;

/// What reaches farther than this beside the face lies behind it.
const BEHIND: i32 = 9;

/// What was found of a head before its beads are told apart.
struct HeadSigns {
    /// The first row in which the face shows.
    face: usize,
    /// The row of the eyes.
    eyes: usize,
    /// Eyes, glasses, mouth.
    facial: Cells,
    /// All beads of it.
    beads: Cells,
    hair: BTreeSet<Mark>,
    hat: BTreeSet<Mark>,
    /// Materials of the hat that are tied below the chin.
    tied: BTreeSet<Mark>,
}

impl Field {
    pub(super) fn read_head(&self, told: &mut Told) {
        let face = self.face_row();
        let facial = self.facial(face);
        let behind = self.behind(face);
        let beads = self.head_beads(face, &facial, &behind);
        let first = facial.iter().map(|(row, _)| *row).min().unwrap_or(face + 1);
        let eyes = first.min(self.bands.neck.saturating_sub(1));
        let mut seen = HeadSigns {
            face,
            eyes,
            facial,
            beads,
            hair: BTreeSet::new(),
            hat: BTreeSet::new(),
            tied: BTreeSet::new(),
        };
        self.tell_hair_from_hat(&mut seen, &behind);
        for &spot in &seen.beads {
            told[spot.0][spot.1] = Some(self.head_part(spot, &seen));
        }
        self.held_before_face(&seen, told);
        self.hanging_hair(&seen, told);
    }

    /// The first row in which skin shows in the face; without skin, where a guide's would.
    fn face_row(&self) -> usize {
        let bands = &self.bands;
        let shows =
            |row: &usize| self.within(*row..row + 1).any(|spot| self.is_skin(spot) && self.off(spot.1) <= 4);
        (bands.head..bands.neck).find(shows).unwrap_or(bands.head + (bands.neck - bands.head).min(2))
    }

    /// Beads of the face that are no skin: what lies between skin, what alternates (eyes and lenses), and a pair that
    /// the face has once.
    fn facial(&self, face: usize) -> Cells {
        let above = self.marks_where(0..face, |spot| self.off(spot.1) <= 4);
        let mut facial = Cells::new();
        for row in face..self.bands.torso.min(self.rows) {
            let skin: Vec<usize> =
                (0..self.columns).filter(|c| self.off(*c) <= HEAD && self.is_skin((row, *c))).collect();
            let mut marks = BTreeSet::new();
            if let (Some(first), Some(last)) = (skin.first(), skin.last()) {
                marks.extend((*first..=*last).filter_map(|c| self.mark((row, c))));
            }
            for first in 0..self.columns.saturating_sub(2) {
                let [one, two, three] = [0, 1, 2].map(|by| self.mark((row, first + by)));
                let inside = self.off(first) <= 7 && self.off(first + 2) <= 7;
                let (Some(outer), Some(inner)) = (one, two) else { continue };
                // Hair parted over one bead of skin is no pair of eyes.
                let is_fringe = two == self.skin && above.contains(&outer);
                if inside && one == three && one != two && !is_fringe {
                    marks.extend([outer, inner]);
                }
            }
            if row < self.bands.neck {
                marks.extend(self.pairs(row, face));
            }
            let own = self.beads(row..row + 1).filter(|((_, column), mark)| {
                self.off(*column) <= 5 && Some(*mark) != self.skin && marks.contains(mark)
            });
            facial.extend(own.map(|(spot, _)| spot));
        }
        facial
    }

    /// Marks that a face has just twice, in one row, with skin between.
    fn pairs(&self, row: usize, face: usize) -> Vec<Mark> {
        let inner = |column: usize| self.off(column) <= 4;
        let marks = self.marks_where(row..row + 1, |spot| inner(spot.1) && !self.is_skin(spot));
        let is_pair = |mark: &Mark| {
            let own: Vec<usize> =
                (0..self.columns).filter(|c| inner(*c) && self.mark((row, *c)) == Some(*mark)).collect();
            let elsewhere = self
                .beads(face..self.bands.torso)
                .any(|(spot, other)| spot.0 != row && other == *mark && self.off(spot.1) <= 8);
            matches!(own[..], [first, last] if (first + 1..last).all(|c| self.is_skin((row, c))))
                && !elsewhere
        };
        marks.into_iter().filter(is_pair).collect()
    }

    /// Beads of things that lie behind the head: of one mark, joined, and reaching far beside the face.
    fn behind(&self, face: usize) -> Cells {
        let torso = self.bands.torso;
        let mut behind = Cells::new();
        for (spot, mark) in self.beads(face..torso) {
            if self.off(spot.1) > BEHIND && Some(mark) != self.skin && !behind.contains(&spot) {
                behind.extend(self.reached([spot], |next| next.0 < torso && self.mark(next) == Some(mark)));
            }
        }
        behind
    }

    /// All beads of the head, its hair and its hat, down to the neck.
    fn head_beads(&self, face: usize, facial: &Cells, behind: &Cells) -> Cells {
        let torso = self.bands.torso;
        let own = self.marks_where(0..torso, |spot| self.off(spot.1) <= 4);
        let runs_on = |(row, mut column): Cell| {
            let mark = self.mark((row, column));
            while self.off(column) > 5 {
                column = if 2 * column as i32 > self.axis { column - 1 } else { column + 1 };
                if self.mark((row, column)) != mark {
                    return false;
                }
            }
            true
        };
        let seeds = self.beads(self.bands.head..torso).filter(|(spot, _)| self.off(spot.1) <= 4);
        let seeds: Vec<Cell> = seeds.map(|(spot, _)| spot).collect();
        let mut beads = self.reached(seeds, |spot| {
            let off = self.off(spot.1);
            let lies_behind = behind.contains(&spot) && off > 5 && !(spot.0 < face && runs_on(spot));
            let own_mark = off <= HEAD || self.mark(spot).is_some_and(|mark| own.contains(&mark));
            spot.0 < torso && off <= BRIM && own_mark && !lies_behind
        });
        if let Some(lowest) = (0..face).rev().find(|row| self.is_canopy(*row)) {
            let marks: BTreeSet<Mark> = (0..face)
                .filter(|row| self.is_canopy(*row))
                .flat_map(|row| self.marks_where(row..row + 1, |_| true))
                .collect();
            beads.retain(|spot| {
                let its = self.mark(*spot).is_some_and(|mark| marks.contains(&mark));
                spot.0 > lowest && !(its && spot.0 < face && !self.is_skin(*spot))
            });
        }
        // Skin that does not belong to the face is a raised hand's.
        let faces = self
            .beads(self.bands.head..torso)
            .filter(|(spot, _)| self.is_skin(*spot) && self.off(spot.1) <= 4);
        let faces: Vec<Cell> = faces.map(|(spot, _)| spot).collect();
        let faces =
            self.joined(faces, |spot| spot.0 < torso && (self.is_skin(spot) || facial.contains(&spot)));
        beads.retain(|spot| !self.is_skin(*spot) || faces.contains(spot));
        beads
    }

    /// Whether a row above the face is wider than any hat.
    fn is_canopy(&self, row: usize) -> bool {
        let own = self.marks_where(row..row + 1, |spot| self.off(spot.1) <= 4);
        let mut run = 0;
        (0..self.columns).any(|column| {
            run = if self.mark((row, column)).is_some_and(|mark| own.contains(&mark)) { run + 1 } else { 0 };
            run >= CANOPY
        })
    }

    /// Which materials of the head are hair, and which a hat.
    fn tell_hair_from_hat(&self, seen: &mut HeadSigns, behind: &Cells) {
        seen.hair = self.beside_face(seen, behind);
        let on_top: BTreeSet<Mark> = seen
            .beads
            .iter()
            .filter(|spot| spot.0 < seen.face && !self.is_skin(**spot))
            .filter_map(|spot| self.mark(*spot))
            .collect();
        let count = |row: usize| seen.beads.iter().filter(|spot| spot.0 == row).count();
        let face_width = (seen.face..self.bands.neck).map(count).max().unwrap_or(5);
        let has_brim = (0..seen.face).any(|row| count(row) >= face_width + 2);
        // One material on top and none beside the face: short hair, unless it has a brim or rows of its own.
        if seen.hair.is_empty() && !has_brim && self.bands.head == 0 && on_top.len() == 1 {
            seen.hair = on_top.clone();
        }
        seen.hat = on_top.difference(&seen.hair).copied().collect();
        let tied: Vec<Mark> =
            seen.hair.intersection(&on_top).copied().filter(|mark| self.is_tied(*mark)).collect();
        for mark in tied {
            seen.hair.remove(&mark);
            seen.hat.insert(mark);
            seen.tied.insert(mark);
        }
        // A ribbon in the hair, or light on it, is no hat: a hat is a band across.
        let is_band = |row: usize| {
            let own: Vec<&Cell> = seen.beads.iter().filter(|spot| spot.0 == row).collect();
            let hat =
                own.iter().filter(|spot| self.mark(***spot).is_some_and(|mark| seen.hat.contains(&mark)));
            !own.is_empty() && hat.count() * 5 >= own.len() * 3
        };
        if !seen.hair.is_disjoint(&on_top) && !(0..seen.face).any(is_band) {
            let hat = std::mem::take(&mut seen.hat);
            seen.hair.extend(hat);
        }
    }

    /// Materials beside the face, from its first row to the eyes.
    fn beside_face(&self, seen: &HeadSigns, behind: &Cells) -> BTreeSet<Mark> {
        let mut hair = BTreeSet::new();
        for row in seen.face..(seen.eyes + 1).min(self.bands.neck) {
            let own = || seen.beads.iter().filter(|spot| spot.0 == row).copied();
            let face: Vec<usize> =
                own().filter(|spot| self.is_skin(*spot) || seen.facial.contains(spot)).map(|s| s.1).collect();
            let (first, last) = (face.iter().min(), face.iter().max());
            let outside =
                |column: usize| first.is_none_or(|f| column < *f) || last.is_none_or(|l| column > *l);
            hair.extend(
                own()
                    .filter(|spot| {
                        !self.is_skin(*spot) && !seen.facial.contains(spot) && !behind.contains(spot)
                    })
                    .filter(|spot| (3..=7).contains(&self.off(spot.1)) && outside(spot.1))
                    .filter_map(|spot| self.mark(spot)),
            );
        }
        hair
    }

    /// Whether a material about the face is cloth: a scarf tied under the chin, or a hood of the garment's.
    fn is_tied(&self, mark: Mark) -> bool {
        let bands = &self.bands;
        let has = |row: usize, within: i32| {
            (0..self.columns).any(|c| self.off(c) <= within && self.mark((row, c)) == Some(mark))
        };
        let is_neck = bands.neck < bands.torso && bands.neck > 0;
        let tied = is_neck && (bands.neck..bands.torso).all(|row| has(row, 1)) && !has(bands.neck - 1, 1);
        let torso: Vec<Mark> = self
            .beads(bands.torso..bands.legs)
            .filter(|(spot, _)| self.is_body(spot.1))
            .map(|(_, mark)| mark)
            .collect();
        /// Fewer beads are no garment.
        const GARMENT: usize = 6;
        let own = torso.iter().filter(|other| **other == mark).count();
        let hood =
            own >= GARMENT && own * 2 > torso.len() && (bands.neck..bands.torso).all(|row| has(row, 2));
        tied || hood
    }

    fn head_part(&self, spot: Cell, seen: &HeadSigns) -> BodyPart {
        let Some(mark) = self.mark(spot) else { return BodyPart::Head };
        let (hat, hair) = (seen.hat.contains(&mark), seen.hair.contains(&mark));
        if Some(mark) == self.skin {
            return BodyPart::Head;
        }
        if spot.0 < seen.face {
            return if hat { BodyPart::Hat } else { BodyPart::Hair };
        }
        if seen.facial.contains(&spot) {
            return BodyPart::Head;
        }
        // Below the eyes, what reaches the middle is a beard or a scarf.
        let in_middle = (0..self.columns).any(|c| self.off(c) <= 1 && self.mark((spot.0, c)) == Some(mark));
        match () {
            () if hat && (!in_middle || seen.tied.contains(&mark)) => BodyPart::Hat,
            () if hair && (spot.0 <= seen.eyes || !in_middle) => BodyPart::Hair,
            () => BodyPart::Head,
        }
    }

    /// A thing before the face that reaches far beside it, such as a flute, is held.
    fn held_before_face(&self, seen: &HeadSigns, told: &mut Told) {
        let torso = self.bands.torso;
        for (spot, mark) in self.beads(seen.face..torso) {
            let own = Some(mark) == self.skin || seen.hair.contains(&mark) || seen.hat.contains(&mark);
            if own || self.off(spot.1) <= BEHIND {
                continue;
            }
            let thing = self
                .joined([spot], |next| (seen.face..torso).contains(&next.0) && self.mark(next) == Some(mark));
            if thing.iter().any(|spot| self.off(spot.1) <= 5) {
                thing.iter().for_each(|spot| told[spot.0][spot.1] = Some(BodyPart::Props));
            }
        }
    }

    /// Hair that hangs over the shoulders; a material of which more lies below the neck is a garment's.
    fn hanging_hair(&self, seen: &HeadSigns, told: &mut Told) {
        let torso = self.bands.torso;
        let count =
            |rows: std::ops::Range<usize>, mark: Mark| self.beads(rows).filter(|b| b.1 == mark).count();
        let hangs = |mark: &Mark| count(torso..self.rows, *mark) <= count(0..torso, *mark);
        let lowest = torso + (self.bands.legs - torso).div_ceil(2) + 1;
        for mark in seen.hair.iter().filter(|mark| hangs(mark)) {
            let is_hair = |spot: &Cell| told[spot.0][spot.1] == Some(BodyPart::Hair);
            let roots = self.beads(0..self.rows).filter(|(spot, own)| own == mark && is_hair(spot));
            let roots: Vec<Cell> = roots.map(|(spot, _)| spot).collect();
            let hair = self.reached(roots, |spot| {
                let off = self.off(spot.1);
                let below = (torso..lowest).contains(&spot.0) && (3..=BRIM).contains(&off);
                self.mark(spot) == Some(*mark) && told[spot.0][spot.1].is_none() && below
            });
            hair.iter().for_each(|spot| told[spot.0][spot.1] = Some(BodyPart::Hair));
        }
    }
}
