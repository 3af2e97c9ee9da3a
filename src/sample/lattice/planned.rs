//! Zones stretched to the plan's rows: a drawing in natural proportions brought to beads.

use std::ops::Range;

use ndarray::Array2;

use super::purity::{Columns, Purity};
use super::{ColumnRuler, Extent, Lattice, Proportions, ZoneLines, certainty, descend, spread_rows};
use crate::plan::{Marks, Zone, ZoneRows};
use crate::reference::mask::axis_of;
use crate::reference::{Area, Reference};
use crate::sample::body::{self, AS_NARROW, NARROWER};
use crate::sample::labels::GROUND;

/// A body's columns against the mean row height: natural bodies are narrower than the plan's.
const BODY_SCALES: (f64, f64) = (0.75, 1.15);

/// A head's columns against its own row height.
const HEAD_SCALES: (f64, f64) = (0.85, 1.3);

/// How far a guessed landmark may slide to make the windows purer, in mean row heights.
const LEAD: f64 = 1.2;

/// Stretches the zones by the maker's landmarks, and by where the body shows those that were not given.
pub(super) fn with_marks(
    (purity, extent): (&Purity, Extent),
    plane: &Array2<u8>,
    zones: &ZoneRows,
    marks: &Marks,
    reference: &Reference,
) -> Lattice {
    let search = Search::new(purity, extent, zones);
    let lines = body::zone_lines(plane, zones, marks, reference)
        .unwrap_or_else(|| guessed(zones, extent, find_neck(plane, extent)));
    let rulers = search.rulers(&lines);
    search.lattice(&lines, &rulers, Proportions::MarksGiven)
}

/// Stretches the zones by everyday proportions, then lets each border slide a little. A sketch's own landmarks
/// (`body/landmarks.rs`) are found by its colours and do worse here: 14 beads to mend in natural proportions, not 2.
pub(super) fn guessing((purity, extent): (&Purity, Extent), plane: &Array2<u8>, zones: &ZoneRows) -> Lattice {
    /// Borders and columns are found in turns; it settles in two or three.
    const TURNS: usize = 3;
    let search = Search::new(purity, extent, zones);
    let first = guessed(zones, extent, find_neck(plane, extent));
    let rulers = search.rulers(&first);
    let (lines, rulers) = (0..TURNS).fold((first.clone(), rulers), |(lines, rulers), _| {
        let lines = search.slide(&lines, &first, &rulers);
        let rulers = search.rulers(&lines);
        (lines, rulers)
    });
    search.lattice(&lines, &rulers, Proportions::MarksGuessed)
}

/// Columns of the rows above the shoulder and below it.
#[derive(Clone, Copy, Debug)]
struct Rulers {
    head: ColumnRuler,
    body: ColumnRuler,
}

struct Search<'a> {
    purity: &'a Purity,
    extent: Extent,
    rows: usize,
    /// Mean row height in working pixels.
    pitch: f64,
    /// The first row of the torso, or of what comes first below it.
    body_from: usize,
}

impl<'a> Search<'a> {
    fn new(purity: &'a Purity, extent: Extent, zones: &ZoneRows) -> Self {
        let rows = zones.total();
        Self {
            purity,
            extent,
            rows,
            pitch: extent.height() / rows as f64,
            body_from: zones.first(Zone::Torso),
        }
    }

    /// The rulers with the purest windows: the body's first, then the head's, tied to it at the axis.
    fn rulers(&self, lines: &ZoneLines) -> Rulers {
        let row_lines = spread_rows(lines);
        let body_rows = if self.body_from < self.rows { self.body_from..self.rows } else { 0..self.rows };
        let width = self.pitch;
        let body = self.ruler(&row_lines, body_rows, BODY_SCALES, width, None);
        if self.body_from == 0 || self.body_from == self.rows {
            return Rulers { head: body, body };
        }
        let head_rows = 0..self.body_from;
        let head_height = (row_lines[self.body_from] - row_lines[0]) / self.body_from as f64;
        let axis = self.axis(&row_lines);
        let head = self.ruler(&row_lines, head_rows, HEAD_SCALES, head_height, Some((axis, body)));
        Rulers { head, body }
    }

    /// The best columns for some rows; `tied` holds the axis and the ruler whose columns meet it there.
    fn ruler(
        &self,
        row_lines: &[f64],
        rows: Range<usize>,
        scales: (f64, f64),
        width: f64,
        tied: Option<(f64, ColumnRuler)>,
    ) -> ColumnRuler {
        /// Steps of the first look: a twentieth in width, an eighth of a bead in phase.
        const WIDTHS: usize = 9;
        const PHASES: usize = 8;
        // Two numbers: the width, and how far the ruler's column at the axis is from the tied one's.
        let (axis, column_there) = match tied {
            Some((axis, ruler)) => (axis, (axis - ruler.start) / ruler.pitch),
            None => (self.extent.left, 0.0),
        };
        let build = |[pitch, phase]: [f64; 2]| {
            let pitch = pitch.clamp(scales.0 * width, scales.1 * width);
            let phase = phase.clamp(-0.5, 0.5);
            ColumnRuler { start: axis - (column_there + phase) * pitch, pitch }
        };
        let cost = |v: [f64; 2], bound: f64| self.cost_of_rows(row_lines, rows.clone(), build(v), bound);
        let mut best = (f64::INFINITY, [width, 0.0]);
        for w in 0..WIDTHS {
            let pitch = width * (scales.0 + (scales.1 - scales.0) * w as f64 / (WIDTHS - 1) as f64);
            for p in 0..PHASES {
                let v = [pitch, (p as f64 + 0.5) / PHASES as f64 - 0.5];
                let c = cost(v, best.0);
                if c < best.0 {
                    best = (c, v);
                }
            }
        }
        build(descend(best.1, [width * 0.025, 0.06], cost))
    }

