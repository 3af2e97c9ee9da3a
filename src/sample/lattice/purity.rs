//! How pure a lattice's windows are, one label each: what the search for a lattice makes small.

use std::ops::Range;

use super::{ColumnRuler, Extent, Lattice};
use crate::reference::Area;
use crate::sample::labels::{GROUND, Labels};

/// Labels are summed four at a time: the length of an entry is a multiple of that.
const LANES: usize = 4;

/// Sums of each label over any window, from summed-area tables of the subject's box.
pub(crate) struct Purity {
    /// Row by row and column by column, each entry `width` counts: the labels from 1 on.
    tables: Vec<f32>,
    width: usize,
    /// The box the tables cover: its first row and column, and how many entries they have.
    top: f64,
    left: f64,
    rows: usize,
    columns: usize,
    /// Rows and columns of the whole picture.
    picture: (f64, f64),
    all_subject: f64,
}

/// Columns of one width: where the first begins, how wide they are, how many there are.
#[derive(Clone, Copy, Debug)]
pub(super) struct Columns {
    pub start: f64,
    pub pitch: f64,
    pub count: usize,
}

/// What windows misread: pixels that are not their window's winner's, and pixels of the subject in them.
#[derive(Clone, Copy, Debug, Default)]
pub(super) struct Misread {
    pub wrong: f64,
    pub inside: f64,
}

impl Purity {
    pub fn new(labels: &Labels) -> Self {
        let Extent { top, bottom, left, right } = Extent::of(&labels.plane);
        let (rows, columns) = ((bottom - top) as usize + 1, (right - left) as usize + 1);
        let width = labels.clusters.len().next_multiple_of(LANES).max(LANES);
        let mut tables = vec![0.0; rows * columns * width];
        let mut line = vec![0.0_f32; width];
        let mut all_subject = 0.0;
        for y in 1..rows {
            line.fill(0.0);
            let (above, own) = tables[(y - 1) * columns * width..].split_at_mut(columns * width);
            for x in 1..columns {
                let label = labels.plane[(top as usize + y - 1, left as usize + x - 1)];
                if label != GROUND {
                    line[label as usize - 1] += 1.0;
                    all_subject += 1.0;
                }
                let entry = x * width..(x + 1) * width;
                for ((own, above), line) in own[entry.clone()].iter_mut().zip(&above[entry]).zip(&line) {
                    *own = above + line;
                }
            }
        }
        let (height, breadth) = labels.plane.dim();
        Self {
            tables,
            width,
            top,
            left,
            rows,
            columns,
            picture: (height as f64, breadth as f64),
            all_subject,
        }
    }

    /// What one window misreads. What lies beyond the picture counts as nothing.
    pub(super) fn misread_in(&self, window: Area) -> Misread {
        let columns = Columns { start: window.x, pitch: window.width, count: 1 };
        self.misread(&[window.y, window.y + window.height], columns, f64::INFINITY)
    }

    /// What the windows between row lines misread, all with the same columns; stops where that becomes more
    /// than `bound` pixels.
    pub(super) fn misread(&self, row_lines: &[f64], columns: Columns, bound: f64) -> Misread {
        let xs: Vec<f64> = (0..=columns.count).map(|c| columns.start + columns.pitch * c as f64).collect();
        let places: Vec<_> = xs.iter().map(|x| split(x - self.left, self.columns)).collect();
        let widths: Vec<f64> = xs.windows(2).map(|x| within(x[0], x[1], self.picture.1)).collect();
        let mut above = vec![0.0; xs.len() * self.width];
        let mut below = above.clone();
        let mut sum = Misread::default();
        for (i, &y) in row_lines.iter().enumerate() {
            self.sums_along(y, &places, &mut below);
            if i > 0 {
                let height = within(row_lines[i - 1], y, self.picture.0);
                let sums = above.chunks_exact(self.width).zip(below.chunks_exact(self.width));
                for ((above, below), width) in sums.zip(&widths) {
                    let one = window(above, below, height * width);
                    sum.wrong += one.wrong;
                    sum.inside += one.inside;
                }
                if sum.wrong > bound {
                    return sum;
                }
            }
            std::mem::swap(&mut above, &mut below);
        }
        sum
    }

