//! Which bead a named thing has in which figure, where figures disagree, and the bead that serves all.

use std::collections::BTreeSet;

use super::Older;
use crate::cast::Thing;
use crate::colour::{Lab, ciede2000};
use crate::figure::{ChosenBy, Mark, Sure};
use crate::matching::Served;
use crate::rules::taken_for;
use crate::tray::{BeadId, Tray};
use crate::units::DeltaE;

/// What a figure has of a thing.
#[derive(Clone, Debug, PartialEq)]
pub struct Held {
    /// The figure, by its place in the list.
    pub figure: usize,
    /// Its bead; none where the figure has nothing that is likely the thing.
    pub bead: Option<String>,
    /// Its mark in the figure's legend.
    pub mark: Option<Mark>,
    /// Beads that show.
    pub beads: usize,
    /// CIEDE2000 from the colour asked for to the bead; none where no colour is kept, or the tray has no such bead.
    pub apart: Option<DeltaE>,
    /// Whether a hand chose the bead, or settled all its pegs.
    pub by_hand: bool,
}

/// The bead that serves a thing best wherever it is.
#[derive(Clone, Debug, PartialEq)]
pub struct Serves {
    /// The bead.
    pub bead: BeadId,
    /// CIEDE2000 from each colour asked for, in the order of [`Ledger::held`]; none where no colour is kept.
    pub each: Vec<Option<DeltaE>>,
}

impl Serves {
    /// Up to here a bead serves a colour, as for references.
    pub const WITHIN: DeltaE = Served::WITHIN;

    /// Whether it is near enough to every colour asked for.
    pub fn serves_all(&self) -> bool {
        self.each.iter().flatten().all(|apart| *apart <= Self::WITHIN)
    }
}

/// A thing in every figure that has it.
#[derive(Clone, Debug, PartialEq)]
pub struct Ledger<'a> {
    /// The thing, with the bead that the cast says it has.
    pub thing: &'a Thing,
    /// Each of its figures that was looked at.
    pub held: Vec<Held>,
    /// Its figures that are not there.
    pub missing: Vec<&'a str>,
    /// The bead that serves all; none where no colour is kept.
    pub serves: Option<Serves>,
}

impl Ledger<'_> {
    /// The beads it has, each once; more than one is a disagreement.
    pub fn beads(&self) -> BTreeSet<&str> {
        self.held.iter().filter_map(|held| held.bead.as_deref()).collect()
    }

    /// Whether some figure has another bead than the cast says.
    pub fn disagrees(&self) -> bool {
        self.beads().iter().any(|bead| *bead != self.thing.bead)
    }
}

/// Looks a thing up in figures: by the bead the cast says, else by what was likely taken instead, as `check` finds it.
pub fn ledger<'a>(thing: &'a Thing, figures: &[Older], tray: &Tray) -> Ledger<'a> {
    let its = || figures.iter().enumerate().filter(|(_, older)| thing.figures.contains(older.stem));
    let found: Vec<(Held, Option<Lab>)> = its().map(|(at, older)| held(thing, (at, older), tray)).collect();
    let there: BTreeSet<&str> = figures.iter().map(|older| older.stem).collect();
    let missing = thing.figures.iter().map(String::as_str).filter(|stem| !there.contains(stem)).collect();
    let aims: Vec<Option<Lab>> = found.iter().map(|(_, aim)| *aim).collect();
    Ledger {
        thing,
        held: found.into_iter().map(|(held, _)| held).collect(),
        missing,
        serves: serves(&aims, tray),
    }
}

fn held(thing: &Thing, (at, older): (usize, &Older), tray: &Tray) -> (Held, Option<Lab>) {
    let none = Held { figure: at, bead: None, mark: None, beads: 0, apart: None, by_hand: false };
    let figure = older.figure;
    let Some(bead) = taken_for(thing, figure, tray) else { return (none, None) };
    // Of two lines with one bead the larger is meant; of equals the first.
    let counts = figure.counts();
    let own = counts.iter().rev().filter(|(entry, _)| entry.bead == bead).max_by_key(|(_, beads)| *beads);
    let Some((entry, beads)) = own else { return (none, None) };
    let grid = figure.beads();
    let of_mark =
        || grid.iter().filter_map(|(.., placed)| *placed).filter(|placed| placed.mark == entry.mark);
    let settled = of_mark().all(|placed| placed.sure == Some(Sure::ByHand));
    let lab = tray.find(&bead).map(|id| tray.bead(id).lab);
    let held = Held {
        mark: Some(entry.mark),
        beads: *beads,
        apart: entry.aim.zip(lab).map(|(aim, lab)| ciede2000(aim, lab)),
        by_hand: entry.by == ChosenBy::Hand || settled,
        bead: Some(bead),
        ..none
    };
    (held, entry.aim)
}

/// The bead that is least far from the colour it serves worst.
fn serves(aims: &[Option<Lab>], tray: &Tray) -> Option<Serves> {
    let known: Vec<_> = aims.iter().flatten().collect();
    if known.is_empty() {
        return None;
    }
    let served = tray.iter().map(|(id, bead)| {
        let far: Vec<f64> = known.iter().map(|aim| ciede2000(**aim, bead.lab).0).collect();
        Served::of(id, &far)
    });
    // Of equals the first in the tray.
    let best = served.min_by(Served::order)?.bead;
    let lab = tray.bead(best).lab;
    Some(Serves { bead: best, each: aims.iter().map(|aim| aim.map(|aim| ciede2000(aim, lab))).collect() })
}
