//! Which beads would help a cast most if they were bought.
//!
//! The measure: over all beads that show and may change, the sum of how much nearer each comes to the colour asked for
//! (CIEDE2000), beyond what the tray can do already. A colour takes the one bead of those bought that does most for it,
//! where that is worth it ([`WORTH`]) and loses no contrast. Sums are whole thousandths, so that they do not depend on
//! their order.

use rayon::prelude::*;

use super::choose::{Asked, Choice};
use super::lines::Lines;
use super::search::best_of;
use super::seen::ToAllEyes;
use super::{Line, Older, Request, WORTH};
use crate::colour::ciede2000;
use crate::tray::{Bead, BeadId, Price, Tray};
use crate::units::DeltaE;

/// Parts of one CIEDE2000 that are counted.
const PARTS: f64 = 1000.0;

/// A colour that a bought bead comes nearer to.
#[derive(Clone, Debug, PartialEq)]
pub struct Help {
    /// The line as the tray leaves it: its bead is the one it has by then.
    pub line: Line,
    /// CIEDE2000 from the colour asked for with the beads that are owned.
    pub before: DeltaE,
    /// The same with the bead that is bought.
    pub after: DeltaE,
}

/// A bead to buy.
#[derive(Clone, Debug, PartialEq)]
pub struct Suggested {
    /// The bead, in the catalogue.
    pub bead: BeadId,
    /// By how much all beads it is for come nearer to their aims together, in CIEDE2000.
    pub drop: f64,
    /// How many beads that are.
    pub beads: u64,
    /// Packs that hold this many; one where the catalogue does not say how many a pack has.
    pub packs: u64,
    /// What these cost, where the catalogue says it.
    pub cost: Option<Price>,
    /// Where it helps, the most first.
    pub helps: Vec<Help>,
}

/// The beads that would help most together.
#[derive(Clone, Debug, PartialEq)]
pub struct Suggestion {
    /// They, what adds most first; fewer than were asked for where no more would help.
    pub beads: Vec<Suggested>,
    /// The sum over all beads that may change of their distance from their aims now, in CIEDE2000.
    pub now: f64,
    /// By how much that sum drops.
    pub drop: f64,
    /// No other choice of this many beads makes it drop by more.
    pub at_most: f64,
    /// Beads that show and may change, and those that stay by hand.
    pub counted: (usize, usize),
}

impl Suggestion {
    /// Whether no other choice helps more.
    pub fn is_exact(&self) -> bool {
        self.drop >= self.at_most
    }
}

/// What a bead of the catalogue does for a unit, in thousandths.
type Gain = (usize, u64);

/// The `sought` beads of a catalogue that would help figures most beside the tray they are asked against. Beads that the
/// tray has, by name, are not among them.
pub fn suggest(figures: &[Older], request: &Request, catalogue: &Tray, sought: usize) -> Suggestion {
    let lines = Lines::of(figures, request);
    let choice = Choice::made(figures, &lines, request);
    let offered: Vec<(BeadId, &Bead)> =
        catalogue.iter().filter(|(_, bead)| request.tray.find(&bead.name).is_none()).collect();
    let gains: Vec<Vec<Gain>> = offered.par_iter().map(|(_, bead)| gains_of(&choice, bead)).collect();
    let found = best_of(&gains, choice.asked.len(), sought);
    let beads: Vec<Suggested> = found
        .chosen
        .iter()
        .map(|&at| suggested(&choice, offered[at], &served_by(&gains, &found.chosen, at)))
        .collect();
    let open = || choice.asked.iter().enumerate().filter(|(_, asked)| !asked.held);
    let now = open().flat_map(|(at, asked)| asked.unit.lines.iter().map(move |line| (at, *line)));
    let now =
        now.filter_map(|(at, line)| Some(choice.apart_now(at, line)?.0 * lines.told[line].shown as f64));
    let shown = open().flat_map(|(_, asked)| &asked.unit.lines).map(|line| lines.told[*line].shown).sum();
    let all: u64 = lines.needed.values().sum();
    Suggestion {
        beads,
        now: now.sum(),
        drop: found.sum as f64 / PARTS,
        at_most: found.at_most as f64 / PARTS,
        counted: (shown, (all as usize).saturating_sub(shown)),
    }
}

