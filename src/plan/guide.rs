//! The guide figure: every other figure's rows follow from how tall it stands.

use super::classes::GUIDE_ROWS;
use super::{GUIDE_STATURE, MOST_ROWS, Zone, ZoneRows};
use crate::units::Centimetres;

/// A cast's guide: a figure of average height and plain build. What it wears on its head stands above its height.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Guide {
    rows: ZoneRows,
    stature: Centimetres,
}

/// An adult has at least this share of the guide's rows, 22 of 24; below it a child's torso serves (common
/// practice, no source).
const GROWN: (usize, usize) = (11, 12);

/// A child's torso beside the guide's, 5 rows of 8, and the most that is a small child's (common practice, no source).
const CHILD_TORSO: (usize, usize) = (5, 8);
const SMALL_TORSO: (usize, usize) = (1, 2);

impl Guide {
    /// The trade's: 24 rows for the median man of 20 years.
    pub const TRADE: Self = Self { rows: ZoneRows::known(GUIDE_ROWS), stature: GUIDE_STATURE };

    /// A guide of so many rows by zone that stands so tall. One that is all headwear is taken for what it is.
    pub fn new(rows: ZoneRows, stature: Centimetres) -> Self {
        let [_, below @ ..] = Zone::ALL.map(|zone| rows.get(zone));
        let [head, neck, torso, legs, feet] = below;
        let bare = ZoneRows::new([0, head, neck, torso, legs, feet]);
        Self { rows: bare.unwrap_or(rows), stature }
    }

    /// Its rows by zone, without headwear.
    pub fn rows(&self) -> &ZoneRows {
        &self.rows
    }

    /// How tall it stands.
    pub fn stature(&self) -> Centimetres {
        self.stature
    }

    /// How much of a standing height one row is.
    pub fn row_height(&self) -> Centimetres {
        Centimetres(self.stature.0 / self.rows.total() as f64)
    }

    /// Rows of a figure that stands this tall, before they are rounded.
    pub fn share(&self, stature: Centimetres) -> f64 {
        self.rows.total() as f64 * stature.0 / self.stature.0
    }

    /// Rows of a figure that stands this tall, in proportion to the guide: 1 to [`MOST_ROWS`].
    pub fn rows_for(&self, stature: Centimetres) -> usize {
        self.share(stature).round().clamp(1.0, MOST_ROWS as f64) as usize
    }

    /// The standing heights that come to this many rows: from the first to just below the second.
    pub fn range_of(&self, rows: usize) -> (Centimetres, Centimetres) {
        let row = self.row_height().0;
        (Centimetres((rows as f64 - 0.5) * row), Centimetres((rows as f64 + 0.5) * row))
    }

    /// Rows of a child's torso.
    pub fn child_torso(&self) -> usize {
        self.rows.get(Zone::Torso) * CHILD_TORSO.0 / CHILD_TORSO.1
    }

    /// Most rows of a small child's torso.
    pub fn small_torso(&self) -> usize {
        self.rows.get(Zone::Torso) * SMALL_TORSO.0 / SMALL_TORSO.1
    }

    /// How many rows each zone of a figure of this many rows has, 1 to [`MOST_ROWS`] (common practice, no source): the
    /// head keeps its rows; a shorter adult loses a torso row, a taller one gains a leg row, a very tall one a
    /// leg row, a torso row and a headwear row; children have a shorter torso and differ by the leg.
    pub fn zones_for(&self, rows: usize) -> ZoneRows {
        let rows = rows.clamp(1, MOST_ROWS);
        let [_, head, neck, torso, legs, feet] = Zone::ALL.map(|zone| self.rows.get(zone));
        if head == 0 || torso < 2 || legs == 0 {
            return self.in_proportion(rows);
        }
        let own = self.rows.total();
        let fixed = head + neck + feet;
        // The torso's share of what torso and legs have together, where that changes little.
        let trunk = |rest: usize| (rest * torso / (torso + legs)).max(1);
        let zones = match rows {
            _ if rows == own => [0, head, neck, torso, legs, feet],
            _ if rows == own + 1 => [0, head, neck, torso, legs + 1, feet],
            _ if rows == own + 2 => [0, head, neck, torso + 1, legs + 1, feet],
            _ if rows == own + 3 => [1, head, neck, torso + 1, legs + 1, feet],
            _ if rows > own => {
                let rest = rows - fixed - 1;
                let torso = trunk(rest).max(torso + 1);
                [1, head, neck, torso, rest - torso, feet]
            }
            _ if rows + 1 == own => [0, head, neck, torso - 1, legs, feet],
            _ if rows >= (own * GROWN.0).div_ceil(GROWN.1) && rows > fixed + 1 => {
                let rest = rows - fixed;
                [0, head, neck, trunk(rest), rest - trunk(rest), feet]
            }
            _ if rows > own / 2 && rows > fixed + 1 => {
                let rest = rows - fixed;
                let torso = rest.div_ceil(2).min(self.child_torso().max(1));
                [0, head, neck, torso, rest - torso, feet]
            }
            0..=2 => [0, rows, 0, 0, 0, 0],
            _ => {
                let head = (rows * head).div_ceil((own / 2).max(1)).min(head).min(rows - 1);
                let rest = rows - head - 1;
                [0, head, 0, rest.div_ceil(2), rest / 2, 1]
            }
        };
        ZoneRows::new(zones).unwrap_or_else(|_| self.in_proportion(rows))
    }

    /// Every zone in proportion: for guides that are no standing people.
    fn in_proportion(&self, rows: usize) -> ZoneRows {
        let own = self.rows.total();
        let edge = |above: usize| (above * rows + own / 2) / own;
        let mut above = 0;
        let zones = Zone::ALL.map(|zone| {
            let first = edge(above);
            above += self.rows.get(zone);
            edge(above) - first
        });
        // The last edge is that of all rows, so that the zones add up to 1 to MOST_ROWS as they are.
        ZoneRows::known(zones)
    }
}
