//! The figure's outline, read row by row.

use ndarray::Array2;

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

    /// How far a place lies outside it; 0 inside.
    pub fn distance(self, x: f64) -> f64 {
        (self.from - x).max(x - self.to).max(0.0)
    }

    /// What it has in common with another, in pixels.
    pub fn shared(self, other: Self) -> f64 {
        (self.to.min(other.to) - self.from.max(other.from)).max(0.0)
    }
}

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
        let half = weights.iter().sum::<usize>() / 2;
        let mut sum = 0;
        let axis = weights.iter().position(|weight| {
            sum += weight;
            sum > half
        })?;
        let left = weights.iter().position(|w| *w > 0)? as f64;
        let right = (weights.iter().rposition(|w| *w > 0)? + 1) as f64;
        let pitch = (bottom - top) as f64 / rows.max(1) as f64;
        Some(Self { filled, top, bottom, left, right, axis: axis as f64, pitch })
    }

    pub fn height(&self) -> f64 {
        (self.bottom - self.top) as f64
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

fn spans(filled: impl Iterator<Item = bool>) -> Vec<Span> {
    let mut found = Vec::new();
    let mut start = None;
    let mut end = 0;
    for (x, is_filled) in filled.enumerate() {
        end = x + 1;
        match (is_filled, start) {
            (true, None) => start = Some(x),
            (false, Some(from)) => {
                found.push(Span { from: from as f64, to: x as f64 });
                start = None;
            }
            _ => {}
        }
    }
    if let Some(from) = start {
        found.push(Span { from: from as f64, to: end as f64 });
    }
    found
}
