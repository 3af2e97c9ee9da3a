//! A sheet of paper in a photograph, found by its straight sides.
//!
//! Paper is cut straight, whatever it lies on: lines are sought along which anything changes, in any channel and
//! either way, joined to quadrilaterals, and each side is walked along to see whether paper ends there. Where the
//! frame cuts a sheet off, the frame's own sides stand in for up to two of its.

mod field;
mod judge;
mod lens;
mod line;
mod lines;
mod quads;

use ndarray::Array2;

pub(crate) use lens::Lens;

use crate::reference::shrink::Light;
use crate::units::Confidence;
use field::Field;
use judge::{Judged, judge};
use line::{Point, distance};

/// A sheet as it lies in a look.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Found {
    /// Corners in pixels of the look, in order around it; those of a sheet that the frame cuts may lie outside.
    pub corners: [Point; 4],
    /// How sure it is that this is the sheet.
    pub confidence: Confidence,
}

/// The sheets a look may show, the likeliest first: none, one, or a second that is nearly as likely.
pub(crate) fn find(light: &Array2<Light>, lens: Lens) -> Vec<Found> {
    let (rows, columns) = light.dim();
    /// A picture of fewer pixels a side has no room for the looks to both sides of an edge.
    const LEAST: usize = 60;
    if rows.min(columns) < LEAST {
        return Vec::new();
    }
    let mut judged = candidates(light);
    judged.retain(Judged::is_sheet);
    judged.sort_by(|a, b| b.worth().total_cmp(&a.worth()));
    let Some(best) = judged.first().copied() else { return Vec::new() };
    /// A second sheet is asked about when it is worth at least this part of the first.
    const NEARLY: f64 = 0.93;
    let second = judged.iter().find(|other| other.worth() >= NEARLY * best.worth() && is_other(other, &best));
    std::iter::once(&best).chain(second).filter_map(|judged| found(judged, lens)).collect()
}

/// Every quadrilateral that was judged.
fn candidates(light: &Array2<Light>) -> Vec<Judged> {
    let field = Field::of(light);
    let lines = lines::lines(&field);
    quads::quads(&field, &lines).iter().map(|quad| judge(&field, quad)).collect()
}

fn found(judged: &Judged, lens: Lens) -> Option<Found> {
    let quad = &judged.quad;
    // Pixel (0, 0) has its middle at (0.5, 0.5) in the look.
    let corners = quad.corners.map(|(x, y)| (x + 0.5, y + 0.5));
    let corners = lens.completed(corners, quad.framed)?;
    Some(Found { corners, confidence: judged.confidence() })
}

/// Whether two quadrilaterals are two sheets, and not one with a side somewhat off.
fn is_other(a: &Judged, b: &Judged) -> bool {
    /// Corners of another sheet lie at least so far off, as a share of its longest side.
    const APART: f64 = 0.12;
    let (a, b) = (a.quad.corners, b.quad.corners);
    let longest = (0..4).map(|i| distance(b[i], b[(i + 1) % 4])).fold(0.0, f64::max);
    let nearest = |p: Point| b.iter().map(|&q| distance(p, q)).fold(f64::INFINITY, f64::min);
    a.iter().any(|&p| nearest(p) > APART * longest)
}
