//! What the maker is asked on the page: the decisions of a figure, each with where it lies, what it could be instead and
//! why it is as it is.

use serde::Serialize;

use super::doubts::{Doubt, Near, OtherLine, within_a_whole};
use super::reading::Laid;
use super::why;
use crate::figure::{Asks, Decision, Figure, Instead, Whereabouts};
use crate::tray::Tray;

/// A question that one answer settles.
#[derive(Debug, Serialize)]
pub struct DecisionLine<'a> {
    /// `which bead` for a colour wherever it lies, or `what lies` at pegs that touch.
    asks: &'static str,
    /// The part or two it lies on.
    place: Option<String>,
    bead: &'a str,
    others: Vec<OtherLine<'a>>,
    /// Row and column of each.
    pegs: Vec<[usize; 2]>,
    sure: f64,
    /// How many beads a wrong answer costs.
    cost: f64,
    /// The detector that set all of its beads.
    set_by: Option<&'a str>,
    /// What of the picture it was read from.
    why: Option<String>,
}

/// What is asked of a figure, the dearest first; `doubts` are those of its single pegs.
pub fn decisions<'a>(
    figure: &'a Figure,
    tray: &'a Tray,
    doubts: &[Doubt<'a>],
    laid: Option<Laid>,
) -> Vec<DecisionLine<'a>> {
    let all = figure.decisions(tray);
    if all.is_empty() {
        return Vec::new();
    }
    let whereabouts = Whereabouts::of(figure);
    let mut near = Near::new(figure, tray);
    let line = |decision: Decision<'a, &'a str>| DecisionLine {
        asks: decision.asks.name(),
        place: whereabouts.named(&decision.pegs),
        bead: decision.bead,
        others: within_a_whole(decision.sure.get(), others(&decision, doubts, &mut near)),
        pegs: decision.pegs.iter().map(|(row, column)| [row.0, column.0]).collect(),
        sure: decision.sure.get(),
        cost: decision.cost,
        set_by: decision.set_by,
        why: read_from(figure, tray, &decision, laid),
    };
    all.into_iter().map(line).collect()
}

/// How many questions a figure leaves.
pub fn count(figure: &Figure, tray: &Tray) -> usize {
    figure.decisions(tray).len()
}

/// What it could be instead: for a colour the tray's nearest beads, for pegs what the first of them could be.
fn others<'a>(
    decision: &Decision<'a, &'a str>,
    doubts: &[Doubt<'a>],
    near: &mut Near<'a>,
) -> Vec<OtherLine<'a>> {
    match (decision.asks, decision.pegs.first()) {
        (Asks::WhatLies, Some(&peg)) => {
            doubts.iter().find(|doubt| doubt.is_at(peg)).map_or_else(Vec::new, Doubt::others)
        }
        _ => near.of_colour(decision.bead),
    }
}

fn read_from(figure: &Figure, tray: &Tray, decision: &Decision<&str>, laid: Option<Laid>) -> Option<String> {
    if decision.asks == Asks::WhatLies {
        return why::of_windows(laid, &decision.pegs, tray);
    }
    let other = match decision.instead {
        Instead::Bead(other) => Some(other),
        Instead::Empty | Instead::Unknown => None,
    };
    let entry = figure.legend().iter().find(|entry| entry.bead == decision.bead)?;
    why::of_colour(entry, other, tray)
}
