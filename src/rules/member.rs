//! What a figure is checked against beside its tray: the cast it belongs to.

use crate::cast::Cast;
use crate::figure::Figure;
use crate::plan::{GUIDE_STATURE, HeightClass, Zone, ZoneRows};
use crate::units::Centimetres;

/// A figure's place in a cast.
#[derive(Clone, Copy, Debug)]
pub struct Member<'a> {
    /// The cast.
    pub cast: &'a Cast,
    /// What the cast calls the figure: its file's name without `.figure.toml`.
    pub name: &'a str,
    /// The cast's own guide figure; the trade's serves without one.
    pub guide: Option<&'a Figure>,
}

/// A figure to check, with its place in a cast where it has one.
#[derive(Clone, Copy, Debug)]
pub struct Entrant<'a> {
    /// The figure.
    pub figure: &'a Figure,
    /// Its place in a cast. Rules of a cast keep silent without one, or go by the trade's guide and classes.
    pub member: Option<Member<'a>>,
}

impl<'a> From<&'a Figure> for Entrant<'a> {
    /// A figure by itself.
    fn from(figure: &'a Figure) -> Self {
        Self { figure, member: None }
    }
}

/// What statures are reckoned from.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Scale {
    /// The guide's rows without headwear; at least 1.
    pub rows: usize,
    /// How tall the guide stands; above nought.
    pub stature: Centimetres,
}

impl Scale {
    /// By the guide of a figure's cast, else by the trade's (common practice, no source).
    pub(super) fn of(member: Option<Member>) -> Self {
        let guide = member.and_then(|member| member.guide);
        let rows = guide.map_or(below_headwear(&HeightClass::GUIDE.rows), |guide| {
            guide.rows().map_or_else(|| guide.beads().rows(), below_headwear)
        });
        let stature = guide.and_then(Figure::stature).filter(|stature| stature.0 > 0.0);
        Self { rows: rows.max(1), stature: stature.unwrap_or(GUIDE_STATURE) }
    }

    /// The rows of somebody that tall, in proportion to the guide; no whole number.
    pub(super) fn rows_of(self, stature: Centimetres) -> f64 {
        self.rows as f64 * stature.0 / self.stature.0
    }
}

/// The rows of the body itself: a hat makes nobody taller.
pub(super) fn below_headwear(rows: &ZoneRows) -> usize {
    rows.total() - rows.get(Zone::Headwear)
}
