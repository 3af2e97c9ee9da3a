//! The calibration's data: which trials it is fitted to, and which are kept apart to test it on.

use super::chance::Chance;
use super::{KEPT_SKETCHES, Manner, Sketch, Trial};
use crate::colour::Lab;
use crate::draft::Draft;
use crate::grid::Grid;
use crate::matching::{Evidence, Lesson, evidence};
use crate::score::{Judged, KnownFigure, Score};
use crate::tray::{Bead, Tray};

/// Figures no fit has seen: one of each size and build.
pub const KEPT_FIGURES: [&str; 6] =
    ["candle-girl", "fishwife", "lane-sweeper", "nightgown-toddler", "oarsman", "river-swimmer"];

/// Manners no fit has seen.
pub const KEPT_MANNERS: [Manner; 4] = [Manner::CutOut, Manner::Page, Manner::TableSheet, Manner::Clutter];

/// Seeds the fit sees; every other is kept apart.
pub const FITTED_SEEDS: std::ops::Range<u64> = 1000..1003;

/// The tray a fitted seed is drafted with: the embedded one, then with more and more beads close to its own,
/// so that the fit has seen sparse trays and dense ones; and every bead a little off the paint it was drawn
/// with, as a maker's beads are. Beads keep their places in it.
pub fn fitted_tray(seed: u64) -> Tray {
    /// How far an added bead lies from the one it resembles, in Lab units.
    const NEAR: (f64, f64) = (5.0, 11.0);
    /// How far a bead lies from the paint, in Lab units: with a hand's own straying, CIEDE2000 1 to 4 on the
    /// whole (common practice, no source).
    const OFF: (f64, f64) = (0.0, 6.0);
    /// In the densest tray this many of the beads have another like them.
    const MOST_ADDED: f64 = 0.4;
    let tray = Tray::embedded();
    let part = (seed - FITTED_SEEDS.start) as f64 / (FITTED_SEEDS.end - FITTED_SEEDS.start - 1) as f64;
    let mut chance = Chance::of(seed, "tray");
    let mut beads: Vec<Bead> = Vec::new();
    let mut added: Vec<Bead> = Vec::new();
    for (_, bead) in tray.iter() {
        beads.push(Bead { lab: moved(bead.lab, OFF, &mut chance), ..bead.clone() });
        let near = moved(bead.lab, NEAR, &mut chance);
        if chance.happens(MOST_ADDED * part) {
            added.push(Bead::new(format!("like {}", bead.name), near));
        }
    }
    beads.append(&mut added);
    // Names are the embedded ones, each once, and each once with a word before it.
    Tray::new("trial", beads).unwrap_or(tray)
}

/// A colour this far off, in Lab units, in any direction.
fn moved(lab: Lab, by: (f64, f64), chance: &mut Chance) -> Lab {
    let (l, a, b) = (chance.either_way(1.0), chance.either_way(1.0), chance.either_way(1.0));
    let scale = chance.within(by.0, by.1) / (l * l + a * a + b * b).sqrt().max(1e-6);
    Lab::new((lab.l + scale * l).clamp(0.0, 100.0), lab.a + scale * a, lab.b + scale * b)
}

/// Whether a fit may see a trial.
pub fn is_fitted(trial: &Trial) -> bool {
    !KEPT_FIGURES.contains(&trial.figure.name.as_str())
        && !KEPT_MANNERS.contains(&trial.manner)
        && FITTED_SEEDS.contains(&trial.seed)
}

/// Every trial that a fit sees, in order.
pub fn fitted_trials(figures: &[KnownFigure]) -> Vec<Trial<'_>> {
    let of = |figure| {
        let seeds = move |manner| FITTED_SEEDS.map(move |seed| Trial { figure, manner, seed });
        Manner::ALL.into_iter().flat_map(seeds)
    };
    figures.iter().flat_map(of).filter(is_fitted).collect()
}

/// Whether a fit may see a sketch.
pub fn is_fitted_sketch(sketch: &Sketch) -> bool {
    !KEPT_SKETCHES.contains(&sketch.name.as_str())
}

/// What was known of each bead of a draft, and whether the maker keeps it: whether the known figure has it there, or an
/// accepted figure of a sketch. `scores` are of this draft, one an answer.
pub fn lessons(draft: &Draft, scores: &[Score]) -> Vec<Lesson> {
    let known: Grid<Option<Evidence>> = evidence(&draft.samples, draft.matched.colours());
    // Scores judge a draft's beads in one order, whatever the answer.
    let kept = |at: usize| {
        let right = scores.iter().filter(|score| score.beads[at].right).count();
        right as f64 / scores.len() as f64
    };
    let beads = scores.first().map_or(&[][..], |score| &score.beads);
    let lesson = |(at, bead): (usize, &Judged)| {
        let evidence = known.get(bead.at.0, bead.at.1).copied().flatten()?;
        Some(Lesson { evidence, kept: kept(at), weight: 1.0 })
    };
    beads.iter().enumerate().filter_map(lesson).collect()
}

/// All that a fit sees. Sketches are few, yet most of what makers bring: together they weigh as much as one manner
/// of drawing on the mean, so that they neither drown nor drown the others.
pub fn weighed(drawn: Vec<Lesson>, sketched: Vec<Lesson>) -> Vec<Lesson> {
    /// Manners the fit sees.
    const MANNERS: f64 = (Manner::ALL.len() - KEPT_MANNERS.len()) as f64;
    let weight = if drawn.is_empty() || sketched.is_empty() {
        1.0
    } else {
        drawn.len() as f64 / MANNERS / sketched.len() as f64
    };
    drawn.into_iter().chain(sketched.into_iter().map(|lesson| Lesson { weight, ..lesson })).collect()
}
