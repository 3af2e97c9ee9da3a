//! Beads on their way to the figure: what each window shows and which colour each bead takes.

use std::collections::BTreeMap;

use super::columns::Stretch;
use super::signs::{Peg, Sign};
use super::silhouette;
use crate::colour::Lab;
use crate::grid::Grid;
use crate::plan::{Zone, ZoneRows};
use crate::reference::Area;
use crate::sample::labels::{GROUND, Labels};
use crate::sample::lattice::{Lattice, Proportions};
use crate::sample::reduce::{colours_by_share, weighed_shares};
use crate::sample::{BeadSample, Cluster, Share};
use crate::units::{Column, Row};

/// A bead outside the body's own needs this share of its window.
const COVERED: f64 = 0.5;

/// A bead of the body takes the colour that covers at least so much of its window.
pub(super) const SHOWS: f64 = 0.3;

/// Beads on their way to the figure, by row and column from the axis.
pub(super) struct Reading<'a> {
    pub labels: Labels,
    pub lines: &'a [f64],
    pub rows: &'a [Vec<Stretch>],
    pub zones: &'a ZoneRows,
    /// The label each bead takes; [`GROUND`] where cloth as pale as the ground must lie.
    pub colours: BTreeMap<Peg, u8>,
    pub shares: BTreeMap<Peg, Vec<f64>>,
    /// Beads set for something smaller than their windows, each with how much speaks for it.
    pub signs: BTreeMap<Peg, f64>,
}

impl<'a> Reading<'a> {
    pub fn new(
        labels: Labels,
        zones: &'a ZoneRows,
        lines: &'a [f64],
        rows: &'a [Vec<Stretch>],
        pale_is_cloth: impl Fn(usize) -> bool,
    ) -> Self {
        let mut shares = BTreeMap::new();
        let mut colours = BTreeMap::new();
        for (row, stretches) in rows.iter().enumerate() {
            for stretch in stretches {
                let seen = weighed_shares(&labels, window(lines, row, *stretch));
                let cover = 1.0 - seen[usize::from(GROUND)];
                let (label, share) = most(&seen);
                let peg = (row, stretch.column);
                if share > 0.0 && (cover >= COVERED || share >= SHOWS && is_body(zones, row, *stretch)) {
                    colours.insert(peg, label);
                } else if is_body(zones, row, *stretch) && pale_is_cloth(row) && is_inner(stretches, *stretch)
                {
                    colours.insert(peg, GROUND);
                }
                shares.insert(peg, seen);
            }
        }
        Self { labels, lines, rows, zones, colours, shares, signs: BTreeMap::new() }
    }

    /// Sets a sign as a whole bead.
    pub fn set(&mut self, peg: Peg, sign: Sign) {
        self.colours.insert(peg, sign.label);
        self.signs.insert(peg, sign.stands);
    }

    /// Gives a bead another label; what speaks for the one it had speaks for the new one.
    pub fn turn(&mut self, peg: Peg, label: u8) {
        let Some(had) = self.colours.insert(peg, label) else { return };
        let Some(shares) = self.shares.get_mut(&peg) else { return };
        let (had, label) = (usize::from(had), usize::from(label));
        shares.resize(shares.len().max(had + 1).max(label + 1), 0.0);
        shares[label] += std::mem::take(&mut shares[had]);
    }

    pub fn stretch(&self, (row, column): Peg) -> Option<Stretch> {
        self.rows.get(row)?.iter().copied().find(|s| s.column == column)
    }

    /// A colour beside those of the drawing; its label.
    pub fn add_colour(&mut self, colour: Lab, pixels: usize) -> u8 {
        self.labels.clusters.push(Cluster { colour, pixels, spread: 0.0, possible: Vec::new() });
        self.labels.clusters.len() as u8
    }

    /// The windows of all beads and what each shows.
    pub fn finish(&self, pitch: f64, proportions: Proportions) -> (Lattice, Grid<BeadSample>) {
        let columns = || self.colours.keys().map(|peg| peg.1);
        let (first, last) = (columns().min().unwrap_or(0), columns().max().unwrap_or(0));
        let count = (last - first + 1) as usize;
        let windows = Grid::from_fn(self.rows.len(), count, |row, column| {
            self.window_at(row.0, first + column.0 as i32, pitch)
        });
        let beads = Grid::from_fn(self.rows.len(), count, |row: Row, column: Column| {
            self.sample((row.0, first + column.0 as i32))
        });
        (Lattice::of_windows(self.lines.to_vec(), windows, proportions), beads)
    }

