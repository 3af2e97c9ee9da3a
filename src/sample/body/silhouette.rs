//! The figure's outline, read row by row.

use std::ops::Range;

use ndarray::Array2;

use crate::grid::commonest;
use crate::reference::Area;
use crate::reference::mask::{axis_of, pieces_around, window};
use crate::sample::labels::GROUND;

/// A stretch of a row of pixels, in working pixels from the left.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Span {
    pub from: f64,
    pub to: f64,
}

impl Span {
    pub fn width(self) -> f64 {
        self.to - self.from
    }

    pub fn middle(self) -> f64 {
        f64::midpoint(self.from, self.to)
    }

    /// The pixels it touches, of so many.
    pub fn pixels(self, most: usize) -> Range<usize> {
        let clamp = |v: f64| (v.max(0.0) as usize).min(most);
        clamp(self.from)..clamp(self.to)
    }

    /// So much longer at both ends.
    pub fn wider(self, by: f64) -> Self {
        Self { from: self.from - by, to: self.to + by }
    }

    /// What of it lies in another; of no width or less where nothing does.
    pub fn within(self, other: Self) -> Self {
        Self { from: self.from.max(other.from), to: self.to.min(other.to) }
    }

    /// With what lies between it and another.
    pub fn with(self, other: Self) -> Self {
        Self { from: self.from.min(other.from), to: self.to.max(other.to) }
    }

    /// How far a place lies outside it; 0 inside.
    pub fn distance(self, x: f64) -> f64 {
        (self.from - x).max(x - self.to).max(0.0)
    }

    /// What it has in common with another, in pixels.
    pub fn shared(self, other: Self) -> f64 {
        self.within(other).width().max(0.0)
    }
}

/// A window's stretch from above to below, and from left to right.
pub(super) fn spans_of(Area { x, y, width, height }: Area) -> (Span, Span) {
    (Span { from: y, to: y + height }, Span { from: x, to: x + width })
}

/// The rows and the columns of pixels that a window touches, of so many.
pub(super) fn pixels_of(area: Area, (rows, columns): (usize, usize)) -> (Range<usize>, Range<usize>) {
    let (down, across) = spans_of(area);
    (down.pixels(rows), across.pixels(columns))
}

/// A slit lower than this, in beads, does not end the head.
pub(super) const SLIT: f64 = 0.5;

/// The nearest of some spans to a place; of equally near ones the first.
pub(super) fn nearest(spans: &[Span], x: f64) -> Option<Span> {
    spans.iter().copied().min_by(|a, b| a.distance(x).total_cmp(&b.distance(x)))
}

/// Where the figure is, and how it stands.
pub(super) struct Silhouette {
    filled: Array2<bool>,
    /// First row of the figure and the one past its last, in working pixels.
    pub top: usize,
    pub bottom: usize,
    pub left: f64,
    pub right: f64,
    /// The column half of the figure lies to the left of.
    pub axis: f64,
    /// Height of one bead, were all rows alike.
    pub pitch: f64,
    /// Where the trunk and the head above it lie in each row of pixels, from the first row of the head on.
    upright: Vec<f64>,
    /// The first row of what stands on the trunk: a bar or a hand held above the head is not it.
    pub crown: usize,
}

impl Silhouette {
    /// The outline of what is not ground; `rows` are the figure's beads from top to bottom. None where there
    /// is nothing.
    pub fn of(plane: &Array2<u8>, rows: usize) -> Option<Self> {
        let filled = plane.map(|label| *label != GROUND);
        let rows_filled: Vec<usize> =
            (0..filled.nrows()).filter(|&y| filled.row(y).iter().any(|f| *f)).collect();
        let weights: Vec<usize> =
            filled.columns().into_iter().map(|c| c.iter().filter(|f| **f).count()).collect();
        let (top, bottom) = (*rows_filled.first()?, rows_filled.last()? + 1);
        let axis = axis_of(&filled)?;
        let left = weights.iter().position(|w| *w > 0)? as f64;
        let right = (weights.iter().rposition(|w| *w > 0)? + 1) as f64;
        let pitch = (bottom - top) as f64 / rows.max(1) as f64;
        let axis = axis as f64;
        let mut outline =
            Self { filled, top, bottom, left, right, axis, pitch, upright: Vec::new(), crown: top };
        (outline.crown, outline.upright) = outline.climbed();
        Some(outline)
    }

    /// Climbs from the middle of the figure along its trunk to the top of its head: the first row, and the column
    /// in each row of pixels. A head may lean or look aside, so that no one column serves; where trunk, head and
    /// raised arms part, the head is what is broad and near.
    fn climbed(&self) -> (usize, Vec<f64>) {
        /// The column keeps so far from the outline's edges, in beads.
        const WITHIN: f64 = 0.5;
        let start = self.top + (self.bottom - self.top) / 2;
        let mut upright = vec![self.axis; self.filled.nrows()];
        let Some(mut on) = nearest(&self.spans_at(start as f64), self.axis) else {
            return (self.top, upright);
        };
        let (mut x, mut crown) = (self.axis.clamp(on.from, on.to), start);
        for y in (self.top..=start).rev() {
            let breadth = |span: &Span| self.breadth_above(*span, y) / (1.0 + span.distance(x) / self.pitch);
            let above = self.spans_at(y as f64).into_iter().filter(|span| span.shared(on) > 0.0);
            // Of equally broad ones the one the column is on.
            let best = above.max_by(|a, b| {
                breadth(a).total_cmp(&breadth(b)).then(b.distance(x).total_cmp(&a.distance(x)))
            });
            if best.is_some_and(|span| span.distance(x) > self.pitch) && self.goes_on_above(y, x) {
                upright[y] = x;
                continue;
            }
            if let Some(span) = best {
                let edge = (WITHIN * self.pitch).min(span.width() / 2.0);
                x = x.clamp(span.from + edge, span.to - edge);
                (on, crown) = (span, y);
            } else if (crown - y) as f64 > SLIT * self.pitch {
                break;
            }
            upright[y] = x;
        }
        upright[..crown].fill(x);
        (crown, upright)
    }

