//! Which colour of the drawing each pixel shows.
//!
//! Only flat places are asked for their colour. Ink, and the blurred band where two colours meet, are
//! shared out between what lies on either side, so that no third colour arises from a mixture.

use ndarray::Array2;

use crate::colour::Lab;
use crate::reference::mask::{beside, edge_of, grown, worn};
use crate::reference::middle::{median, middle_colour};
use crate::reference::{Cover, PIXELS_PER_BEAD, Reference};
use crate::sample::cluster::{Cluster, cluster_colours, least_of};
use crate::sample::ink::find_ink;
use crate::sample::seen;
use crate::sample::shade;
use crate::sample::wax::{self, Marks};

/// The label of ground and gaps; colours count from 1.
pub(crate) const GROUND: u8 = 0;

/// Not yet told.
const OPEN: u8 = u8::MAX;

/// A place is flat where its neighbours differ by at most this, in Lab units; twice the subject's own
/// middle difference where its texture is rougher than that.
const FLAT: f64 = 5.0;

/// Above so many working pixels to one of the file's, every edge is soft and roughness is JPEG's.
pub(super) const STRETCHED: f64 = 1.5;

/// A colour must fill at least this part of a bead with flat places: two small eyes do.
const LEAST_COLOUR: f64 = 0.1;

/// Half the widest ink line and its blur, in beads.
pub(super) const REACH: f64 = 0.4;

/// The drawing read pixel by pixel.
#[derive(Clone)]
pub(crate) struct Labels {
    /// [`GROUND`], or 1 + the place of a colour in `clusters`.
    pub plane: Array2<u8>,
    /// The drawing's colours.
    pub clusters: Vec<Cluster>,
    /// Whether strokes of wax or pencil let the paper through.
    pub stroked: bool,
}

impl Labels {
    /// The colour a label stands for; ground has none and is asked of nobody.
    pub fn colour(&self, label: u8) -> Lab {
        self.clusters[usize::from(label) - 1].colour
    }

    /// A colour beside those of the drawing; its label.
    pub fn add_colour(&mut self, colour: Lab, pixels: usize) -> u8 {
        // Labels are bytes and the last is taken: more colours than that are nobody's drawing.
        if self.clusters.len() + 1 >= usize::from(u8::MAX) {
            return nearest(&self.clusters, colour);
        }
        self.clusters.push(Cluster { colour, pixels, spread: 0.0, possible: Vec::new() });
        self.clusters.len() as u8
    }
}

/// Reads a reference's colours and gives every pixel one of them, or ground. Colours of wax and pencil are the wax
/// itself, as where a drawing of beads was filled in with it.
pub(crate) fn read_labels(reference: &Reference, seed: u64) -> Labels {
    let stroked = is_stroked(reference);
    let smoothed = stroked.then(|| wax::smoothed(reference.colours(), reference.cover()));
    let colours = smoothed.as_ref().unwrap_or(reference.colours());
    let (mut plane, clusters) = labelled(reference, colours, seed);
    if stroked {
        let clusters = seek_wax(reference, &mut plane, clusters);
        return Labels { plane, clusters, stroked };
    }
    if !is_stretched(reference) {
        let (plane, clusters) = shade::without_shade(colours, plane, clusters);
        return Labels { plane, clusters, stroked };
    }
    Labels { plane, clusters, stroked }
}

/// The same reference's labels as the eye sees it, where these say that it is in wax or pencil: strokes and paper
/// together. Else they are the same.
pub(crate) fn as_seen(reference: &Reference, labels: &Labels, seed: u64) -> Labels {
    if !labels.stroked {
        return labels.clone();
    }
    let colours = seen::from_afar(reference);
    let (plane, clusters) = labelled(reference, &colours, seed);
    Labels { plane, clusters, stroked: true }
}

/// The few colours of a picture of the reference, and which of them each pixel shows.
fn labelled(reference: &Reference, colours: &Array2<Lab>, seed: u64) -> (Array2<u8>, Vec<Cluster>) {
    let cover = reference.cover();
    let ink = find_ink(colours);
    let settled = find_settled(reference, colours, &ink);
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
    spread(&mut plane, colours, cover, &clusters);
    (plane, clusters)
}

