//! What colour alone cannot tell: cloth as pale as the paper, paper that something shuts in, light painted about a
//! lamp, and what lies on the ground about the feet.

use std::collections::BTreeMap;

use ndarray::Array2;

use crate::plan::{Zone, ZoneRows};
use crate::reference::Reference;
use crate::reference::mask::pieces;
use crate::reference::middle::{median, middle_colour};
use crate::sample::labels::{GROUND, Labels};
use crate::sample::piece::sides;

/// A pale area the figure shuts in is cloth if it lies over the body's axis and is at least so many beads large:
/// an apron, a shirt front. Beside the axis it is what an arm on the hip shuts in.
const LEAST_CLOTH: f64 = 2.0;

/// How near the axis it must reach, in beads.
const NEAR_AXIS: f64 = 0.5;

/// The gap between two legs is higher than so many times its width, an apron is not.
const TALLEST: f64 = 2.5;

/// A pale area whose being cloth or ground is only likely, and what it was taken for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Asked {
    /// A pixel of it in the upright picture, x and y.
    pub pixel: (u32, u32),
    /// Whether it was taken for cloth.
    pub cloth: bool,
}

/// Gives pale cloth that was taken for ground a colour of its own: what its pixels show.
pub(super) fn keep_cloth(labels: &mut Labels, reference: &Reference, axis: f64, pitch: f64) -> Vec<Asked> {
    let (rows, columns) = labels.plane.dim();
    let ground = labels.plane.map(|label| *label == GROUND);
    let at_edge = |&(y, x): &(usize, usize)| y == 0 || x == 0 || y + 1 == rows || x + 1 == columns;
    let near_axis = |&(_, x): &(usize, usize)| (x as f64 + 0.5 - axis).abs() <= NEAR_AXIS * pitch;
    let mut cloth: Vec<(usize, usize)> = Vec::new();
    let mut asked = Vec::new();
    for piece in pieces(&ground) {
        let size = piece.len() as f64 / (pitch * pitch);
        let high = sides(&piece).0.len() as f64;
        if size >= LEAST_CLOTH
            && high <= TALLEST * piece.len() as f64 / high
            && !piece.iter().any(at_edge)
            && piece.iter().any(near_axis)
            && reference.said_of(&piece).is_none()
            && !is_held_up(&ground, &piece, pitch)
        {
            asked.push(Asked { pixel: reference.named_pixel(&piece), cloth: true });
            cloth.extend(piece);
        }
    }
    if cloth.is_empty() {
        return Vec::new();
    }
    let colours = reference.colours();
    let colour = middle_colour(&cloth.iter().map(|p| colours[*p]).collect::<Vec<_>>());
    let label = labels.add_colour(colour, cloth.len());
    cloth.into_iter().for_each(|p| labels.plane[p] = label);
    asked
}

/// Whether two arms shut a piece in under a bar they hold up: thick at both sides, and above it a bar that goes on
/// beyond the arms.
fn is_held_up(ground: &Array2<bool>, piece: &[(usize, usize)], pitch: f64) -> bool {
    /// An arm is at least so thick, the bar at most, and it goes so far beyond the hands, in beads.
    const ARM: f64 = 0.5;
    const BAR: f64 = 1.4;
    const BEYOND: f64 = 1.0;
    let (rows, columns) = ground.dim();
    let mut sides: BTreeMap<usize, (usize, usize)> = BTreeMap::new();
    let mut tops: BTreeMap<usize, usize> = BTreeMap::new();
    for &(y, x) in piece {
        let side = sides.entry(y).or_insert((x, x));
        *side = (side.0.min(x), side.1.max(x));
        let top = tops.entry(x).or_insert(rows);
        *top = (*top).min(y);
    }
    let across =
        |y: usize, xs: &mut dyn Iterator<Item = usize>| xs.take_while(|&x| !ground[(y, x)]).count() as f64;
    let left = median(sides.iter().map(|(&y, s)| across(y, &mut (0..s.0).rev())).collect());
    let right = median(sides.iter().map(|(&y, s)| across(y, &mut (s.1 + 1..columns))).collect());
    let thick = |(&x, &y): (&usize, &usize)| (0..y).rev().take_while(|&y| !ground[(y, x)]).count() as f64;
    let above = median(tops.iter().map(thick).collect());
    // The bar may bend: beyond the hands it is looked for in the rows about the piece's corners.
    let (Some((&first, &high)), Some((&last, &low))) = (tops.first_key_value(), tops.last_key_value()) else {
        return false;
    };
    let rows = |top: usize| top.saturating_sub((2.0 * BAR * pitch) as usize)..top;
    let goes_left = rows(high).any(|y| across(y, &mut (0..first).rev()) >= left + BEYOND * pitch);
    let goes_right = rows(low).any(|y| across(y, &mut (last + 1..columns)) >= right + BEYOND * pitch);
    left.min(right) >= ARM * pitch && above <= BAR * pitch && goes_left && goes_right
}

