//! A bead for each colour: the nearest, unless two colours that touch would become one.

use std::collections::BTreeMap;

use crate::colour::{Lab, ciede2000};
use crate::error::Warning;
use crate::matching::across::{apart, nearest_to, serve_best, serving};
use crate::matching::confidence::colour_confidence;
use crate::matching::{CANDIDATES, Candidate, FAR, MOST_GIVEN_UP, MatchedColour, Trade, Wishes};
use crate::sample::{BeadSample, Cluster, ONE_COLOUR, SampleGrid};
use crate::tray::{BeadId, Eyes, Tray};
use crate::units::DeltaE;

/// Two flat colours at least this far apart (CIEDE2000) are meant to be two.
pub const MEANT_APART: f64 = ONE_COLOUR;

/// That distance grows by this many times their spread: one colour in two strokes of a marker is still one.
const SPREAD_APART: f64 = 1.5;

/// It grows no further than this: colours farther apart are two in any drawing.
const MOST_FOR_SPREAD: f64 = 6.0;

/// From here on it is said when two colours that touch share a bead, meant apart or not.
const SAID: DeltaE = DeltaE(6.0);

/// A bead for every colour, and what is to be said of that.
pub(super) struct Chosen {
    pub colours: Vec<MatchedColour>,
    pub trades: Vec<Trade>,
    pub warnings: Vec<Warning>,
}

/// Chooses a bead for every colour. The colours come back in the order of the clusters.
pub(super) fn choose(samples: &SampleGrid, tray: &Tray, wishes: &Wishes) -> Chosen {
    let mut choice = Choice::new(samples, tray, wishes);
    if !wishes.nearest {
        for (one, other, _) in choice.pairs_meant_apart(samples) {
            choice.part(one, other);
        }
    }
    let (trades, warnings) = (choice.trades(), choice.shared(samples, tray));
    Chosen { colours: choice.into_colours(samples, tray, wishes), trades, warnings }
}

/// Candidates for every colour, the one chosen so far, and which colours touch.
struct Choice<'a> {
    tray: &'a Tray,
    /// Whether the drawing was brought to the body plan.
    is_sketch: bool,
    candidates: Vec<Vec<Candidate>>,
    chosen: Vec<usize>,
    /// Colours whose bead is given and stays.
    given: Vec<bool>,
    /// Which colour each was parted from last.
    parted: Vec<Option<usize>>,
    touching: Vec<Vec<bool>>,
}

impl<'a> Choice<'a> {
    /// The nearest bead for every colour, or the one it is to have.
    fn new(samples: &SampleGrid, tray: &'a Tray, wishes: &Wishes) -> Self {
        let clusters = samples.clusters().iter().enumerate();
        let mut candidates: Vec<Vec<Candidate>> =
            clusters.map(|(at, cluster)| candidates(cluster, wishes.elsewhere(at), tray)).collect();
        let mut chosen = vec![0; candidates.len()];
        let mut given = vec![false; candidates.len()];
        for (at, cluster) in samples.clusters().iter().enumerate() {
            let Some(bead) = wishes.given(at) else { continue };
            let own = &mut candidates[at];
            chosen[at] = own.iter().position(|c| c.bead == bead).unwrap_or_else(|| {
                let seen: Vec<&Cluster> = std::iter::once(cluster).chain(wishes.elsewhere(at)).collect();
                let difference = serving(bead, &seen, tray).worst;
                own.push(Candidate { bead, difference });
                own.len() - 1
            });
            given[at] = true;
        }
        Self {
            chosen,
            parted: vec![None; candidates.len()],
            candidates,
            given,
            touching: touching(samples),
            tray,
            is_sketch: samples.is_on_plan(),
        }
    }

    fn candidate(&self, colour: usize) -> Candidate {
        self.candidates[colour][self.chosen[colour]]
    }

    fn share_a_bead(&self, one: usize, other: usize) -> bool {
        self.candidate(one).bead == self.candidate(other).bead
    }

    /// Pairs of colours that touch, with how far apart they are; the farthest first.
    fn touching_pairs(&self, samples: &SampleGrid) -> Vec<(usize, usize, DeltaE)> {
        let clusters = samples.clusters();
        let mut pairs: Vec<_> = (0..clusters.len())
            .flat_map(|i| (0..i).map(move |j| (j, i)))
            .filter(|&(i, j)| self.touching[i][j])
            .map(|(i, j)| (i, j, ciede2000(clusters[i].colour, clusters[j].colour)))
            .collect();
        pairs.sort_by(|a, b| b.2.0.total_cmp(&a.2.0));
        pairs
    }

    fn pairs_meant_apart(&self, samples: &SampleGrid) -> Vec<(usize, usize, DeltaE)> {
        let spread = |colour: usize| samples.clusters()[colour].spread;
        let mut pairs = self.touching_pairs(samples);
        pairs.retain(|&(i, j, apart)| {
            apart.0 >= MEANT_APART + (SPREAD_APART * spread(i).max(spread(j))).min(MOST_FOR_SPREAD)
        });
        pairs
    }

    /// Gives one of two colours that share a bead, or have two that some eyes hardly tell apart, its next good one,
    /// whichever costs less.
    fn part(&mut self, one: usize, other: usize) {
        if self.are_told_apart(self.candidate(one).bead, self.candidate(other).bead) {
            return;
        }
        let ways = [self.way_out(one, other), self.way_out(other, one)];
        let cheapest = ways.into_iter().flatten().min_by(|a, b| a.cost.total_cmp(&b.cost));
        if let Some(way) = cheapest {
            self.chosen[way.colour] = way.place;
            self.parted[way.colour] = Some(if way.colour == one { other } else { one });
        }
    }