    /// The sums of each column from the tables' top to a row line.
    fn sums_along(&self, y: f64, places: &[(usize, usize, f32)], out: &mut [f32]) {
        let (up, down, part) = split(y - self.top, self.rows);
        let row = |at: usize| &self.tables[at * self.columns * self.width..][..self.columns * self.width];
        let (up, down) = (row(up), row(down));
        for (&(left, right, along), out) in places.iter().zip(out.chunks_exact_mut(self.width)) {
            let weights =
                [(1.0 - part) * (1.0 - along), (1.0 - part) * along, part * (1.0 - along), part * along];
            let entry = |at: usize| at * self.width..(at + 1) * self.width;
            let upper = up[entry(left)].iter().zip(&up[entry(right)]);
            let lower = down[entry(left)].iter().zip(&down[entry(right)]);
            for (((a, b), (c, d)), out) in upper.zip(lower).zip(out) {
                *out = weights[0] * a + weights[1] * b + weights[2] * c + weights[3] * d;
            }
        }
        let mut left = out;
        while left.len() > self.width {
            let (own, next) = left.split_at_mut(self.width);
            own.iter_mut().zip(&*next).for_each(|(own, next)| *own = next - *own);
            left = next;
        }
    }

    /// The share of the subject's pixels that a lattice misreads, plus what of the subject it leaves out.
    pub fn cost(&self, lattice: &Lattice) -> f64 {
        self.cost_within(lattice, f64::INFINITY)
    }

    /// The cost, or infinity where it is certain to lie above a bound.
    pub fn cost_within(&self, lattice: &Lattice, bound: f64) -> f64 {
        let whole = self.all_subject.max(1.0);
        let mut sum = Misread::default();
        for rows in runs(&lattice.columns_at) {
            let columns = lattice.columns_of(rows.start);
            let lines = &lattice.row_lines[rows.start..=rows.end];
            let Misread { wrong, inside } = self.misread(lines, columns, bound * whole - sum.wrong);
            sum.wrong += wrong;
            sum.inside += inside;
            if sum.wrong > bound * whole {
                return f64::INFINITY;
            }
        }
        (sum.wrong + (self.all_subject - sum.inside).max(0.0)) / whole
    }
}

/// What a window of so many pixels misreads, from its column's sums to its upper and to its lower line.
fn window(above: &[f32], below: &[f32], area: f64) -> Misread {
    let mut most = [0.0_f32; LANES];
    let mut all = [0.0_f32; LANES];
    for (above, below) in above.as_chunks::<LANES>().0.iter().zip(below.as_chunks::<LANES>().0) {
        for i in 0..LANES {
            let share: f32 = (below[i] - above[i]).max(0.0);
            most[i] = most[i].max(share);
            all[i] += share;
        }
    }
    let inside = f64::from(all.iter().sum::<f32>());
    let ground = (area - inside).max(0.0);
    let most = f64::from(most.into_iter().fold(0.0, f32::max)).max(ground);
    Misread { wrong: inside + ground - most, inside }
}

/// Runs of rows with the same columns.
fn runs(rulers: &[ColumnRuler]) -> impl Iterator<Item = Range<usize>> {
    let mut start = 0;
    rulers.chunk_by(|a, b| a == b).map(move |run| {
        let rows = start..start + run.len();
        start = rows.end;
        rows
    })
}

/// The two table entries a place lies between, and how far it is from the first.
fn split(at: f64, entries: usize) -> (usize, usize, f32) {
    let at = at.clamp(0.0, (entries - 1) as f64);
    let low = at as usize;
    (low, (low + 1).min(entries - 1), (at - low as f64) as f32)
}

/// How much of a span lies within the picture.
fn within(from: f64, to: f64, most: f64) -> f64 {
    to.clamp(0.0, most) - from.clamp(0.0, most)
}
