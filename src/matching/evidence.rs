//! What is known of one bead of a draft before its confidence is told.

use crate::grid::Grid;
use crate::matching::MatchedColour;
use crate::sample::{Proportions, SampleGrid};

/// How many things are known of a bead that was read by a lattice.
const ON_LATTICE: usize = 20;

/// How many things are known of a bead of a sketch that was brought to the body plan.
const ON_PLAN: usize = 7;

/// How many things are known of a bead: those of a lattice, then those of the plan; the others are 0.
///
/// The two ways of reading fail in two ways, so that nothing learnt of one is taken for true of the other: a window of
/// a lattice shows what its bead is, a stretch of a sketch is brought to where a designer might have put it. Tried with
/// all of it shared, or all but a few slopes, each sketch in turn judged by a fit on the others was off by 0.09 to 0.13
/// (expected calibration error) instead of 0.03. More than these few things known, and one sketch says nothing of the
/// next: there are too few of them.
pub const EVIDENCE: usize = ON_LATTICE + ON_PLAN;

/// Whether a place of the evidence tells of one bead of a sketch; what tells of sketches as a whole, first and last of
/// the plan's, does not.
pub(super) fn is_told_of_sketches(at: usize) -> bool {
    (ON_LATTICE + 1..EVIDENCE - 1).contains(&at)
}

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
    "brought to the plan",
    "winner's share on the plan",
    "CIEDE2000 to the bead on the plan",
    "neighbours that agree on the plan",
    "cover of the window on the plan",
    "lead over the next bead on the plan",
    "lattice nearly shown before the plan",
];

/// What is known of one bead: numbers of about 0 to 1 each, in the order of [`EVIDENCE_NAMES`].
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Evidence(pub [f64; EVIDENCE]);

impl Evidence {
    fn on_lattice(known: [f64; ON_LATTICE]) -> Self {
        let mut all = [0.0; EVIDENCE];
        all[..ON_LATTICE].copy_from_slice(&known);
        Self(all)
    }

    fn on_plan(known: [f64; ON_PLAN]) -> Self {
        let mut all = [0.0; EVIDENCE];
        all[ON_LATTICE..].copy_from_slice(&known);
        Self(all)
    }
}

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

/// A drawing made from beads that is read as a sketch comes near this certainty, from which on its lattice would have
/// been believed (`Lattice::is_shown`); the sketches stay below [`LEAST_KNOWN`].
const ALL_BUT_SHOWN: f64 = 0.45;

/// Places beside a bead.
const BESIDE: f64 = 4.0;

/// Gathers the evidence for every filled place. `colours` must be those the samples' clusters were matched to.
pub fn evidence(samples: &SampleGrid, colours: &[MatchedColour]) -> Grid<Option<Evidence>> {
    let counts = counts(samples, colours.len());
    let whole = Whole::of(samples, colours, &counts);
    let lattice = samples.lattice();
    let nearly_shown = ((samples.certainty() - LEAST_KNOWN) / (ALL_BUT_SHOWN - LEAST_KNOWN)).clamp(0.0, 1.0);
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
        let difference = colour.chosen.difference.0.min(MOST_DIFFERENCE) / MOST_DIFFERENCE;
        let (agreeing, empty) = (agreeing as f64 / BESIDE, 1.0 - filled as f64 / BESIDE);
        if samples.is_on_plan() {
            let lead = lead / MOST_LEAD;
            let known = [1.0, winner.share, difference, agreeing, sample.cover, lead, nearly_shown];
            return Some(Evidence::on_plan(known));
        }
        Some(Evidence::on_lattice([
            winner.share,
            runner_up,
            sample.cover,
            difference,
            lead / MOST_LEAD,
            colour.confidence.get(),
            agreeing,
            empty,
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
