//! Zones stretched to the plan's rows: a drawing in natural proportions brought to beads.

use std::ops::Range;

use ndarray::Array2;

use super::purity::{Columns, Purity};
use super::{ColumnRuler, Extent, Lattice, Proportions, ZoneLines, descend, spread_rows};
use crate::plan::{Marks, Zone, ZoneRows};
use crate::reference::{Area, Reference};
use crate::sample::body;

/// A body's columns against the mean row height: natural bodies are narrower than the plan's.
const BODY_SCALES: (f64, f64) = (0.75, 1.15);

/// A head's columns against its own row height.
const HEAD_SCALES: (f64, f64) = (0.85, 1.3);

/// How far a guessed landmark may slide to make the windows purer, in mean row heights.
const LEAD: f64 = 1.2;

/// Stretches the zones by where the body shows them; those that the maker did not give may slide a little.
pub(super) fn stretched(
    (purity, extent): (&Purity, Extent),
    plane: &Array2<u8>,
    zones: &ZoneRows,
    marks: Option<&Marks>,
    reference: &Reference,
) -> Lattice {
    /// Borders and columns are found in turns; it settles in two or three.
    const TURNS: usize = 3;
    let search = Search::new(purity, extent, zones);
    let first = body::zone_lines(plane, zones, marks, reference).unwrap_or_else(|| search.even_lines(zones));
    let rulers = search.rulers(&first);
    if marks.is_some() {
        return search.lattice(&first, &rulers, Proportions::MarksGiven);
    }
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
        let body = zones.spans().find(|(zone, _, _)| *zone >= Zone::Torso);
        let body_from = body.map_or(rows, |(_, first, _)| first);
        Self { purity, extent, rows, pitch: extent.height() / rows as f64, body_from }
    }

    /// Rows of one height, where nothing of a body is seen.
    fn even_lines(&self, zones: &ZoneRows) -> ZoneLines {
        let firsts = zones.spans().map(|(_, first, _)| first).chain([self.rows]);
        firsts.map(|row| (row, self.extent.top + self.pitch * row as f64)).collect()
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
        let half_off = |lattice: &Lattice, by: f64| {
            let mut other = lattice.clone();
            other.columns_at.iter_mut().for_each(|r| r.start += by * r.pitch);
            self.purity.cost(&other)
        };
        let other = half_off(&lattice, 0.5).min(half_off(&lattice, -0.5));
        let found = self.purity.cost(&lattice);
        lattice.certainty = if other > 0.0 { (1.0_f64 - found / other).clamp(0.0, 1.0) } else { 1.0 };
        lattice
    }
}
