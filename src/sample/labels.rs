//! Which colour of the drawing each pixel shows.
//!
//! Only flat places are asked for their colour. Ink, and the blurred band where two colours meet, are
//! shared out between what lies on either side, so that no third colour arises from a mixture.

use std::collections::VecDeque;

use ndarray::Array2;

use crate::colour::Lab;
use crate::reference::subject::beside;
use crate::reference::{Cover, PIXELS_PER_BEAD, Reference};
use crate::sample::cluster::{Cluster, cluster_colours};
use crate::sample::ink::find_ink;

/// The label of ground and gaps; colours count from 1.
pub(crate) const GROUND: u8 = 0;

/// Not yet told.
const OPEN: u8 = u8::MAX;

/// A place is flat where its neighbours differ by at most this, in Lab units; twice the subject's own
/// middle difference where its texture is rougher than that.
const FLAT: f64 = 5.0;

/// A colour must fill at least this part of a bead with flat places: two small eyes do.
const LEAST_COLOUR: f64 = 0.1;

/// The drawing read pixel by pixel.
pub(crate) struct Labels {
    /// [`GROUND`], or 1 + the place of a colour in `clusters`.
    pub plane: Array2<u8>,
    /// The drawing's colours.
    pub clusters: Vec<Cluster>,
}

/// Reads a reference's colours and gives every pixel one of them, or ground.
pub(crate) fn read_labels(reference: &Reference, seed: u64) -> Labels {
    let (colours, cover) = (reference.colours(), reference.cover());
    let ink = find_ink(colours);
    let settled = find_settled(reference, &ink);
    let flat: Vec<Lab> = settled
        .indexed_iter()
        .filter(|(p, is_settled)| **is_settled && cover[*p] == Cover::Subject)
        .map(|(p, _)| colours[p])
        .collect();
    let least = (LEAST_COLOUR * PIXELS_PER_BEAD * PIXELS_PER_BEAD) as usize;
    let clusters = if flat.is_empty() {
        // Nothing is flat: every pixel of the subject has its say.
        let all: Vec<Lab> = colours
            .iter()
            .zip(cover)
            .filter(|(_, cover)| **cover == Cover::Subject)
            .map(|(colour, _)| *colour)
            .collect();
        cluster_colours(&all, least, seed)
    } else {
        cluster_colours(&flat, least, seed)
    };
    let mut plane = Array2::from_shape_fn(colours.dim(), |p| match (cover[p], settled[p]) {
        (_, false) => OPEN,
        (Cover::Subject, true) => nearest(&clusters, colours[p]),
        (_, true) => GROUND,
    });
    spread(&mut plane, reference, &clusters);
    Labels { plane, clusters }
}

/// 1 + the place of the nearest colour.
fn nearest(clusters: &[Cluster], colour: Lab) -> u8 {
    let distances = clusters.iter().map(|c| c.colour.distance_squared(colour)).enumerate();
    distances.min_by(|a, b| a.1.total_cmp(&b.1)).map_or(GROUND, |(i, _)| i as u8 + 1)
}

/// Flat places away from ink: their colour is the drawing's own. Neighbours are looked at as far as one pixel
/// of the picture file reaches.
fn find_settled(reference: &Reference, ink: &Array2<bool>) -> Array2<bool> {
    let (colours, cover) = (reference.colours(), reference.cover());
    let (rows, columns) = colours.dim();
    let reach = (reference.softness() / 2.0).round().max(1.0) as usize;
    let around = |(y, x): (usize, usize)| {
        let ys = y.saturating_sub(reach)..(y + reach + 1).min(rows);
        let xs = x.saturating_sub(reach)..(x + reach + 1).min(columns);
        ys.flat_map(move |ny| xs.clone().map(move |nx| (ny, nx)))
    };
    let rough = Array2::from_shape_fn((rows, columns), |p| {
        around(p).map(|n| colours[p].distance_squared(colours[n])).fold(0.0, f64::max).sqrt()
    });
    let texture = crate::reference::ground::median(
        rough.iter().zip(cover).filter(|(_, c)| **c == Cover::Subject).map(|(r, _)| *r).collect(),
    );
    let bound = FLAT.max(2.0 * texture);
    Array2::from_shape_fn((rows, columns), |p| {
        let one_cover = around(p).all(|n| (cover[n] == Cover::Subject) == (cover[p] == Cover::Subject));
        rough[p] <= bound && one_cover && around(p).all(|n| !ink[n])
    })
}

/// Lets labels grow into open pixels, nearest first, so that a line is shared by both its sides. Subject
/// too far from any flat place (crayon, hatching) takes its own nearest colour.
fn spread(plane: &mut Array2<u8>, reference: &Reference, clusters: &[Cluster]) {
    /// Half the widest ink line and its blur, in beads.
    const REACH: f64 = 0.4;
    let reach = (REACH * PIXELS_PER_BEAD) as u32;
    let mut queue: VecDeque<((usize, usize), u32)> =
        plane.indexed_iter().filter(|(_, label)| **label != OPEN).map(|(p, _)| (p, 0)).collect();
    while let Some((place, steps)) = queue.pop_front() {
        for next in beside(place, plane.dim()) {
            if plane[next] == OPEN && steps < reach {
                plane[next] = plane[place];
                queue.push_back((next, steps + 1));
            }
        }
    }
    let (colours, cover) = (reference.colours(), reference.cover());
    for (p, label) in plane.indexed_iter_mut().filter(|(_, label)| **label == OPEN) {
        *label = if cover[p] == Cover::Subject { nearest(clusters, colours[p]) } else { GROUND };
    }
}
