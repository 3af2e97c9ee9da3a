//! A figure larger than a page: parts that overlap by two beads, with marks to lay them on one another.

use std::ops::Range;

use super::super::drawing::{Anchor, Pen, Point, at};
use super::super::font::Face;
use super::super::kinds::Kinds;
use super::block::{HEAD, head};
use super::field::{Field, Measures, Window};
use super::pages::{FAINT, INK, Pages, RULE, words};

/// Beads that stand on both of two neighbouring parts.
const OVERLAP: usize = 2;

/// Room right of and under a part's beads, for the marks.
const ROUND: f64 = 6.0;

/// Radius of a mark's ring.
/// At most, and in pegs' distance: they stand between the numbers of rows and columns.
const TARGET: (f64, f64) = (1.0, 0.2);
/// Length of the cross's arms, in radii.
const ARM: f64 = 1.35;
const STROKE: f64 = 0.18;

/// Width and height of a part in the little map.
const MAP: (f64, f64) = (4.0, 5.0);

/// The parts of a figure: the windows of each row of parts.
struct Parts {
    columns: Vec<Range<usize>>,
    rows: Vec<Range<usize>>,
    /// Row by row, the number of each part as it is printed, from 1; none of a part without a bead, which is left out.
    numbers: Vec<Option<usize>>,
}

impl Parts {
    fn of(figure: &Kinds, columns: Vec<Range<usize>>, rows: Vec<Range<usize>>) -> Self {
        let mut parts = Self { columns, rows, numbers: Vec::new() };
        let mut number = 0;
        let mut next = |window: &Window| {
            let has_bead = has_bead(figure, window);
            number += usize::from(has_bead);
            has_bead.then_some(number)
        };
        parts.numbers = parts.windows().iter().map(&mut next).collect();
        parts
    }

    /// All parts, row by row.
    fn windows(&self) -> Vec<Window> {
        let of_row = |rows: &Range<usize>| {
            let part = |columns: &Range<usize>| Window { rows: rows.clone(), columns: columns.clone() };
            self.columns.iter().map(part).collect::<Vec<_>>()
        };
        self.rows.iter().flat_map(of_row).collect()
    }

    /// How many are printed.
    fn count(&self) -> usize {
        self.numbers.iter().flatten().count()
    }

    /// A part's number as it is printed; nothing where it is left out or there is none.
    fn number(&self, across: usize, down: usize) -> Option<usize> {
        self.numbers.get(down * self.columns.len() + across).copied().flatten()
    }
}

/// Whether a bead stands in a window.
fn has_bead(figure: &Kinds, window: &Window) -> bool {
    let Window { rows, columns } = window;
    figure
        .beads
        .iter()
        .any(|(row, column, kind)| kind.is_some() && rows.contains(&row.0) && columns.contains(&column.0))
}

/// Parts of a length, as equal as can be, each no longer than a page holds.
fn split(length: usize, room: f64, pitch: f64) -> Vec<Range<usize>> {
    // The largest pitch leaves room for several beads on the smallest paper.
    let most = ((room / pitch).floor().max(0.0) as usize).max(OVERLAP + 1);
    if length <= most {
        return std::iter::once(0..length).collect();
    }
    let parts = (length - OVERLAP).div_ceil(most - OVERLAP);
    let step = (length - OVERLAP).div_ceil(parts);
    let starts = (0..parts).map(|part| part * step).filter(|start| start + OVERLAP < length);
    starts.map(|start| start..(start + step + OVERLAP).min(length)).collect()
}

/// Lays a figure in parts, a page each. Says whether the runs stand beside their rows.
pub(super) fn lay(pages: &mut Pages, figure: &Kinds, measures: Measures) -> bool {
    let measures = measures.with_words();
    let (dx, dy) = measures.to_beads();
    let columns = split(figure.beads.columns(), pages.width() - dx - ROUND, measures.pitch);
    let rows = split(figure.beads.rows(), pages.height() - HEAD - dy - ROUND, measures.pitch);
    let parts = Parts::of(figure, columns, rows);
    let windows = parts.windows();
    let runs: Option<Vec<_>> = match parts.columns.len() {
        1 => windows.iter().map(|window| measures.runs(figure, window, pages.width())).collect(),
        _ => None,
    };
    for (i, window) in windows.into_iter().enumerate() {
        let (across, down) = (i % parts.columns.len(), i / parts.columns.len());
        let Some(number) = parts.number(across, down) else { continue };
        pages.turn();
        map(pages, (parts.columns.len(), parts.rows.len()), (across, down));
        head(pages, figure, &format!(" – part {number} of {}", parts.count()));
        let corner = at(pages.left() + dx, pages.y + dy);
        // Where another part goes on, the board does too.
        let right = corner.x + window.columns.len() as f64 * measures.pitch;
        let bottom = corner.y + window.rows.len() as f64 * measures.pitch;
        let (last_across, last_down) = (across + 1 == parts.columns.len(), down + 1 == parts.rows.len());
        let field = Field {
            figure,
            window,
            measures,
            corner,
            left: pages.left(),
            right: if last_across { pages.right() } else { right },
            bottom: if last_down { pages.bottom() } else { bottom },
        };
        let (pen, symbols) = pages.pen_and_symbols();
        field.lay(pen, symbols, runs.as_ref().and_then(|runs| runs.get(i)));
        marks(pen, &field, &parts, (across, down));
        pages.y = pages.bottom();
    }
    runs.is_some()
}

