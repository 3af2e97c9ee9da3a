//! Sources that disagree about how tall somebody stands, and what that comes to in rows.

use super::Guide;
use crate::units::Centimetres;

/// One standing height and what it comes to.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Heard {
    /// The height.
    pub stature: Centimetres,
    /// Rows before they are rounded.
    pub share: f64,
    /// Rows.
    pub rows: usize,
}

impl Heard {
    /// A height beside a guide.
    pub fn new(stature: Centimetres, guide: &Guide) -> Self {
        Self { stature, share: guide.share(stature), rows: guide.rows_for(stature) }
    }
}

/// What several sources come to.
#[derive(Clone, Debug, PartialEq)]
pub struct Sources {
    /// Each of them, in the order given.
    pub each: Vec<Heard>,
    /// The one in the middle by height; halfway between the middle two where they are even in number.
    pub middle: Heard,
    /// The lowest and the highest.
    pub ends: (Heard, Heard),
}

/// How far apart the sources are.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Apart {
    /// All come to the same rows: it does not matter which is right.
    Nothing,
    /// Less than a row, but to both sides of a border between two totals: either will do.
    UnderARow,
    /// A row or more: the figures would differ to the eye.
    Rows,
}

impl Sources {
    /// What they come to beside a guide; nothing where there are none.
    pub fn new(statures: &[Centimetres], guide: &Guide) -> Option<Self> {
        let each: Vec<Heard> = statures.iter().map(|&stature| Heard::new(stature, guide)).collect();
        let mut by_height: Vec<f64> = statures.iter().map(|stature| stature.0).collect();
        by_height.sort_by(f64::total_cmp);
        let (lowest, highest) = (*by_height.first()?, *by_height.last()?);
        let last = by_height.len() - 1;
        let middle = f64::midpoint(by_height[last / 2], by_height[last.div_ceil(2)]);
        let heard = |cm: f64| Heard::new(Centimetres(cm), guide);
        Some(Self { each, middle: heard(middle), ends: (heard(lowest), heard(highest)) })
    }

    /// How far apart they are.
    pub fn apart(&self) -> Apart {
        let (lowest, highest) = self.ends;
        match highest.share - lowest.share {
            _ if lowest.rows == highest.rows => Apart::Nothing,
            rows if rows < 1.0 => Apart::UnderARow,
            _ => Apart::Rows,
        }
    }
}
