//! Skirts and long coats: as wide as they are drawn, and to the side where they swing.

use super::columns::{Layer, Stretch, beads, even};
use super::silhouette::{Span, nearest};
use crate::plan::Zone;

/// A skirt wider than so many beads to each side of the body's axis is spread no further.
const WIDEST: i32 = 5;

/// A skirt whose middle lies so far from the axis, in beads, swings to a side: beads are laid where it is drawn (who
/// designs by eye keeps the plan until the drawing differs by more than this; common practice, no source).
const SWINGS: f64 = 1.6;

/// Hips so wide, in beads, are a skirt's; if it lies off the neck by so much, it tells nothing of where the body stands.
const SKIRT: f64 = 7.0;
const OFF_NECK: f64 = 1.0;

/// A stripe as pale as the ground is at most so wide, in beads.
const STRIPE: f64 = 1.2;

impl Layer<'_> {
    /// Where column 0 stands.
    pub fn axis(&self) -> f64 {
        let (hips, neck) = (self.hips.middle(), self.neck.middle());
        let is_skirt = self.legs.is_none() && !self.strides && self.hips.width() > SKIRT * self.pitch;
        if is_skirt && (hips - neck).abs() > OFF_NECK * self.pitch { neck } else { hips }
    }

    /// Under a skirt or a long coat every row is as wide as it is drawn.
    pub fn skirt_row(&self, zone: Zone, around: &[Span]) -> Vec<Stretch> {
        let body = self.across_stripes(around, self.axis()).unwrap_or(self.hips);
        if (body.middle() - self.axis()).abs() > SWINGS * self.pitch {
            return self.swung_row(body);
        }
        // A skirt keeps its proportion to its rows and to the torso over it, as far as both can be kept.
        let torso = self.planned_trunk(1.0).width() / f64::from(self.build.torso);
        let pitch = match zone {
            Zone::Legs => (self.pitch * torso.min(self.pitch)).sqrt(),
            _ => self.pitch,
        };
        even(((body.width() / pitch / 2.0).round() as i32).clamp(0, WIDEST), body)
    }

    /// Beads from where a skirt that swings to a side begins to where it ends.
    fn swung_row(&self, body: Span) -> Vec<Stretch> {
        let count = ((body.width() / self.pitch).round() as i32).max(1);
        let first = ((body.from - self.axis()) / self.pitch + 0.5).round() as i32;
        beads(first, count, body).collect()
    }

    /// What stands about a middle, with what lies beside it behind a stripe as pale as the ground.
    fn across_stripes(&self, around: &[Span], middle: f64) -> Option<Span> {
        let mut body = nearest(around, middle)?;
        for span in around.iter().filter(|s| s.from >= body.from) {
            if span.from - body.to <= STRIPE * self.pitch {
                body.to = body.to.max(span.to);
            }
        }
        for span in around.iter().rev().filter(|s| s.to <= body.to) {
            if body.from - span.to <= STRIPE * self.pitch {
                body.from = body.from.min(span.from);
            }
        }
        Some(body)
    }
}