/// Which part this is of the whole, small in the corner; how many there are and which it is, across and down.
pub(super) fn map(pages: &mut Pages, (across, down): (usize, usize), here: (usize, usize)) {
    // More parts than fit are told by the columns' and rows' numbers alone.
    const MOST: usize = 12;
    let scale = (HEAD - 3.0) / (down as f64 * MAP.1).max(HEAD - 3.0);
    let (width, height) = (MAP.0 * scale, MAP.1 * scale);
    if across > MOST || down > MOST {
        return;
    }
    let left = pages.right() - across as f64 * width;
    let top = pages.y;
    let pen = pages.pen();
    for row in 0..down {
        for column in 0..across {
            let corner = at(left + column as f64 * width, top + row as f64 * height);
            if (column, row) == here {
                pen.block(corner, (width, height), INK);
            }
            pen.frame(corner, (width, height), 0.15, RULE);
        }
    }
}

/// Lines along the middle of each overlap with a target at both ends, and the part that joins there.
fn marks(pen: &mut Pen, field: &Field, parts: &Parts, (across, down): (usize, usize)) {
    let Window { rows, columns } = &field.window;
    let (rows_above, columns_before) = field.measures.gutter;
    let pitch = field.measures.pitch;
    let (left, right) = (field.x(columns.start), field.x(columns.end));
    let (top, bottom) = (field.y(rows.start), field.y(rows.end));
    let above = top - rows_above as f64 * pitch / 2.0;
    let before = left - columns_before as f64 * pitch / 2.0;
    let (under, beside) = (bottom + 2.4, right + 2.4);
    let small = words(Face::Regular, 6.5, FAINT);
    let half = OVERLAP / 2;
    let radius = TARGET.0.min(TARGET.1 * pitch);
    let arm = ARM * radius;
    let joined = |line: usize, across: usize, down: usize| Some((line, parts.number(across, down)?));
    let upright = [
        across.checked_sub(1).and_then(|other| joined(columns.start + half, other, down)),
        (across + 1 < parts.columns.len()).then(|| joined(columns.end - half, across + 1, down)).flatten(),
    ];
    for (line, other) in upright.into_iter().flatten() {
        let x = field.x(line);
        pen.dashes(at(x, above + arm), at(x, under - arm), STROKE, INK, 1.2);
        target(pen, at(x, above), radius);
        target(pen, at(x, under), radius);
        let joins = format!("joins part {other}");
        pen.text(at(x, under + 4.2), Anchor::Middle, small, &joins);
    }
    let level = [
        down.checked_sub(1).and_then(|other| joined(rows.start + half, across, other)),
        (down + 1 < parts.rows.len()).then(|| joined(rows.end - half, across, down + 1)).flatten(),
    ];
    for (line, other) in level.into_iter().flatten() {
        let y = field.y(line);
        pen.dashes(at(before + arm, y), at(beside - arm, y), STROKE, INK, 1.2);
        target(pen, at(before, y), radius);
        target(pen, at(beside, y), radius);
        let joins = format!("joins part {other}");
        pen.text(at(field.left, y - 0.8), Anchor::Left, small, &joins);
    }
}

/// A cross in a ring.
fn target(pen: &mut Pen, middle: Point, radius: f64) {
    let (Point { x, y }, arm) = (middle, ARM * radius);
    pen.ring(middle, radius, STROKE, INK);
    pen.line(at(x - arm, y), at(x + arm, y), STROKE, INK);
    pen.line(at(x, y - arm), at(x, y + arm), STROKE, INK);
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn parts_overlap_by_two_and_leave_nothing_out() {
        for length in 1..400 {
            for most in 3..60 {
                let parts = split(length, most as f64, 1.0);
                assert_eq!((parts[0].start, parts[parts.len() - 1].end), (0, length));
                assert!(parts.iter().all(|part| part.len() <= most), "{length} in {most}: {parts:?}");
                let overlaps = parts.windows(2).all(|pair| pair[0].end == pair[1].start + OVERLAP);
                assert!(overlaps, "{length} in {most}: {parts:?}");
            }
        }
    }
}
