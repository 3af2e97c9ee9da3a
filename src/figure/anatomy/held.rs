//! What is held or carried.

use std::collections::BTreeSet;

use super::field::{Cell, Cells, Field, Side, Told};
use crate::figure::Mark;
use crate::plan::BodyPart;

impl Field {
    pub(super) fn read_held(&self, told: &mut Told) {
        self.one_sided(told);
        self.hanging_from_hands(told);
        self.cuffs(told);
        let arms = self.marks_where(0..self.rows, |spot| is_arm(told, spot));
        let low = (self.bands.torso + 3).min(self.bands.legs);
        let torso = self.marks_where(self.bands.torso..low, |spot| self.is_body(spot.1));
        let apart = arms.union(&torso).copied().collect();
        let hands = self.hands(told);
        self.held_before_body(told, &apart, |spot| hands.contains(&spot));
    }

    fn hands(&self, told: &Told) -> Cells {
        let skin = self.beads(0..self.rows).map(|(spot, _)| spot).filter(|spot| self.is_skin(*spot));
        skin.filter(|spot| is_arm(told, *spot)).collect()
    }

    /// A thing before the body that reaches beside it to a hand: of materials that lie nowhere else, and no higher than
    /// a few rows. `apart` are materials it is not of.
    pub(super) fn held_before_body(
        &self,
        told: &mut Told,
        apart: &BTreeSet<Mark>,
        is_hand: impl Fn(Cell) -> bool,
    ) {
        /// A higher one is a garment.
        const HIGHEST: usize = 6;
        let bands = &self.bands;
        let first = bands.torso + 1;
        let mut met = Cells::new();
        for start in self.within(first..bands.legs + 2) {
            let fits = |spot: Cell| {
                let other = self.mark(spot).is_some_and(|mark| !apart.contains(&mark));
                other && !self.is_skin(spot) && told[spot.0][spot.1].is_none()
            };
            if self.is_body(start.1) || met.contains(&start) || !fits(start) {
                continue;
            }
            let thing = self.joined([start], |next| next.0 >= first && fits(next));
            met.extend(&thing);
            let (Some(top), Some(last)) = (thing.first(), thing.last()) else { continue };
            let rows = top.0..last.0 + 1;
            let marks: BTreeSet<Mark> = thing.iter().filter_map(|spot| self.mark(*spot)).collect();
            let elsewhere =
                self.beads(0..self.rows).any(|(spot, mark)| marks.contains(&mark) && !rows.contains(&spot.0));
            let before = thing.iter().filter(|spot| self.is_body(spot.1)).count();
            let at_hand = thing.iter().any(|spot| self.about(*spot).any(&is_hand));
            if at_hand && last.0 <= bands.legs && rows.len() <= HIGHEST && before >= 2 && !elsewhere {
                thing.iter().for_each(|spot| told[spot.0][spot.1] = Some(BodyPart::Props));
            }
        }
    }

    /// Materials that lie on one side only and reach beyond the body: a bucket, a pole, a basket.
    fn one_sided(&self, told: &mut Told) {
        let bands = &self.bands;
        let mut things = Cells::new();
        for mark in self.marks_where(0..self.rows, |spot| !self.is_skin(spot)) {
            let own: Vec<Cell> = self
                .beads(bands.torso..self.rows)
                .filter(|(spot, other)| *other == mark && told[spot.0][spot.1] != Some(BodyPart::Head))
                .map(|(spot, _)| spot)
                .collect();
            let on = |side| own.iter().any(|s| self.off(s.1) > 1 && self.side(s.1) == Some(side));
            if on(Side::Left) != on(Side::Right) {
                things.extend(own.into_iter().filter(|spot| told[spot.0][spot.1].is_none()));
            }
        }
        let hands = self.hands(told);
        for thing in self.groups(things) {
            let outside = thing.iter().filter(|spot| !self.is_body(spot.1)).count();
            let is_foot = thing.iter().any(|spot| spot.0 >= bands.feet && self.is_body(spot.1));
            let reaches = thing.iter().any(|spot| self.off(spot.1) > self.half + 1);
            let at_hand = || thing.iter().any(|spot| self.about(*spot).any(|near| hands.contains(&near)));
            if outside * 3 >= thing.len() && !is_foot && reaches && (!self.lies_at_body(&thing) || at_hand())
            {
                thing.iter().for_each(|spot| told[spot.0][spot.1] = Some(BodyPart::Props));
            }
        }
    }

    /// Whether any of some beads is in a run of beads that the axis goes through.
    fn lies_at_body(&self, beads: &Cells) -> bool {
        beads.iter().any(|(row, column)| {
            self.runs(*row).into_iter().any(|(first, last)| {
                let through = 2 * first as i32 <= self.axis && self.axis <= 2 * last as i32;
                through && (first..=last).contains(column)
            })
        })
    }

    /// Things below the torso on one side, of one material, that hang from a hand.
    fn hanging_from_hands(&self, told: &mut Told) {
        let hands = self.hands(told);
        for mark in self.marks_where(0..self.rows, |spot| !self.is_skin(spot)) {
            let own: Cells = self
                .beads(self.bands.legs..self.bands.feet)
                .filter(|(spot, other)| *other == mark && told[spot.0][spot.1].is_none())
                .map(|(spot, _)| spot)
                .collect();
            for thing in self.groups(own) {
                let at_hand = thing.iter().any(|spot| self.about(*spot).any(|near| hands.contains(&near)));
                let sides: BTreeSet<bool> =
                    thing.iter().map(|spot| self.side(spot.1) == Some(Side::Left)).collect();
                let off = thing.iter().map(|spot| self.off(spot.1));
                let (nearest, farthest) = (off.clone().min().unwrap_or(0), off.max().unwrap_or(0));
                if at_hand && sides.len() == 1 && nearest >= self.half - 1 && farthest > self.half + 2 {
                    thing.iter().for_each(|spot| told[spot.0][spot.1] = Some(BodyPart::Props));
                }
            }
        }
    }

    /// A cuff lies between two beads of an arm.
    fn cuffs(&self, told: &mut Told) {
        for (row, column) in self.within(1..self.rows.saturating_sub(1)) {
            let own = matches!(told[row][column], None | Some(BodyPart::Props));
            if self.mark((row, column)).is_none() || !own || self.is_body(column) {
                continue;
            }
            let (above, below) = (told[row - 1][column], told[row + 1][column]);
            if is_arm(told, (row - 1, column)) && above == below {
                told[row][column] = above;
            }
        }
    }
}

fn is_arm(told: &Told, spot: Cell) -> bool {
    matches!(told[spot.0][spot.1], Some(BodyPart::LeftArm | BodyPart::RightArm))
}
