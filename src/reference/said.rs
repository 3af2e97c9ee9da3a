//! What the maker said of a pale area, brought to the area that is meant: one that the figure shuts in, or shuts in but
//! for a break in its outline.

use std::collections::BTreeSet;

use ndarray::Array2;

use super::mask::{Piece, beside, grown, outside_of, pieces};

/// Half of the widest break across which an outline is closed without asking, in beads, and how many beads large at least what
/// it then shuts in is: less is a notch.
const SLIP: f64 = 0.15;
const LARGE: f64 = 1.2;

/// Half of the widest break across which an outline is closed at the maker's word, in beads.
const BREAK: f64 = 0.3;

/// A wider opening is named up to twice this many beads; beyond that it is the open ground.
const WIDEST: f64 = 1.5;

/// Where a place that the maker named lies.
pub(super) enum Named {
    /// In the figure already.
    InFigure,
    /// In an area that the figure shuts in, or nearly.
    Shut(Piece),
    /// In an area that opens to the ground.
    Opens(Opening),
    /// Out on the open ground.
    Outside,
}

/// Where an area runs out to the open ground.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Opening {
    /// Row and column, in working pixels.
    pub at: (usize, usize),
    /// How wide it is about, in working pixels.
    pub wide: f64,
}

/// What is open ground around a figure whose beads are this large: what can be reached from the border, but not by a slip
/// of the pen in an outline that closes in a garment.
pub(super) fn outside_but_for_breaks(kept: &Array2<bool>, bead: f64) -> Array2<bool> {
    let mut outside = outside_of(kept);
    let reach = (SLIP * bead).round() as usize;
    let closed = grown(kept, reach);
    let open = outside_of(&closed);
    let shut = Array2::from_shape_fn(kept.dim(), |place| outside[place] && !closed[place] && !open[place]);
    for piece in pieces(&shut) {
        let whole = spread(&piece, kept, reach);
        if whole.len() as f64 >= LARGE * bead * bead {
            whole.into_iter().for_each(|place| outside[place] = false);
        }
    }
    outside
}

/// What lies around a place of a figure whose beads are this large.
pub(super) fn around(place: (usize, usize), kept: &Array2<bool>, bead: f64) -> Named {
    match kept.get(place) {
        None => return Named::Outside,
        Some(true) => return Named::InFigure,
        Some(false) => {}
    }
    let mut way = Vec::new();
    for reach in 1..=(WIDEST * bead) as usize {
        let closed = grown(kept, reach);
        let narrowest = first_closed(&way, &closed);
        // The place may lie close to the outline itself.
        let Some(start) = free_near(place, kept, &closed, reach) else {
            return Named::Opens(Opening { at: narrowest.unwrap_or(place), wide: 2.0 * reach as f64 });
        };
        match from(start, &closed) {
            Walk::ShutIn(area) if reach as f64 <= (BREAK * bead).max(1.0) => {
                return Named::Shut(spread(&area, kept, reach));
            }
            // The way out that was still free a pixel before leads through the opening.
            Walk::ShutIn(_) => {
                let at = narrowest.unwrap_or(place);
                return Named::Opens(Opening { at, wide: 2.0 * reach as f64 });
            }
            Walk::Out(found) => way = found,
        }
    }
    Named::Outside
}

/// The middle of the first part of a way that closing the outline bars.
fn first_closed(way: &[(usize, usize)], closed: &Array2<bool>) -> Option<(usize, usize)> {
    let barred = way.iter().skip_while(|place| !closed[**place]).take_while(|place| closed[**place]);
    let barred: Vec<_> = barred.collect();
    barred.get(barred.len() / 2).map(|place| **place)
}

/// Where one comes from a place.
enum Walk {
    /// Everywhere that can be reached.
    ShutIn(Piece),
    /// A way to the picture's border.
    Out(Vec<(usize, usize)>),
}

fn from(place: (usize, usize), closed: &Array2<bool>) -> Walk {
    let (rows, columns) = closed.dim();
    let mut before: Array2<Option<(usize, usize)>> = Array2::from_elem(closed.dim(), None);
    before[place] = Some(place);
    let mut reached = vec![place];
    let mut next = 0;
    while let Some(&at) = reached.get(next) {
        next += 1;
        if at.0 == 0 || at.1 == 0 || at.0 + 1 == rows || at.1 + 1 == columns {
            let back = std::iter::successors(Some(at), |at| before[*at].filter(|_| *at != place));
            let mut way: Vec<_> = back.collect();
            way.reverse();
            return Walk::Out(way);
        }
        for near in beside(at, closed.dim()).filter(|near| !closed[*near]) {
            if before[near].is_none() {
                before[near] = Some(at);
                reached.push(near);
            }
        }
    }
    Walk::ShutIn(reached)
}

/// The nearest place that closing the outline leaves free, not across it and not far.
fn free_near(
    place: (usize, usize),
    kept: &Array2<bool>,
    closed: &Array2<bool>,
    reach: usize,
) -> Option<(usize, usize)> {
    let mut seen = BTreeSet::from([place]);
    let mut ring = vec![place];
    for _ in 0..=2 * reach {
        if let Some(free) = ring.iter().find(|place| !closed[**place]) {
            return Some(*free);
        }
        let beyond = ring.iter().flat_map(|place| beside(*place, kept.dim())).filter(|near| !kept[*near]);
        ring = beyond.filter(|near| seen.insert(*near)).collect();
    }
    None
}

/// An area given back what closing the outline took from it.
fn spread(area: &[(usize, usize)], kept: &Array2<bool>, reach: usize) -> Piece {
    let mut own = Array2::from_elem(kept.dim(), false);
    area.iter().for_each(|place| own[*place] = true);
    let own = grown(&own, reach);
    own.indexed_iter().filter(|(place, own)| **own && !kept[*place]).map(|(place, _)| place).collect()
}
