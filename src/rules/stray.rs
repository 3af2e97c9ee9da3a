//! What the draft is more likely wrong about than right: its own decisions, such as are less than even.

use super::joined::Place;
use super::{Finding, Judge, Peg, Rule, Subject, beads_in_words};
use crate::figure::{Asks, Decision, EVEN, Instead, MOST_ASKED, Sure, Whereabouts};

pub(super) const RULE: Rule = Rule {
    name: "stray",
    title: "beads the draft is unsure about",
    what: "What draft asks first, where it gave less than an even chance of being kept, and less than it gave \
    most of the figure: once for a colour whose bead is in doubt, once for beads that touch and may become the \
    same. At most ten, the dearest first. Where a figure's file does not say what else its beads could be, a \
    single bead with none like it nearby. Beads settled by hand are not judged.",
    why: "A speck in the drawing, a fold of the paper or a line can become beads. One look at the reference settles all of a finding.",
    example: "One grey bead in the middle of a red coat, where the pencil slipped.",
    limits: "Less than 50 % sure: more likely to be changed than kept. Nearby is at most 4 pegs away: eyes and \
    buttons lie so (common practice, no source).",
    judge: Judge::Figure(judge),
};

fn judge(subject: &Subject) -> Vec<Finding> {
    // Where most of a figure is unsure, some of its beads are no worse than the rest: the draft says so as a whole.
    let bound = EVEN.min(usual(subject));
    let decisions = subject.figure().decisions(subject.tray());
    let unsure = decisions.into_iter().filter(|decision| decision.sure.get() < bound);
    let asked = unsure.filter(|decision| decision.instead != Instead::Unknown || is_speck(subject, decision));
    let asked: Vec<_> = asked.take(MOST_ASKED).collect();
    if asked.is_empty() {
        return Vec::new();
    }
    let whereabouts = Whereabouts::of(subject.figure());
    asked.into_iter().map(|decision| finding(decision, &whereabouts)).collect()
}

/// How far eyes and buttons lie apart at most, in pegs.
const FELLOW: usize = 4;

/// Whether a bead is alone of its kind.
fn is_speck(subject: &Subject, decision: &Decision<&str>) -> bool {
    let pegs = &decision.pegs;
    let near =
        |one: &Place, other: &Place| one.0.0.abs_diff(other.0.0).max(one.1.0.abs_diff(other.1.0)) <= FELLOW;
    let is_fellow = |place: &Place, peg: &Peg| {
        subject.name(peg.mark) == decision.bead
            && !pegs.contains(place)
            && pegs.iter().any(|own| near(own, place))
    };
    pegs.len() == 1 && !subject.pegs().any(|(place, peg)| is_fellow(&place, peg))
}

fn finding(decision: Decision<&str>, whereabouts: &Whereabouts) -> Finding {
    let Decision { asks, bead, instead, pegs, sure, set_by, .. } = decision;
    let count = pegs.len();
    let set_by = set_by.map_or(String::new(), |name| format!(", set by {name}"));
    let touch = if count > 1 { " that touch" } else { "" };
    let place = whereabouts.named(&pegs).map_or(String::new(), |place| format!("{place}: "));
    let what = match asks {
        Asks::WhatLies => {
            format!("{place}{} of {bead}{touch}, only {sure} sure{set_by}", beads_in_words(count))
        }
        Asks::WhichBead => {
            format!("{place}{bead} for the colour of {}, only {sure} sure", beads_in_words(count))
        }
    };
    let them = if count > 1 { "all of them" } else { "it" };
    let could = match instead {
        Instead::Bead(other) => format!("look at the reference there; {other} may be right for {them}"),
        Instead::Empty => format!("look at the reference there; if it is nothing, lift {them}"),
        Instead::Unknown => format!("look at the reference there; one answer settles {them}"),
    };
    Finding::new(&RULE, pegs, what, could)
}

/// How sure the draft was of the middle one of its beads; 1 where nobody said.
fn usual(subject: &Subject) -> f64 {
    let sure = |peg: &Peg| match peg.sure {
        Some(Sure::Likely(step)) => Some(step.confidence().get()),
        Some(Sure::ByHand) => Some(1.0),
        None => None,
    };
    let mut all: Vec<f64> = subject.pegs().filter_map(|(_, peg)| sure(peg)).collect();
    all.sort_by(f64::total_cmp);
    all.get(all.len() / 2).copied().unwrap_or(1.0)
}
