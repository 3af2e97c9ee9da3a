//! Where a maker should look first: doubts as decisions, each of which one answer settles.
//!
//! Two questions are kept apart. *Which bead for this colour* is asked once for all beads of a colour; *what lies at
//! these pegs* once for pegs that touch and may become the same. Both are ranked by the beads that a wrong answer would
//! cost.

use std::collections::{BTreeMap, BTreeSet};

use super::Draft;
use crate::matching::{MatchedBead, RunnerUp};
use crate::tray::BeadId;
use crate::units::{Column, Confidence, Row};

/// From here on a bead or a colour is sure: one of ten such would be changed.
const SURE: f64 = 0.9;

/// A decision that costs fewer beads than this when it is wrong is none.
const LEAST: f64 = 0.25;

/// What is asked.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Asks {
    /// Which bead serves a colour of the drawing, wherever it lies.
    WhichBead,
    /// What lies at some pegs that touch.
    WhatLies,
}

/// A question to the maker.
#[derive(Clone, Debug, PartialEq)]
pub struct Decision {
    /// What is asked.
    pub asks: Asks,
    /// The bead that lies there.
    pub bead: BeadId,
    /// What it may be instead; nothing is an empty peg.
    pub other: Option<BeadId>,
    /// Where, in reading order.
    pub pegs: Vec<(Row, Column)>,
    /// How likely the maker keeps what lies there.
    pub sure: Confidence,
    /// How many beads a wrong answer costs, reckoned with how likely it is wrong.
    pub cost: f64,
    /// The detector that set all of its beads; none where windows did.
    pub set_by: Option<&'static str>,
}

impl Draft {
    /// What to ask the maker, the dearest first.
    pub fn decisions(&self) -> Vec<Decision> {
        let mut all: Vec<Decision> = self.which_beads().chain(self.what_lies()).collect();
        all.retain(|decision| decision.cost >= LEAST);
        all.sort_by(|a, b| b.cost.total_cmp(&a.cost).then_with(|| a.pegs.cmp(&b.pegs)));
        all
    }

    fn beads(&self) -> impl Iterator<Item = ((Row, Column), &MatchedBead)> {
        self.matched.beads().iter().filter_map(|(row, column, bead)| Some(((row, column), bead.as_ref()?)))
    }

    /// One for each colour whose bead is in doubt.
    fn which_beads(&self) -> impl Iterator<Item = Decision> {
        let colours = self.matched.colours().iter().enumerate();
        let doubtful = colours.filter(|(_, colour)| colour.count > 0 && colour.confidence.get() < SURE);
        doubtful.filter_map(|(place, colour)| {
            let own = self.beads().filter(|(_, bead)| bead.colour == place);
            Some(Decision {
                asks: Asks::WhichBead,
                bead: colour.chosen.bead,
                other: Some(colour.runner_up()?.0.bead),
                pegs: own.map(|(peg, _)| peg).collect(),
                sure: colour.confidence,
                cost: colour.count as f64 * (1.0 - colour.confidence.get()),
                set_by: None,
            })
        })
    }

    /// One for each patch of pegs that may become the same instead: another bead of the figure, or none.
    fn what_lies(&self) -> impl Iterator<Item = Decision> {
        let used: BTreeSet<BeadId> = self.beads().map(|(_, bead)| bead.bead).collect();
        let may_become = |bead: &MatchedBead| -> Option<RunnerUp> {
            let is_other = |other: &&RunnerUp| other.bead.is_none_or(|bead| used.contains(&bead));
            bead.runners_up.iter().find(is_other).copied().filter(|_| bead.confidence.get() < SURE)
        };
        let mut open: BTreeMap<(Row, Column), (BeadId, RunnerUp)> =
            self.beads().filter_map(|(peg, bead)| Some((peg, (bead.bead, may_become(bead)?)))).collect();
        std::iter::from_fn(move || {
            let (&first, &(bead, RunnerUp { bead: other, .. })) = open.first_key_value()?;
            let is_same = |found: &(BeadId, RunnerUp)| found.0 == bead && found.1.bead == other;
            let (mut pegs, mut cost) = (vec![first], 0.0);
            let mut next = 0;
            cost += open.remove(&first).map_or(0.0, |found| found.1.confidence.get());
            while let Some(&peg) = pegs.get(next) {
                next += 1;
                for near in around(peg) {
                    if open.get(&near).is_some_and(is_same) {
                        cost += open.remove(&near).map_or(0.0, |found| found.1.confidence.get());
                        pegs.push(near);
                    }
                }
            }
            pegs.sort_unstable();
            Some(Decision {
                asks: Asks::WhatLies,
                bead,
                other,
                sure: self.mean_of(&pegs),
                cost,
                set_by: self.setter_of(&pegs),
                pegs,
            })
        })
    }

    fn mean_of(&self, pegs: &[(Row, Column)]) -> Confidence {
        let beads = self.matched.beads();
        let sure =
            pegs.iter().filter_map(|&(row, column)| Some(beads[(row, column)].as_ref()?.confidence.get()));
        Confidence::new(sure.sum::<f64>() / pegs.len().max(1) as f64)
    }

    /// The detector that set all of some beads.
    fn setter_of(&self, pegs: &[(Row, Column)]) -> Option<&'static str> {
        let samples = self.samples.beads();
        let mut names = pegs.iter().map(|&(row, column)| samples[(row, column)].set_by);
        let first = names.next()??;
        names.all(|name| name == Some(first)).then_some(first)
    }
}

/// The pegs about one, corners too.
fn around((row, column): (Row, Column)) -> impl Iterator<Item = (Row, Column)> {
    let rows = row.0.saturating_sub(1)..=row.0 + 1;
    rows.flat_map(move |r| (column.0.saturating_sub(1)..=column.0 + 1).map(move |c| (Row(r), Column(c))))
        .filter(move |near| *near != (row, column))
}
