//! What each window shows: edges kept, never a blend of two neighbours.

use ndarray::Array2;

use crate::grid::Grid;
use crate::reference::{Area, PIXELS_PER_BEAD};
use crate::sample::labels::{GROUND, Labels};
use crate::sample::lattice::Lattice;
use crate::sample::{BeadSample, Share};

/// A window's middle counts more than its rim: a Gaussian of this deviation, in beads.
const FOCUS: f64 = 0.38;

/// A small clean spot wins its window with this share.
const STRONG_MARK: f64 = 0.22;

/// Such a spot lies at least so much within the window, as a share of its own pixels.
const WITHIN: f64 = 0.75;

/// ... and differs at least so much from what surrounds it, in Lab units.
const STANDS_OUT: f64 = 25.0;

/// A bead needs this share of subject in its window.
const COVERED: f64 = 0.5;

/// Reads every window of the lattice.
pub(crate) fn read_windows(labels: &Labels, lattice: &Lattice) -> Grid<BeadSample> {
    let spots = Spots::of(labels);
    Grid::from_fn(lattice.rows(), lattice.columns(), |row, column| {
        read_window(labels, &spots, lattice.window(row, column))
    })
}

fn read_window(labels: &Labels, spots: &Spots, window: Area) -> BeadSample {
    let shares = weighed_shares(labels, window);
    let cover = 1.0 - shares[GROUND as usize];
    let mut colours: Vec<Share> = shares
        .iter()
        .enumerate()
        .skip(1)
        .filter(|(_, share)| **share > 0.0)
        .map(|(label, &share)| Share { colour: label - 1, share })
        .collect();
    colours.sort_by(|a, b| b.share.total_cmp(&a.share).then(a.colour.cmp(&b.colour)));
    let mark = spots.strong_in(labels, window, &shares);
    if let Some(place) = colours.iter().position(|c| Some(c.colour + 1) == mark) {
        colours[..=place].rotate_right(1);
    }
    let filled = cover >= COVERED && !colours.is_empty();
    BeadSample { filled, cover, colours, is_mark: mark.is_some() }
}

/// The share of each label in a window, its middle weighing more. Adds up to 1.
fn weighed_shares(labels: &Labels, window: Area) -> Vec<f64> {
    let (rows, columns) = labels.plane.dim();
    let mut shares = vec![0.0; labels.clusters.len() + 1];
    let weigh = |p: usize, start: f64, length: f64| {
        let inside = ((p as f64 + 1.0).min(start + length) - (p as f64).max(start)).max(0.0);
        let off = (p as f64 + 0.5 - start - length / 2.0) / length;
        inside * (-off * off / (2.0 * FOCUS * FOCUS)).exp()
    };
    let range = |start: f64, length: f64, most: usize| {
        (start.floor().max(0.0) as usize)..((start + length).ceil().clamp(0.0, most as f64) as usize)
    };
    let mut total = 0.0;
    for y in range(window.y, window.height, rows) {
        let down = weigh(y, window.y, window.height);
        for x in range(window.x, window.width, columns) {
            let weight = down * weigh(x, window.x, window.width);
            shares[labels.plane[(y, x)] as usize] += weight;
            total += weight;
        }
    }
    if total > 0.0 {
        shares.iter_mut().for_each(|s| *s /= total);
    } else {
        shares[GROUND as usize] = 1.0;
    }
    shares
}

/// Connected patches of one label, for telling a small clean spot from a neighbour's rim.
struct Spots {
    patch: Array2<u32>,
    sizes: Vec<usize>,
}

impl Spots {
    fn of(labels: &Labels) -> Self {
        let mut patch = Array2::from_elem(labels.plane.dim(), u32::MAX);
        let mut sizes = Vec::new();
        for (start, &label) in labels.plane.indexed_iter() {
            if patch[start] != u32::MAX {
                continue;
            }
            let id = sizes.len() as u32;
            patch[start] = id;
            let mut queue = vec![start];
            let mut size = 0;
            while let Some(place) = queue.pop() {
                size += 1;
                for next in crate::reference::subject::beside(place, labels.plane.dim()) {
                    if patch[next] == u32::MAX && labels.plane[next] == label {
                        patch[next] = id;
                        queue.push(next);
                    }
                }
            }
            sizes.push(size);
        }
        Self { patch, sizes }
    }

    /// The label of a small spot that lies nearly whole in the window and stands out from the winner.
    fn strong_in(&self, labels: &Labels, window: Area, shares: &[f64]) -> Option<usize> {
        let winner = (0..shares.len()).max_by(|&a, &b| shares[a].total_cmp(&shares[b]))?;
        if winner == GROUND as usize {
            return None;
        }
        let candidates = (1..shares.len()).filter(|&l| l != winner && shares[l] >= STRONG_MARK);
        candidates
            .filter(|&l| {
                let (one, other) = (labels.clusters[l - 1].colour, labels.clusters[winner - 1].colour);
                one.distance_squared(other) >= STANDS_OUT * STANDS_OUT
            })
            .filter(|&l| self.lies_within(labels, l as u8, window))
            .max_by(|&a, &b| shares[a].total_cmp(&shares[b]))
    }

    fn lies_within(&self, labels: &Labels, label: u8, window: Area) -> bool {
        let (rows, columns) = labels.plane.dim();
        let range = |start: f64, length: f64, most: usize| {
            (start.round().max(0.0) as usize)..((start + length).round().clamp(0.0, most as f64) as usize)
        };
        let mut inside = std::collections::BTreeMap::new();
        for y in range(window.y, window.height, rows) {
            for x in range(window.x, window.width, columns) {
                if labels.plane[(y, x)] == label {
                    *inside.entry(self.patch[(y, x)]).or_insert(0_usize) += 1;
                }
            }
        }
        inside.iter().any(|(&patch, &count)| {
            let size = self.sizes[patch as usize];
            count as f64 >= WITHIN * size as f64 && size as f64 <= PIXELS_PER_BEAD * PIXELS_PER_BEAD
        })
    }
}