    /// Pixels that some rows misread; where that is more than a bound, any number above it.
    fn cost_of_rows(&self, row_lines: &[f64], rows: Range<usize>, ruler: ColumnRuler, bound: f64) -> f64 {
        let first = ((self.extent.left - ruler.start) / ruler.pitch).floor();
        let last = ((self.extent.right - ruler.start) / ruler.pitch).ceil();
        let columns = Columns {
            start: ruler.start + ruler.pitch * first,
            pitch: ruler.pitch,
            count: (last - first).max(0.0) as usize,
        };
        self.purity.misread(&row_lines[rows.start..=rows.end], columns, bound).wrong
    }

    /// The figure's upright axis, in working pixels: the middle of the neck, or of the head's lower
    /// half where there is no neck to see.
    fn axis(&self, row_lines: &[f64]) -> f64 {
        let from = row_lines[self.body_from.saturating_sub(2)];
        let to = row_lines[self.body_from];
        let band = |x: f64| Area { x, y: from, width: 1.0, height: (to - from).max(1.0) };
        let (mut sum, mut total) = (0.0, 0.0);
        for x in self.extent.left as usize..self.extent.right as usize {
            let subject = self.purity.misread_in(band(x as f64)).inside;
            sum += subject * (x as f64 + 0.5);
            total += subject;
        }
        if total > 0.0 { sum / total } else { (self.extent.left + self.extent.right) / 2.0 }
    }

    /// Lets the inner borders slide within [`LEAD`] of where they were guessed.
    fn slide(&self, lines: &ZoneLines, guessed: &ZoneLines, rulers: &Rulers) -> ZoneLines {
        /// The first step, and how low a row may become, in mean row heights.
        const STEP: f64 = 0.5;
        const LEAST_HEIGHT: f64 = 0.35;
        let inner = 1..lines.len() - 1;
        let with = |at: &[f64]| -> ZoneLines {
            let mut next = lines.clone();
            next[inner.clone()].iter_mut().zip(at).for_each(|(line, y)| line.1 = *y);
            next
        };
        let cost = |at: Vec<f64>, bound: f64| {
            let next = with(&at);
            let in_reach =
                next.iter().zip(guessed).all(|(line, first)| (line.1 - first.1).abs() <= LEAD * self.pitch);
            let rows_left = next.windows(2).all(|pair| {
                pair[1].1 - pair[0].1 >= LEAST_HEIGHT * self.pitch * (pair[1].0 - pair[0].0) as f64
            });
            if bound < f64::INFINITY && !(in_reach && rows_left) {
                return f64::INFINITY;
            }
            let row_lines = spread_rows(&next);
            let head = self.cost_of_rows(&row_lines, 0..self.body_from, rulers.head, bound);
            head + self.cost_of_rows(&row_lines, self.body_from..self.rows, rulers.body, bound - head)
        };
        let start: Vec<f64> = lines[inner.clone()].iter().map(|line| line.1).collect();
        let steps = vec![STEP * self.pitch; start.len()];
        with(&descend(start, steps, cost))
    }

    fn lattice(&self, lines: &ZoneLines, rulers: &Rulers, proportions: Proportions) -> Lattice {
        // Both rulers count the same columns: shift them together until column 0 holds the leftmost bead.
        let first = |r: ColumnRuler| ((self.extent.left - r.start) / r.pitch).floor();
        let last = |r: ColumnRuler| ((self.extent.right - r.start) / r.pitch).ceil();
        let (from, to) =
            (first(rulers.head).min(first(rulers.body)), last(rulers.head).max(last(rulers.body)));
        let shifted = |r: ColumnRuler| ColumnRuler { start: r.start + from * r.pitch, pitch: r.pitch };
        let at = |row: usize| if row < self.body_from { rulers.head } else { rulers.body };
        let mut lattice = Lattice {
            row_lines: spread_rows(lines),
            columns_at: (0..self.rows).map(|r| shifted(at(r))).collect(),
            columns: (to - from).max(1.0) as usize,
            windows: None,
            certainty: 1.0,
            proportions,
        };
        let half_off = [0.5, -0.5].map(|by| {
            let mut other = lattice.clone();
            other.columns_at.iter_mut().for_each(|r| r.start += by * r.pitch);
            other
        });
        lattice.certainty = certainty(self.purity, &lattice, half_off);
        lattice
    }
}

