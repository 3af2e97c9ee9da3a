//! A bead for each colour: the nearest, unless two colours that touch would become one.

use crate::colour::ciede2000;
use crate::error::Warning;
use crate::matching::confidence::colour_confidence;
use crate::matching::{CANDIDATES, Candidate, MatchedColour};
use crate::sample::SampleGrid;
use crate::tray::{BeadId, Tray};

/// Two flat colours at least so far apart (CIEDE2000) are meant to be two.
const MEANT_APART: f64 = 3.0;

/// ... and more by so many times their spread: one colour in two strokes of a marker is still one.
const SPREAD_APART: f64 = 1.5;

/// A bead up to so much farther than the nearest is still a good one.
const STILL_GOOD: f64 = 5.0;

/// A bead farther than this from its colour is no good one in any case, and the maker is told.
const FAR: f64 = 12.0;

/// Places that touch side to side before two colours count as neighbours.
const LEAST_TOUCHES: usize = 1;

/// Chooses a bead for every colour. The colours come back in the order of the clusters.
pub(super) fn choose(samples: &SampleGrid, tray: &Tray) -> (Vec<MatchedColour>, Vec<Warning>) {
    let candidates: Vec<Vec<Candidate>> = samples
        .clusters()
        .iter()
        .map(|cluster| {
            let near = tray.nearest(cluster.colour, CANDIDATES);
            near.into_iter().map(|(bead, difference)| Candidate { bead, difference }).collect()
        })
        .collect();
    let touches = touches(samples);
    let mut chosen = vec![0; candidates.len()];
    let mut warnings = Vec::new();
    for (one, other, apart) in clashes(samples, &candidates, &touches) {
        if candidates[one][chosen[one]].bead != candidates[other][chosen[other]].bead {
            continue;
        }
        let taken = |colour: usize, bead: BeadId| {
            (0..candidates.len()).any(|i| {
                i != colour && touches[i][colour] >= LEAST_TOUCHES && candidates[i][chosen[i]].bead == bead
            })
        };
        let way_out = |colour: usize| {
            let nearest = candidates[colour][0].difference.0;
            let good = |c: &Candidate| c.difference.0 <= FAR && c.difference.0 - nearest <= STILL_GOOD;
            let mut free = candidates[colour].iter().enumerate().skip(chosen[colour] + 1);
            free.find(|(_, c)| good(c) && !taken(colour, c.bead))
                .map(|(place, c)| (c.difference.0 - nearest, colour, place))
        };
        let cheapest =
            [way_out(one), way_out(other)].into_iter().flatten().min_by(|a, b| a.0.total_cmp(&b.0));
        match cheapest {
            Some((_, colour, place)) => chosen[colour] = place,
            None => {
                let bead = tray.bead(candidates[one][chosen[one]].bead).name.clone();
                warnings.push(Warning::SharedBead { bead, apart });
            }
        }
    }
    let colours = candidates
        .into_iter()
        .zip(chosen)
        .zip(samples.clusters())
        .map(|((mut others, place), cluster)| {
            let chosen = others.remove(place);
            let confidence = colour_confidence(chosen, &others);
            MatchedColour { aim: cluster.colour, chosen, others, kept_apart: place > 0, confidence, count: 0 }
        })
        .collect();
    (colours, warnings)
}

/// For each two colours how many places touch side to side.
fn touches(samples: &SampleGrid) -> Vec<Vec<usize>> {
    let count = samples.clusters().len();
    let mut touches = vec![vec![0; count]; count];
    let colour = |sample: &crate::sample::BeadSample| sample.filled.then(|| sample.colours[0].colour);
    for (row, column, sample) in samples.beads().iter() {
        let Some(one) = colour(sample) else { continue };
        for (_, _, neighbour) in samples.beads().beside(row, column) {
            if let Some(other) = colour(neighbour) {
                touches[one][other] += 1;
            }
        }
    }
    touches
}

/// Pairs of colours that touch, are meant to be two and share their nearest bead; the farthest apart first.
fn clashes(
    samples: &SampleGrid,
    candidates: &[Vec<Candidate>],
    touches: &[Vec<usize>],
) -> Vec<(usize, usize, crate::units::DeltaE)> {
    let clusters = samples.clusters();
    let mut pairs: Vec<_> = (0..clusters.len())
        .flat_map(|i| (0..i).map(move |j| (j, i)))
        .filter(|&(i, j)| touches[i][j] >= LEAST_TOUCHES && candidates[i][0].bead == candidates[j][0].bead)
        .map(|(i, j)| (i, j, ciede2000(clusters[i].colour, clusters[j].colour)))
        .filter(|&(i, j, apart)| {
            let spread = clusters[i].spread.max(clusters[j].spread);
            apart.0 >= MEANT_APART + SPREAD_APART * spread
        })
        .collect();
    pairs.sort_by(|a, b| b.2.0.total_cmp(&a.2.0));
    pairs
}
