//! Where a drawn body's zones begin and end, from its outline and its colours.

use ndarray::Array2;

use super::head;
use super::legs::{GAP, LEG, pair_about};
use super::silhouette::{Silhouette, Span};
use crate::plan::{Landmark, Marks, Zone, ZoneRows};
use crate::reference::{Reference, mask};
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
    /// The head about the face, where skin shows it.
    pub face: Option<Span>,
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

    /// The tops of all rows and the bottom of the last, each zone's evenly: a head without rows of a neck below it ends
    /// at the chin.
    pub fn row_lines(&self, zones: &ZoneRows) -> Vec<f64> {
        let place = |(zone, _, rows): (Zone, usize, usize)| {
            let (top, bottom) = (self.get(Landmark::above(zone)), self.get(Landmark::below(zone)));
            (0..rows).map(move |i| top + (bottom - top) * i as f64 / rows as f64)
        };
        let end = zones.spans().last().map_or(0.0, |(zone, ..)| self.get(Landmark::below(zone)));
        zones.spans().flat_map(place).chain([end]).collect()
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
pub(super) const END: f64 = 0.95;

/// A landmark only reckoned from everyday proportions.
pub(super) const RECKONED: f64 = 0.4;

/// A change of colours from which on it is seen.
const SEEN: f64 = 0.5;

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
    let face = head::about_face(reference, outline);
    let search = Search { plane, outline, zones, pitch: outline.pitch, face };
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
    Landmarks { at, confidence: found.map(|f| f.1), head_top: at[Landmark::Top as usize], crotch, face }
}

/// A place and how sure it is.
pub(super) type Place = (f64, f64);

/// Where a drawing's landmarks are looked for.
pub(super) struct Search<'a> {
    pub plane: &'a Array2<u8>,
    pub outline: &'a Silhouette,
    pub zones: &'a ZoneRows,
    pub pitch: f64,
    /// The head about the face, where skin shows it.
    pub face: Option<Span>,
}

impl Search<'_> {
    /// Where the legs part: the top of the longest open stretch near the axis, if it reaches the ankles.
    fn crotch(&self, sole: f64) -> Option<f64> {
        /// The middle of their gap is at most so far from the axis, in beads.
        const OFF_AXIS: f64 = 1.6;
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
        apart.then_some(at)
    }

    /// How much the colours above a row of pixels differ from those below it, 0 to 1, within some columns.
    fn change(&self, y: f64, reach: f64, columns: Span) -> f64 {
        let rows = |from: f64, to: f64| Span { from, to }.pixels(self.plane.nrows());
        let across = columns.pixels(self.plane.ncols());
        let shares = |rows: std::ops::Range<usize>| {
            let mut counts = vec![0.0_f64; usize::from(u8::MAX) + 1];
            for label in mask::window(self.plane, rows, across.clone()) {
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
        /// A change so much less still belongs to the same one.
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
