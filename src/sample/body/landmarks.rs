//! Where a drawn body's zones begin and end, from its outline and its colours.

use ndarray::{Array2, s};

use super::legs::{GAP, LEG, pair_about};
use super::silhouette::{Silhouette, Span};
use crate::plan::{Landmark, Marks, Zone, ZoneRows};
use crate::reference::Reference;
use crate::sample::labels::GROUND;
use crate::sample::lattice::ZoneLines;
use crate::units::Confidence;

/// A landmark of a drawing and how sure its place is.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Sighted {
    /// Which.
    pub landmark: Landmark,
    /// Row of the working picture.
    pub at: f64,
    /// How sure the place is, within about a row of beads.
    pub confidence: Confidence,
}

/// The body's landmarks in working pixels, and where its legs part.
pub(super) struct Landmarks {
    /// In the order of [`Landmark::ALL`], growing downwards.
    at: [f64; 7],
    confidence: [f64; 7],
    /// The top of the head with what is on it: below [`Landmark::Top`] where a hand is raised above it.
    pub head_top: f64,
    /// Where two legs part; none under a skirt or a long coat.
    pub crotch: Option<f64>,
}

impl Landmarks {
    pub fn get(&self, landmark: Landmark) -> f64 {
        self.at[landmark as usize]
    }

    /// With the rows above the head from the figure's own top on.
    pub fn raised_to(mut self, top: usize, zones: &ZoneRows) -> Self {
        let (above, crown) = (Landmark::Top as usize, Landmark::Crown as usize);
        if zones.get(Zone::Headwear) == 0 {
            (self.at[crown], self.confidence[crown]) = (self.at[above], self.confidence[above]);
        }
        (self.at[above], self.confidence[above]) = ((top as f64).min(self.at[crown] - 1.0), END);
        self
    }

    /// Every landmark with its place.
    pub fn sighted(&self) -> Vec<Sighted> {
        let all = Landmark::ALL.into_iter().zip(self.at).zip(self.confidence.map(Confidence::new));
        all.map(|((landmark, at), confidence)| Sighted { landmark, at, confidence }).collect()
    }

    /// Where each zone begins and the last ends.
    pub fn zone_lines(&self, zones: &ZoneRows) -> ZoneLines {
        let tops = zones.spans().map(|(zone, first, _)| (first, self.get(Landmark::above(zone))));
        tops.chain([(zones.total(), self.get(Landmark::Sole))]).collect()
    }
}

/// A landmark the maker gave is as sure as anything.
const GIVEN: f64 = 1.0;

/// The ends of the figure itself.
const END: f64 = 0.95;

/// A landmark only reckoned from everyday proportions.
const RECKONED: f64 = 0.4;

/// Finds the landmarks; those the maker gave stay.
pub(super) fn find(
    plane: &Array2<u8>,
    outline: &Silhouette,
    zones: &ZoneRows,
    given: Option<&Marks>,
    reference: &Reference,
) -> Landmarks {
    let told = |landmark: Landmark| {
        given.and_then(|marks| marks.get(landmark)).map(|row| (reference.working_row(row), GIVEN))
    };
    let search = Search { plane, outline, zones, pitch: outline.pitch };
    let sole = told(Landmark::Sole).map_or(outline.bottom as f64, |(y, _)| y);
    let (chin, shoulder) = search.neck();
    let (chin, shoulder) =
        (told(Landmark::Chin).unwrap_or(chin), told(Landmark::Shoulder).unwrap_or(shoulder));
    // Without headwear the head begins at its crown, whatever is raised above it.
    let crown = told(Landmark::Crown).filter(|_| zones.get(Zone::Headwear) == 0);
    let top = crown.or(told(Landmark::Top)).unwrap_or_else(|| (search.head_top(chin.0), END));
    let ankle = told(Landmark::Ankle).unwrap_or_else(|| search.ankle(sole));
    let crotch = search.crotch(sole);
    let hip = told(Landmark::Hip).unwrap_or_else(|| search.hip(shoulder.0, ankle.0, crotch));
    let above = (zones.get(Zone::Headwear) + zones.get(Zone::Head)).max(1) as f64;
    let even = top.0 + (chin.0 - top.0) * zones.get(Zone::Headwear) as f64 / above;
    let crown = told(Landmark::Crown).unwrap_or((even, top.1.min(chin.1)));
    let found = [top, crown, chin, shoulder, hip, ankle, (sole, END)];
    let mut at = found.map(|f| f.0);
    // A zone at least a pixel high keeps every window from vanishing.
    for i in 1..at.len() {
        let is_empty = zones.get(Zone::ALL[i - 1]) == 0;
        at[i] = if is_empty { at[i].max(at[i - 1]) } else { at[i].max(at[i - 1] + 1.0) };
    }
    Landmarks { at, confidence: found.map(|f| f.1), head_top: at[Landmark::Top as usize], crotch }
}

