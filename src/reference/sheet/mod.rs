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
mod page;
mod quads;

use ndarray::Array2;
use rayon::prelude::*;

pub(crate) use lens::Lens;

use crate::reference::shrink::Light;
use crate::units::Confidence;
use field::Field;
use judge::{Judged, judge};
use line::{Line, Point, distance, is_convex};
use quads::Quad;

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
    if rows.min(columns) < LEAST || is_flat(light) {
        return Vec::new();
    }
    let field = Field::of(light);
    let mut judged = candidates(&field);
    judged.sort_by(|a, b| b.worth().total_cmp(&a.worth()));
    let sheets: Vec<&Judged> = judged.iter().filter(|judged| judged.is_sheet()).collect();
    let Some(&best) = sheets.first() else { return Vec::new() };
    /// A second sheet is asked about when it is worth at least this part of the first.
    const NEARLY: f64 = 0.93;
    let likeliest = page::page(&field, best, &judged).unwrap_or(best);
    let is_second = |other: &&&Judged| {
        other.worth() >= NEARLY * best.worth() && is_other(other, best) && is_other(other, likeliest)
    };
    let second = sheets.iter().find(is_second);
    std::iter::once(likeliest).chain(second.copied()).filter_map(|judged| found(judged, lens)).collect()
}

/// Whether the border is light and of one colour throughout, as no photograph's is: then nothing lies on a table. In
/// the dark, photographs have no grain either.
fn is_flat(light: &Array2<Light>) -> bool {
    /// Light of all three channels from which a sensor's grain shows, a third of full on the screen's scale each.
    const GRAINY: f32 = 0.3;
    let (rows, columns) = light.dim();
    let sides = [light.row(0), light.row(rows - 1), light.column(0), light.column(columns - 1)];
    /// One colour brought to this size is one colour except for rounding.
    const ROUNDING: f32 = 1e-5;
    let is_same = |(a, b): (&Light, &Light)| a.iter().zip(b).all(|(a, b)| (a - b).abs() <= ROUNDING);
    let differs = |(a, b): (&Light, &Light)| !is_same((a, b)) || a[0] + a[1] + a[2] < GRAINY;
    let changes =
        sides.iter().map(|side| side.iter().zip(side.iter().skip(1)).filter(|pair| differs(*pair)).count());
    /// What a figure that touches the border may change.
    const FEW: f64 = 0.1;
    changes.sum::<usize>() as f64 <= FEW * 2.0 * (rows + columns) as f64
}

/// Every quadrilateral that was judged, the best of them brought closer to their edges.
fn candidates(field: &Field) -> Vec<Judged> {
    /// This many are worth a closer look.
    const CLOSER: usize = 12;
    let lines = lines::lines(field);
    let mut judged: Vec<Judged> =
        quads::quads(field, &lines).par_iter().map(|quad| judge(field, quad)).collect();
    judged.sort_by(|a, b| b.worth().total_cmp(&a.worth()));
    judged.par_iter_mut().take(CLOSER).for_each(|best| {
        let closer = closer(field, &best.quad).map(|quad| judge(field, &quad));
        if let Some(closer) = closer.filter(|closer| closer.worth() > best.worth()) {
            *best = closer;
        }
    });
    judged
}

/// The quadrilateral with each side fitted again between its own corners.
fn closer(field: &Field, quad: &Quad) -> Option<Quad> {
    let ends = |i: usize| (quad.corners[i], quad.corners[(i + 1) % 4]);
    let side = |i: usize| match (quad.framed[i], ends(i)) {
        (true, (from, to)) => Line::through(from, to),
        (false, (from, to)) => lines::refined(field, from, to).map(|(line, _)| line),
    };
    let sides = [side(0)?, side(1)?, side(2)?, side(3)?];
    let corner = |i: usize| sides[(i + 3) % 4].meets(sides[i]);
    let corners = [corner(0)?, corner(1)?, corner(2)?, corner(3)?];
    is_convex(&corners).then_some(Quad { corners, ..*quad })
}

fn found(judged: &Judged, lens: Lens) -> Option<Found> {
    let quad = &judged.quad;
    // Pixel (0, 0) has its middle at (0.5, 0.5) in the look.
    let corners = quad.corners.map(|(x, y)| (x + 0.5, y + 0.5));
    let corners = lens.completed(corners, quad.framed)?;
    // Completed far outside the frame, sides may meet beyond the horizon.
    is_convex(&corners).then_some(())?;
    Some(Found { corners, confidence: judged.confidence() })
}

/// Whether two quadrilaterals are two sheets, and not one with a side somewhat off.
fn is_other(a: &Judged, b: &Judged) -> bool {
    /// Corners of another sheet lie at least this far off, as a share of its longest side.
    const APART: f64 = 0.12;
    let (a, b) = (a.quad.corners, b.quad.corners);
    let longest = (0..4).map(|i| distance(b[i], b[(i + 1) % 4])).fold(0.0, f64::max);
    let nearest = |p: Point| b.iter().map(|&q| distance(p, q)).fold(f64::INFINITY, f64::min);
    a.iter().any(|&p| nearest(p) > APART * longest)
}
