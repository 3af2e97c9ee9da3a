//! Rows of one height: the drawing's own proportions.

use super::purity::Purity;
use super::{ColumnRuler, Extent, Lattice, Proportions, certainty, descend};

/// Rows may be so much lower or higher than the subject's height divided by the rows.
const ROW_SCALES: (f64, f64) = (0.97, 1.045);

/// Columns may be so much narrower or wider than rows are high.
const COLUMN_SCALES: (f64, f64) = (0.955, 1.045);

/// Rows of one height. Searches four numbers: top, row height, left, column width.
pub(super) fn lay(purity: &Purity, extent: Extent, rows: usize) -> Lattice {
    let pitch = extent.height() / rows as f64;
    let build = |v: [f64; 4]| {
        let [top, height, left, width] = v;
        let row_lines = (0..=rows).map(|r| top + height * r as f64).collect();
        let ruler = whole_columns(left, width, extent);
        Lattice {
            row_lines,
            columns_at: vec![ruler.0; rows],
            columns: ruler.1,
            windows: None,
            certainty: 1.0,
            proportions: Proportions::AsDrawn,
        }
    };
    let bounds = |v: [f64; 4]| {
        let [top, height, left, width] = v;
        let height = height.clamp(ROW_SCALES.0 * pitch, ROW_SCALES.1 * pitch);
        let slack = 0.5 * pitch;
        // The rows must cover the subject, give or take half a bead.
        let low = (extent.bottom - height * rows as f64 - slack).min(extent.top - slack);
        let top = top.clamp(low, extent.top + slack);
        let width = width.clamp(COLUMN_SCALES.0 * height, COLUMN_SCALES.1 * height);
        [top, height, left, width]
    };
    let cost = |v: [f64; 4], bound: f64| purity.cost_within(&build(bounds(v)), bound);

    let mut best = (f64::INFINITY, [0.0; 4]);
    for start in starts(extent, rows, pitch) {
        let c = cost(start, best.0);
        if c < best.0 {
            best = (c, start);
        }
    }
    let steps = [0.16 * pitch, 0.02 * pitch, 0.16 * pitch, 0.02 * pitch];
    let found = bounds(descend(best.1, steps, cost));
    let mut lattice = build(found);
    let half_off = [(0.5, 0.0), (-0.5, 0.0), (0.0, 0.5), (0.0, -0.5)]
        .map(|(dx, dy)| build([found[0] + dy * pitch, found[1], found[2] + dx * pitch, found[3]]));
    lattice.certainty = certainty(purity, &lattice, half_off);
    lattice
}

/// Where the search begins: top, row height, left and column width, each in a few steps.
fn starts(extent: Extent, rows: usize, pitch: f64) -> impl Iterator<Item = [f64; 4]> {
    let heights = [0.98, 1.0, 1.02, 1.04].into_iter().map(move |scale| pitch * scale);
    heights.flat_map(move |height| {
        let middle = extent.top + (extent.height() - height * rows as f64) / 2.0;
        let tops = (-2..=2).map(move |down| middle + f64::from(down) * 0.16 * pitch);
        let widths = move || [0.97, 1.0, 1.03].into_iter().map(move |aspect| height * aspect);
        let lefts = move || (0..6).map(move |phase| extent.left - height * f64::from(phase) / 6.0);
        tops.flat_map(move |top| {
            widths().flat_map(move |width| lefts().map(move |left| [top, height, left, width]))
        })
    })
}

/// A ruler whose column 0 holds the subject's left edge, and how many columns reach its right one.
fn whole_columns(left: f64, width: f64, extent: Extent) -> (ColumnRuler, usize) {
    let skipped = ((extent.left - left) / width).floor();
    let start = left + skipped * width;
    let columns = ((extent.right - start) / width).ceil().max(1.0);
    (ColumnRuler { start, pitch: width }, columns as usize)
}
