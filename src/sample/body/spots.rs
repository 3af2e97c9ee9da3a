//! Spots smaller than a bead, strewn over cloth.
//!
//! Who designs by eye keeps about a third of them, as lone beads (the designs by eye of our two sketches with spots).
//! Paper that shows between strokes makes specks as well: those lie anywhere, spots at even distances.

use std::collections::{BTreeMap, BTreeSet};

use ndarray::Array2;

use super::detect::{Asked, Claim, Detector, Rank};
use super::face;
use super::scene::{Peg, Scene};
use super::signs::CLEARLY;
use super::turns::{Cloth, mean};
use crate::colour::{Lab, ciede2000};
use crate::reference::ground::{median, middle_colour};

/// What surrounds a spot is looked at so far from its middle, in beads, in eight directions; in so many of them
/// another spot or a seam may lie.
const AROUND: f64 = 0.45;
const OTHERS: usize = 2;

/// Of two middles nearer than this, in beads, the clearer is the spot's.
const APART: f64 = 0.35;

/// A spot differs at least so much (CIEDE2000) from its ground, as a sign does,
const STANDS_OUT: f64 = 25.0;

/// ... and from what surrounds it so many times as much as that differs in itself.
const CALM: f64 = 2.0;

/// Among strokes only spots of at least so much chroma are told from specks of paper and grains of the pencil.
const DYED: f64 = 20.0;

/// Spots of one cloth are within so much (CIEDE2000) of one another, and so are their grounds,
const ALIKE: f64 = 16.0;

/// ... each at most so far from the next, in beads,
const REACH: f64 = 2.2;

/// ... at least so many,
const LEAST: usize = 8;

/// ... in more columns of beads than buttons lie in, and more rows than one,
const COLUMNS: usize = 4;
const ROWS: usize = 2;

/// ... and the ways to their nearest neighbours stray by at most so much of their mean: of specks that lie anywhere they
/// stray by 0.52 (the deviation of the Rayleigh distribution by its mean, the root of 4 / pi - 1).
const STRAY: f64 = 0.3;

/// One in so many spots becomes a bead.
const ONE_IN: usize = 3;

/// Spots of cloth.
pub(super) const DETECTOR: Detector = Detector {
    name: "spots",
    what: "Spots smaller than a bead that lie at even distances over cloth; one in three becomes a bead.",
    why: "All of them would hide the cloth, and none would be another dress.",
    source: "The designs by eye of our two sketches with spots.",
    example: "A kite girl's yellow dress with red dots.",
    limits: "At least 8, in 4 columns and 2 rows of beads, 25 CIEDE2000 from their ground, each within 2.2 beads of the \
             next; among strokes of a chroma of 20 at least.",
    find: |scene| {
        let cloth = scene.cloth();
        find(&cloth, scene.labels.stroked, |y, x| spotted_at(scene, y, x))
    },
};

/// The bead at a place, if it may have spots: cloth that no small mark lies on, a scarf above the eyes too.
fn spotted_at(scene: &Scene, y: f64, x: f64) -> Option<Peg> {
    let peg = scene.peg_at(y, x)?;
    let label = *scene.colours.get(&peg)?;
    let core = scene.stretch(peg)?.core;
    let is_above = face::eye_row(scene.zones).is_some_and(|eyes| peg.0 < eyes);
    let is_scarf = is_above && scene.skin() != Some(label);
    (!scene.blobs.contains_key(&peg) && (scene.may_be_cloth(peg.0, core) || is_scarf)).then_some(peg)
}

#[derive(Clone, Copy, Debug)]
struct Spot {
    y: f64,
    x: f64,
    colour: Lab,
    ground: Lab,
    peg: Peg,
}

/// Spots of all cloths; `peg_at` gives the bead at a place, y and x in working pixels, if it may be cloth.
fn find(cloth: &Cloth, stroked: bool, peg_at: impl Fn(f64, f64) -> Option<Peg>) -> Vec<Claim> {
    let mut left = middles(cloth, peg_at);
    left.retain(|spot| !stroked || spot.colour.a.hypot(spot.colour.b) >= DYED);
    let mut found = Vec::new();
    while !left.is_empty() {
        let spots = strewn_from(left.remove(0), &mut left, cloth.pitch);
        if are_strewn(&spots) {
            found.push(as_beads(&spots));
        }
    }
    found
}

/// Middles of what differs from all about it.
fn middles(cloth: &Cloth, peg_at: impl Fn(f64, f64) -> Option<Peg>) -> Vec<Spot> {
    let blurred = blurred(cloth);
    let mut clear: BTreeMap<(usize, usize), (f64, Spot)> = BTreeMap::new();
    for ((y, x), colour) in blurred.indexed_iter() {
        let Some((differs, ground)) = colour.and_then(|own| surrounded(&blurred, (y, x), own, cloth.pitch))
        else {
            continue;
        };
        let (at_y, at_x) = (y as f64 + 0.5, x as f64 + 0.5);
        if let (Some(peg), Some(colour)) = (peg_at(at_y, at_x), *colour) {
            clear.insert((y, x), (differs, Spot { y: at_y, x: at_x, colour, ground, peg }));
        }
    }
    let mut order: Vec<(f64, Spot)> = clear.into_values().collect();
    order.sort_by(|a, b| b.0.total_cmp(&a.0).then(a.1.y.total_cmp(&b.1.y)).then(a.1.x.total_cmp(&b.1.x)));
    let mut kept: Vec<Spot> = Vec::new();
    for (_, spot) in order {
        if kept.iter().all(|k| (k.y - spot.y).hypot(k.x - spot.x) >= APART * cloth.pitch) {
            kept.push(spot);
        }
    }
    kept
}

