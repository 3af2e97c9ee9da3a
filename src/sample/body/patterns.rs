//! Patterns of cloth: stripes whole, checks and spots thinned to what still reads.

use std::f64::consts::PI;

use ndarray::{Array2, s};

use super::face;
use super::reading::{Reading, window};
use super::signs::{CLEARLY, Drawn, Peg, Sign};
use super::spots::{self, Spots};
use super::stripes::{self, Pattern, Seen};
use super::turns::{Cloth, Turns};
use crate::colour::{Lab, ciede2000};
use crate::plan::Zone;
use crate::reference::Reference;
use crate::sample::labels::GROUND;

/// In so many directions turns are looked for, from across to down and back.
const ANGLES: u32 = 12;

/// A colour of the drawing within so much (CIEDE2000) of a pattern's is the same.
const SAME: f64 = 8.0;

impl Reading<'_> {
    /// Sets stripes, checks and spots.
    pub fn take_patterns(&mut self, reference: &Reference, pitch: f64) {
        let cloth = Cloth { colours: reference.colours(), is_cloth: self.cloth(), pitch };
        let area = |peg: Peg| {
            let stretch = self.stretch(peg).filter(|_| self.colours.contains_key(&peg))?;
            self.may_be_cloth(peg.0, stretch.core).then(|| window(self.lines, peg.0, stretch))
        };
        for pattern in stripes::find(&self.turns(&cloth), &cloth, area) {
            self.take_stripes(&pattern);
        }
        let found = spots::find(&cloth, self.labels.stroked, |y, x| self.spotted_at(y, x, pitch));
        for spots in found {
            self.take_spots(&spots);
        }
    }

    fn take_stripes(&mut self, pattern: &Pattern) {
        let [greater, lesser] = pattern.colours.map(|colour| self.label_of(colour, pattern.beads.len()));
        let (beads, fit) = pattern.lesser();
        let count = pattern.beads.len() as f64;
        let stands = (pattern.differ / CLEARLY).min(1.0) * count / (count + 1.0) * fit;
        for &peg in pattern.beads.keys() {
            let label = if beads.contains(&peg) { lesser } else { greater };
            self.set(peg, Sign { label, stands });
        }
    }

    fn take_spots(&mut self, spots: &Spots) {
        let label = self.label_of(spots.colour, spots.pegs.len());
        for &peg in &spots.pegs {
            self.set(peg, Sign { label, stands: spots.stands });
        }
    }

    /// The bead at a place, if it may have spots: cloth that no other pattern or sign has taken, a scarf above the eyes
    /// too.
    fn spotted_at(&self, y: f64, x: f64, pitch: f64) -> Option<Peg> {
        let drawn = Drawn { lines: self.lines, rows: self.rows, colours: &self.colours, pitch };
        let peg = drawn.peg_at(y, x)?;
        let label = *self.colours.get(&peg)?;
        let core = self.stretch(peg)?.core;
        let is_scarf =
            || face::eye_row(self.zones).is_some_and(|eyes| peg.0 < eyes) && self.skin() != Some(label);
        (!self.signs.contains_key(&peg) && (self.may_be_cloth(peg.0, core) || is_scarf())).then_some(peg)
    }

    /// The drawing's own label of a colour; a new one where it has none. A face's label may turn to skin's colour.
    fn label_of(&mut self, colour: Lab, beads: usize) -> u8 {
        let far = |label: &u8| ciede2000(self.labels.clusters[usize::from(*label) - 1].colour, colour).0;
        let skin = self.skin();
        let own = self.colours.values().copied().filter(|label| *label != GROUND && Some(*label) != skin);
        let nearest = own.min_by(|a, b| far(a).total_cmp(&far(b)));
        nearest.filter(|label| far(label) <= SAME).unwrap_or_else(|| self.add_colour(colour, beads))
    }

    /// Where the body is: what is drawn, and what the plan has whatever its colour.
    fn cloth(&self) -> Array2<bool> {
        let mut cloth = self.labels.plane.map(|label| *label != GROUND);
        let (rows, columns) = cloth.dim();
        let clamp = |v: f64, most: usize| (v.max(0.0) as usize).min(most);
        for (row, stretches) in self.rows.iter().enumerate() {
            for stretch in stretches.iter().filter(|s| s.core && self.colours.contains_key(&(row, s.column)))
            {
                let area = window(self.lines, row, *stretch);
                let down = clamp(area.y, rows)..clamp(area.y + area.height, rows);
                let across = clamp(area.x, columns)..clamp(area.x + area.width, columns);
                cloth.slice_mut(s![down, across]).fill(true);
            }
        }
        cloth
    }

    /// The turns that colours take about each bead that may be cloth.
    fn turns(&self, cloth: &Cloth) -> Seen {
        let mut seen = Seen::new();
        for &(row, column) in self.colours.keys() {
            let Some(stretch) = self.stretch((row, column)).filter(|s| self.may_be_cloth(row, s.core)) else {
                continue;
            };
            let middle = (f64::midpoint(self.lines[row], self.lines[row + 1]), stretch.span.middle());
            let angles = (0..ANGLES).map(|k| PI * f64::from(k) / f64::from(ANGLES));
            let mut turns: Vec<Turns> =
                angles.filter_map(|angle| Turns::about(cloth, middle, angle)).collect();
            turns.sort_by(|a, b| b.clarity().total_cmp(&a.clarity()));
            if !turns.is_empty() {
                seen.insert((row, column), turns);
            }
        }
        seen
    }

    /// Not a face and its hair, nor shoes; beside a head an arm may be raised.
    fn may_be_cloth(&self, row: usize, is_core: bool) -> bool {
        let zone = self.zones.spans().find(|(_, first, rows)| row < first + rows).map(|(zone, ..)| zone);
        match zone {
            Some(Zone::Headwear | Zone::Torso | Zone::Legs) => true,
            Some(Zone::Head | Zone::Neck) => !is_core,
            Some(Zone::Feet) | None => false,
        }
    }
}
