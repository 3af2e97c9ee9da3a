//! What colour alone cannot tell: cloth as pale as the paper, and pigment that lets the paper through.

use ndarray::Array2;

use crate::colour::Lab;
use crate::reference::Reference;
use crate::reference::ground::median;
use crate::reference::mask::pieces;
use crate::sample::Cluster;
use crate::sample::labels::{GROUND, Labels};

/// A pale area the figure shuts in is cloth if it lies over the body's axis and is at least so many beads large:
/// an apron, a shirt front. Beside the axis it is what an arm on the hip shuts in.
const LEAST_CLOTH: f64 = 2.0;

/// How near the axis it must reach, in beads.
const NEAR_AXIS: f64 = 0.5;

/// The gap between two legs is higher than so many times its width, an apron is not.
const TALLEST: f64 = 2.5;

/// Gives pale cloth that was taken for ground a colour of its own: what its pixels show.
pub(super) fn keep_cloth(labels: &mut Labels, reference: &Reference, axis: f64, pitch: f64) {
    let (rows, columns) = labels.plane.dim();
    let ground = labels.plane.map(|label| *label == GROUND);
    let at_edge = |&(y, x): &(usize, usize)| y == 0 || x == 0 || y + 1 == rows || x + 1 == columns;
    let near_axis = |&(_, x): &(usize, usize)| (x as f64 + 0.5 - axis).abs() <= NEAR_AXIS * pitch;
    let mut cloth: Vec<(usize, usize)> = Vec::new();
    for piece in pieces(&ground) {
        let size = piece.len() as f64 / (pitch * pitch);
        let across = piece.len() as f64 / height(&piece);
        if size >= LEAST_CLOTH
            && height(&piece) <= TALLEST * across
            && !piece.iter().any(at_edge)
            && piece.iter().any(near_axis)
        {
            cloth.extend(piece);
        }
    }
    if cloth.is_empty() || labels.clusters.len() + 1 >= usize::from(u8::MAX) {
        return;
    }
    let colours = reference.colours();
    let colour = middle(&cloth.iter().map(|p| colours[*p]).collect::<Vec<_>>());
    labels.clusters.push(Cluster { colour, pixels: cloth.len(), spread: 0.0, possible: Vec::new() });
    let label = labels.clusters.len() as u8;
    cloth.into_iter().for_each(|p| labels.plane[p] = label);
}

/// Where strokes let the paper through, a colour is what its stronger half shows: who looks sees the pigment and
/// not the paper between. The strongest tenth is left out; outlines lie there.
pub(super) fn see_pigment(labels: &mut Labels, reference: &Reference) {
    const BAND: (f64, f64) = (0.5, 0.9);
    let colours = reference.colours();
    let of = |label: u8, plane: &Array2<u8>| -> Vec<Lab> {
        plane.iter().zip(colours).filter(|(l, _)| **l == label).map(|(_, c)| *c).collect()
    };
    let paper = middle(&of(GROUND, &labels.plane));
    for (place, cluster) in labels.clusters.iter_mut().enumerate() {
        let mut marks = of(place as u8 + 1, &labels.plane);
        if marks.is_empty() {
            continue;
        }
        marks.sort_by(|a, b| a.distance_squared(paper).total_cmp(&b.distance_squared(paper)));
        let at = |share: f64| (share * marks.len() as f64) as usize;
        let stronger = &marks[at(BAND.0)..at(BAND.1).max(at(BAND.0) + 1)];
        let mean = |of: fn(&Lab) -> f64| stronger.iter().map(of).sum::<f64>() / stronger.len() as f64;
        cluster.colour = Lab::new(mean(|c| c.l), mean(|c| c.a), mean(|c| c.b));
    }
}

/// Rows of pixels from the first to the last.
fn height(piece: &[(usize, usize)]) -> f64 {
    let (low, high) = piece.iter().fold((usize::MAX, 0), |(l, h), p| (l.min(p.0), h.max(p.0)));
    (high + 1 - low.min(high)) as f64
}

/// The middle of each channel.
fn middle(colours: &[Lab]) -> Lab {
    let of = |channel: fn(&Lab) -> f64| median(colours.iter().map(channel).collect());
    Lab::new(of(|c| c.l), of(|c| c.a), of(|c| c.b))
}
