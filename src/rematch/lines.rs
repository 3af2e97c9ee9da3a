//! The lines of all figures, what they have, and which of them touch.

use std::collections::{BTreeMap, BTreeSet, HashMap};

use rayon::prelude::*;

use super::{Line, Older, Request};
use crate::colour::{Lab, ciede2000};
use crate::figure::{ChosenBy, LegendEntry, Mark, Placed, Sure};
use crate::matching::MEANT_APART;

/// Beads of another line that free beads of a line touch side to side.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(super) struct Beside {
    /// The other line.
    pub line: usize,
    /// Whether its beads there stay as they are, by hand.
    pub fixed: bool,
}

/// What is known of a line beside what is told of it.
#[derive(Clone, Debug)]
pub(super) struct Known {
    /// The colour it was asked for.
    pub aim: Option<Lab>,
    /// The colour of its bead.
    pub lab: Option<Lab>,
    /// Whether the maker chose its bead, or settled every peg of it.
    pub held: bool,
    /// Whether it may change at all.
    pub open: bool,
    /// What its free beads touch and are meant to differ from.
    pub touching: Vec<Beside>,
}

/// All lines with beads, figure by figure in the legend's order.
pub(super) struct Lines {
    pub told: Vec<Line>,
    pub known: Vec<Known>,
    /// Beads that show in all figures, by their bead's name.
    pub needed: HashMap<String, u64>,
}

/// Beads of one line.
#[derive(Clone, Copy, Debug, Default)]
struct Counts {
    free: usize,
    fixed: usize,
    free_shown: usize,
    shown: usize,
}

impl Lines {
    pub(super) fn of(figures: &[Older], request: &Request) -> Self {
        let each: Vec<Lines> =
            figures.par_iter().enumerate().map(|(at, older)| of_figure(at, older, request)).collect();
        let mut all = Self { told: Vec::new(), known: Vec::new(), needed: HashMap::new() };
        for own in each {
            let before = all.told.len();
            all.told.extend(own.told);
            all.known.extend(own.known.into_iter().map(|mut known| {
                known.touching.iter_mut().for_each(|beside| beside.line += before);
                known
            }));
            for (bead, count) in own.needed {
                *all.needed.entry(bead).or_default() += count;
            }
        }
        all
    }
}

fn of_figure(at: usize, older: &Older, request: &Request) -> Lines {
    let is_fixed = |placed: &Placed| placed.sure == Some(Sure::ByHand) && !request.by_hand;
    let counts = counts(older, is_fixed);
    let legend: Vec<&LegendEntry> =
        older.figure.legend().iter().filter(|entry| counts.contains_key(&entry.mark)).collect();
    let place: BTreeMap<Mark, usize> =
        legend.iter().enumerate().map(|(place, entry)| (entry.mark, place)).collect();
    let touching = touching(older, &place, is_fixed);
    let (mut told, mut known, mut needed) = (Vec::new(), Vec::new(), HashMap::new());
    for (entry, touching) in legend.iter().zip(touching) {
        let own = counts[&entry.mark];
        let in_tray = request.tray.find(&entry.bead).map(|id| request.tray.bead(id).lab);
        let in_older =
            || request.older_trays.iter().find_map(|tray| Some(tray.bead(tray.find(&entry.bead)?).lab));
        let lab = in_tray.or_else(in_older);
        let held = entry.by == ChosenBy::Hand || own.free == 0;
        told.push(Line {
            figure: at,
            mark: entry.mark,
            bead: entry.bead.clone(),
            gone: in_tray.is_none(),
            apart: entry.aim.zip(lab).map(|(aim, lab)| ciede2000(aim, lab)),
            free: if held { 0 } else { own.free },
            shown: if held { 0 } else { own.free_shown },
            by_hand: if held { own.free + own.fixed } else { own.fixed },
            things: things_of(older.stem, &entry.bead, request),
        });
        let meant_apart = |beside: &Beside| match (entry.aim, legend[beside.line].aim) {
            (Some(one), Some(other)) => ciede2000(one, other).0 >= MEANT_APART,
            _ => true,
        };
        known.push(Known {
            aim: entry.aim,
            lab,
            held,
            open: request.only.as_ref().is_none_or(|only| only.contains(&(at, entry.mark))),
            touching: touching.into_iter().filter(meant_apart).collect(),
        });
        *needed.entry(entry.bead.clone()).or_default() += own.shown as u64;
    }
    Lines { told, known, needed }
}

fn things_of(stem: &str, bead: &str, request: &Request) -> Vec<String> {
    let own = request.things.iter().filter(|thing| thing.bead == bead && thing.figures.contains(stem));
    own.map(|thing| thing.name.clone()).collect()
}

fn counts(older: &Older, is_fixed: impl Fn(&Placed) -> bool) -> BTreeMap<Mark, Counts> {
    let mut counts: BTreeMap<Mark, Counts> = BTreeMap::new();
    let parts = older.figure.parts().iter().flat_map(|part| part.beads.iter());
    for placed in parts.filter_map(|(.., placed)| *placed) {
        let own = counts.entry(placed.mark).or_default();
        if is_fixed(&placed) { own.fixed += 1 } else { own.free += 1 }
    }
    for placed in older.figure.beads().iter().filter_map(|(.., placed)| *placed) {
        let own = counts.entry(placed.mark).or_default();
        own.shown += 1;
        own.free_shown += usize::from(!is_fixed(&placed));
    }
    counts
}

/// What free beads of each line touch.
fn touching(
    older: &Older,
    place: &BTreeMap<Mark, usize>,
    is_fixed: impl Fn(&Placed) -> bool,
) -> Vec<BTreeSet<Beside>> {
    let mut touching = vec![BTreeSet::new(); place.len()];
    let beads = older.figure.beads();
    for (row, column, placed) in beads.iter() {
        let Some(own) = placed.filter(|placed| !is_fixed(placed)) else { continue };
        for other in beads.beside(row, column).filter_map(|(.., other)| *other) {
            if other.mark != own.mark
                && let (Some(own), Some(line)) = (place.get(&own.mark), place.get(&other.mark))
            {
                touching[*own].insert(Beside { line: *line, fixed: is_fixed(&other) });
            }
        }
    }
    touching
}
