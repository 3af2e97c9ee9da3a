//! Pieces of a drawing: pixels of one label that hang together side to side.

use std::collections::BTreeSet;

use ndarray::Array2;

use super::labels::{GROUND, Labels};
use crate::grid::reached;
use crate::reference::mask::beside;
pub(super) use crate::reference::mask::spans as sides;

/// A place: row and column of pixels.
pub(super) type Place = (usize, usize);

/// Pixels of one label that hang together.
pub(super) struct Piece {
    pub label: u8,
    pub pixels: Vec<Place>,
    /// The labels beside it.
    pub touches: BTreeSet<u8>,
}

impl Piece {
    /// All pieces but the ground's, in reading order of their first pixels.
    pub fn all(labels: &Labels) -> Vec<Self> {
        let plane = &labels.plane;
        let mut seen = plane.map(|label| *label == GROUND);
        let starts: Vec<Place> = plane.indexed_iter().map(|(place, _)| place).collect();
        let grown = |start: Place| (!seen[start]).then(|| Self::grow(plane, start, &mut seen));
        starts.into_iter().filter_map(grown).collect()
    }

    fn grow(plane: &Array2<u8>, start: Place, seen: &mut Array2<bool>) -> Self {
        let (label, mut touches) = (plane[start], BTreeSet::new());
        seen[start] = true;
        let pixels = reached(vec![start], |place, pixels| {
            for near in beside(place, plane.dim()) {
                if plane[near] != label {
                    touches.insert(plane[near]);
                } else if !std::mem::replace(&mut seen[near], true) {
                    pixels.push(near);
                }
            }
        });
        Self { label, pixels, touches }
    }

    /// Its middle, y and x.
    pub fn middle(&self) -> (f64, f64) {
        let count = self.pixels.len() as f64;
        let mean =
            |of: fn(&Place) -> usize| self.pixels.iter().map(|p| of(p) as f64 + 0.5).sum::<f64>() / count;
        (mean(|p| p.0), mean(|p| p.1))
    }
}
