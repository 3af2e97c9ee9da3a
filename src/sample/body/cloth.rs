//! Cloth and shoes: one colour to the feet, one pair of trousers, white cloth where the plan knows a body.


use super::aim;
use super::reading::{Reading, window};
use super::signs::Peg;
use crate::colour::Lab;
use crate::plan::{Zone, ZoneRows};
use crate::reference::{Area, Reference};
use crate::sample::labels::GROUND;

impl Reading<'_> {
    /// Shoes are one dark row, whatever light falls on them (both designs by eye of every sketch); bare feet, white
    /// and colourful ones stay.
    pub fn take_dark_shoes(&mut self, skin: Option<u8>) {
        /// What is lighter or more colourful stays.
        const LIGHTNESS: f64 = 60.0;
        const CHROMA: f64 = 48.0;
        let Some((_, first, _)) = self.zones.spans().find(|(zone, ..)| *zone == Zone::Feet) else { return };
        let feet = || self.colours.iter().filter(|(peg, label)| stands(peg, first) && **label != GROUND);
        let Some(own) = feet().map(|(_, label)| *label).next().filter(|label| Some(*label) != skin) else {
            return;
        };
        let colour = self.labels.clusters[usize::from(own) - 1].colour;
        if colour.l > LIGHTNESS || colour.a.hypot(colour.b) > CHROMA {
            return;
        }
        let shoes: Vec<Peg> = feet().filter(|(_, label)| **label == own).map(|(peg, _)| *peg).collect();
        let label = self.add_colour(aim::leather(colour), shoes.len());
        for peg in shoes {
            self.turn(peg, label);
        }
    }

    /// Cloth as pale as the ground takes the colour its windows have.
    pub fn take_pale_cloth(&mut self, reference: &Reference) {
        let pale: Vec<Peg> =
            self.colours.iter().filter(|(_, l)| **l == GROUND).map(|(peg, _)| *peg).collect();
        let colours = reference.colours();
        let mut sum = ([0.0; 3], 0.0);
        for peg in &pale {
            let Some(stretch) = self.stretch(*peg) else { continue };
            let Area { x, y, width, height } = window(self.lines, peg.0, stretch);
            let middle = ((y + height / 2.0).max(0.0) as usize, (x + width / 2.0).max(0.0) as usize);
            if let Some(c) = colours.get(middle) {
                sum = ([sum.0[0] + c.l, sum.0[1] + c.a, sum.0[2] + c.b], sum.1 + 1.0);
            }
        }
        if sum.1 > 0.0 {
            let [l, a, b] = sum.0.map(|v| v / sum.1);
            let label = self.add_colour(Lab::new(l, a, b), pale.len());
            self.colours.extend(pale.into_iter().map(|peg| (peg, label)));
        }
    }
}

/// Whether a bead of the row of feet is a foot's; what stands farther out is a pole.
fn stands(peg: &Peg, feet: usize) -> bool {
    const FARTHEST: i32 = 4;
    peg.0 >= feet && peg.1.abs() <= FARTHEST
}

/// Whether what is as pale as the ground is cloth there: in the trunk, and below it where no legs part.
pub(super) fn is_closed(zones: &ZoneRows, row: usize, legs_seen: bool) -> bool {
    let zone = zones.spans().find(|(_, first, rows)| row < first + rows).map(|(zone, ..)| zone);
    match zone {
        Some(Zone::Torso) => true,
        Some(Zone::Legs) => !legs_seen,
        _ => false,
    }
}
