//! What a draft asks its maker first, and what its figure keeps for asking later.

use std::collections::BTreeSet;

use super::{Draft, DraftOptions, LegendLine};
use crate::figure::{Decision, Instead, Question, SURE, Step, Whereabouts, decisions};
use crate::matching::MatchedBead;
use crate::tray::{BeadId, Tray};
use crate::units::{Column, Row};

impl Draft {
    /// What to ask the maker, the dearest first.
    pub fn decisions(&self) -> Vec<Decision<'static, BeadId>> {
        let used = self.used();
        let question = |(peg, bead): ((Row, Column), &MatchedBead)| {
            let instead = instead(bead, &used)?;
            let set_by = self.samples.beads()[peg].set_by;
            // To a step, as the figure's file keeps it: what is asked of the file later is the same.
            let sure = Step::of(bead.confidence).confidence();
            Some((peg, Question { bead: bead.bead, instead, sure, set_by }))
        };
        decisions(
            self.legend.iter().filter_map(|line| self.which_bead(line)),
            self.beads().filter_map(question).collect(),
        )
    }

    /// Where its beads lie; none of a draft that is no figure.
    pub fn whereabouts(&self, tray: &Tray) -> Option<Whereabouts> {
        // Name and picture say nothing of where beads lie.
        self.figure("", "", &DraftOptions::default(), tray).ok().map(|figure| Whereabouts::of(&figure))
    }

    fn beads(&self) -> impl Iterator<Item = ((Row, Column), &MatchedBead)> {
        self.matched.beads().iter().filter_map(|(row, column, bead)| Some(((row, column), bead.as_ref()?)))
    }

    /// The beads that lie in it.
    pub(super) fn used(&self) -> BTreeSet<BeadId> {
        self.beads().map(|(_, bead)| bead.bead).collect()
    }

    fn which_bead(&self, line: &LegendLine) -> Option<Decision<'static, BeadId>> {
        let own = self.beads().filter(|(_, bead)| bead.bead == line.bead);
        let instead = Instead::Bead(line.runner_up?.0);
        Decision::which_bead(line.bead, instead, line.confidence, own.map(|(peg, _)| peg).collect())
    }
}

/// What a bead in doubt may be instead, by what lies there: another bead of the figure, or none. Where the likeliest is
/// a bead that is not in the figure, the doubt is its colour's, and is asked about with the colour.
pub(super) fn instead(bead: &MatchedBead, used: &BTreeSet<BeadId>) -> Option<Instead<BeadId>> {
    let likeliest = bead.runners_up.first().filter(|_| bead.confidence.get() < SURE)?;
    match likeliest.bead {
        None => Some(Instead::Empty),
        Some(other) => used.contains(&other).then_some(Instead::Bead(other)),
    }
}
