//! A heavy part on a thin neck.

use std::cmp::Ordering;
use std::collections::HashMap;

use super::joined::{Joined, Narrow, Place};
use super::{Finding, Judge, Rule, Subject, beads_in_words};

pub(super) const RULE: Rule = Rule {
    name: "heavy",
    title: "a heavy part on a thin neck",
    what: "One or two fused sides that carry more than they should: where they give way, that many beads come off.",
    why: "A figure breaks where little carries much: when it is lifted from the board, and each time it is handled.",
    example: "An arm with a full basket that hangs from the shoulder by one fused side.",
    limits: "More than 20 beads on one fused side, more than 60 on two. An arm of nine beads, two thick, that hangs from the shoulder by one side is common practice, no source: 18 beads, 20 with what the hand holds. Two sides bear three times as much: across the flat they are twice as strong, along it four times (section modulus of a beam: width times height squared, over six).",
    judge: Judge::Figure(judge),
};

/// The most beads that one fused side, and two, should carry.
const MOST_CARRIED: [usize; 2] = [20, 60];

fn most(narrow: &Narrow) -> usize {
    MOST_CARRIED[narrow.sides.len().clamp(1, MOST_CARRIED.len()) - 1]
}

fn judge(subject: &Subject) -> Vec<Finding> {
    let joined = subject.joined();
    let heavy = joined.narrow_places().iter().filter(|narrow| narrow.carried > most(narrow));
    let worst = worst_of_each_neck(&heavy.collect::<Vec<_>>());
    let mut found: Vec<Finding> = worst.iter().map(|narrow| finding(joined, narrow)).collect();
    found.sort_by(|one, other| one.beads.cmp(&other.beads));
    found
}

/// Narrow places that share a bead are one neck; the worst stands for it.
fn worst_of_each_neck<'a>(narrow: &[&'a Narrow]) -> Vec<&'a Narrow> {
    let mut at_bead: HashMap<Place, Vec<usize>> = HashMap::new();
    for (at, place) in narrow.iter().enumerate() {
        ends(place).for_each(|bead| at_bead.entry(bead).or_default().push(at));
    }
    let mut seen = vec![false; narrow.len()];
    let mut worst = Vec::new();
    for first in 0..narrow.len() {
        if seen[first] {
            continue;
        }
        seen[first] = true;
        let mut neck = vec![first];
        let mut next = 0;
        while let Some(&at) = neck.get(next) {
            next += 1;
            for &other in ends(narrow[at]).filter_map(|bead| at_bead.get(&bead)).flatten() {
                if !std::mem::replace(&mut seen[other], true) {
                    neck.push(other);
                }
            }
        }
        worst.extend(neck.into_iter().map(|at| narrow[at]).max_by(|one, other| heavier(one, other)));
    }
    worst
}

/// By what is carried beyond what should be, in proportion; of equal ones the upper, so that the answer does not
/// hang on the order they were found in.
fn heavier(one: &Narrow, other: &Narrow) -> Ordering {
    let load = (one.carried * most(other)).cmp(&(other.carried * most(one)));
    load.then_with(|| other.sides.cmp(&one.sides))
}

fn ends(narrow: &Narrow) -> impl Iterator<Item = Place> + '_ {
    narrow.sides.iter().flat_map(|&(one, other)| [one, other])
}

fn finding(joined: &Joined, narrow: &Narrow) -> Finding {
    let by = if narrow.sides.len() == 1 { "one fused side" } else { "two fused sides" };
    let carried = joined.cut(&narrow.sides).map(|cut| cut.carried).unwrap_or_default();
    let place = Finding::new(&RULE, carried, String::new(), String::new()).place();
    let place = place.map_or(String::new(), |place| format!(" ({place})"));
    let what = format!("{}{place} hang by {by}; up to {} hold", beads_in_words(narrow.carried), most(narrow));
    let could = "make it a bead wider there, let the part touch a second time, or wire it from behind";
    Finding::new(&RULE, ends(narrow).collect(), what, could.into())
}