/// What a bead does for every unit.
fn gains_of(choice: &Choice, bead: &Bead) -> Vec<Gain> {
    let seen = ToAllEyes::of(bead.lab);
    let open = choice.asked.iter().enumerate().filter(|(_, asked)| !asked.held);
    open.filter_map(|(at, asked)| {
        let gain = gain(choice, (at, asked), bead);
        let stands_out = |line: &usize| choice.stands_out(*line, &asked.unit.lines, (&bead.name, &seen));
        (gain > 0 && asked.unit.lines.iter().all(stands_out)).then_some((at, gain))
    })
    .collect()
}

/// What a bead does for a unit, contrast aside; nothing where that is not worth it.
fn gain(choice: &Choice, (at, asked): (usize, &Asked), bead: &Bead) -> u64 {
    let (mut sum, mut worst_now, mut worst_then) = (0.0, 0.0_f64, 0.0_f64);
    for &line in &asked.unit.lines {
        // A bead that is gone has one of the tray's by now; where its colour was not known, nothing can be said.
        let (Some(aim), Some(now)) = (choice.lines.known[line].aim, choice.apart_now(at, line)) else {
            return 0;
        };
        let then = ciede2000(aim, bead.lab);
        (worst_now, worst_then) = (worst_now.max(now.0), worst_then.max(then.0));
        sum += (now.0 - then.0) * choice.lines.told[line].shown as f64;
    }
    if worst_now - worst_then < WORTH.0 || sum <= 0.0 { 0 } else { (sum * PARTS).round() as u64 }
}

/// The units that one of the chosen does most for: of equals, the one that was chosen first.
fn served_by(gains: &[Vec<Gain>], chosen: &[usize], own: usize) -> Vec<Gain> {
    let gain_at = |candidate: usize, unit: usize| {
        let found = gains[candidate].binary_search_by_key(&unit, |(unit, _)| *unit);
        found.map_or(0, |at| gains[candidate][at].1)
    };
    let is_best = |&(unit, gain): &Gain| {
        let better = |&other: &usize| gain_at(other, unit) > gain;
        let before = chosen.iter().take_while(|&&other| other != own);
        !chosen.iter().any(better) && !before.into_iter().any(|&other| gain_at(other, unit) == gain)
    };
    gains[own].iter().copied().filter(is_best).collect()
}

fn suggested(choice: &Choice, (id, bead): (BeadId, &Bead), units: &[Gain]) -> Suggested {
    let mut helps: Vec<Help> = Vec::new();
    for &(at, _) in units {
        for &line in &choice.asked[at].unit.lines {
            let (Some(aim), Some(before)) = (choice.lines.known[line].aim, choice.apart_now(at, line)) else {
                continue;
            };
            let after = ciede2000(aim, bead.lab);
            let line = Line { bead: choice.bead_now(line).to_owned(), ..choice.lines.told[line].clone() };
            helps.push(Help { line, before, after });
        }
    }
    let weight = |help: &Help| (help.before.0 - help.after.0) * help.line.shown as f64;
    // The sort is stable: of equals, the first figure's first.
    helps.sort_by(|one, other| weight(other).total_cmp(&weight(one)));
    let beads: u64 = helps.iter().map(|help| help.line.shown as u64).sum();
    let packs = bead.pack.map_or(1, |pack| beads.div_ceil(u64::from(pack.max(1)))).max(1);
    Suggested {
        bead: id,
        drop: units.iter().map(|(_, gain)| gain).sum::<u64>() as f64 / PARTS,
        beads,
        packs,
        cost: bead.price.as_ref().map(|price| price.times(packs)),
        helps,
    }
}
