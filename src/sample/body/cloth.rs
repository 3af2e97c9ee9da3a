//! Cloth: where a body may have some, and what is as pale as the paper there.

use std::f64::consts::PI;

use ndarray::s;

use super::scene::Scene;
use super::stripes::Seen;
use super::turns::{Cloth, Turns};
use crate::plan::{Zone, ZoneRows};
use crate::sample::labels::GROUND;

/// In so many directions turns are looked for, from across to down and back.
const ANGLES: u32 = 12;

/// Whether what is as pale as the ground is cloth there: in the trunk, and below it where no legs part.
pub(super) fn is_closed(zones: &ZoneRows, row: usize, legs_seen: bool) -> bool {
    let zone = zones.spans().find(|(_, first, rows)| row < first + rows).map(|(zone, ..)| zone);
    match zone {
        Some(Zone::Torso) => true,
        Some(Zone::Legs) => !legs_seen,
        _ => false,
    }
}

impl Scene<'_> {
    /// The drawing with where the body is: what is drawn, and what the plan has whatever its colour.
    pub fn cloth(&self) -> Cloth<'_> {
        let mut is_cloth = self.labels.plane.map(|label| *label != GROUND);
        let (rows, columns) = is_cloth.dim();
        let clamp = |v: f64, most: usize| (v.max(0.0) as usize).min(most);
        for peg in self.colours.keys().filter(|peg| self.stretch(**peg).is_some_and(|s| s.core)) {
            let Some(area) = self.window(*peg) else { continue };
            let down = clamp(area.y, rows)..clamp(area.y + area.height, rows);
            let across = clamp(area.x, columns)..clamp(area.x + area.width, columns);
            is_cloth.slice_mut(s![down, across]).fill(true);
        }
        Cloth { colours: self.reference.colours(), is_cloth, pitch: self.pitch }
    }

    /// The turns that colours take about each bead that may be cloth.
    pub fn turns(&self, cloth: &Cloth) -> Seen {
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
    pub fn may_be_cloth(&self, row: usize, is_core: bool) -> bool {
        match self.zone_at(row).map(|(zone, ..)| zone) {
            Some(Zone::Headwear | Zone::Torso | Zone::Legs) => true,
            Some(Zone::Head | Zone::Neck) => !is_core,
            Some(Zone::Feet) | None => false,
        }
    }
}
