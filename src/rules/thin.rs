//! A part one bead thin and so long that it would snap.

use std::collections::btree_map::Entry;
use std::collections::{BTreeMap, BTreeSet};

use super::joined::{Joined, Place};
use super::{Finding, Judge, Rule, Subject};

pub(super) const RULE: Rule = Rule {
    name: "thin",
    title: "one bead thin, and long",
    what: "A free part one bead thin that reaches far from where it is held. What is held at both ends is not judged.",
    why: "A long thin part is a lever on a single fused side: it snaps off the board, in a pocket, in a child's hand.",
    example: "A staff as long as the figure, held in the middle by one hand.",
    limits: "Longer than 11 beads. A leg one bead wide, nine rows long, on a foot of two is common practice, no source; so is an arm of nine.",
    judge: Judge::Figure(judge),
};

/// The farthest a thin part should reach from where it is held, in beads.
const FARTHEST: usize = 11;

fn judge(subject: &Subject) -> Vec<Finding> {
    let joined = subject.joined();
    let mut found: Vec<Finding> = chains(joined)
        .into_iter()
        .flat_map(|chain| arms(joined, &chain))
        .filter(|arm| arm.len() > FARTHEST)
        .map(|arm| finding(&arm))
        .collect();
    found.sort_by(|one, other| one.beads.cmp(&other.beads));
    found
}

/// Groups of thin beads that single sides join, each of which carries all beyond it.
fn chains(joined: &Joined) -> Vec<BTreeSet<Place>> {
    let single = |narrow: &&super::joined::Narrow| narrow.sides.len() == 1;
    let bridges: BTreeSet<(Place, Place)> = joined
        .narrow_places()
        .iter()
        .filter(single)
        .flat_map(|narrow| narrow.sides.iter().copied())
        .filter(|&(one, other)| !joined.is_thick(one) && !joined.is_thick(other))
        .flat_map(|(one, other)| [(one, other), (other, one)])
        .collect();
    let mut left: BTreeSet<Place> = bridges.iter().map(|&(one, _)| one).collect();
    let mut chains = Vec::new();
    while let Some(&first) = left.first() {
        let chain = joined.flood(first, |one, other| bridges.contains(&(one, other)), |_| false);
        let chain: BTreeSet<Place> = chain.into_iter().flatten().collect();
        left.retain(|bead| !chain.contains(bead));
        chains.push(chain);
    }
    chains
}

/// The free arms of a chain: each from where the chain is held to one of its ends.
fn arms(joined: &Joined, chain: &BTreeSet<Place>) -> Vec<Vec<Place>> {
    let outside = |bead: Place| joined.beside(bead).filter(|other| !chain.contains(other));
    let body =
        |other: Place| joined.flood(other, |_, to| !chain.contains(&to), |_| false).map_or(0, |b| b.len());
    let hold = chain.iter().flat_map(|&bead| outside(bead).map(move |other| (body(other), bead)));
    // The largest piece beyond the chain is what holds it; a figure that is all thin is held at its first bead.
    let holds: Vec<(usize, Place)> = hold.collect();
    let largest = holds.iter().map(|hold| hold.0).max();
    let held: Vec<Place> = match largest {
        Some(largest) => holds.iter().filter(|hold| hold.0 == largest).map(|hold| hold.1).collect(),
        None => chain.first().copied().into_iter().collect(),
    };
    held.into_iter().flat_map(|held| from(joined, chain, held)).collect()
}

/// The ways from a held bead to the ends of its chain, one for each side the chain leaves it by: the longest.
fn from(joined: &Joined, chain: &BTreeSet<Place>, held: Place) -> Vec<Vec<Place>> {
    // For each bead the one it was reached from; walked in order of distance, so the last of a side is farthest.
    let mut reached_from: BTreeMap<Place, Place> = [(held, held)].into();
    let mut order = vec![held];
    let mut next = 0;
    while let Some(&bead) = order.get(next) {
        next += 1;
        for other in joined.beside(bead).filter(|other| chain.contains(other)) {
            if let Entry::Vacant(new) = reached_from.entry(other) {
                new.insert(bead);
                order.push(other);
            }
        }
    }
    let way = |end: Place| {
        let mut way: Vec<Place> = vec![end];
        while let Some(&bead) = way.last().filter(|bead| **bead != held) {
            way.push(reached_from[&bead]);
        }
        way.reverse();
        way
    };
    let mut sides: BTreeMap<Option<Place>, Place> = BTreeMap::new();
    let mut side_of: BTreeMap<Place, Option<Place>> = BTreeMap::new();
    for &bead in &order {
        let before = reached_from[&bead];
        let side = if before == held { (bead != held).then_some(bead) } else { side_of[&before] };
        side_of.insert(bead, side);
        sides.insert(side, bead);
    }
    // The held bead itself is an arm only where nothing goes on from it.
    let alone = sides.len() == 1;
    sides.into_iter().filter(|(side, _)| side.is_some() || alone).map(|(_, end)| way(end)).collect()
}

fn finding(arm: &[Place]) -> Finding {
    let what = format!("one bead thin and {} long from where it is held", arm.len());
    let could =
        format!("make it two beads wide, hold it a second time, or shorten it by {}", arm.len() - FARTHEST);
    Finding::new(&RULE, arm.to_vec(), what, could)
}
