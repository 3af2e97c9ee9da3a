//! Where a maker should look first: doubts as decisions, each of which one answer settles.
//!
//! Two questions are kept apart. *Which bead for this colour* is asked once for all beads of a colour; *what lies at
//! these pegs* once for pegs that touch and may become the same. Both are ranked by the beads that a wrong answer would
//! cost. A draft and a figure file ask by the same rules: a file keeps all that is needed for it, but how sure each bead
//! is only to a step.

use std::collections::BTreeMap;

use super::{ChosenBy, Figure, LegendEntry, Placed, Second, Step, Sure};
use crate::grid::reached;
use crate::tray::Tray;
use crate::units::{Column, Confidence, Row};

/// From here on a bead or a colour is sure: one of ten such would be changed.
pub const SURE: f64 = 0.9;

/// Below this a bead is likelier changed than kept.
pub const EVEN: f64 = 0.5;

/// Decisions that are named at once, by a draft and by a check: enough to start with, few enough to read.
pub const MOST_ASKED: usize = 10;

/// From so many beads on that a wrong answer costs a question is worth asking: about ten of a good draft are. Whatever
/// costs less is seen and mended as quickly as it is answered.
const A_BEAD: f64 = 1.0;

/// A lone bead never costs a whole one: it is asked about where it is wrong three times in four. A file's confidence has
/// a step there.
const A_LONE_BEAD: f64 = 0.75;

/// What is asked.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Asks {
    /// Which bead serves a colour of the drawing, wherever it lies.
    WhichBead,
    /// What lies at some pegs that touch.
    WhatLies,
}

impl Asks {
    /// In two words, as documents have it.
    pub fn name(self) -> &'static str {
        match self {
            Self::WhichBead => "which bead",
            Self::WhatLies => "what lies",
        }
    }
}

/// What may lie at a peg instead.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Instead<B> {
    /// Another bead.
    Bead(B),
    /// Nothing: an empty peg.
    Empty,
    /// Nobody said what.
    Unknown,
}

/// A bead in doubt.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Question<'a, B> {
    /// The bead.
    pub bead: B,
    /// What it may be instead.
    pub instead: Instead<B>,
    /// How likely the maker keeps it.
    pub sure: Confidence,
    /// The detector that set it; none where its window did, or a hand.
    pub set_by: Option<&'a str>,
}

/// A question to the maker.
#[derive(Clone, Debug, PartialEq)]
pub struct Decision<'a, B> {
    /// What is asked.
    pub asks: Asks,
    /// The bead that lies there.
    pub bead: B,
    /// What it may be instead.
    pub instead: Instead<B>,
    /// Where, in reading order.
    pub pegs: Vec<(Row, Column)>,
    /// How likely the maker keeps what lies there.
    pub sure: Confidence,
    /// How many beads a wrong answer costs, reckoned with how likely it is wrong.
    pub cost: f64,
    /// The detector that set all of its beads; none where windows did.
    pub set_by: Option<&'a str>,
}

impl<'a, B: Copy + PartialEq> Decision<'a, B> {
    /// Whether a wrong answer is of consequence.
    fn is_worth_asking(&self) -> bool {
        self.cost >= if self.pegs.len() == 1 { A_LONE_BEAD } else { A_BEAD }
    }

    /// Which bead serves a colour; nothing where that is sure.
    pub fn which_bead(
        bead: B,
        instead: Instead<B>,
        sure: Confidence,
        pegs: Vec<(Row, Column)>,
    ) -> Option<Self> {
        let cost = pegs.len() as f64 * (1.0 - sure.get());
        let asked = sure.get() < SURE && !pegs.is_empty();
        asked.then_some(Self { asks: Asks::WhichBead, bead, instead, pegs, sure, cost, set_by: None })
    }

    /// What lies at pegs that touch; there is at least one.
    fn what_lies(first: Question<'a, B>, mut patch: Vec<((Row, Column), Question<'a, B>)>) -> Self {
        patch.sort_unstable_by_key(|(peg, _)| *peg);
        let sum: f64 = patch.iter().map(|(_, asked)| asked.sure.get()).sum();
        let is_set = patch.iter().all(|(_, asked)| asked.set_by == first.set_by);
        Self {
            asks: Asks::WhatLies,
            bead: first.bead,
            instead: first.instead,
            sure: Confidence::new(sum / patch.len() as f64),
            cost: patch.len() as f64 - sum,
            set_by: first.set_by.filter(|_| is_set),
            pegs: patch.into_iter().map(|(peg, _)| peg).collect(),
        }
    }
}

/// Beads in doubt, by their pegs.
pub type Questions<'a, B> = BTreeMap<(Row, Column), Question<'a, B>>;