    /// The window of any place: its own stretch, or where it would lie beside the row's others.
    pub fn window_at(&self, row: usize, column: i32, pitch: f64) -> Area {
        let stretches = &self.rows[row];
        let own = stretches.iter().find(|s| s.column == column).map(|s| s.span);
        let before = stretches.iter().rfind(|s| s.column < column);
        let after = stretches.iter().find(|s| s.column > column);
        let span = own.unwrap_or_else(|| match (before, after) {
            (Some(b), Some(a)) => {
                let width = (a.span.from - b.span.to).max(1.0) / f64::from(a.column - b.column - 1).max(1.0);
                let from = b.span.to + width * f64::from(column - b.column - 1);
                silhouette::Span { from, to: from + width }
            }
            (Some(b), None) => {
                let from = b.span.to + pitch * f64::from(column - b.column - 1);
                silhouette::Span { from, to: from + pitch }
            }
            (None, Some(a)) => {
                let to = a.span.from - pitch * f64::from(a.column - column - 1);
                silhouette::Span { from: to - pitch, to }
            }
            (None, None) => silhouette::Span { from: 0.0, to: pitch },
        });
        window(self.lines, row, Stretch { column, span, core: false })
    }

    pub fn sample(&self, peg: Peg) -> BeadSample {
        let none = Vec::new();
        let shares = self.shares.get(&peg).unwrap_or(&none);
        let cover = 1.0 - shares.first().copied().unwrap_or(1.0);
        let mut colours = colours_by_share(shares);
        let Some(&label) = self.colours.get(&peg) else {
            return BeadSample { filled: false, cover, colours, is_mark: false };
        };
        let colour = usize::from(label) - 1;
        let place = colours.iter().position(|c| c.colour == colour).unwrap_or_else(|| {
            colours.push(Share { colour, share: 0.0 });
            colours.len() - 1
        });
        colours[..=place].rotate_right(1);
        let stands = self.signs.get(&peg).copied();
        if let Some(stands) = stands {
            give_share(&mut colours, stands);
        }
        BeadSample { filled: true, cover, colours, is_mark: stands.is_some() }
    }
}

/// Gives the first colour at least a share of its own; the others keep what is left.
fn give_share(colours: &mut [Share], least: f64) {
    let Some((first, others)) = colours.split_first_mut() else { return };
    first.share = first.share.max(least);
    let sum: f64 = others.iter().map(|o| o.share).sum();
    let left = 1.0 - first.share;
    if sum > left {
        others.iter_mut().for_each(|o| o.share *= left / sum);
    }
}

pub(super) fn window(lines: &[f64], row: usize, stretch: Stretch) -> Area {
    let (top, bottom) = (lines[row], lines[row + 1]);
    Area {
        x: stretch.span.from,
        y: top,
        width: stretch.span.width().max(1.0),
        height: (bottom - top).max(1.0),
    }
}

/// The label but ground that fills most of a window, and its share.
pub(super) fn most(shares: &[f64]) -> (u8, f64) {
    let first = (GROUND, 0.0);
    shares.iter().enumerate().skip(1).fold(
        first,
        |best, (label, &share)| {
            if share > best.1 { (label as u8, share) } else { best }
        },
    )
}

/// Whether the plan has a bead there whatever the outline says: the body itself, the face, not what the hair
/// rounds off.
fn is_body(zones: &ZoneRows, row: usize, stretch: Stretch) -> bool {
    let zone = zones.spans().find(|(_, first, rows)| row < first + rows);
    let Some((zone, first, rows)) = zone else { return false };
    let is_face = || (first + 1..first + rows).contains(&row) && stretch.column.abs() <= 1;
    match zone {
        Zone::Headwear | Zone::Neck | Zone::Feet => false,
        Zone::Head => stretch.core && is_face(),
        Zone::Torso | Zone::Legs => stretch.core,
    }
}

/// Whether the body goes on to both sides; at its outside a rounded shoulder leaves a bead out.
fn is_inner(row: &[Stretch], stretch: Stretch) -> bool {
    let core = |at: i32| row.iter().any(|s| s.core && s.column == at);
    core(stretch.column - 1) && core(stretch.column + 1)
}
