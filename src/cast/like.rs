//! How good a start an older figure is for a new one: what would have to change.
//!
//! The older figure is brought to the new one's rows as one would by hand, zone by zone, and laid over it where most
//! agrees, mirrored too. Then each of its beads is swapped for the one that most of its pegs ask for, where that mends
//! more than a swap costs. What is left are pegs to fill, beads to lift, and beads to exchange one by one. So a figure of
//! other colours but the same cut is a good start. The measure counts in beads: one for each to fill or to exchange,
//! half for one to lift, which need not be chosen, three for a swap, whose every bead is looked at once, and one for a
//! mirroring (our own reckoning, no source; tried on the pairs of `fixtures/pairs`).

mod cut;

use rayon::prelude::*;

use crate::colour::{Lab, ciede2000};
use crate::figure::{Anatomy, Figure};
use crate::grid::Grid;
use crate::plan::{BodyPart, Zone, ZoneRows};
use crate::tray::Tray;
use crate::units::{Column, Row};
use cut::{Colours, Cut, Over, Way, lay};

/// The new figure as it is sought: a draft of its reference as a figure, or any figure.
#[derive(Clone, Debug)]
pub struct Sought {
    cut: Cut,
    parts: Grid<Option<BodyPart>>,
    colours: Colours,
}

/// One bead for another, everywhere.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Swap {
    /// The bead of the older figure.
    pub old: String,
    /// The bead that is asked for.
    pub new: String,
    /// How many beads it changes.
    pub beads: usize,
}

/// What would change of one part.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct PartChange {
    /// The part.
    pub part: BodyPart,
    /// Pegs to fill.
    pub fill: usize,
    /// Beads to lift.
    pub lift: usize,
}

/// What would have to change of an older figure.
#[derive(Clone, Debug, PartialEq)]
pub struct Start {
    /// Rows to add or, below 0, to drop, for zones where that is needed.
    pub rows: Vec<(Zone, i32)>,
    /// Whether it is mirrored first.
    pub mirrored: bool,
    /// Beads to swap everywhere, the most first.
    pub swaps: Vec<Swap>,
    /// Parts of another outline, those that differ most first.
    pub parts: Vec<PartChange>,
    /// Pegs to fill.
    pub fill: usize,
    /// Beads to lift.
    pub lift: usize,
    /// Beads to exchange one by one, after the swaps.
    pub exchange: usize,
    /// Beads that either figure has.
    pub of: usize,
}

/// In halves of a bead: one to fill or to exchange, or a mirroring; one to lift.
const BEAD: usize = 2;
const LIFT: usize = 1;

/// A swap, in beads.
const SWAP: usize = 3;

/// Up to this share of beads to fill or lift the two are of one cut.
const SAME_CUT: f64 = 0.15;

impl Start {
    /// The beads to mend one by one.
    pub fn mend(&self) -> usize {
        self.fill + self.lift + self.exchange
    }

    /// The measure, in halves of a bead; see the module.
    pub fn cost(&self) -> usize {
        let whole = self.fill + self.exchange + SWAP * self.swaps.len() + usize::from(self.mirrored);
        BEAD * whole + LIFT * self.lift
    }

    /// Whether the outline is nearly the one that is sought.
    pub fn is_same_cut(&self) -> bool {
        (self.fill + self.lift) as f64 <= SAME_CUT * self.of as f64
    }
}

impl Sought {
    /// What a figure shows.
    pub fn of(figure: &Figure, tray: &Tray) -> Self {
        let mut colours = Colours::default();
        let anatomy = Anatomy::of(figure);
        let cut = cut_of(figure, anatomy.zones(), &mut colours, tray);
        Self { cut, parts: anatomy.parts().clone(), colours }
    }

    /// Its rows by zone.
    pub fn rows(&self) -> &ZoneRows {
        &self.cut.rows
    }

    /// What would have to change of an older figure.
    pub fn start_from(&self, older: &Figure, tray: &Tray) -> Start {
        let anatomy = Anatomy::of(older);
        let mut colours = self.colours.clone();
        let own = cut_of(older, anatomy.zones(), &mut colours, tray);
        let rows = Zone::ALL.into_iter().filter_map(|zone| {
            let more = self.cut.rows.get(zone) as i32 - own.rows.get(zone) as i32;
            // What is worn on the head is no matter of rows.
            (more != 0 && zone != Zone::Headwear).then_some((zone, more))
        });
        let rows = rows.collect();
        let brought = own.brought_to(&self.cut.rows);
        let over = lay(&brought, &self.cut, &colours, Way::Swapping);
        self.told(&over, &brought, anatomy.parts(), rows, &colours)
    }

