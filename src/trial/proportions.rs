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
    /// Shares of stature from the ground: shoulder 0.82, crotch 0.48, ankle 0.04 (ANSUR II, Gordon et al.
    /// 2014, means of men and women, from memory); head and chin: head length 0.13. A child's head is larger
    /// and its legs shorter, up to 0.2 and 0.40 for the smallest (common practice, no source).
    pub fn natural(zones: &ZoneRows, axis: f64, chance: &mut Chance) -> Self {
        let body = (zones.total() - zones.get(Zone::Headwear)) as f64;
        // 0 for the smallest, 1 for the grown.
        let grown = ((body - 12.0) / 12.0).clamp(0.0, 1.0);
        let between = |small: f64, tall: f64| small + (tall - small) * grown;
        let mut vary = |share: f64| share * (1.0 + chance.either_way(0.04));
        let head = vary(between(0.21, 0.145));
        let chin = 1.0 - head;
        let shoulder = chin - vary(0.035);
        let hip = vary(between(0.40, 0.48)).min(shoulder - 0.2);
        let ankle = vary(0.04);
        let headwear = head * zones.get(Zone::Headwear) as f64 / 5.0;
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
        /// Looked at over so many beads up and down.
        const SMOOTH: f64 = 1.0;
        let mean = (-2..=2).map(|i| stretch(y + f64::from(i) * SMOOTH / 2.0)).sum::<f64>() / 5.0;
        mean.clamp(0.6, 1.6).sqrt()
    }

    /// Whether the rows lie on the drawing as they are on the grid, without a body's own proportions.
    pub fn is_even(&self) -> bool {
        self.knots.is_empty()
    }
}
