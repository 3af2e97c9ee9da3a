//! What is known of one bead of a draft before its confidence is told.

use crate::grid::Grid;
use crate::matching::MatchedColour;
use crate::sample::{Proportions, SampleGrid};

/// How many things are known of a bead.
pub const EVIDENCE: usize = 20;

/// What each is; a calibration file names them in this order.
pub const EVIDENCE_NAMES: [&str; EVIDENCE] = [
    "winner's share of the window",
    "runner-up's share",
    "cover of the window",
    "CIEDE2000 to the bead",
    "lead over the next bead",
    "odds of the bead",
    "neighbours that agree",
    "neighbours that are empty",
    "beads of the colour",
    "mean share in the drawing",
    "mean odds in a drawing of strokes",
    "certainty of the lattice",
    "small mark",
    "guessed landmarks",
    "colours in the drawing",
    "mean CIEDE2000 in a drawing of strokes",
    "mean share under guessed landmarks",
    "certainty under guessed landmarks",
    "strokes that show the paper",
    "pixels stretched",
];

/// What is known of one bead: numbers of about 0 to 1 each, in the order of [`EVIDENCE_NAMES`].
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Evidence(pub [f64; EVIDENCE]);

/// What is the same for every bead of a drawing.
struct Whole {
    share: f64,
    odds: f64,
    colours: f64,
    difference: f64,
}

/// Beyond this CIEDE2000 more makes no difference to what is believed.
const MOST_DIFFERENCE: f64 = 15.0;

/// Beyond this lead over the next bead, in CIEDE2000, more makes no difference.
const MOST_LEAD: f64 = 10.0;

/// Stretched further than this a picture has hardly a pixel a bead.
const MOST_STRETCH: f64 = 5.0;

/// Under guessed landmarks the fit has seen hardly a lattice less certain than this; a sketch that never was on
/// a lattice has none, and what follows from that is not known.
const LEAST_KNOWN: f64 = 0.25;

/// Gathers the evidence for every filled place. `colours` must be those the samples' clusters were matched to.
pub fn evidence(samples: &SampleGrid, colours: &[MatchedColour]) -> Grid<Option<Evidence>> {
    let counts = counts(samples, colours.len());
    let whole = Whole::of(samples, colours, &counts);
    let lattice = samples.lattice();
    let is_guessed = lattice.proportions() == Proportions::MarksGuessed;
    let guessed = f64::from(u8::from(is_guessed));
    let certainty = if is_guessed { lattice.certainty().max(LEAST_KNOWN) } else { lattice.certainty() };
    samples.beads().map(|row, column, sample| {
        let winner = sample.filled.then(|| sample.colours.first()).flatten()?;
        let colour = &colours[winner.colour];
        let beside = || samples.beads().beside(row, column);
        let agreeing = beside().filter(|(_, _, n)| n.filled && n.colours[0].colour == winner.colour).count();
        // Beyond the grid there is no bead either.
        let filled = beside().filter(|(_, _, n)| n.filled).count();
        let runner_up = sample.colours.get(1).map_or(0.0, |c| c.share);
        let lead = colour.runner_up().map_or(MOST_LEAD, |(_, lead)| lead.clamp(-MOST_LEAD, MOST_LEAD));
        Some(Evidence([
            winner.share,
            runner_up,
            sample.cover,
            colour.chosen.difference.0.min(MOST_DIFFERENCE) / MOST_DIFFERENCE,
            lead / MOST_LEAD,
            colour.confidence.get(),
            agreeing as f64 / 4.0,
            1.0 - filled as f64 / 4.0,
            // A hundred beads are a coat, one is an eye.
            (1.0 + counts[winner.colour] as f64).ln() / 101.0_f64.ln(),
            whole.share,
            if samples.is_stroked() { whole.odds } else { 0.0 },
            certainty,
            f64::from(u8::from(sample.is_mark)),
            guessed,
            whole.colours,
            if samples.is_stroked() { whole.difference } else { 0.0 },
            guessed * whole.share,
            guessed * certainty,
            f64::from(u8::from(samples.is_stroked())),
            (samples.softness() - 1.0).clamp(0.0, MOST_STRETCH) / MOST_STRETCH,
        ]))
    })
}

/// How many windows take each colour.
fn counts(samples: &SampleGrid, colours: usize) -> Vec<usize> {
    let mut counts = vec![0; colours];
    for (_, _, sample) in samples.beads().iter().filter(|(_, _, s)| s.filled) {
        if let Some(winner) = sample.colours.first() {
            counts[winner.colour] += 1;
        }
    }
    counts
}

impl Whole {
    fn of(samples: &SampleGrid, colours: &[MatchedColour], counts: &[usize]) -> Self {
        let all = counts.iter().sum::<usize>().max(1) as f64;
        let filled = samples.beads().iter().filter(|(_, _, s)| s.filled);
        let share = filled.filter_map(|(_, _, s)| s.colours.first()).map(|c| c.share).sum::<f64>() / all;
        let mean = |of: fn(&MatchedColour) -> f64| {
            colours.iter().zip(counts).map(|(colour, count)| of(colour) * *count as f64).sum::<f64>() / all
        };
        /// More colours than this are a drawing that was not read.
        const MANY: f64 = 20.0;
        let used = counts.iter().filter(|count| **count > 0).count() as f64;
        Self {
            share,
            odds: mean(|c| c.confidence.get()),
            colours: (used / MANY).min(1.5),
            difference: mean(|c| c.chosen.difference.0.min(MOST_DIFFERENCE)) / MOST_DIFFERENCE,
        }
    }
}
