//! Parts of a draft that hang on nothing: pale cloth above them was often taken for ground.

use std::collections::BTreeSet;

use crate::error::Warning;
use crate::grid::Grid;
use crate::matching::MatchedBead;
use crate::reference::{Cover, Reference, Step};
use crate::sample::SampleGrid;
use crate::units::{Column, Row};

/// This large a share of all beads is a part of the body; less is a ball at its feet.
const PART: f64 = 0.1;

/// Row and column of a bead.
type Place = (usize, usize);

/// A warning for what lies below the largest piece, or above it, and touches it neither side to side nor at a corner: both
/// legs together. What lies beside it is held apart from the body, as a lamp on its cord is.
pub(super) fn warnings(
    beads: &Grid<Option<MatchedBead>>,
    samples: &SampleGrid,
    reference: &Reference,
) -> Vec<Warning> {
    let laid: BTreeSet<Place> =
        beads.iter().filter(|(.., bead)| bead.is_some()).map(|(row, column, _)| (row.0, column.0)).collect();
    let pieces = pieces(&laid);
    let Some(largest) = pieces.iter().max_by_key(|piece| piece.len()) else { return Vec::new() };
    let (first, last) = ends(largest);
    let above = pieces.iter().filter(|piece| ends(piece).1 < first);
    let below = pieces.iter().filter(|piece| ends(piece).0 > last);
    let parts: [BTreeSet<Place>; 2] =
        [above.flatten().copied().collect(), below.flatten().copied().collect()];
    let large = parts.iter().filter(|part| part.len() as f64 >= PART * laid.len() as f64);
    let warn = |part: &BTreeSet<Place>| {
        let (first, last) = ends(part);
        let at = between(part, largest, samples, reference);
        Warning::HangsOnNothing { first: first + 1, last: last + 1, at }
    };
    large.filter(|part| !part.is_empty()).map(warn).collect()
}

fn pieces(laid: &BTreeSet<Place>) -> Vec<BTreeSet<Place>> {
    let mut left = laid.clone();
    let mut found = Vec::new();
    while let Some(start) = left.pop_first() {
        let mut piece = BTreeSet::from([start]);
        let mut open = vec![start];
        while let Some((row, column)) = open.pop() {
            let near = (row.saturating_sub(1)..=row + 1)
                .flat_map(|r| (column.saturating_sub(1)..=column + 1).map(move |c| (r, c)));
            for place in near {
                if left.remove(&place) {
                    piece.insert(place);
                    open.push(place);
                }
            }
        }
        found.push(piece);
    }
    found
}

/// The first and the last row.
fn ends(piece: &BTreeSet<Place>) -> (usize, usize) {
    piece.iter().fold((usize::MAX, 0), |(first, last), place| (first.min(place.0), last.max(place.0)))
}

/// A pixel of the picture between a part and the rest, where there is ground that could be cloth.
fn between(
    piece: &BTreeSet<Place>,
    rest: &BTreeSet<Place>,
    samples: &SampleGrid,
    reference: &Reference,
) -> Option<(u32, u32)> {
    if reference.step() == Step::CutOut {
        return None;
    }
    let (lattice, (first, last)) = (samples.lattice(), ends(piece));
    let is_below = ends(rest).0 < first;
    let edge = if is_below { first } else { last };
    let columns: Vec<usize> = piece.iter().filter(|place| place.0 == edge).map(|place| place.1).collect();
    let over = |row: &usize| columns.iter().any(|column| rest.contains(&(*row, *column)));
    let empty = if is_below {
        (0..first).rev().find(over)? + 1..first
    } else {
        last + 1..(last + 1..lattice.rows()).find(over)?
    };
    let y = f64::midpoint(lattice.row_line(empty.start), lattice.row_line(empty.end));
    // From the part's middle outwards.
    let mut columns = columns;
    let middle = columns.iter().sum::<usize>() as f64 / columns.len() as f64;
    columns.sort_by(|a, b| (*a as f64 - middle).abs().total_cmp(&(*b as f64 - middle).abs()));
    columns.into_iter().find_map(|column| {
        let window = lattice.window(Row(edge), Column(column));
        let place = (y.max(0.0) as usize, (window.x + window.width / 2.0).max(0.0) as usize);
        let is_ground = reference.cover().get(place).is_some_and(|cover| *cover != Cover::Subject);
        is_ground.then(|| reference.named_pixel(&[place]))
    })
}
