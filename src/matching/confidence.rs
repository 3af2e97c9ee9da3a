//! How likely the maker keeps a bead.
//!
//! A bead is kept if its place is right (a bead belongs there), if the window's colour was read right,
//! and if the bead chosen for that colour is the one the maker would take. What is known of all three is
//! gathered as evidence and weighed by a calibration on known figures.

use crate::grid::Grid;
use crate::matching::calibration::{Calibration, logistic};
use crate::matching::evidence::evidence;
use crate::matching::{Candidate, FAR, MatchedBead, MatchedColour, RunnerUp};
use crate::sample::{BeadSample, SampleGrid};
use crate::units::{Confidence, DeltaE};

/// How likely each bead is the one the maker would take for a colour, in the order given.
///
/// A maker paints or picks a bead's colour and strays from it: by CIEDE2000 1 to 4, about 2 on the
/// whole, which as a normal spread in three directions is 1.15 in each. The bead that was meant is
/// then as likely as its distance is under that spread; one far from everything is doubted as a whole.
pub fn bead_odds(differences: &[DeltaE]) -> Vec<Confidence> {
    /// 2 / sqrt(3), in CIEDE2000.
    const STRAY: f64 = 1.15;
    /// How softly the doubt of far beads sets in.
    const SOFTNESS: f64 = 3.0;
    let nearest = differences.iter().map(|d| d.0).fold(f64::INFINITY, f64::min);
    // Relative to the nearest, so that far colours do not underflow to nothing.
    let weigh = |d: &DeltaE| ((nearest * nearest - d.0 * d.0) / (2.0 * STRAY * STRAY)).exp();
    let sum: f64 = differences.iter().map(weigh).sum();
    let trust = logistic((FAR.0 - nearest) / SOFTNESS);
    differences.iter().map(|d| Confidence::new(trust * weigh(d) / sum)).collect()
}

/// How likely the chosen bead is the maker's choice for a colour. Beads nearer than the chosen one were
/// ruled out for a neighbour's sake and do not count.
pub(super) fn colour_confidence(chosen: Candidate, others: &[Candidate]) -> Confidence {
    let farther = others.iter().filter(|o| o.difference.0 >= chosen.difference.0);
    let differences: Vec<DeltaE> = std::iter::once(&chosen).chain(farther).map(|c| c.difference).collect();
    bead_odds(&differences)[0]
}

/// Judges every place.
pub(super) fn judge(samples: &SampleGrid, colours: &[MatchedColour]) -> Grid<Option<MatchedBead>> {
    let known = evidence(samples, colours);
    samples.beads().map(|row, column, sample| {
        let winner = sample.filled.then(|| sample.colours.first()).flatten()?;
        let confidence = Calibration::shipped().confidence(known[(row, column)].as_ref()?);
        Some(MatchedBead {
            colour: winner.colour,
            bead: colours[winner.colour].chosen.bead,
            confidence,
            runners_up: runners_up(sample, colours, confidence),
        })
    })
}

/// What else the place could be: the window's other colours, the empty peg, the colour's other beads.
fn runners_up(sample: &BeadSample, colours: &[MatchedColour], confidence: Confidence) -> Vec<RunnerUp> {
    /// As many as a maker would look through.
    const MOST: usize = 4;
    let rest = 1.0 - confidence.get();
    let own = &colours[sample.colours[0].colour];
    let mut weighed: Vec<(Option<crate::tray::BeadId>, f64)> = Vec::new();
    let mut add = |bead, weight: f64| match weighed.iter_mut().find(|(b, _)| *b == bead) {
        Some((_, w)) => *w += weight,
        None => weighed.push((bead, weight)),
    };
    sample.colours[1..].iter().for_each(|c| add(Some(colours[c.colour].chosen.bead), c.share));
    add(None, 1.0 - sample.cover);
    for other in &own.others {
        let behind = (other.difference.0 - own.chosen.difference.0).max(0.0);
        add(Some(other.bead), 0.5 * (1.0 - own.confidence.get()) * (-behind / 2.0).exp());
    }
    weighed.retain(|(bead, weight)| *weight > 1e-3 && *bead != Some(own.chosen.bead));
    let sum: f64 = weighed.iter().map(|w| w.1).sum();
    weighed.sort_by(|a, b| b.1.total_cmp(&a.1).then(a.0.cmp(&b.0)));
    let share = |w: f64| Confidence::new(rest * w / sum);
    weighed.iter().take(MOST).map(|&(bead, w)| RunnerUp { bead, confidence: share(w) }).collect()
}