    /// Whether two beads differ to all eyes. On a drawing that shows its beads two that are alike may be meant.
    fn are_told_apart(&self, one: BeadId, other: BeadId) -> bool {
        let lab = |bead: BeadId| self.tray.bead(bead).lab;
        one != other
            && (!self.is_sketch || Eyes::ALL.iter().all(|eyes| eyes.tell_apart(lab(one), lab(other))))
    }

    /// The next candidate of a colour that is still good, that no colour it touches has, and that differs from the
    /// bead of the one it is to be parted from.
    fn way_out(&self, colour: usize, from: usize) -> Option<WayOut> {
        if self.given[colour] {
            return None;
        }
        let nearest = self.candidates[colour][0].difference.0;
        let is_good = |c: &Candidate| c.difference <= FAR && c.difference.0 - nearest <= MOST_GIVEN_UP;
        let taken = |bead: BeadId| {
            let touching = (0..self.candidates.len()).filter(|&i| i != colour && self.touching[i][colour]);
            touching.into_iter().any(|i| self.candidate(i).bead == bead)
        };
        let differs = |bead: BeadId| self.are_told_apart(bead, self.candidate(from).bead);
        let mut later = self.candidates[colour].iter().enumerate().skip(self.chosen[colour] + 1);
        let (place, free) = later.find(|(_, c)| is_good(c) && !taken(c.bead) && differs(c.bead))?;
        Some(WayOut { colour, place, cost: free.difference.0 - nearest })
    }

    /// Colours that were parted from another, with what that cost.
    fn trades(&self) -> Vec<Trade> {
        let parted = self.parted.iter().enumerate();
        parted
            .filter_map(|(colour, beside)| {
                let (nearest, taken) = (self.candidates[colour][0], self.candidate(colour));
                beside.map(|beside| Trade { colour, beside, nearest, taken })
            })
            .collect()
    }

    /// What is said of colours that touch and share a bead after all: once a bead, the farthest apart.
    fn shared(&self, samples: &SampleGrid, tray: &Tray) -> Vec<Warning> {
        let mut said: BTreeMap<BeadId, DeltaE> = BTreeMap::new();
        let meant: Vec<_> = self.pairs_meant_apart(samples);
        let clear: Vec<_> = self.touching_pairs(samples).into_iter().filter(|p| p.2 >= SAID).collect();
        for (one, other, apart) in meant.into_iter().chain(clear) {
            if self.share_a_bead(one, other) {
                let most = said.entry(self.candidate(one).bead).or_insert(apart);
                most.0 = most.0.max(apart.0);
            }
        }
        let warn = |(bead, apart)| Warning::SharedBead { bead: tray.bead(bead).name.clone(), apart };
        said.into_iter().map(warn).collect()
    }

    fn into_colours(self, samples: &SampleGrid, tray: &Tray, wishes: &Wishes) -> Vec<MatchedColour> {
        let chosen = self.candidates.into_iter().zip(self.chosen).zip(self.given);
        chosen
            .zip(samples.clusters())
            .enumerate()
            .map(|(at, (((mut others, place), is_given), cluster))| {
                let chosen = others.remove(place);
                let aim = aim(cluster, wishes.elsewhere(at), tray.bead(chosen.bead).lab);
                let confidence = colour_confidence(chosen, &others);
                let kept_apart = place > 0 && !is_given;
                MatchedColour { aim, chosen, others, kept_apart, confidence, count: 0 }
            })
            .collect()
    }
}

/// The beads nearest to a colour, or to what else it may be; where other references show it too, those that
/// serve all best.
fn candidates(cluster: &Cluster, elsewhere: &[Cluster], tray: &Tray) -> Vec<Candidate> {
    if elsewhere.is_empty() {
        let near = nearest_to(&[cluster], tray).into_iter().take(CANDIDATES);
        return near.map(|(bead, difference)| Candidate { bead, difference }).collect();
    }
    let seen: Vec<&Cluster> = std::iter::once(cluster).chain(elsewhere).collect();
    serve_best(&seen, tray).into_iter().map(|s| Candidate { bead: s.bead, difference: s.worst }).collect()
}

/// What all references together ask for: the mean of their colours.
fn aim(cluster: &Cluster, elsewhere: &[Cluster], bead: Lab) -> Lab {
    let aims = std::iter::once(cluster).chain(elsewhere).map(|seen| (apart(seen, bead).1, 1.0));
    Lab::mean(aims).unwrap_or(cluster.colour)
}

/// Another bead for a colour, and how much farther it is than the nearest.
struct WayOut {
    colour: usize,
    place: usize,
    cost: f64,
}

/// For each two colours whether beads of theirs lie side to side.
fn touching(samples: &SampleGrid) -> Vec<Vec<bool>> {
    let count = samples.clusters().len();
    let mut touching = vec![vec![false; count]; count];
    let colour = |sample: &BeadSample| sample.filled.then(|| sample.colours[0].colour);
    for (row, column, sample) in samples.beads().iter() {
        let Some(one) = colour(sample) else { continue };
        for (_, _, neighbour) in samples.beads().beside(row, column) {
            if let Some(other) = colour(neighbour) {
                touching[one][other] = true;
            }
        }
    }
    touching
}
