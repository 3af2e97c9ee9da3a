//! What the maker is asked on the page: the decisions of a figure, each with what it could be instead.

use serde::Serialize;

use super::doubts::{Doubt, Near, OtherLine};
use crate::figure::{Asks, Decision, Figure, MOST_ASKED};
use crate::tray::Tray;

/// The decisions on the table.
#[derive(Debug, Serialize)]
pub struct Decisions<'a> {
    /// The dearest first; as they are settled the smaller ones follow.
    decisions: Vec<DecisionLine<'a>>,
    /// How many smaller ones are left besides.
    smaller: usize,
    /// How many pegs all of them are about.
    open: usize,
}

/// A question that one answer settles.
#[derive(Debug, Serialize)]
struct DecisionLine<'a> {
    /// `which bead` for a colour wherever it lies, or `what lies` at pegs that touch.
    asks: &'static str,
    bead: &'a str,
    others: Vec<OtherLine<'a>>,
    /// Row and column of each.
    pegs: Vec<[usize; 2]>,
    sure: f64,
    /// The detector that set all of its beads.
    set_by: Option<&'a str>,
}

impl<'a> Decisions<'a> {
    /// What is asked of a figure; `doubts` are those of its single pegs.
    pub fn of(figure: &'a Figure, tray: &'a Tray, doubts: &[Doubt<'a>]) -> Self {
        let all = figure.decisions(tray);
        let mut open: Vec<_> = all.iter().flat_map(|decision| decision.pegs.iter().copied()).collect();
        open.sort_unstable();
        open.dedup();
        let mut near = Near::new(figure, tray);
        let line = |decision: &Decision<'a, &'a str>| DecisionLine {
            asks: decision.asks.name(),
            bead: decision.bead,
            others: others(decision, doubts, &mut near),
            pegs: decision.pegs.iter().map(|(row, column)| [row.0, column.0]).collect(),
            sure: decision.sure.get(),
            set_by: decision.set_by,
        };
        Self {
            decisions: all.iter().take(MOST_ASKED).map(line).collect(),
            smaller: all.len().saturating_sub(MOST_ASKED),
            open: open.len(),
        }
    }
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