    /// What would have to change, in numbers alone.
    fn cost_from(&self, older: &Figure, tray: &Tray) -> usize {
        let mut colours = self.colours.clone();
        let own = cut_of(older, zones_of(older).as_ref(), &mut colours, tray);
        lay(&own.brought_to(&self.cut.rows), &self.cut, &colours, Way::Swapping).cost()
    }

    fn told(
        &self,
        over: &Over,
        own: &Cut,
        parts: &Grid<Option<BodyPart>>,
        rows: Vec<(Zone, i32)>,
        colours: &Colours,
    ) -> Start {
        let name = |colour: u16| colours.name(colour).to_owned();
        let swaps = over.swaps().iter();
        let mut swaps: Vec<Swap> =
            swaps.map(|&(old, new, beads)| Swap { old: name(old), new: name(new), beads }).collect();
        swaps.sort_by(|one, other| other.beads.cmp(&one.beads).then_with(|| one.old.cmp(&other.old)));
        let part_of = |parts: &Grid<Option<BodyPart>>, (row, column): (usize, usize)| {
            parts.get(Row(row), Column(column)).copied().flatten()
        };
        let to_fill: Vec<_> =
            over.to_fill(&self.cut).into_iter().map(|at| part_of(&self.parts, at)).collect();
        let to_lift: Vec<_> = over.to_lift(own, &self.cut).into_iter().map(|at| part_of(parts, at)).collect();
        let count = |all: &[Option<BodyPart>], part| all.iter().filter(|own| **own == Some(part)).count();
        let change = |part| PartChange { part, fill: count(&to_fill, part), lift: count(&to_lift, part) };
        let changes = BodyPart::ALL.into_iter().map(change);
        let mut parts: Vec<PartChange> = changes.filter(|part| part.fill + part.lift > 0).collect();
        parts.sort_by_key(|part| std::cmp::Reverse(part.fill + part.lift));
        Start {
            rows,
            mirrored: over.mirrored,
            swaps,
            parts,
            fill: over.fill,
            lift: over.lift,
            exchange: over.exchange,
            of: over.of,
        }
    }
}

/// The best starts among figures, the best first, as many as are wanted: which one, and what would have to change of
/// it. Of equals the first.
pub fn rank(sought: &Sought, figures: &[&Figure], tray: &Tray, most: usize) -> Vec<(usize, Start)> {
    let costs: Vec<usize> = figures.par_iter().map(|figure| sought.cost_from(figure, tray)).collect();
    let mut order: Vec<usize> = (0..figures.len()).collect();
    order.sort_by_key(|at| (costs[*at], *at));
    order.into_iter().take(most).map(|at| (at, sought.start_from(figures[at], tray))).collect()
}

/// How many beads lie otherwise in a new figure than in the older one brought to its rows, of those that lie in either.
pub fn apart(older: &Figure, new: &Figure) -> (usize, usize) {
    let tray = Tray::embedded();
    let mut colours = Colours::default();
    let own = cut_of(older, zones_of(older).as_ref(), &mut colours, &tray);
    let sought = cut_of(new, zones_of(new).as_ref(), &mut colours, &tray);
    let over = lay(&own.brought_to(&sought.rows), &sought, &colours, Way::AsTheyAre);
    (over.fill + over.lift + over.exchange, over.of)
}

/// A bead that neither tray nor reference knows the colour of.
const UNKNOWN: Lab = Lab { l: 50.0, a: 0.0, b: 0.0 };

/// A figure's own zones, else as they are guessed.
fn zones_of(figure: &Figure) -> Option<ZoneRows> {
    figure.rows().copied().or_else(|| Anatomy::of(figure).zones().copied())
}

fn cut_of(figure: &Figure, rows: Option<&ZoneRows>, colours: &mut Colours, tray: &Tray) -> Cut {
    let beads = figure.beads().map(|_, _, placed| {
        let entry = figure.entry((*placed)?.mark)?;
        let owned = tray.find(&entry.bead).map(|id| tray.bead(id).lab);
        Some(colours.of(&entry.bead, owned.or(entry.aim).unwrap_or(UNKNOWN)))
    });
    Cut::of(&beads, rows)
}

/// Colours nearer than this (CIEDE2000) may be the same thing drawn: half of what a bead may be off on paper.
const NEAR: f64 = 4.0;

fn is_near(one: Lab, other: Lab) -> bool {
    ciede2000(one, other).0 < NEAR
}
