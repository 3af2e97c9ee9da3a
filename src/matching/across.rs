//! One colour seen in several references: what each shows, how far they disagree, which bead serves all.

use crate::colour::{Lab, ciede2000};
use crate::matching::confidence::bead_odds;
use crate::matching::{CANDIDATES, Candidate};
use crate::sample::{Cluster, ONE_COLOUR, cluster_colours};
use crate::tray::{BeadId, HARD_TO_TELL, Tray};
use crate::units::{Confidence, DeltaE};
use std::cmp::Ordering;

/// A colour of an area with the beads nearest to it.
#[derive(Clone, Debug, PartialEq)]
pub struct SeenColour {
    /// The colour.
    pub cluster: Cluster,
    /// Its share of the area, 0 to 1.
    pub share: f64,
    /// The nearest beads, nearest first, each with how likely the maker would take it.
    pub beads: Vec<(Candidate, Confidence)>,
}

/// What one picture shows in an area: its colours, the largest share first. Never empty.
#[derive(Clone, Debug, PartialEq)]
pub struct Sighting {
    colours: Vec<SeenColour>,
}

impl Sighting {
    /// Reads the colours of an area's pixels; nothing of no pixels. `seed` starts the clustering.
    pub fn of(pixels: &[Lab], tray: &Tray, seed: u64) -> Option<Self> {
        /// Colours below this share of the area are edges and specks.
        const LEAST_SHARE: f64 = 0.03;
        let least = (pixels.len() as f64 * LEAST_SHARE).ceil() as usize;
        let clusters = cluster_colours(pixels, least, seed);
        let all: usize = clusters.iter().map(|c| c.pixels).sum();
        let colours: Vec<SeenColour> = clusters
            .into_iter()
            .map(|cluster| {
                let near = tray.nearest(cluster.colour, CANDIDATES);
                let odds = bead_odds(&near.iter().map(|n| n.1).collect::<Vec<_>>());
                let candidates = near.into_iter().map(|(bead, difference)| Candidate { bead, difference });
                let share = cluster.pixels as f64 / all as f64;
                SeenColour { cluster, share, beads: candidates.zip(odds).collect() }
            })
            .collect();
        (!colours.is_empty()).then_some(Self { colours })
    }

    /// The colours, the largest share first.
    pub fn colours(&self) -> &[SeenColour] {
        &self.colours
    }

    /// The colour that fills most of the area.
    pub fn main(&self) -> &SeenColour {
        &self.colours[0]
    }
}

/// How well a bead serves several references at once.
#[derive(Clone, Debug, PartialEq)]
pub struct Served {
    /// The bead.
    pub bead: BeadId,
    /// Its distance from the reference it serves worst.
    pub worst: DeltaE,
    /// Its mean distance from all of them.
    pub mean: DeltaE,
    /// Its distance from each, in their order.
    pub each: Vec<DeltaE>,
}

impl Served {
    /// Up to here a bead serves a colour: a part in it and one in the colour itself are hard to tell apart
    /// ([`HARD_TO_TELL`], with its sources).
    pub const WITHIN: DeltaE = HARD_TO_TELL;

    /// Whether it is near enough to every reference.
    pub fn serves_all(&self) -> bool {
        self.worst <= Self::WITHIN
    }

    /// How a bead serves references at these distances from it.
    pub(crate) fn of(bead: BeadId, distances: &[f64]) -> Self {
        let worst = distances.iter().copied().fold(0.0, f64::max);
        let mean = distances.iter().sum::<f64>() / distances.len().max(1) as f64;
        let each = distances.iter().copied().map(DeltaE).collect();
        Self { bead, worst: DeltaE(worst), mean: DeltaE(mean), each }
    }

    /// The better one first: the least distance from the worst served, then the mean. So no reference weighs
    /// more than another.
    pub(crate) fn order(&self, other: &Self) -> Ordering {
        self.worst.0.total_cmp(&other.worst.0).then(self.mean.0.total_cmp(&other.mean.0))
    }
}

/// How several references of one colour go together.
#[derive(Clone, Debug, PartialEq)]
pub struct Agreement {
    /// The largest distance between the main colours of any two.
    pub apart: DeltaE,
    /// Those two, by their place in the list; none where there are fewer.
    pub farthest: Option<(usize, usize)>,
    /// The beads nearest to all, the best first: the least distance from the worst served, then the mean. Which of them
    /// serve all, [`Served::serves_all`] says.
    pub serve_all: Vec<Served>,
}

