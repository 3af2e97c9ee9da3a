//! A joint decision over neighbouring beads: a small strong mark stays, noise goes.
//!
//! Every window says how much each colour fills it; neighbours that take a colour speak for it too. A clear
//! window cannot be outvoted, so that stripes, belts and eyes stay crisp; where two colours share a window
//! almost equally, the neighbours settle it (iterated conditional modes, Besag 1986, on a Potts model whose
//! data term is the logarithm of the share).

use crate::grid::Grid;
use crate::sample::{BeadSample, Share};
use crate::units::{Column, Row};

/// How much one agreeing neighbour is worth, as a logarithm of odds: four of them outvote a lead of 0.7 to
/// 0.2 hardly, one of 0.5 to 0.35 well.
const SAY: f64 = 0.3;

/// Rounds after which nothing changes in practice.
const ROUNDS: usize = 4;

/// Lets neighbours settle what a window leaves open.
pub(super) fn settle(mut beads: Grid<BeadSample>) -> Grid<BeadSample> {
    let open: Vec<(Row, Column)> = beads
        .iter()
        .filter(|(_, _, sample)| sample.filled && !sample.is_mark)
        .map(|(row, column, _)| (row, column))
        .collect();
    for _ in 0..ROUNDS {
        let mut changed = false;
        for &place in &open {
            let best = likeliest(&beads, place);
            changed |= best != 0;
            beads[place].colours[..=best].rotate_right(1);
        }
        if !changed {
            break;
        }
    }
    beads
}

/// The place among a window's colours of the one that window and neighbours favour together.
fn likeliest(beads: &Grid<BeadSample>, (row, column): (Row, Column)) -> usize {
    let score = |share: &Share| {
        let agreeing = beads
            .beside(row, column)
            .filter(|(_, _, near)| near.filled && near.colours[0].colour == share.colour)
            .count();
        share.share.max(1e-6).ln() + SAY * agreeing as f64
    };
    let scores = beads[(row, column)].colours.iter().map(score).enumerate();
    scores.fold((0, f64::NEG_INFINITY), |best, next| if next.1 > best.1 { next } else { best }).0
}