    /// Whether a head goes on over a collar as pale as the paper: what an arm leads to is no head then.
    fn goes_on_above(&self, y: usize, x: f64) -> bool {
        /// A collar is at most so high, a head at least so wide and so near, in beads.
        const COLLAR: f64 = 1.5;
        const WIDE: f64 = 1.0;
        const NEAR: f64 = 0.5;
        let from = y.saturating_sub((COLLAR * self.pitch) as usize).max(self.top);
        let is_head =
            |span: &Span| span.distance(x) <= NEAR * self.pitch && span.width() >= WIDE * self.pitch;
        (from..y).any(|y| self.spans_at(y as f64).iter().any(is_head))
    }

    /// How much stands on a stretch of a row, over the rows that a head takes.
    fn breadth_above(&self, span: Span, y: usize) -> f64 {
        /// Rows of beads looked at.
        const ROWS: f64 = 3.0;
        let from = y.saturating_sub((ROWS * self.pitch) as usize);
        let (mut on, mut sum) = (span, 0.0);
        for y in (from..y).rev() {
            let above = self.spans_at(y as f64).into_iter().filter(|s| s.shared(on) > 0.0);
            let Some(next) = above.max_by(|a, b| a.width().total_cmp(&b.width())) else { break };
            sum += next.width();
            on = next;
        }
        sum
    }

    /// The column on which trunk and head stand in a row of pixels; the axis below them.
    pub fn upright_at(&self, y: f64) -> f64 {
        let last = self.upright.len() - 1;
        self.upright[(y.max(0.0) as usize).min(last)]
    }

    /// How tall the body is, without what is held above the head.
    pub fn height(&self) -> f64 {
        (self.bottom - self.crown) as f64
    }

    /// The pieces the figure is drawn in.
    pub fn pieces(&self) -> Pieces {
        let mut of = Array2::from_elem(self.filled.dim(), None);
        for (number, piece) in pieces_around(&self.filled).into_iter().enumerate() {
            piece.into_iter().for_each(|place| of[place] = Some(number));
        }
        Pieces { of }
    }

    /// Whether a place belongs to the figure.
    pub fn is_filled(&self, y: usize, x: usize) -> bool {
        self.filled.get((y, x)).copied().unwrap_or(false)
    }

    /// The stretches of one row of pixels.
    pub fn spans_at(&self, y: f64) -> Vec<Span> {
        let y = (y.max(0.0) as usize).min(self.filled.nrows() - 1);
        spans(self.filled.row(y).iter().copied())
    }

    /// The stretches that are filled over most of the height between two rows of pixels, each at least so wide.
    pub fn spans_between(&self, above: f64, below: f64, least: f64) -> Vec<Span> {
        let from = (above.round().max(0.0) as usize).min(self.filled.nrows() - 1);
        let to = (below.round().max(0.0) as usize).clamp(from + 1, self.filled.nrows());
        let columns = (0..self.filled.ncols()).map(|x| {
            let count = (from..to).filter(|&y| self.filled[(y, x)]).count();
            2 * count >= to - from
        });
        let mut found = spans(columns);
        found.retain(|span| span.width() >= least);
        found
    }

    /// The stretch that holds a column, or begins within a bead of it.
    pub fn span_on(&self, y: f64, x: f64) -> Option<Span> {
        nearest(&self.spans_at(y), x).filter(|span| span.distance(x) <= self.pitch)
    }
}

/// Which piece of the drawing each pixel belongs to.
pub(super) struct Pieces {
    of: Array2<Option<usize>>,
}

impl Pieces {
    /// How much of a window the figure covers, 0 to 1, and the piece that covers most of it.
    pub fn in_window(&self, area: Area) -> (f64, Option<usize>) {
        let range = |from: f64, length: f64, most: usize| {
            (from.max(0.0).round() as usize).min(most)..((from + length).max(0.0).round() as usize).min(most)
        };
        let (rows, columns) = self.of.dim();
        let shown = window(&self.of, range(area.y, area.height, rows), range(area.x, area.width, columns));
        let drawn = || shown.iter().copied().flatten();
        (drawn().count() as f64 / (shown.len() as f64).max(1.0), commonest(drawn()))
    }
}

fn spans(filled: impl Iterator<Item = bool>) -> Vec<Span> {
    let filled: Vec<bool> = filled.collect();
    let mut end = 0;
    let runs = filled.chunk_by(|a, b| a == b).map(|run| {
        end += run.len();
        (run[0], Span { from: (end - run.len()) as f64, to: end as f64 })
    });
    runs.filter(|(is_filled, _)| *is_filled).map(|(_, span)| span).collect()
}
