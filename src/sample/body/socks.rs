//! Socks as pale as the paper: a shoe that lies apart from its leg.
//!
//! A shin is never a hole (the plan has legs of two beads from the hip to the feet; common practice, no source), so
//! that what lies between the body and a shoe near it belongs to the figure, however pale it is.

use std::collections::BTreeSet;

use super::silhouette::HALF;
use crate::colour::Lab;
use crate::reference::Reference;
use crate::reference::mask::{beside, pieces};
use crate::reference::middle::middle_colour;
use crate::sample::labels::{GROUND, Labels};
use crate::sample::piece::{Place, commonest, sides};

/// A shoe is this many beads large and at most this wide.
const SIZE: (f64, f64) = (0.3, 8.0);
const WIDE: f64 = 4.0;

/// A sock is at most this long, in beads.
const LONG: f64 = 2.2;

/// What lies on a way this much longer than the shortest, in beads, still lies between.
const ROUND_ABOUT: f64 = 0.25;

/// Fills what lies between the body and a shoe apart from it with the colour that is seen there: a low shoe, or one of
/// the lowest ones' colour on a leg that is lifted.
pub(super) fn fill(labels: &mut Labels, reference: &Reference, bottom: usize, pitch: f64) {
    let mut all = pieces(&labels.plane.map(|label| *label != GROUND));
    let Some(largest) = (0..all.len()).max_by_key(|&i| (all[i].len(), std::cmp::Reverse(i))) else { return };
    let body = all.swap_remove(largest);
    let is_low = |place: &Place| place.0 as f64 + HALF * pitch >= bottom as f64;
    let lowest = labels.plane.indexed_iter().filter(|(place, label)| **label != GROUND && is_low(place));
    let worn = commonest(lowest.map(|(_, label)| *label));
    let mut between: BTreeSet<Place> = BTreeSet::new();
    for shoe in all.iter().filter(|piece| is_shoe(piece, pitch)) {
        let stands = shoe.iter().any(is_low);
        if stands || commonest(shoe.iter().map(|place| labels.plane[*place])) == worn {
            between.extend(way_to(labels, &body, (shoe, stands), pitch));
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

/// The ground between a shoe and the nearest part of the body; above one that stands: a ball lies beside a foot.
fn way_to(labels: &Labels, body: &[Place], (shoe, stands): (&[Place], bool), pitch: f64) -> Vec<Place> {
    let reach = (LONG * pitch) as usize;
    let (rows, columns) = sides(shoe);
    let top = rows.start;
    let rows = rows.start.saturating_sub(reach)..rows.end + reach;
    let columns = columns.start.saturating_sub(reach)..columns.end + reach;
    let is_near = |p: &Place| rows.contains(&p.0) && columns.contains(&p.1);
    // Only the rim of each matters.
    let is_rim = |p: &Place| beside(*p, labels.plane.dim()).any(|near| labels.plane[near] == GROUND);
    let rim = |piece: &[Place]| piece.iter().copied().filter(|p| is_near(p) && is_rim(p)).collect::<Vec<_>>();
    let (near, shoe) = (rim(body), rim(shoe));
    let away = |from: &[Place], (y, x): Place| {
        let far = |p: &Place| (p.0 as f64 - y as f64).hypot(p.1 as f64 - x as f64);
        from.iter().map(far).fold(f64::INFINITY, f64::min)
    };
    let shortest = |from: &[Place]| shoe.iter().map(|&p| away(from, p)).fold(f64::INFINITY, f64::min);
    let above: Vec<Place> = near.iter().copied().filter(|p| p.0 < top).collect();
    let way = shortest(&near);
    if way > LONG * pitch || stands && shortest(&above) > way {
        return Vec::new();
    }
    let ground = labels.plane.indexed_iter().filter(|(place, label)| **label == GROUND && is_near(place));
    let lies_between = |place: &Place| away(&near, *place) + away(&shoe, *place) <= way + ROUND_ABOUT * pitch;
    ground.map(|(place, _)| place).filter(lies_between).collect()
}