/// How far neighbouring pixels of the subject differ, in the middle: its texture.
fn texture(roughness: &Array2<f64>, cover: &Array2<Cover>) -> f64 {
    let of_subject = roughness.iter().zip(cover).filter(|(_, c)| **c == Cover::Subject).map(|(r, _)| *r);
    median(of_subject.collect())
}

/// Whether the picture has so few pixels that it was stretched: every edge is soft, and roughness is JPEG's.
pub(super) fn is_stretched(reference: &Reference) -> bool {
    reference.softness() > STRETCHED
}

/// Whether strokes of wax or pencil are seen; a picture stretched from few pixels shows no strokes.
fn is_stroked(reference: &Reference) -> bool {
    if is_stretched(reference) {
        return false;
    }
    let roughness = roughness(reference.colours(), 1);
    // A quarter of a figure lies away from its outlines however thin its limbs are.
    let calm_quarter = |subject: bool| {
        let chosen =
            roughness.iter().zip(reference.cover()).filter(|(_, c)| (**c == Cover::Subject) == subject);
        let mut values: Vec<f64> = chosen.map(|(r, _)| *r).collect();
        let quarter = values.len() / 4;
        if values.is_empty() { 0.0 } else { *values.select_nth_unstable_by(quarter, f64::total_cmp).1 }
    };
    let calm = calm_quarter(true);
    // A camera's noise lies on the paper as well.
    calm > wax::STROKED
        && calm > wax::BEYOND_NOISE * calm_quarter(false)
        && shows_paper(reference, &roughness) > wax::LEAST_PAPER
}

/// How far neighbouring pixels of the figure differ, in the middle, as a part of their way to the paper: paper
/// shows between strokes of wax, but not through the texture of a painting.
fn shows_paper(reference: &Reference, roughness: &Array2<f64>) -> f64 {
    let (colours, cover) = (reference.colours(), reference.cover());
    let paper = reference.ground_colour();
    let subject = colours.indexed_iter().filter(|(p, _)| cover[*p] == Cover::Subject);
    median(subject.map(|(p, c)| roughness[p] / c.distance_squared(paper).sqrt().max(1.0)).collect())
}

/// Gives each colour the wax that its marks come from, and joins colours that are one wax.
fn seek_wax(reference: &Reference, plane: &mut Array2<u8>, clusters: Vec<Cluster>) -> Vec<Cluster> {
    let colours = reference.colours();
    let of_labels = |plane: &Array2<u8>, label: u8| inner_marks(plane, colours, label);
    let paper = middle_colour(&of_labels(plane, GROUND));
    // Colours come most pixels first: a smaller one joins the largest it belongs to.
    let mut kept: Vec<(Cluster, Option<Marks>)> = Vec::new();
    let mut becomes = vec![GROUND; clusters.len() + 1];
    for (place, cluster) in clusters.into_iter().enumerate() {
        let marks = Marks::of(&of_labels(plane, place as u8 + 1), paper);
        let same = kept.iter().position(|(_, other)| match (&marks, other) {
            (Some(one), Some(other)) => one.is_one_wax_with(other),
            _ => false,
        });
        let to = same.unwrap_or_else(|| {
            kept.push((cluster, marks));
            kept.len() - 1
        });
        becomes[place + 1] = to as u8 + 1;
    }
    plane.mapv_inplace(|label| becomes[label as usize]);
    let pooled = kept.into_iter().enumerate().map(|(place, (mut cluster, _))| {
        let label = place as u8 + 1;
        cluster.pixels = plane.iter().filter(|l| **l == label).count();
        if let Some(marks) = Marks::of(&of_labels(plane, label), paper) {
            cluster.colour = marks.wax();
            cluster.possible = marks.possible();
        }
        cluster
    });
    pooled.collect()
}

