//! Poles, strings and oars: thinner than a line's two sides, so that ground grew over them from both.

use ndarray::Array2;

use crate::colour::Lab;
use crate::reference::mask::{grown, pieces_around, worn};
use crate::reference::middle::middle_colour;
use crate::reference::{Cover, PIXELS_PER_BEAD, Reference};
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
    let (colours, cover) = (reference.colours(), reference.cover());
    let ink = find_ink(colours);
    let reach = (REACH * PIXELS_PER_BEAD) as usize;
    let paper = reference.ground_colour();
    let labelled = grown(&labels.plane.map(|label| *label != GROUND), reach);
    let lost = Array2::from_shape_fn(labels.plane.dim(), |p| {
        labels.plane[p] == GROUND
            && cover[p] == Cover::Subject
            && colours[p].distance_squared(paper) > PAPER * PAPER
    });
    let far = Array2::from_shape_fn(lost.dim(), |p| lost[p] && !labelled[p]);
    let least = LEAST * PIXELS_PER_BEAD * PIXELS_PER_BEAD;
    let thick = worn(&lost, reach);
    for piece in pieces_around(&far).into_iter().filter(|piece| piece.len() as f64 >= least) {
        if piece.iter().any(|p| thick[*p]) {
            continue;
        }
        let inner: Vec<Lab> = piece.iter().filter(|p| !ink[**p]).map(|p| colours[*p]).collect();
        let all = || piece.iter().map(|p| colours[*p]).collect();
        let colour = middle_colour(&if inner.is_empty() { all() } else { inner });
        let near = nearest(&labels.clusters, colour);
        let is_same = labels.colour(near).distance_squared(colour) <= SAME * SAME;
        let label = if is_same { near } else { labels.add_colour(colour, piece.len()) };
        let mut own = Array2::from_elem(lost.dim(), false);
        piece.iter().for_each(|p| own[*p] = true);
        let whole = grown(&own, reach);
        for (_, to) in labels.plane.indexed_iter_mut().filter(|(p, _)| whole[*p] && lost[*p]) {
            *to = label;
        }
    }
}
