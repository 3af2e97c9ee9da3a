//! A heavy part on a thin neck.

use super::joined::{Cut, Place};
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

fn most(cut: &Cut) -> usize {
    MOST_CARRIED[cut.sides.len().clamp(1, MOST_CARRIED.len()) - 1]
}

fn judge(subject: &Subject) -> Vec<Finding> {
    let cuts = subject.joined().narrow_places().into_iter().filter(|cut| cut.carried.len() > most(cut));
    let mut found: Vec<Finding> = necks(cuts.collect()).iter().map(finding).collect();
    found.sort_by(|one, other| one.beads.cmp(&other.beads));
    found
}

/// The worst cut of each neck: cuts that share a bead are one neck.
fn necks(mut cuts: Vec<Cut>) -> Vec<Cut> {
    let load = |cut: &Cut| cut.carried.len() * MOST_CARRIED[0] / most(cut);
    let mut worst = Vec::new();
    while let Some(first) = cuts.pop() {
        let mut neck = vec![first];
        let mut next = 0;
        while let Some(cut) = neck.get(next).cloned() {
            next += 1;
            let (near, far): (Vec<Cut>, Vec<Cut>) = cuts.into_iter().partition(|other| touch(&cut, other));
            neck.extend(near);
            cuts = far;
        }
        let heaviest = neck.iter().max_by(|one, other| {
            // Of equal ones the upper, so that the answer does not hang on the order they were found in.
            load(one).cmp(&load(other)).then_with(|| other.sides.cmp(&one.sides))
        });
        worst.extend(heaviest.cloned());
    }
    worst
}

fn ends(cut: &Cut) -> impl Iterator<Item = Place> + '_ {
    cut.sides.iter().flat_map(|&(one, other)| [one, other])
}

fn touch(one: &Cut, other: &Cut) -> bool {
    ends(one).any(|bead| ends(other).any(|also| also == bead))
}

fn finding(cut: &Cut) -> Finding {
    let by = if cut.sides.len() == 1 { "one fused side" } else { "two fused sides" };
    let carried = Finding::new(&RULE, cut.carried.clone(), String::new(), String::new());
    let place = carried.place().map_or(String::new(), |place| format!(" ({place})"));
    let what = format!("{}{place} hang by {by}; up to {} hold", beads_in_words(cut.carried.len()), most(cut));
    let could = "make it a bead wider there, let the part touch a second time, or wire it from behind";
    Finding::new(&RULE, ends(cut).collect(), what, could.into())
}