impl Agreement {
    /// The disagreement in words. Bounds: common practice, no source.
    pub fn in_words(&self) -> &'static str {
        match self.apart.0 {
            d if d < 1.0 => "the same to the eye",
            d if d < ONE_COLOUR => "nearly the same",
            d if d < 6.0 => "shades of one colour",
            d if d < 12.0 => "clearly different",
            _ => "different colours",
        }
    }

    /// Whether a maker would see the disagreement on beads that do not lie side by side.
    pub fn is_clear(&self) -> bool {
        self.apart.0 >= ONE_COLOUR
    }
}

/// Compares the main colours of several sightings.
pub fn agree(sightings: &[Sighting], tray: &Tray) -> Agreement {
    let seen: Vec<&Cluster> = sightings.iter().map(|s| &s.main().cluster).collect();
    agree_on(&seen, tray)
}

/// Compares the colours several references show of one thing, each with what else it may be.
pub fn agree_on(seen: &[&Cluster], tray: &Tray) -> Agreement {
    let pairs = (0..seen.len()).flat_map(|j| (0..j).map(move |i| (i, j)));
    let between =
        |one: &Cluster, other: &Cluster| apart(one, other.colour).0.0.min(apart(other, one.colour).0.0);
    let farthest = pairs
        .map(|(i, j)| (between(seen[i], seen[j]), (i, j)))
        .reduce(|most, next| if most.0 >= next.0 { most } else { next });
    Agreement {
        apart: DeltaE(farthest.map_or(0.0, |(apart, _)| apart)),
        farthest: farthest.map(|(_, pair)| pair),
        serve_all: serve_best(seen, tray),
    }
}

/// The beads that serve the colours several references show of one thing best, the best first, of equals the first in
/// the tray.
pub(super) fn serve_best(seen: &[&Cluster], tray: &Tray) -> Vec<Served> {
    let near = nearest_to(seen, tray).into_iter();
    let mut best: Vec<Served> = near.map(|(id, _)| serving(id, seen, tray)).collect();
    best.sort_by(|one, other| one.order(other).then(one.bead.cmp(&other.bead)));
    best.truncate(CANDIDATES);
    best
}

/// The [`CANDIDATES`] that are least far from the cluster they serve worst, and those as near as the last of them.
pub(super) fn nearest_to(seen: &[&Cluster], tray: &Tray) -> Vec<(BeadId, DeltaE)> {
    let aims: Vec<Lab> = seen.iter().flat_map(|cluster| asked(cluster).map(|(aim, _)| aim)).collect();
    let worst = |apart: &[f64]| {
        let mut apart = apart.iter();
        let each = seen.iter().map(|cluster| {
            let far = asked(cluster).zip(&mut apart).map(|((_, cost), apart)| with_cost(*apart, cost));
            far.fold(f64::INFINITY, f64::min)
        });
        each.fold(0.0, f64::max)
    };
    tray.nearest_by(&aims, worst, CANDIDATES)
}

/// What a cluster asks for: its colour, and what else it may be, each with its cost.
fn asked(cluster: &Cluster) -> impl Iterator<Item = (Lab, Option<f64>)> {
    let others = cluster.possible.iter().map(|possible| (possible.colour, Some(possible.cost)));
    std::iter::once((cluster.colour, None)).chain(others)
}

fn with_cost(apart: f64, cost: Option<f64>) -> f64 {
    cost.map_or(apart, |cost| apart.hypot(cost))
}

/// How a bead serves the colours several references show of one thing.
pub fn serving(bead: BeadId, seen: &[&Cluster], tray: &Tray) -> Served {
    let lab = tray.bead(bead).lab;
    let distances: Vec<f64> = seen.iter().map(|cluster| apart(cluster, lab).0.0).collect();
    Served::of(bead, &distances)
}

/// How far a bead lies from a colour or from what else it may be, and which of those it is nearest to.
pub(super) fn apart(cluster: &Cluster, bead: Lab) -> (DeltaE, Lab) {
    let far = asked(cluster).map(|(aim, cost)| (with_cost(ciede2000(aim, bead).0, cost), aim));
    // Of equals the first: the colour itself, unless another is nearer.
    let (apart, aim) = far
        .reduce(|best, next| if next.0 < best.0 { next } else { best })
        .unwrap_or((f64::INFINITY, cluster.colour));
    (DeltaE(apart), aim)
}
