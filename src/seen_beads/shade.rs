//! Which way shadows fall: beads under one light all cast theirs to one side, and nothing lies beyond a shadow's end.

use super::field::Field;
use super::spots::BeadSpot;
use crate::reference::middle::median;

/// The shadows of beads.
pub(super) struct Shade {
    /// The step (x, y) in which they fall, of length 1.
    way: (f64, f64),
    /// How much darker than paper it is there, in L*.
    depth: f64,
}

/// What lies at a spot's shadow side.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Side {
    /// A shadow, or something else.
    Shaded,
    /// Paper.
    Bare,
}

/// Where a shadow is looked for, in radii from the middle: every bead's reaches so far, unless the light stands high.
const BESIDE: (f64, f64) = (1.2, 1.6);

impl Shade {
    /// Learnt from spots that are beads without doubt; nothing where they cast no shadow that could be told.
    pub fn of<'a>(field: &Field, beads: impl Iterator<Item = &'a BeadSpot>) -> Option<Self> {
        /// Shadows that are seen at all are this deep, in L*, and fall to one side that much.
        const SEEN: f64 = 4.0;
        const ONE_SIDED: f64 = 0.25;
        let beads: Vec<&BeadSpot> = beads.collect();
        let (mut sum, mut all) = ((0.0, 0.0), 0.0);
        for spot in &beads {
            for ((row, column), far) in around(field, spot) {
                let dark = darkness(field, (row, column));
                sum.0 += dark * (column as f64 - spot.x) / far;
                sum.1 += dark * (row as f64 - spot.y) / far;
                all += dark;
            }
        }
        let size = f64::hypot(sum.0, sum.1);
        if size < ONE_SIDED * all || size <= 0.0 {
            return None;
        }
        let way = (sum.0 / size, sum.1 / size);
        let known = Self { way, depth: 0.0 };
        let depth = median(beads.iter().map(|spot| known.darkness_beside(field, spot)).collect());
        (depth >= SEEN).then_some(Self { way, depth })
    }

    /// What lies at the shadow side of a spot.
    pub fn beside(&self, field: &Field, spot: &BeadSpot) -> Side {
        /// A shadow is at least this part as deep as the others.
        const AS_DEEP: f64 = 0.5;
        if self.darkness_beside(field, spot) >= AS_DEEP * self.depth { Side::Shaded } else { Side::Bare }
    }

    /// The place (x, y) this far towards the light.
    pub fn towards_light(&self, (x, y): (f64, f64), far: f64) -> (f64, f64) {
        (x - far * self.way.0, y - far * self.way.1)
    }

    fn darkness_beside(&self, field: &Field, spot: &BeadSpot) -> f64 {
        /// Within 25 degrees of the way that shadows fall.
        const ALONG: f64 = 0.9;
        let is_there = |&((row, column), far): &((usize, usize), f64)| {
            let (dx, dy) = (column as f64 - spot.x, row as f64 - spot.y);
            dx * self.way.0 + dy * self.way.1 >= ALONG * far
        };
        let there = around(field, spot).filter(is_there);
        median(there.map(|(place, _)| darkness(field, place)).collect())
    }
}

/// Pixels around a spot, with their distance from its middle.
fn around<'a>(field: &'a Field, spot: &'a BeadSpot) -> impl Iterator<Item = ((usize, usize), f64)> + 'a {
    let all = field.within((spot.x, spot.y), BESIDE.1 * spot.radius);
    all.filter(|(_, far)| *far >= BESIDE.0 * spot.radius)
}

/// How much darker than paper, in L*.
fn darkness(field: &Field, place: (usize, usize)) -> f64 {
    (100.0 - field.colour(place).l).max(0.0)
}
