//! From colours asked for to owned beads, each with an honest confidence.

mod across;
mod calibration;
mod confidence;
mod contrast;
mod evidence;
mod trade;
mod wishes;

pub use across::{Agreement, SeenColour, Served, Sighting, agree, agree_on, serving};
pub use calibration::{Calibration, Lesson};
pub use confidence::bead_odds;
pub use evidence::{EVIDENCE, EVIDENCE_NAMES, Evidence, evidence};
pub use trade::{MOST_GIVEN_UP, Trade};
pub use wishes::Wishes;

use contrast::Chosen;
pub use contrast::MEANT_APART;

use crate::colour::Lab;
use crate::error::Warning;
use crate::grid::Grid;
use crate::sample::SampleGrid;
use crate::tray::{BeadId, Tray};
use crate::units::{Column, Confidence, DeltaE, Row};

/// Beyond this CIEDE2000 a bead is another colour than the one asked for, and at this distance every
/// second maker would rather buy one (common practice, no source).
pub const FAR: DeltaE = DeltaE(12.0);

/// How many beads are kept as candidates for a colour: the chosen one and what a maker would look at.
pub const CANDIDATES: usize = 5;

/// A bead that could stand for a colour.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Candidate {
    /// The bead.
    pub bead: BeadId,
    /// How far it lies from the colour asked for.
    pub difference: DeltaE,
}

/// One colour of the drawing and the bead it became.
#[derive(Clone, Debug, PartialEq)]
pub struct MatchedColour {
    /// The colour asked for.
    pub aim: Lab,
    /// The bead chosen for it.
    pub chosen: Candidate,
    /// Other beads, nearest first; at least one wherever the tray has two beads.
    pub others: Vec<Candidate>,
    /// Whether a nearer bead was left for a neighbour so that the two stay apart.
    pub kept_apart: bool,
    /// How likely the maker keeps this bead for this colour.
    pub confidence: Confidence,
    /// Beads of the figure that take it.
    pub count: usize,
}

impl MatchedColour {
    /// The likeliest other bead and by how much it lost (below 0 where contrast decided).
    pub fn runner_up(&self) -> Option<(Candidate, f64)> {
        let other = *self.others.first()?;
        Some((other, other.difference.0 - self.chosen.difference.0))
    }
}

/// Another bead a place could take.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct RunnerUp {
    /// The bead; `None` is an empty peg.
    pub bead: Option<BeadId>,
    /// How likely the maker would rather have it.
    pub confidence: Confidence,
}

/// One bead of the draft.
#[derive(Clone, Debug, PartialEq)]
pub struct MatchedBead {
    /// Which colour of the drawing it shows, by place in [`MatchedGrid::colours`].
    pub colour: usize,
    /// The bead.
    pub bead: BeadId,
    /// How likely the maker keeps it.
    pub confidence: Confidence,
    /// What else it could be, likeliest first.
    pub runners_up: Vec<RunnerUp>,
}

/// Every place of the figure matched to a bead of the tray, or empty.
#[derive(Clone, Debug, PartialEq)]
pub struct MatchedGrid {
    colours: Vec<MatchedColour>,
    beads: Grid<Option<MatchedBead>>,
    trades: Vec<Trade>,
    warnings: Vec<Warning>,
}

impl MatchedGrid {
    /// Matches what was sampled to a tray.
    pub fn new(samples: &SampleGrid, tray: &Tray) -> Self {
        Self::wishing(samples, tray, &Wishes::default())
    }

    /// Matches what was sampled to a tray, going by what other references show and which beads are given.
    pub fn wishing(samples: &SampleGrid, tray: &Tray, wishes: &Wishes) -> Self {
        let Chosen { colours, trades, warnings } = contrast::choose(samples, tray, wishes);
        let beads = confidence::judge(samples, &colours);
        let mut matched = Self { colours, beads, trades, warnings };
        matched.sum_up();
        matched
    }

    /// The drawing's colours and their beads.
    pub fn colours(&self) -> &[MatchedColour] {
        &self.colours
    }

    /// The beads.
    pub fn beads(&self) -> &Grid<Option<MatchedBead>> {
        &self.beads
    }

    /// Colours that beads show and that got another bead than the nearest, so that parts that touch differ.
    pub fn trades(&self) -> impl Iterator<Item = &Trade> {
        self.trades.iter().filter(|trade| self.colours[trade.colour].count > 0)
    }

    /// What the maker should know about the matching.
    pub fn warnings(&self) -> &[Warning] {
        &self.warnings
    }

    /// The share of the draft's beads the maker can be expected to keep: the mean over its beads.
    pub fn confidence(&self) -> Confidence {
        let beads = || self.beads.iter().filter_map(|(_, _, bead)| bead.as_ref());
        let sum: f64 = beads().map(|b| b.confidence.get()).sum();
        Confidence::new(sum / beads().count() as f64)
    }

    /// Judges beads again by what else is known of them.
    pub(crate) fn rejudge(&mut self, judge: impl Fn(Row, Column, Confidence) -> Confidence) {
        self.beads = self.beads.map(|row, column, bead| {
            let bead = bead.as_ref()?;
            let confidence = judge(row, column, bead.confidence);
            let (rest, was) = (1.0 - confidence.get(), 1.0 - bead.confidence.get());
            // What else it could be shares what is left.
            let share = |c: Confidence| Confidence::new(if was > 0.0 { c.get() * rest / was } else { 0.0 });
            let others = bead.runners_up.iter().map(|o| RunnerUp { confidence: share(o.confidence), ..*o });
            Some(MatchedBead { confidence, runners_up: others.collect(), ..bead.clone() })
        });
    }

    fn sum_up(&mut self) {
        for colour in &mut self.colours {
            colour.count = 0;
        }
        for (_, _, bead) in self.beads.iter() {
            if let Some(bead) = bead {
                self.colours[bead.colour].count += 1;
            }
        }
    }
}
