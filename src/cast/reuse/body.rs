//! Where trunk and legs of a figure stand, as far as widening it needs to know.

use std::collections::BTreeMap;
use std::ops::RangeInclusive;

use super::rows::span_of;
use crate::figure::{Anatomy, Figure, Placed};
use crate::grid::Grid;
use crate::plan::Zone;
use crate::units::{Column, Row};

/// Columns from one to another.
pub(super) type Columns = RangeInclusive<usize>;

/// The widest leg, and the widest gap between two: farther apart is no pair of legs.
const WIDEST_LEG: usize = 4;
const WIDEST_GAP: usize = 3;

/// Rows below the shoulder in which arms are one with the trunk.
const SHOULDER: usize = 2;

/// Trunk and legs of a figure, in columns.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Body {
    /// The trunk without arms.
    pub torso: Columns,
    /// The looker's left and right leg; none under a long gown.
    pub legs: Option<(Columns, Columns)>,
}

impl Body {
    /// The body of a figure with zones; none where no trunk is seen.
    pub(super) fn of(figure: &Figure) -> Option<Self> {
        let beads = figure.beads();
        // Twice the column it stands about, which is counted in halves.
        let axis = (Anatomy::of(figure).axis()? * 2.0).round().max(0.0) as usize;
        let legs = legs(figure, &beads, axis);
        let torso = torso(figure, &beads, axis, legs.as_ref())?;
        Some(Self { torso, legs })
    }

    pub(super) fn torso_wide(&self) -> usize {
        wide(&self.torso)
    }

    /// Beads across a leg; none where no two legs are seen.
    pub(super) fn leg_wide(&self) -> Option<usize> {
        self.legs.as_ref().map(|(left, right)| wide(left).max(wide(right)))
    }
}

pub(super) fn wide(columns: &Columns) -> usize {
    columns.end() + 1 - columns.start()
}

fn rows_of(figure: &Figure, zone: Zone) -> std::ops::Range<usize> {
    let span = figure.rows().and_then(|rows| span_of(rows, zone));
    span.map_or(0..0, |(first, rows)| first..first + rows)
}

/// Runs of beads in a row.
fn runs(beads: &Grid<Option<Placed>>, row: usize) -> Vec<Columns> {
    let filled = |c: usize| beads[(Row(row), Column(c))].is_some();
    let mut runs: Vec<Columns> = Vec::new();
    for column in (0..beads.columns()).filter(|c| filled(*c)) {
        match runs.last_mut() {
            Some(last) if last.end() + 1 == column => *last = *last.start()..=column,
            _ => runs.push(column..=column),
        }
    }
    runs
}

/// The pair of runs in the rows of the legs that is seen most often, nearest to the axis.
fn legs(figure: &Figure, beads: &Grid<Option<Placed>>, axis: usize) -> Option<(Columns, Columns)> {
    let mut seen: BTreeMap<(usize, usize, usize, usize), usize> = BTreeMap::new();
    for row in rows_of(figure, Zone::Legs) {
        let runs = runs(beads, row);
        let pairs = runs.windows(2).filter(|pair| {
            let gap = pair[1].start() - pair[0].end() - 1;
            gap <= WIDEST_GAP && wide(&pair[0]) <= WIDEST_LEG && wide(&pair[1]) <= WIDEST_LEG
        });
        let off = |pair: &[Columns]| (pair[0].start() + pair[1].end()).abs_diff(axis);
        let pair = pairs.min_by_key(|pair| off(pair)).filter(|pair| off(pair) <= 2 * WIDEST_GAP);
        if let Some([left, right]) = pair {
            *seen.entry((*left.start(), *left.end(), *right.start(), *right.end())).or_default() += 1;
        }
    }
    let (&(a, b, c, d), _) = seen.iter().max_by_key(|(_, rows)| **rows)?;
    Some((a..=b, c..=d))
}

/// The run about the axis that the rows of the torso show most often; where arms hide it, what the legs stand under.
fn torso(
    figure: &Figure,
    beads: &Grid<Option<Placed>>,
    axis: usize,
    legs: Option<&(Columns, Columns)>,
) -> Option<Columns> {
    let rows = rows_of(figure, Zone::Torso);
    let below = if rows.len() > SHOULDER { rows.start + SHOULDER..rows.end } else { rows };
    let mut seen: BTreeMap<(usize, usize), usize> = BTreeMap::new();
    for row in below {
        let about =
            runs(beads, row).into_iter().find(|run| 2 * run.start() <= axis + 1 && axis <= 2 * run.end() + 1);
        if let Some(run) = about {
            *seen.entry((*run.start(), *run.end())).or_default() += 1;
        }
    }
    let (&(start, end), _) = seen.iter().max_by_key(|((start, end), rows)| (**rows, start.abs_diff(*end)))?;
    let run = start..=end;
    match legs {
        // Arms that touch the trunk are no part of it.
        Some((left, right)) if wide(&run) > right.end() + 1 - left.start() + 2 => {
            Some(*left.start()..=*right.end())
        }
        _ => Some(run),
    }
}