/// What to ask the maker, the dearest first: of colours, and of beads in doubt, once for those that touch and may become
/// the same. Those of no consequence are left out.
pub fn decisions<'a, B: Copy + PartialEq>(
    colours: impl IntoIterator<Item = Decision<'a, B>>,
    beads: Questions<'a, B>,
) -> Vec<Decision<'a, B>> {
    let mut all: Vec<Decision<B>> = colours.into_iter().chain(patches(beads)).collect();
    all.retain(Decision::is_worth_asking);
    all.sort_by(|a, b| b.cost.total_cmp(&a.cost).then_with(|| a.pegs.cmp(&b.pegs)));
    all
}

fn patches<'a, B: Copy + PartialEq>(mut open: Questions<'a, B>) -> impl Iterator<Item = Decision<'a, B>> {
    std::iter::from_fn(move || {
        let (peg, first) = open.pop_first()?;
        let is_same = |other: &Question<B>| other.bead == first.bead && other.instead == first.instead;
        let patch = reached(vec![(peg, first)], |(peg, _), patch| {
            for near in around(peg) {
                if open.get(&near).is_some_and(is_same) {
                    patch.extend(open.remove_entry(&near));
                }
            }
        });
        Some(Decision::what_lies(first, patch))
    })
}

/// The pegs about one, corners too.
fn around((row, column): (Row, Column)) -> impl Iterator<Item = (Row, Column)> {
    let rows = row.0.saturating_sub(1)..=row.0 + 1;
    rows.flat_map(move |r| (column.0.saturating_sub(1)..=column.0 + 1).map(move |c| (Row(r), Column(c))))
        .filter(move |near| *near != (row, column))
}

impl Figure {
    /// What to ask the maker of this figure, the dearest first: as [`decisions`]. Beads by name; what a colour's bead
    /// could be instead is the tray's next nearest. What a hand settled is asked no more.
    pub fn decisions<'a>(&'a self, tray: &'a Tray) -> Vec<Decision<'a, &'a str>> {
        let mut open = Questions::new();
        let mut by_line: BTreeMap<_, Vec<(Row, Column)>> = BTreeMap::new();
        for (row, column, placed) in self.beads().iter() {
            let Some(placed) = placed.filter(|placed| placed.sure != Some(Sure::ByHand)) else { continue };
            by_line.entry(placed.mark).or_default().push((row, column));
            open.extend(self.question(placed).map(|asked| ((row, column), asked)));
        }
        let colours = self.legend().iter().filter_map(|entry| {
            let pegs = by_line.remove(&entry.mark)?;
            let sure = entry.confidence.filter(|_| entry.by == ChosenBy::Match)?;
            Decision::which_bead(entry.bead.as_str(), next_nearest(entry, tray)?, sure, pegs)
        });
        decisions(colours.collect::<Vec<_>>(), open)
    }

    /// What is asked of one bead.
    fn question(&self, placed: Placed) -> Option<Question<'_, &str>> {
        let Some(Sure::Likely(step)) = placed.sure else { return None };
        let sure = step.confidence();
        let entry = self.entry(placed.mark)?;
        let instead = match placed.or {
            // Of a colour that a maker settled, what is put among the doubts is asked, whatever the draft thought it could
            // be; a draft's own least sure beads have the same step.
            Some(Second::Itself) if entry.by == ChosenBy::Hand && step == Step::of(Confidence::NONE) => {
                Instead::Unknown
            }
            Some(Second::Itself) => return None,
            Some(Second::Empty) => Instead::Empty,
            Some(Second::Bead(mark)) => Instead::Bead(self.entry(mark)?.bead.as_str()),
            None => Instead::Unknown,
        };
        let bound = if instead == Instead::Unknown { unsaid_bound(entry) } else { SURE };
        let bead = entry.bead.as_str();
        let asked = sure.get() < bound && instead != Instead::Bead(bead);
        asked.then_some(Question { bead, instead, sure, set_by: self.set_by(placed) })
    }
}

/// Where nobody said what else a bead could be, one that is no less sure than its colour is asked about with the
/// colour. Of a colour that the maker chose it is not known how much of a bead's doubt was the colour's.
fn unsaid_bound(entry: &LegendEntry) -> f64 {
    match (entry.confidence, entry.by) {
        (Some(colour), _) => colour.get().min(SURE),
        (None, ChosenBy::Match) => SURE,
        (None, ChosenBy::Hand) => EVEN,
    }
}

/// The tray's nearest other bead to the colour of a line of the legend.
fn next_nearest<'a>(entry: &LegendEntry, tray: &'a Tray) -> Option<Instead<&'a str>> {
    /// The bead itself and one more.
    const TWO: usize = 2;
    let own = tray.find(&entry.bead);
    let colour = entry.aim.or_else(|| own.map(|bead| tray.bead(bead).lab))?;
    let near = tray.nearest(colour, TWO).into_iter().find(|(bead, _)| Some(*bead) != own)?;
    Some(Instead::Bead(tray.bead(near.0).name.as_str()))
}
