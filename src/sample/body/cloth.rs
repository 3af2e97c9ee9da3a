//! Cloth and shoes: one colour to the feet, one pair of trousers, white cloth where the plan knows a body.

use std::collections::BTreeMap;

use super::reading::{Reading, window};
use super::signs::Peg;
use super::{flat, vivid};
use crate::colour::Lab;
use crate::plan::{Zone, ZoneRows};
use crate::reference::{Area, Reference};
use crate::sample::labels::GROUND;

impl Reading<'_> {
    /// A bead that nothing beside it agrees with, amid three that agree, is a blot.
    pub fn settle_lone_beads(&mut self) {
        const AGREEING: usize = 3;
        let body =
            self.zones.spans().find(|(zone, ..)| *zone >= Zone::Torso).map_or(0, |(_, first, _)| first);
        let lone: Vec<(Peg, u8)> = self
            .colours
            .iter()
            .filter(|(peg, _)| peg.0 >= body && !self.signs.contains_key(peg))
            .filter_map(|(&(row, column), own)| {
                let beside =
                    [(row, column - 1), (row, column + 1), (row.wrapping_sub(1), column), (row + 1, column)];
                let near: Vec<u8> = beside.iter().filter_map(|peg| self.colours.get(peg).copied()).collect();
                let other =
                    near.iter().copied().find(|n| near.iter().filter(|m| *m == n).count() >= AGREEING)?;
                (!near.contains(own)).then_some(((row, column), other))
            })
            .collect();
        self.colours.extend(lone);
    }

    /// Feet are one row of one colour.
    pub fn give_feet_one_colour(&mut self) {
        let Some((_, first, _)) = self.zones.spans().find(|(zone, ..)| *zone == Zone::Feet) else { return };
        let feet = || self.colours.iter().filter(|(peg, label)| stands(peg, first) && **label != GROUND);
        let mut counts: BTreeMap<u8, usize> = BTreeMap::new();
        feet().for_each(|(_, label)| *counts.entry(*label).or_default() += 1);
        let Some((label, _)) =
            counts.into_iter().max_by_key(|(label, count)| (*count, std::cmp::Reverse(*label)))
        else {
            return;
        };
        let pegs: Vec<Peg> = feet().map(|(peg, _)| *peg).collect();
        self.colours.extend(pegs.into_iter().map(|peg| (peg, label)));
    }

    /// Of legs that walk the farther one lies in shade: both are one pair of trousers or of bare legs.
    pub fn give_legs_one_colour(&mut self) {
        /// The lesser colour has at least this part of the legs' beads; less is a patch.
        const PART: f64 = 0.15;
        let legs = self.zones.spans().find(|(zone, ..)| *zone == Zone::Legs);
        let Some((_, first, rows)) = legs else { return };
        let is_leg = |peg: &Peg| (first..first + rows).contains(&peg.0);
        let mut counts: BTreeMap<u8, usize> = BTreeMap::new();
        let beads = self.colours.iter().filter(|(peg, label)| is_leg(peg) && **label != GROUND);
        beads.for_each(|(_, label)| *counts.entry(*label).or_default() += 1);
        let all = counts.values().sum::<usize>() as f64;
        let mut order: Vec<(u8, usize)> = counts.into_iter().collect();
        order.sort_by_key(|&(label, count)| (std::cmp::Reverse(count), label));
        let [(main, _), (other, count), ..] = order[..] else { return };
        let colour = |label: u8| self.labels.clusters[usize::from(label) - 1].colour;
        // A bare leg under a skirt is none of it.
        let skins = self.skins();
        if skins.contains(&main) != skins.contains(&other) {
            return;
        }
        if (count as f64) < PART * all || !flat::is_shade(colour(main), colour(other)) {
            return;
        }
        let shaded = self.colours.iter_mut().filter(|(peg, label)| is_leg(peg) && **label == other);
        shaded.for_each(|(_, label)| *label = main);
    }

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
        let label = self.add_colour(vivid::leather(colour), shoes.len());
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