/// A place and how sure it is.
type Place = (f64, f64);

struct Search<'a> {
    plane: &'a Array2<u8>,
    outline: &'a Silhouette,
    zones: &'a ZoneRows,
    pitch: f64,
}

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
            .map(|y| {
                let mut near = raw[y.saturating_sub(reach)..(y + reach + 1).min(raw.len())].to_vec();
                let middle = near.len() / 2;
                *near.select_nth_unstable_by(middle, f64::total_cmp).1
            })
            .collect()
    }

    /// The neck: the narrowest place beside what lies above and below it. The chin lies at its upper end, the
    /// shoulders begin where the outline is half as wide again as they are.
    fn neck(&self) -> (Place, Place) {
        /// Where a neck can lie, as shares of the height: a head of a ninth to two fifths.
        const BAND: (f64, f64) = (0.11, 0.42);
        /// How far up and down the head's and the shoulders' widths are looked for, as shares of the height.
        const LOOK: (f64, f64) = (0.2, 0.1);
        /// A head is seldom larger than the plan's own share of the height; beyond that a place counts as wider by
        /// so much a share, lest a waist be taken for a neck.
        const LARGER: f64 = 0.03;
        const DOUBT: f64 = 6.0;
        /// A neck is at most so wide beside them.
        const NARROWER: f64 = 0.72;
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
        /// As narrow as the neck.
        const AS_NARROW: f64 = 1.15;
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
    fn head_top(&self, chin: f64) -> f64 {
        /// Half of the column looked at, in beads, and how much of it must be filled.
        const HALF: f64 = 0.6;
        const FILLED: f64 = 0.25;
        /// A slit lower than this, in beads, does not end the head.
        const SLIT: f64 = 0.5;
        /// What is wider, in beads, is a neck with a sack or an arm beside it.
        const NECK: f64 = 6.0;
        let at = self.outline.upright_at(chin);
        let neck = self.outline.span_on(chin, at).filter(|span| span.width() <= NECK * self.pitch);
        let middle = neck.map_or(at, Span::middle);
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

    /// Where the legs part: the top of the longest open stretch near the axis, if it reaches the ankles.
    fn crotch(&self, sole: f64) -> Option<f64> {
        /// The middle of their gap is at most so far from the axis, in beads.
        const OFF_AXIS: f64 = 1.6;
        /// The stretch is at least so long, and begins at least so far above the sole, in beads.
        const LONG: f64 = 0.8;
        const ABOVE_SOLE: f64 = 1.8;
        /// Just above the feet the legs must be apart over most of this stretch, in beads above the sole.
        const LOW: (f64, f64) = (2.1, 1.2);
        let parted = |y: usize| {
            let mut legs = self.outline.spans_at(y as f64);
            legs.retain(|leg| leg.width() >= LEG * self.pitch);
            pair_about(&legs, self.outline.axis, GAP * self.pitch)
                .is_some_and(|(_, off)| off <= OFF_AXIS * self.pitch)
        };
        let from = self.outline.crown + (0.4 * self.outline.height()) as usize;
        let rows: Vec<bool> = (from..self.outline.bottom).map(parted).collect();
        let mut longest = 0..0;
        let mut start = 0;
        for run in rows.chunk_by(|a, b| a == b) {
            if run[0] && run.len() > longest.len() {
                longest = start..start + run.len();
            }
            start += run.len();
        }
        let at = (from + longest.start) as f64;
        let row = |beads: f64| ((sole - beads * self.pitch) as usize).saturating_sub(from).min(rows.len());
        let low = &rows[row(LOW.0)..row(LOW.1).max(row(LOW.0))];
        let apart = 2 * low.iter().filter(|p| **p).count() > low.len();
        let reaches = longest.len() as f64 >= LONG * self.pitch && at < sole - ABOVE_SOLE * self.pitch;
        (reaches && apart).then_some(at)
    }

    /// How much the colours above a row of pixels differ from those below it, 0 to 1, within some columns.
    fn change(&self, y: f64, reach: f64, columns: Span) -> f64 {
        let rows = |from: f64, to: f64| Span { from, to }.pixels(self.plane.nrows());
        let across = columns.pixels(self.plane.ncols());
        let shares = |rows: std::ops::Range<usize>| {
            let mut counts = vec![0.0_f64; usize::from(u8::MAX) + 1];
            for label in self.plane.slice(s![rows, across.clone()]) {
                counts[usize::from(*label)] += 1.0;
            }
            counts[usize::from(GROUND)] = 0.0;
            let all: f64 = counts.iter().sum();
            (all > 0.0).then(|| counts.into_iter().map(|c| c / all).collect::<Vec<_>>())
        };
        let (Some(above), Some(below)) = (shares(rows(y - reach, y)), shares(rows(y, y + reach))) else {
            return 0.0;
        };
        above.iter().zip(&below).map(|(a, b)| (a - b).abs()).sum::<f64>() / 2.0
    }

    /// Where trousers or stockings end and shoes begin.
    fn ankle(&self, sole: f64) -> Place {
        /// Where it can lie, in beads above the sole, and where it lies if nothing is seen.
        const BAND: (f64, f64) = (2.3, 0.5);
        const RECKONED_AT: f64 = 1.1;
        const REACH: f64 = 0.7;
        /// A change from which on it is seen.
        const SEEN: f64 = 0.5;
        if self.zones.get(Zone::Feet) == 0 {
            return (sole, END);
        }
        let whole = Span { from: self.outline.left, to: self.outline.right };
        let (from, to) =
            ((sole - BAND.0 * self.pitch).max(0.0) as usize, (sole - BAND.1 * self.pitch).max(0.0) as usize);
        let changes = (from..to).map(|y| (y as f64, self.change(y as f64, REACH * self.pitch, whole)));
        let strongest = changes.filter(|(_, change)| *change > SEEN).min_by(|a, b| b.1.total_cmp(&a.1));
        strongest.map_or((sole - RECKONED_AT * self.pitch, RECKONED), |(y, change)| (y, change.min(END)))
    }

    /// Where the trousers or the skirt begin: the lowest strong change of colours about the waist. A belt is
    /// the torso's last row (common practice, no source).
    fn hip(&self, shoulder: f64, ankle: f64, crotch: Option<f64>) -> Place {
        /// Half of the trunk looked at and how far up and down, in beads.
        const HALF: f64 = 2.0;
        const REACH: f64 = 0.8;
        /// Where it can lie, as shares of the way from shoulder to ankle; at most so far below the crotch, in beads.
        const BAND: (f64, f64) = (0.33, 0.57);
        const BELOW_CROTCH: f64 = 0.3;
        /// A change from which on it is seen, and how much less still belongs to the same one.
        const SEEN: f64 = 0.5;
        const AS_STRONG: f64 = 0.02;
        /// Two changes nearer than this, in beads, are one.
        const ONE: f64 = 0.6;
        let from = shoulder + BAND.0 * (ankle - shoulder);
        let to = crotch
            .map_or(f64::INFINITY, |y| y + BELOW_CROTCH * self.pitch)
            .min(shoulder + BAND.1 * (ankle - shoulder));
        let trunk =
            Span { from: self.outline.axis - HALF * self.pitch, to: self.outline.axis + HALF * self.pitch };
        let rows: Vec<f64> = (from.max(0.0) as usize..to.max(0.0) as usize).map(|y| y as f64).collect();
        let changes: Vec<f64> = rows.iter().map(|y| self.change(*y, REACH * self.pitch, trunk)).collect();
        let one = (ONE * self.pitch) as usize;
        let is_peak = |i: &usize| {
            let near = &changes[i.saturating_sub(one)..(i + one + 1).min(changes.len())];
            changes[*i] >= SEEN && near.iter().all(|c| *c <= changes[*i])
        };
        let Some(peak) = (0..rows.len()).rev().find(is_peak) else {
            return self.reckoned_hip(shoulder, ankle, crotch);
        };
        let is_as_strong = |i: &usize| changes[*i] >= changes[peak] - AS_STRONG;
        let last = (peak..rows.len()).take_while(is_as_strong).last().unwrap_or(peak);
        (rows[last], changes[peak].min(END))
    }

    /// A row above the crotch; without one, the plan's own share of the way from shoulder to ankle.
    fn reckoned_hip(&self, shoulder: f64, ankle: f64, crotch: Option<f64>) -> Place {
        let (torso, legs) = (self.zones.get(Zone::Torso) as f64, self.zones.get(Zone::Legs) as f64);
        let share = shoulder + (ankle - shoulder) * torso / (torso + legs).max(1.0);
        /// Where legs part lower than this share of the way from shoulder to ankle, a coat's hem hides them.
        const HEM: f64 = 0.68;
        let above_hem = crotch.filter(|y| *y < shoulder + HEM * (ankle - shoulder));
        let above_crotch = above_hem.map(|y| y - self.pitch).filter(|y| *y > shoulder + self.pitch);
        (above_crotch.unwrap_or(share), RECKONED)
    }
}