/// The mean of each pixel of the cloth and the eight about it.
fn blurred(cloth: &Cloth) -> Array2<Option<Lab>> {
    let (rows, columns) = cloth.is_cloth.dim();
    Array2::from_shape_fn((rows, columns), |(y, x)| {
        if !cloth.is_cloth[(y, x)] {
            return None;
        }
        let down = y.saturating_sub(1)..(y + 2).min(rows);
        let about = down.flat_map(|y| (x.saturating_sub(1)..(x + 2).min(columns)).map(move |x| (y, x)));
        Some(mean(&about.map(|place| cloth.colours[place]).collect::<Vec<_>>()))
    })
}

/// How far a place differs from what surrounds it, and that ground, if it is a spot.
fn surrounded(
    blurred: &Array2<Option<Lab>>,
    (y, x): (usize, usize),
    own: Lab,
    pitch: f64,
) -> Option<(f64, Lab)> {
    let at = |k: u32| {
        let angle = f64::from(k) * std::f64::consts::FRAC_PI_4;
        let (y, x) = (y as f64 + AROUND * pitch * angle.sin(), x as f64 + AROUND * pitch * angle.cos());
        let place = (y >= 0.0 && x >= 0.0).then_some((y.round() as usize, x.round() as usize))?;
        blurred.get(place).copied().flatten()
    };
    let ring: Vec<Lab> = (0..8).filter_map(at).collect();
    if ring.len() + OTHERS < 8 {
        return None;
    }
    let ground = middle_colour(&ring);
    let mut ways: Vec<f64> = ring.iter().map(|c| c.distance_squared(own).sqrt()).collect();
    ways.sort_by(f64::total_cmp);
    let differs = ways[OTHERS];
    let stray = median(ring.iter().map(|c| c.distance_squared(ground).sqrt()).collect());
    (differs >= CALM * stray && differs > STANDS_OUT / 2.0 && ciede2000(own, ground).0 >= STANDS_OUT)
        .then_some((differs, ground))
}

/// Spots like the first, each near one of the others.
fn strewn_from(first: Spot, left: &mut Vec<Spot>, pitch: f64) -> Vec<Spot> {
    let mut spots = vec![first];
    let mut next = 0;
    while let Some(&spot) = spots.get(next) {
        next += 1;
        let joins = |other: &Spot| {
            (other.y - spot.y).hypot(other.x - spot.x) <= REACH * pitch
                && ciede2000(other.colour, first.colour).0 <= ALIKE
                && ciede2000(other.ground, first.ground).0 <= ALIKE
        };
        let (joining, others) = left.iter().copied().partition(joins);
        *left = others;
        spots.extend::<Vec<Spot>>(joining);
    }
    spots
}

fn are_strewn(spots: &[Spot]) -> bool {
    let rows: BTreeSet<usize> = spots.iter().map(|spot| spot.peg.0).collect();
    let columns: BTreeSet<i32> = spots.iter().map(|spot| spot.peg.1).collect();
    if spots.len() < LEAST || rows.len() < ROWS || columns.len() < COLUMNS {
        return false;
    }
    let nearest = |(own, spot): (usize, &Spot)| {
        let others = spots.iter().enumerate().filter(|(other, _)| *other != own);
        others.map(|(_, o)| (o.y - spot.y).hypot(o.x - spot.x)).fold(f64::INFINITY, f64::min)
    };
    let ways: Vec<f64> = spots.iter().enumerate().map(nearest).collect();
    let mean = ways.iter().sum::<f64>() / ways.len() as f64;
    let square = ways.iter().map(|way| (way - mean).powi(2)).sum::<f64>() / ways.len() as f64;
    square.sqrt() <= STRAY * mean
}

/// A third of the spots as beads, on every second place of every second row, so that none touches another.
fn as_beads(spots: &[Spot]) -> Claim {
    let drawn: BTreeMap<Peg, usize> = spots.iter().fold(BTreeMap::new(), |mut drawn, spot| {
        *drawn.entry(spot.peg).or_default() += 1;
        drawn
    });
    let most = spots.len().div_ceil(ONE_IN);
    let on_lattice = |phase: (usize, i32)| -> Vec<Peg> {
        // From row to row of the lattice the columns are staggered.
        let lies = |&(row, column): &Peg| {
            row % 2 == phase.0 && (column - phase.1 - (row / 2 % 2) as i32 * 2).rem_euclid(4) == 0
        };
        drawn.keys().copied().filter(lies).take(most).collect()
    };
    let phases = (0..2).flat_map(|row| (0..4).map(move |column| (row, column)));
    let uneven = |pegs: &[Peg]| pegs.iter().map(|peg| peg.1).sum::<i32>().abs();
    let best = phases.map(on_lattice).min_by_key(|pegs| (most - pegs.len(), uneven(pegs)));
    let colours: Vec<Lab> = spots.iter().map(|spot| spot.colour).collect();
    let differs = median(spots.iter().map(|spot| ciede2000(spot.colour, spot.ground).0).collect());
    let count = spots.len() as f64;
    Claim {
        pegs: best.unwrap_or_default(),
        asked: Asked::Drawn(middle_colour(&colours)),
        rank: Rank::Spots,
        stands: (differs / CLEARLY).min(1.0) * count / (count + 1.0) / 2.0,
    }
}
