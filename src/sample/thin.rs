//! Poles, strings and oars: thinner than a line's two sides, so that ground grew over them from both.

use ndarray::Array2;

use crate::colour::Lab;
use crate::reference::ground::middle_colour;
use crate::reference::mask::{grown, pieces_around, worn};
use crate::reference::{Cover, PIXELS_PER_BEAD, Reference};
use crate::sample::cluster::Cluster;
use crate::sample::ink::find_ink;
use crate::sample::labels::{GROUND, Labels, REACH, nearest};

/// What was lost is a thing of its own from this many beads on; less is a slip of the pen.
const LEAST: f64 = 0.25;

/// A colour as near as this, in Lab units, is one the drawing has already.
const SAME: f64 = 8.0;

/// What differs less than this from the paper, in Lab units, is paper that something shuts in.
const PAPER: f64 = 12.0;

/// Gives back what the ground grew over: drawn, yet farther from everything labelled than a line's blur.
pub(super) fn keep(labels: &mut Labels, reference: &Reference) {
    let Labels { plane, clusters, .. } = labels;
    let (colours, cover) = (reference.colours(), reference.cover());
    let ink = find_ink(colours);
    let reach = (REACH * PIXELS_PER_BEAD) as usize;
    let paper = middle_colour(
        &plane.iter().zip(colours).filter(|(l, _)| **l == GROUND).map(|(_, c)| *c).collect::<Vec<_>>(),
    );
    let labelled = grown(&plane.map(|label| *label != GROUND), reach);
    let lost = Array2::from_shape_fn(plane.dim(), |p| {
        plane[p] == GROUND && cover[p] == Cover::Subject && colours[p].distance_squared(paper) > PAPER * PAPER
    });
    let far = Array2::from_shape_fn(plane.dim(), |p| lost[p] && !labelled[p]);
    let least = LEAST * PIXELS_PER_BEAD * PIXELS_PER_BEAD;
    let thick = worn(&lost, reach);
    for piece in pieces_around(&far).into_iter().filter(|piece| piece.len() as f64 >= least) {
        if piece.iter().any(|p| thick[*p]) {
            continue;
        }
        if clusters.len() + 1 >= usize::from(u8::MAX) {
            return;
        }
        let inner: Vec<Lab> = piece.iter().filter(|p| !ink[**p]).map(|p| colours[*p]).collect();
        let all = || piece.iter().map(|p| colours[*p]).collect();
        let colour = middle_colour(&if inner.is_empty() { all() } else { inner });
        let near = usize::from(nearest(clusters, colour)) - 1;
        let label = if clusters[near].colour.distance_squared(colour) <= SAME * SAME {
            clusters[near].pixels += piece.len();
            near
        } else {
            clusters.push(Cluster { colour, pixels: piece.len(), spread: 0.0, possible: Vec::new() });
            clusters.len() - 1
        };
        let mut own = Array2::from_elem(plane.dim(), false);
        piece.iter().for_each(|p| own[*p] = true);
        let whole = grown(&own, reach);
        for (_, to) in plane.indexed_iter_mut().filter(|(p, _)| whole[*p] && lost[*p]) {
            *to = label as u8 + 1;
        }
    }
}
