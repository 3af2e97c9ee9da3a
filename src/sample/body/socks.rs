//! Socks as pale as the paper: a shoe that lies apart from its leg.
//!
//! A shin is never a hole (the plan has legs of two beads from the hip to the feet; common practice, no source), so
//! that what lies between a leg and the shoe straight below it belongs to the figure, however pale it is.

use std::collections::{BTreeMap, BTreeSet};
use std::ops::Range;

use crate::colour::Lab;
use crate::grid::commonest;
use crate::reference::Reference;
use crate::reference::mask::{self, pieces};
use crate::reference::middle::middle_colour;
use crate::sample::labels::{GROUND, Labels};
use crate::sample::piece::{Place, sides};

/// A shoe is so many beads large and at most so wide.
const SIZE: (f64, f64) = (0.3, 8.0);
const WIDE: f64 = 4.0;

/// The lower one ends at most so far above the figure's end, in beads.
const LOW: f64 = 0.6;

/// A sock is at most so long, and a leg at least so wide, in beads.
const LONG: f64 = 2.2;
const LEG: f64 = 0.4;

/// What lies on a way this much longer than the shortest, in beads, still lies between.
const ROUND_ABOUT: f64 = 0.25;

/// Fills what lies between a leg and a shoe apart from it with the colour that is seen there.
pub(super) fn fill(labels: &mut Labels, reference: &Reference, bottom: usize, pitch: f64) {
    let mut all = pieces(&labels.plane.map(|label| *label != GROUND));
    let Some(largest) = (0..all.len()).max_by_key(|&i| (all[i].len(), std::cmp::Reverse(i))) else { return };
    let body = all.swap_remove(largest);
    let is_low = |place: &Place| place.0 as f64 + LOW * pitch >= bottom as f64;
    let lowest = labels.plane.indexed_iter().filter(|(place, label)| **label != GROUND && is_low(place));
    let worn = commonest(lowest.map(|(_, label)| *label));
    let mut between: BTreeSet<Place> = BTreeSet::new();
    for shoe in all.iter().filter(|piece| is_shoe(piece, pitch)) {
        if shoe.iter().any(is_low) {
            between.extend(under(labels, &body, shoe, pitch));
        } else if commonest(shoe.iter().map(|place| labels.plane[*place])) == worn {
            between.extend(beside(labels, &body, shoe, pitch));
        }
    }
    if between.is_empty() {
        return;
    }
    let seen: Vec<Lab> = between.iter().map(|place| reference.colours()[*place]).collect();
    let label = labels.add_colour(middle_colour(&seen), seen.len());
    between.into_iter().for_each(|place| labels.plane[place] = label);
}

fn is_shoe(piece: &[Place], pitch: f64) -> bool {
    let size = piece.len() as f64 / (pitch * pitch);
    (SIZE.0..=SIZE.1).contains(&size) && sides(piece).1.len() as f64 <= WIDE * pitch
}

/// The ground between a shoe and what of the body stands straight above it.
fn under(labels: &Labels, body: &[Place], shoe: &[Place], pitch: f64) -> Vec<Place> {
    let body: BTreeSet<Place> = body.iter().copied().collect();
    let mut tops: BTreeMap<usize, usize> = BTreeMap::new();
    for &(y, x) in shoe {
        let top = tops.entry(x).or_insert(y);
        *top = (*top).min(y);
    }
    let gap = |(&x, &top): (&usize, &usize)| -> Option<Vec<Place>> {
        let reach = top.saturating_sub((LONG * pitch) as usize);
        let above = (reach..top).rev().find(|&y| labels.plane[(y, x)] != GROUND)?;
        body.contains(&(above, x)).then(|| (above + 1..top).map(|y| (y, x)).collect())
    };
    let gaps: Vec<Vec<Place>> = tops.iter().filter_map(gap).collect();
    if (gaps.len() as f64) < LEG * pitch {
        return Vec::new();
    }
    gaps.into_iter().flatten().collect()
}

/// The ground between a shoe and the nearest part of the body: of a leg that is lifted.
fn beside(labels: &Labels, body: &[Place], shoe: &[Place], pitch: f64) -> Vec<Place> {
    let reach = (LONG * pitch) as usize;
    let wider = |range: Range<usize>| range.start.saturating_sub(reach)..range.end + reach;
    let (rows, columns) = sides(shoe);
    let (rows, columns) = (wider(rows), wider(columns));
    let near: Vec<Place> =
        body.iter().copied().filter(|p| rows.contains(&p.0) && columns.contains(&p.1)).collect();
    let (near, shoe) = (rim(labels, &near), rim(labels, shoe));
    let away = |from: &[Place], (y, x): Place| {
        let far = |p: &Place| (p.0 as f64 - y as f64).hypot(p.1 as f64 - x as f64);
        from.iter().map(far).fold(f64::INFINITY, f64::min)
    };
    let shortest = shoe.iter().map(|&place| away(&near, place)).fold(f64::INFINITY, f64::min);
    if shortest > LONG * pitch {
        return Vec::new();
    }
    let (high, wide) = labels.plane.dim();
    let places = (rows.start..rows.end.min(high))
        .flat_map(|y| (columns.start..columns.end.min(wide)).map(move |x| (y, x)));
    places
        .filter(|&place| labels.plane[place] == GROUND)
        .filter(|&place| away(&near, place) + away(&shoe, place) <= shortest + ROUND_ABOUT * pitch)
        .collect()
}

/// The places of a piece that lie beside ground or at the edge of the picture.
fn rim(labels: &Labels, piece: &[Place]) -> Vec<Place> {
    let inside =
        |place: Place| mask::beside(place, labels.plane.dim()).filter(|near| labels.plane[*near] != GROUND);
    piece.iter().copied().filter(|place| inside(*place).count() < 4).collect()
}
