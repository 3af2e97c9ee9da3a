//! What each bead of a draft stands for: one line a bead, with its mark.

use std::collections::BTreeSet;

use crate::colour::{Lab, ciede2000};
use crate::figure::Mark;
use crate::matching::{MatchedColour, MatchedGrid};
use crate::tray::{BeadId, Tray};
use crate::units::{Confidence, DeltaE};

/// One bead of a draft.
#[derive(Clone, Debug, PartialEq)]
pub struct LegendLine {
    /// The mark that stands for it.
    pub mark: Mark,
    /// The bead.
    pub bead: BeadId,
    /// How many the figure takes; at least 1.
    pub count: usize,
    /// The colour the drawing asked for; the mean where several of its colours became this bead.
    pub aim: Lab,
    /// How far the bead lies from that.
    pub difference: DeltaE,
    /// How likely the maker keeps this bead for this colour.
    pub confidence: Confidence,
    /// The next best bead and by how much it lost; below 0 where it is nearer.
    pub runner_up: Option<(BeadId, f64)>,
    /// Whether a nearer bead was left so that two colours that touch stay apart.
    pub kept_apart: bool,
}

/// The beads a draft uses, most used first.
pub(super) fn legend(matched: &MatchedGrid, tray: &Tray) -> Vec<LegendLine> {
    let used: BTreeSet<BeadId> = used_colours(matched).map(|c| c.chosen.bead).collect();
    let mut taken = BTreeSet::new();
    let mut lines: Vec<LegendLine> = used.into_iter().filter_map(|bead| line(matched, tray, bead)).collect();
    lines.sort_by(|a, b| b.count.cmp(&a.count).then(a.bead.cmp(&b.bead)));
    for line in &mut lines {
        line.mark = Mark::free_for(&tray.bead(line.bead).name, &taken);
        taken.insert(line.mark);
    }
    lines
}

fn used_colours(matched: &MatchedGrid) -> impl Iterator<Item = &MatchedColour> {
    matched.colours().iter().filter(|c| c.count > 0)
}

fn line(matched: &MatchedGrid, tray: &Tray, bead: BeadId) -> Option<LegendLine> {
    let colours = || used_colours(matched).filter(|c| c.chosen.bead == bead);
    let count: usize = colours().map(|c| c.count).sum();
    let mean = |of: &dyn Fn(&MatchedColour) -> f64| {
        colours().map(|c| c.count as f64 * of(c)).sum::<f64>() / count as f64
    };
    let aim = Lab::new(mean(&|c| c.aim.l), mean(&|c| c.aim.a), mean(&|c| c.aim.b));
    let difference = ciede2000(tray.bead(bead).lab, aim);
    let main = colours().max_by_key(|c| c.count)?;
    let runner_up = main.runner_up().map(|(other, _)| {
        let theirs = ciede2000(tray.bead(other.bead).lab, aim);
        (other.bead, theirs.0 - difference.0)
    });
    let confidence = Confidence::new(mean(&|c| c.confidence.get()));
    let kept_apart = colours().any(|c| c.kept_apart);
    // The mark is given once all lines are in order.
    let mark = Mark::first();
    Some(LegendLine { mark, bead, count, aim, difference, confidence, runner_up, kept_apart })
}
