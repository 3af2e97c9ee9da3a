//! Pieces of a drawing: pixels of one label that hang together side to side.

use std::cmp::Reverse;
use std::collections::{BTreeMap, BTreeSet};
use std::ops::Range;

use ndarray::Array2;

use super::labels::{GROUND, Labels};
use crate::reference::mask::beside;

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
        let label = plane[start];
        let mut touches = BTreeSet::new();
        seen[start] = true;
        let mut take = |place: Place| {
            let is_own = |near: &Place| {
                let is_own = plane[*near] == label;
                if !is_own {
                    touches.insert(plane[*near]);
                }
                is_own && !std::mem::replace(&mut seen[*near], true)
            };
            beside(place, plane.dim()).filter(is_own).collect::<Vec<_>>()
        };
        let pixels = flood(start, &mut take);
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

/// All that is reached from a start; `take` gives what lies beside one and was not taken before.
pub(super) fn flood<T: Copy, I: IntoIterator<Item = T>>(start: T, mut take: impl FnMut(T) -> I) -> Vec<T> {
    let (mut all, mut next) = (vec![start], 0);
    while let Some(&one) = all.get(next) {
        next += 1;
        all.extend(take(one));
    }
    all
}

/// What comes most often; of equally common ones the least.
pub(super) fn commonest<T: Ord + Copy>(all: impl IntoIterator<Item = T>) -> Option<T> {
    let mut counts: BTreeMap<T, usize> = BTreeMap::new();
    all.into_iter().for_each(|one| *counts.entry(one).or_default() += 1);
    counts.into_iter().max_by_key(|&(one, count)| (count, Reverse(one))).map(|(one, _)| one)
}

/// Whether some pixels are round: slivers along an edge and slips of a pen are longer.
pub(super) fn is_round(pixels: &[Place]) -> bool {
    /// The ratio of its sides at most, and how much of its box it fills at least.
    const RATIO: usize = 2;
    const FILLS: f64 = 0.55;
    let (down, across) = sides(pixels);
    let (height, width) = (down.len(), across.len());
    height.max(width) <= RATIO * height.min(width) && pixels.len() as f64 >= FILLS * (height * width) as f64
}

/// The rows and the columns that some pixels lie in, from the first to the last.
pub(super) fn sides(pixels: &[Place]) -> (Range<usize>, Range<usize>) {
    let range = |of: fn(&Place) -> usize| {
        let all = || pixels.iter().map(of);
        all().min().map_or(0..0, |first| first..all().max().unwrap_or(first) + 1)
    };
    (range(|p| p.0), range(|p| p.1))
}
