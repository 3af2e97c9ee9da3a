//! Natural body proportions: where the zones of a plan lie on a body as people draw it.

use super::chance::Chance;
use crate::plan::{Zone, ZoneRows};

/// How rows of the grid lie on a drawing: knots of (height on the drawing, row of the grid), both in beads,
/// and how wide the figure is drawn in between beside its grid.
#[derive(Clone, Debug)]
pub(super) struct RowMap {
    knots: Vec<(f64, f64)>,
    axis: f64,
}

impl RowMap {
    /// Rows as they are on the grid.
    pub fn even() -> Self {
        Self { knots: Vec::new(), axis: 0.0 }
    }

    /// Rows brought to a body's own proportions, the whole as high as before. `axis` is the column, in beads,
    /// about which widths shrink.
    ///
    /// Shares of stature: crotch 0.48 and ankle 0.04 from the ground (ANSUR II, Gordon et al. 2014, means of men
    /// and women, from memory). The shoulder line lies 0.82 from the ground for the grown, as there; what follows
    /// from it is a head with its hair of 0.145 and a neck of 0.035, where the bare head's length is 0.13. A child's
    /// head is larger and its legs shorter, up to 0.21 and 0.40 for the smallest (common practice, no source).
    pub fn natural(zones: &ZoneRows, axis: f64, chance: &mut Chance) -> Self {
        /// Rows of the smallest, and how many more the grown have.
        const SMALLEST: f64 = 12.0;
        const MORE: f64 = 12.0;
        /// Shares of the stature, of the smallest and of the grown.
        const HEAD: (f64, f64) = (0.21, 0.145);
        const HIP: (f64, f64) = (0.40, 0.48);
        /// Shares of the stature, of all.
        const NECK: f64 = 0.035;
        const ANKLE: f64 = 0.04;
        /// Nobody's torso is shorter than this share.
        const LEAST_TORSO: f64 = 0.2;
        /// People of one stature differ by this part (common practice, no source).
        const VARIES: f64 = 0.04;
        /// Rows of a head on the grid: what is worn on it is drawn in the same proportion to it.
        const HEAD_ROWS: f64 = 5.0;
        let body = (zones.total() - zones.get(Zone::Headwear)) as f64;
        // 0 for the smallest, 1 for the grown.
        let grown = ((body - SMALLEST) / MORE).clamp(0.0, 1.0);
        let between = |(small, tall): (f64, f64)| small + (tall - small) * grown;
        let mut vary = |share: f64| share * (1.0 + chance.either_way(VARIES));
        let head = vary(between(HEAD));
        let chin = 1.0 - head;
        let shoulder = chin - vary(NECK);
        let hip = vary(between(HIP)).min(shoulder - LEAST_TORSO);
        let ankle = vary(ANKLE);
        let headwear = head * zones.get(Zone::Headwear) as f64 / HEAD_ROWS;
        let borders = [1.0 + headwear, 1.0, chin, shoulder, hip, ankle, 0.0];
        let whole = zones.total() as f64 / (1.0 + headwear);
        let mut knots: Vec<(f64, f64)> = zones
            .spans()
            .map(|(zone, first, _)| ((borders[0] - borders[zone as usize]) * whole, first as f64))
            .collect();
        knots.push((zones.total() as f64, zones.total() as f64));
        Self { knots, axis }
    }

    /// The place on the grid of a place on the drawing; both x and y in beads.
    pub fn to_grid(&self, x: f64, y: f64) -> (f64, f64) {
        let Some(pair) = self.knots.windows(2).find(|pair| y < pair[1].0).or(self.knots.windows(2).last())
        else {
            return (x, y);
        };
        let ((from, row), (to, next)) = (pair[0], pair[1]);
        let stretch = (next - row) / (to - from).max(1e-9);
        (self.axis + (x - self.axis) * self.width_at(y), row + (y - from) * stretch)
    }

    /// How much narrower the drawing is than the grid at a height: a small head is narrow as well. Changes
    /// smoothly, half as much as the height does.
    fn width_at(&self, y: f64) -> f64 {
        let stretch = |y: f64| {
            let pair = self.knots.windows(2).find(|pair| y < pair[1].0).or(self.knots.windows(2).last());
            pair.map_or(1.0, |p| (p[1].1 - p[0].1) / (p[1].0 - p[0].0).max(1e-9))
        };
        /// Looked at over this many beads up and down.
        const SMOOTH: f64 = 1.0;
        /// No part is drawn more than this much narrower or wider: it would be read as another body.
        const NARROW: f64 = 0.6;
        const WIDE: f64 = 1.6;
        let mean = (-2..=2).map(|i| stretch(y + f64::from(i) * SMOOTH / 2.0)).sum::<f64>() / 5.0;
        mean.clamp(NARROW, WIDE).sqrt()
    }

    /// Whether the rows lie on the drawing as they are on the grid, without a body's own proportions.
    pub fn is_even(&self) -> bool {
        self.knots.is_empty()
    }
}