/// Everyday proportions of a drawn person, as shares of the height from crown to sole.
///
/// Common practice, no source: a drawn head takes as much height as about three and a half rows of
/// the plan would (an adult's a sixth to a seventh); neck and feet about a twenty-fifth each. Of what is
/// between shoulder and ankle an adult's torso takes 0.42 (ANSUR II: crotch at 0.48, shoulder at 0.82,
/// ankle at 0.04 of stature gives 0.44), a child's more, for its legs are short. Where the silhouette
/// shows a neck, the head ends there, however large it is drawn.
fn guessed(zones: &ZoneRows, extent: Extent, neck_seen: Option<f64>) -> ZoneLines {
    const HEAD_ROWS: f64 = 3.6;
    const NECK: f64 = 0.038;
    const FEET: f64 = 0.04;
    const TORSO: f64 = 0.42;
    const TORSO_OF_THE_SMALL: f64 = 0.0065;
    const TORSO_BOUNDS: (f64, f64) = (0.38, 0.52);
    const GROWN_ROWS: f64 = 24.0;
    let body_rows = (zones.total() - zones.get(Zone::Headwear)).max(1) as f64;
    let share = |zone: Zone, share: f64| if zones.get(zone) > 0 { share } else { 0.0 };
    let (neck, feet) = (share(Zone::Neck, NECK), share(Zone::Feet, FEET));
    // Head and headwear together end at the chin; each has its part by its rows.
    let above = (zones.get(Zone::Headwear) + zones.get(Zone::Head)) as f64;
    let everyday = (HEAD_ROWS / body_rows).min(0.5) * above / zones.get(Zone::Head).max(1) as f64;
    let seen = neck_seen.map(|seen| (seen - extent.top) / extent.height() - neck / 2.0);
    let to_chin = if above > 0.0 { seen.unwrap_or(everyday) } else { 0.0 };
    let part = |zone: Zone| to_chin * zones.get(zone) as f64 / above.max(1.0);
    let trunk = (1.0 - to_chin - neck - feet).max(0.1);
    let grown = TORSO + TORSO_OF_THE_SMALL * (GROWN_ROWS - body_rows);
    let torso = trunk
        * match (zones.get(Zone::Torso), zones.get(Zone::Legs)) {
            (0, _) => 0.0,
            (_, 0) => 1.0,
            _ => grown.clamp(TORSO_BOUNDS.0, TORSO_BOUNDS.1),
        };
    let shares = [part(Zone::Headwear), part(Zone::Head), neck, torso, trunk - torso, feet];
    let whole: f64 = zones.spans().map(|(zone, _, _)| shares[zone as usize]).sum();
    let scale = extent.height() / whole.max(1e-9);
    let mut y = extent.top;
    let mut lines = Vec::new();
    for (zone, first, _) in zones.spans() {
        lines.push((first, y));
        y += shares[zone as usize] * scale;
    }
    lines.push((zones.total(), extent.bottom));
    lines
}

/// Finds the neck, as a row of pixels: the narrowest place of the body's own column between the tops of head and torso.
fn find_neck(plane: &Array2<u8>, extent: Extent) -> Option<f64> {
    /// Where a neck can lie, as shares of the height: a head of a ninth to nearly a half.
    const HIGHEST: f64 = 0.11;
    const LOWEST: f64 = 0.45;
    let axis = axis_of(&plane.map(|label| *label != GROUND))?;
    let (top, bottom) = (extent.top as usize, extent.bottom as usize);
    let widths: Vec<f64> = (top..bottom).map(|y| width_at(plane, y, axis)).collect();
    let share = |share: f64| ((share * widths.len() as f64) as usize).min(widths.len());
    let band = share(HIGHEST)..share(LOWEST);
    let least = band.clone().filter(|&y| widths[y] > 0.0).min_by(|&a, &b| widths[a].total_cmp(&widths[b]))?;
    let widest = |range: Range<usize>| widths[range].iter().copied().fold(0.0, f64::max);
    // The shoulders lie close below; far below, a skirt would make any waist a neck.
    let (head, shoulders) = (widest(0..least), widest(least..share(LOWEST + 0.1)));
    if widths[least] > NARROWER * head || widths[least] > NARROWER * shoulders {
        return None;
    }
    // The middle of all rows that are as narrow.
    let alike = |y: &usize| widths[*y] <= AS_NARROW * widths[least];
    let first = (band.start..=least).rev().take_while(alike).last().unwrap_or(least);
    let last = (least..band.end).take_while(alike).last().unwrap_or(least);
    Some(extent.top + (first + last + 1) as f64 / 2.0)
}

/// How wide the figure is in a row of pixels, where it stands on its axis; 0 where it does not.
fn width_at(plane: &Array2<u8>, y: usize, axis: usize) -> f64 {
    let row = plane.row(y);
    let is_filled = |x: &usize| row[*x] != GROUND;
    if !is_filled(&axis) {
        return 0.0;
    }
    let left = (0..axis).rev().take_while(is_filled).count();
    let right = (axis..row.len()).take_while(is_filled).count();
    (left + right) as f64
}
