//! Legs that do not stand side by side: who walks, runs, kneels or squats has them where they are drawn.
//!
//! The plan knows two legs under the hips. Rows brought to it one by one, each about the leg that is nearest, tear
//! a running leg to pieces; laid on columns of one width they hold together from row to row.

use super::columns::{Stretch, beads};
use super::silhouette::Span;

/// What is narrower than this, in beads, has no bead.
const LEAST: f64 = 0.25;

/// Legs pressed together stand no farther than this from the middle of the hips, in beads.
const UNDER: f64 = 1.0;

/// What is so wide, in beads, is a skirt or both legs at once, and what is beside it is held in a hand.
const BOTH: f64 = 2.6;

/// A row of the legs: the stretches wide enough for a leg, and whether two of them are the plan's.
pub(super) struct Row {
    pub legs: Vec<Span>,
    pub is_pair: bool,
}

/// Rows below the knees that must be so, as a part of all.
const PART: f64 = 1.0 / 3.0;

/// Whether rows below the knees have legs that the plan has no place for.
pub(super) fn is_seen(low: &[Row], middle: f64, pitch: f64) -> bool {
    let is_skirt = |span: &Span| span.distance(middle) <= 0.0 && span.width() >= BOTH * pitch;
    let stands = |row: &&Row| match row.legs[..] {
        [] => true,
        [one] => one.distance(middle) <= UNDER * pitch,
        _ => row.is_pair || row.legs.iter().any(is_skirt),
    };
    let strides = low.len() - low.iter().filter(stands).count();
    strides > 0 && strides as f64 >= PART * low.len() as f64
}

/// A row's stretches as they are drawn: each as many beads as it is wide, where it lies beside the middle of the
/// hips, which is column 0's. A shin has the beads of a `leg` however thin it is drawn.
pub(super) fn row(spans: &[Span], middle: f64, pitch: f64, leg: i32) -> Vec<Stretch> {
    /// What is thinner, in beads, is a stick, a hand or a heel.
    const SHIN: f64 = 0.75;
    let mut stretches: Vec<Stretch> = Vec::new();
    for span in spans.iter().filter(|span| span.width() >= LEAST * pitch) {
        let least = if span.width() >= SHIN * pitch { leg } else { 1 };
        let count = ((span.width() / pitch).round() as i32).max(least);
        let drawn = ((span.middle() - middle) / pitch - f64::from(count - 1) / 2.0).round() as i32;
        let first = stretches.last().map_or(drawn, |last| drawn.max(last.column + 1));
        stretches.extend(beads(first, count, *span).map(Stretch::beyond));
    }
    stretches
}