/// The colours of one label's pixels away from its edge, where an outline's dark grains lie among its own; of
/// all its pixels where hardly any lie so deep.
fn inner_marks(plane: &Array2<u8>, colours: &Array2<Lab>, label: u8) -> Vec<Lab> {
    /// Half of a crayon's outline, in working pixels.
    const EDGE: usize = 2;
    /// Fewer marks than these, half a bead of them, have no strongest.
    const FEW: usize = 128;
    let belongs = plane.map(|l| *l == label);
    let of = |mask: &Array2<bool>| -> Vec<Lab> {
        mask.iter().zip(colours).filter(|(belongs, _)| **belongs).map(|(_, colour)| *colour).collect()
    };
    let inner = of(&worn(&belongs, EDGE));
    if inner.len() >= FEW { inner } else { of(&belongs) }
}

/// How far each pixel differs from its neighbours up to `reach` away, at most.
fn roughness(colours: &Array2<Lab>, reach: usize) -> Array2<f64> {
    let (rows, columns) = colours.dim();
    let mut most = Array2::from_elem((rows, columns), 0.0_f64);
    let (Some(given), Some(out)) = (colours.as_slice(), most.as_slice_mut()) else { return most };
    // Each pair of neighbours is looked at once, from the upper or left one: so many pairs side by side.
    let mut apart = vec![0.0; columns];
    let mut pairs = |one: usize, other: usize, count: usize| {
        let both = given[one..one + count].iter().zip(&given[other..other + count]);
        apart.iter_mut().zip(both).for_each(|(apart, (a, b))| *apart = a.distance_squared(*b));
        for start in [one, other] {
            let most = out[start..start + count].iter_mut().zip(&apart);
            most.for_each(|(most, apart)| *most = most.max(*apart));
        }
    };
    for dy in 0..=reach.min(rows - 1) {
        for dx in 0..=reach.min(columns - 1) {
            for y in (0..rows - dy).filter(|_| dy + dx > 0) {
                let (upper, lower) = (y * columns, (y + dy) * columns);
                pairs(upper, lower + dx, columns - dx);
                if dx > 0 && dy > 0 {
                    pairs(upper + dx, lower, columns - dx);
                }
            }
        }
    }
    out.iter_mut().for_each(|v| *v = v.sqrt());
    most
}

/// 1 + the place of the nearest colour.
pub(super) fn nearest(clusters: &[Cluster], colour: Lab) -> u8 {
    if clusters.is_empty() {
        return GROUND;
    }
    least_of(clusters.iter().map(|c| c.colour.distance_squared(colour))).0 as u8 + 1
}

/// Flat places away from ink: their colour is the drawing's own. Neighbours are looked at as far as one pixel
/// of the picture file reaches.
fn find_settled(reference: &Reference, colours: &Array2<Lab>, ink: &Array2<bool>) -> Array2<bool> {
    let cover = reference.cover();
    let reach = (reference.softness() / 2.0).round().max(1.0) as usize;
    let rough = roughness(colours, reach);
    let bound = FLAT.max(2.0 * texture(&rough, cover));
    // Not settled is what lies near ink, or near the edge of the subject.
    let is_subject = cover.map(|c| *c == Cover::Subject);
    let near_ink = grown(ink, reach);
    let near_subject = grown(&is_subject, reach);
    let near_ground = grown(&is_subject.map(|is_subject| !is_subject), reach);
    Array2::from_shape_fn(colours.dim(), |p| {
        rough[p] <= bound && !near_ink[p] && !(near_subject[p] && near_ground[p])
    })
}

/// Lets labels grow into open pixels, nearest first, so that a line is shared by both its sides. Subject
/// too far from any flat place (crayon, hatching) takes its own nearest colour.
fn spread(plane: &mut Array2<u8>, colours: &Array2<Lab>, cover: &Array2<Cover>, clusters: &[Cluster]) {
    let reach = (REACH * PIXELS_PER_BEAD) as usize;
    let mut edge = edge_of(&plane.map(|label| *label != OPEN), true);
    for _ in 0..reach {
        let mut reached = Vec::new();
        for place in edge {
            for next in beside(place, plane.dim()) {
                if plane[next] == OPEN {
                    plane[next] = plane[place];
                    reached.push(next);
                }
            }
        }
        edge = reached;
    }
    for (p, label) in plane.indexed_iter_mut().filter(|(_, label)| **label == OPEN) {
        *label = if cover[p] == Cover::Subject { nearest(clusters, colours[p]) } else { GROUND };
    }
}