/// Takes out what is as pale as the paper and shut in by two arms under a bar they hold up.
pub(super) fn open_frames(labels: &mut Labels, reference: &Reference, pitch: f64) -> Vec<Asked> {
    /// What differs less than this from the paper, in Lab units, is as pale.
    const AS_PALE: f64 = 5.0;
    let paper = reference.ground_colour();
    let pale: Vec<bool> = std::iter::once(false)
        .chain(labels.clusters.iter().map(|c| c.colour.distance_squared(paper) <= AS_PALE * AS_PALE))
        .collect();
    let is_pale = labels.plane.map(|label| pale[usize::from(*label)]);
    let is_open = labels.plane.map(|label| *label == GROUND || pale[usize::from(*label)]);
    let mut asked = Vec::new();
    for piece in pieces(&is_pale) {
        if reference.said_of(&piece).is_none() && is_held_up(&is_open, &piece, pitch) {
            asked.push(Asked { pixel: reference.named_pixel(&piece), cloth: false });
            piece.into_iter().for_each(|p| labels.plane[p] = GROUND);
        }
    }
    asked
}

/// Takes out what lies on the ground about the feet: a shadow, a puddle, grass, a scribble.
pub(super) fn clear_ground(labels: &mut Labels, reference: &Reference, bottom: usize, pitch: f64) {
    /// How far above the figure's end it may reach, in beads.
    const LOW: f64 = 1.8;
    /// It is at most so far from the paper, in Lab units; feet beside it are farther, and so many beads large.
    const FAINT: f64 = 38.0;
    const FEET: f64 = 0.5;
    let paper = reference.ground_colour();
    let from = bottom.saturating_sub((LOW * pitch) as usize);
    let apart: Vec<f64> =
        std::iter::once(0.0).chain(labels.clusters.iter().map(|c| c.colour.distance(paper))).collect();
    let low = labels.plane.indexed_iter().filter(|((y, _), _)| *y >= from);
    let feet = low.filter(|(_, label)| apart[usize::from(**label)] > FAINT).count();
    if (feet as f64) < FEET * pitch * pitch {
        return;
    }
    let faint = labels.plane.map(|label| *label != GROUND && apart[usize::from(*label)] <= FAINT);
    for piece in pieces(&faint).into_iter().filter(|piece| piece.iter().all(|(y, _)| *y >= from)) {
        piece.into_iter().for_each(|p| labels.plane[p] = GROUND);
    }
}

/// Whether what is as pale as the ground is cloth in a row of beads: in the trunk, and below it where no legs part.
pub(super) fn is_closed(zones: &ZoneRows, row: usize, legs_seen: bool) -> bool {
    match zones.at(row) {
        Some((Zone::Torso, _)) => true,
        Some((Zone::Legs, _)) => !legs_seen,
        _ => false,
    }
}
