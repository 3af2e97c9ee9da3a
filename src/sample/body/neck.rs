//! Where a drawn body's head ends above and below: its top, the chin and the shoulders.

use super::landmarks::{END, Place, RECKONED, Search};
use super::silhouette::{SLIT, Span};
use crate::plan::Zone;
use crate::reference::middle::median;

/// A neck is at most so wide beside what lies above it, and beside what lies below,
pub(in crate::sample) const NARROWER: f64 = 0.72;

/// ... and so much wider is as narrow.
pub(in crate::sample) const AS_NARROW: f64 = 1.15;

impl Search<'_> {
    /// How wide the body is in each row of pixels, evened over half a bead; 0 above and below it.
    fn widths(&self) -> Vec<f64> {
        let raw: Vec<f64> = (0..self.outline.bottom)
            .map(|y| match self.outline.span_on(y as f64, self.outline.upright_at(y as f64)) {
                Some(span) if y >= self.outline.crown => span.width(),
                _ => 0.0,
            })
            .collect();
        let reach = (self.pitch * 0.25) as usize;
        (0..raw.len())
            .map(|y| median(raw[y.saturating_sub(reach)..(y + reach + 1).min(raw.len())].to_vec()))
            .collect()
    }

    /// The neck: the narrowest place beside what lies above and below it. The chin lies at its upper end, the
    /// shoulders begin where the outline is half as wide again as they are.
    pub fn neck(&self) -> (Place, Place) {
        /// Where a neck can lie, as shares of the height: a head of a ninth to two fifths.
        const BAND: (f64, f64) = (0.11, 0.42);
        /// How far up and down the head's and the shoulders' widths are looked for, as shares of the height.
        const LOOK: (f64, f64) = (0.2, 0.1);
        /// A head is seldom larger than the plan's own share of the height; beyond that a place counts as wider by
        /// so much a share, lest a waist be taken for a neck.
        const LARGER: f64 = 0.03;
        const DOUBT: f64 = 6.0;
        let widths = self.widths();
        let height = self.outline.height();
        let place = |share: f64| (self.outline.crown + (share * height) as usize).min(widths.len());
        let widest = |from: usize, to: usize| {
            widths[from.min(widths.len())..to.min(widths.len())].iter().copied().fold(0.0, f64::max)
        };
        // Under raised arms the shoulders are as narrow as a neck.
        let is_raised = (self.outline.crown - self.outline.top) as f64 > self.pitch;
        let larger = if is_raised { 0.0 } else { LARGER };
        let ratio = |y: usize| {
            let head = widest(y.saturating_sub((LOOK.0 * height) as usize).max(self.outline.crown), y);
            let shoulders = widest(y, y + (LOOK.1 * height) as usize);
            let share = (y - self.outline.crown.min(y)) as f64 / height;
            let beyond = (share - self.head_share() - larger).max(0.0);
            widths[y] / head.min(shoulders).max(1.0) + DOUBT * beyond
        };
        let narrowest = (place(BAND.0)..place(BAND.1))
            .filter(|&y| widths[y] > 0.0)
            .map(|y| (y, ratio(y)))
            .min_by(|a, b| a.1.total_cmp(&b.1))
            .filter(|(_, ratio)| *ratio <= NARROWER);
        let Some((at, ratio)) = narrowest else { return self.reckoned_neck() };
        let upper =
            (self.outline.crown..=at).rev().take_while(|&y| widths[y] <= AS_NARROW * widths[at]).last();
        let chin = f64::midpoint(upper.unwrap_or(at) as f64, at as f64);
        /// The shoulders' width is reached within so many rows below the neck.
        const SHOULDERS_WITHIN: f64 = 1.8;
        let full = widest(at, at + (SHOULDERS_WITHIN * self.pitch) as usize);
        let halfway = f64::midpoint(widths[at], full);
        let shoulder = (at..widths.len()).find(|&y| widths[y] >= halfway).unwrap_or(at) as f64;
        /// A neck is half a row to a row and a half high.
        const NECK: (f64, f64) = (0.5, 1.5);
        let shoulder = shoulder.clamp(chin + NECK.0 * self.pitch, chin + NECK.1 * self.pitch);
        let sure = (1.0 - (ratio - 0.4).max(0.0)).clamp(RECKONED, END);
        ((chin, sure), (shoulder, sure))
    }

    /// What the plan gives head and headwear of the figure's height.
    fn head_share(&self) -> f64 {
        let above = self.zones.get(Zone::Headwear) + self.zones.get(Zone::Head);
        above as f64 / self.zones.total().max(1) as f64
    }

    /// Where no neck is seen, the head takes the plan's own share of the height.
    fn reckoned_neck(&self) -> (Place, Place) {
        /// Rows from chin to shoulder there.
        const NECK: f64 = 0.7;
        let chin = self.outline.crown as f64 + self.head_share() * self.outline.height();
        let neck = if self.zones.get(Zone::Neck) > 0 { NECK * self.pitch } else { 0.0 };
        ((chin, RECKONED), (chin + neck, RECKONED))
    }

    /// The top of the head with what is on it: going up from the chin, the row above which the body's own
    /// column is empty. A pole or a raised hand beside it is no head.
    pub fn head_top(&self, chin: f64) -> f64 {
        /// Half of the column looked at, in beads, and how much of it must be filled.
        const HALF: f64 = 0.6;
        const FILLED: f64 = 0.25;
        /// What is wider, in beads, is a neck with a sack or an arm beside it.
        const NECK: f64 = 6.0;
        let at = self.outline.upright_at(chin);
        let neck = self.outline.span_on(chin, at).filter(|span| span.width() <= NECK * self.pitch);
        let middle = neck.or(self.face).map_or(at, Span::middle);
        let (from, to) =
            ((middle - HALF * self.pitch).max(0.0) as usize, (middle + HALF * self.pitch) as usize);
        let is_filled = |y: usize| {
            let count = (from..to).filter(|&x| self.outline.is_filled(y, x)).count();
            count as f64 >= FILLED * (to - from).max(1) as f64
        };
        let mut top = chin as usize;
        for y in (self.outline.top..chin.max(0.0) as usize).rev() {
            if is_filled(y) {
                top = y;
            } else if (top - y) as f64 > SLIT * self.pitch {
                break;
            }
        }
        top as f64
    }
}
