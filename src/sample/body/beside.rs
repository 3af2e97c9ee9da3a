//! What lies beside a row of the body: arms, hands, bags and poles.

use super::columns::{LEAST, Stretch, beads};
use super::silhouette::Span;

/// An arm or a hand this far out still hangs beside the body, in beads.
const BESIDE: f64 = 1.9;

/// What lies beyond the body is a bead wide from this share of one on.
const LEAST_OUTSIDE: f64 = 0.25;

/// How what lies beside a row of the body is laid.
pub(super) struct Beside {
    /// How wide its beads are.
    pub pitch: f64,
    /// Whether an arm may hang there.
    pub hangs: bool,
    /// The middle of column 0 and how wide a column is, for what lies apart from the body.
    pub axis: f64,
    pub even: f64,
}

impl Beside {
    /// What lies beyond the body's right edge, from column `first` on. What hangs close beside the body is one
    /// bead, and the gap before it closes: a bead that touches nothing would fall off. What lies apart stands in the
    /// column it is drawn in, or an oar beside a small head would stand farther out than its shaft.
    pub fn lay(&self, spans: Vec<Span>, edge: f64, first: i32) -> Vec<Stretch> {
        let Self { pitch, hangs, axis, even } = *self;
        let mut stretches = Vec::new();
        let (mut column, mut end) = (first, edge);
        for span in spans.into_iter().filter(|s| s.width() >= LEAST * pitch) {
            let beside = hangs && stretches.is_empty() && span.to - edge < BESIDE * pitch;
            let count = match span.width() / pitch {
                _ if beside => 1,
                width if width >= LEAST_OUTSIDE => (width.round() as i32).max(1),
                _ => continue,
            };
            if !beside && (span.from - end) / pitch >= 0.5 {
                let drawn = (span.from + span.width() / f64::from(2 * count) - axis) / even;
                column = (column + 1).max(drawn.round() as i32);
            }
            stretches.extend(beads(column, count, span).map(Stretch::beyond));
            (column, end) = (column + count, span.to);
        }
        stretches
    }
}
