//! How wide the parts of a body are, in beads.

use super::{Zone, ZoneRows};

/// The widths of a build (common practice, no source): a torso of five beads and legs of two serve most; stout
/// figures have a torso of seven and legs of three; thin limbs are one wide; the smallest children have a torso
/// of three.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Build {
    /// Beads of the torso without arms; odd, so that it stands on the axis.
    pub torso: i32,
    /// Beads of one leg.
    pub leg: i32,
}

impl Build {
    /// Beads of a head.
    pub const HEAD: i32 = 5;

    /// The build of a drawn body: how wide its hips are and, where it is seen, one leg, both in the mean height
    /// of its rows.
    pub fn seen(zones: &ZoneRows, hips: f64, leg: Option<f64>) -> Self {
        /// A torso of so few rows is a small child's.
        const SMALL: usize = 4;
        /// Hips wider than this are stout.
        const STOUT: f64 = 6.3;
        /// Legs narrower and wider than these are thin and stout.
        const LEGS: (f64, f64) = (1.15, 2.9);
        let torso = match zones.get(Zone::Torso) {
            0..=SMALL => 3,
            _ if hips < STOUT => 5,
            _ => 7,
        };
        let leg = match leg {
            Some(leg) if leg < LEGS.0 => 1,
            Some(leg) if leg >= LEGS.1 => 3,
            _ => 2,
        };
        Self { torso, leg }
    }

    /// Beads from the outside of one leg to that of the other, the gap of one between them.
    pub fn between_outsides(self) -> i32 {
        2 * self.leg + 1
    }
}
