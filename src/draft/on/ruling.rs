//! What lies at each place, by the drawing's windows and by the older figure.
//!
//! Of each of its regions the older figure says: here is one colour of the drawing; of every peg beside them: here is
//! nothing. Which colour, the windows under the region say. How much the older figure is believed at a place follows from
//! how much of the windows about it shows what it says: as logarithms of odds, beside those of the place's own window.
//! So a clear window is never outvoted, and where a hat is another hat the older one is not heard.

use std::cmp::Reverse;
use std::collections::{BTreeMap, BTreeSet};

use super::laid::{Cell, Laid};
use super::materials::Materials;
use super::windows::{Shown, Windows};
use crate::colour::ciede2000;
use crate::draft::Draft;
use crate::figure::Mark;
use crate::grid::Grid;
use crate::sample::Cluster;
use crate::tray::{BeadId, Tray};

/// The older figure's bead stays where it lies no more than this farther from the colour seen than the nearest does, in
/// CIEDE2000: a maker's skin is one skin.
const STAYS: f64 = 5.0;

/// How much older figure and windows are believed. Chosen on six pairs of `fixtures/pairs` in six manners; the other six
/// gain as much.
struct Trust {
    /// How much the older figure's odds count beside the window's.
    say: f64,
    /// How many beads about a place are asked how far the older figure is right there.
    about: i32,
    /// How much of what a window should show may lie in those beside it: parts off their place.
    adrift: f64,
}

impl Trust {
    /// Windows of a lattice that the drawing shows lie where its maker meant the beads.
    const SHOWN: Self = Self { say: 1.0, about: 2, adrift: 0.0 };
    /// Other windows lie where they were guessed.
    const GUESSED: Self = Self { say: 3.0, about: 4, adrift: 0.6 };

    fn of(draft: &Draft) -> Self {
        let lattice = draft.samples.lattice();
        if lattice.is_shown() && !draft.samples.is_on_plan() { Self::SHOWN } else { Self::GUESSED }
    }
}

/// The colour a place takes.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Colour {
    pub bead: BeadId,
    /// The colour it was chosen for: one of the drawing's, then one of those that were found again.
    pub seen: usize,
    /// How much of its windows shows it, 0 to 1.
    pub share: f64,
}

/// What is ruled of one place.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) enum Ruled {
    /// As drafted; the older figure is not heard, or says nothing.
    Drafted,
    /// Both say the same.
    Agreed,
    /// A bead that the older figure decided, by its place or its colour.
    Older(Colour),
    /// Nothing lies there, as in the older figure.
    Cleared,
}

/// Every place of the draft's grid, and colours that were found again.
pub(super) struct Ruling {
    pub places: Grid<Ruled>,
    pub found: Vec<Cluster>,
}

/// Rules every place of the draft's grid.
pub(super) fn settle(draft: &Draft, windows: &Windows, laid: &Laid, tray: &Tray) -> Ruling {
    let bench = Bench { draft, windows, laid, tray, trust: Trust::of(draft) };
    let said = bench.said();
    let shown = bench.shown(&said);
    let beads = bench.beads(&shown, &said);
    let spots: BTreeSet<Cell> = beads.keys().copied().collect();
    let materials = Materials::of(draft, laid, &spots, tray);
    let own = draft.samples.clusters().len();
    let places = draft.matched.beads().map(|row, column, drafted| {
        let spot = (row.0 as i32, column.0 as i32);
        let Some((seen, bead)) = beads.get(&spot).copied() else {
            return if drafted.is_some() { Ruled::Cleared } else { Ruled::Drafted };
        };
        let found = materials.at(spot).map(|(at, bead)| (own + at, bead));
        let (seen, bead) = found.unwrap_or((seen, bead));
        let is_theirs = laid.at(row, column).is_some_and(|old| old.bead == Some(bead));
        match drafted {
            Some(drafted) if drafted.bead == bead && is_theirs => Ruled::Agreed,
            Some(drafted) if drafted.bead == bead => Ruled::Drafted,
            _ => Ruled::Older(Colour { bead, seen, share: windows.share_about(spot, shown[&spot]) }),
        }
    });
    Ruling { places, found: materials.into_colours() }
}

struct Bench<'a> {
    draft: &'a Draft,
    windows: &'a Windows,
    laid: &'a Laid,
    tray: &'a Tray,
    trust: Trust,
}

impl Bench<'_> {
    /// The colour of the drawing that each region of the older figure has.
    fn said(&self) -> BTreeMap<Cell, usize> {
        /// What other regions of its mark show counts as this many windows of a region; what its bead looks like as this many
        /// of the mark's: a spot of one bead, seen blurred, has the colour of its like.
        const OF_ITS_LIKE: f64 = 4.0;
        let mut of_mark: BTreeMap<Mark, Vec<&Vec<Cell>>> = BTreeMap::new();
        for region in &self.laid.regions {
            of_mark.entry(self.laid.beads[&region[0]].mark).or_default().push(region);
        }
        let mut said = BTreeMap::new();
        for regions in of_mark.values() {
            let looks = self.looks_like(self.laid.beads[&regions[0][0]].bead);
            let spots = regions.iter().map(|region| region.len()).sum::<usize>() as f64;
            let seen = |region: &[Cell], colour| {
                region.iter().map(|spot| self.windows.share(*spot, Some(colour))).sum::<f64>()
            };
            let of_like: Vec<f64> = (0..looks.len())
                .map(|colour| {
                    let all: f64 = regions.iter().map(|region| seen(region, colour)).sum();
                    (all + OF_ITS_LIKE * looks[colour]) / (spots + OF_ITS_LIKE)
                })
                .collect();
            for region in regions {
                let worth = |colour: &usize| seen(region, *colour) + OF_ITS_LIKE * of_like[*colour];
                let best = (0..looks.len()).rev().max_by(|a, b| worth(a).total_cmp(&worth(b)));
                best.into_iter().for_each(|best| said.extend(region.iter().map(|spot| (*spot, best))));
            }
        }
        said
    }

    /// How likely each colour of the drawing stands for a bead by its looks alone; adds up to 1, or to 0 where nothing is
    /// known of the bead.
    fn looks_like(&self, bead: Option<BeadId>) -> Vec<f64> {
        /// How far drawn colours stray from a bead's at the most, wax and shade included: a standard deviation, in
        /// CIEDE2000.
        const STRAY: f64 = 8.0;
        let colours = self.draft.matched.colours();
        let Some(bead) = bead else { return vec![0.0; colours.len()] };
        let likely = |aim| (-(ciede2000(aim, self.tray.bead(bead).lab).0 / STRAY).powi(2) / 2.0).exp();
        let likely: Vec<f64> = colours.iter().map(|colour| likely(colour.aim)).collect();
        let sum = likely.iter().sum::<f64>().max(f64::MIN_POSITIVE);
        likely.into_iter().map(|l| l / sum).collect()
    }

    /// What lies at each place where something does.
    fn shown(&self, said: &BTreeMap<Cell, usize>) -> BTreeMap<Cell, Shown> {
        /// What no window shows may be there all the same, so likely.
        const UNSEEN: f64 = 0.03;
        let beside: BTreeSet<Cell> = self.laid.beads.keys().copied().flat_map(about).collect();
        let heard: BTreeMap<Cell, (Shown, f64)> = beside
            .into_iter()
            .map(|spot| {
                let shown = said.get(&spot).copied();
                (spot, (shown, self.windows.share(spot, shown)))
            })
            .collect();
        let grid = self.draft.samples.beads();
        let spots = grid.iter().map(|(row, column, _)| (row.0 as i32, column.0 as i32));
        let ruled = spots.map(|spot| {
            let drafted = self.windows.drafted(spot);
            let Some((says, _)) = heard.get(&spot).filter(|(says, _)| *says != drafted) else {
                return (spot, drafted);
            };
            let adrift = self.trust.adrift;
            let likely = |shown| {
                let own = (1.0 - adrift) * self.windows.share(spot, shown);
                (own + adrift * self.windows.share_about(spot, shown) + UNSEEN).ln()
            };
            let odds = self.odds(spot, &heard);
            let is_older = odds > 0.0 && likely(*says) + odds > likely(drafted);
            (spot, if is_older { *says } else { drafted })
        });
        ruled.filter(|(_, shown)| shown.is_some()).collect()
    }

    /// How far the older figure is believed at a place, as a logarithm of odds: by how much of the windows about it shows
    /// what it says there. What it says of another kind counts half.
    fn odds(&self, (row, column): Cell, heard: &BTreeMap<Cell, (Shown, f64)>) -> f64 {
        /// Before anything is seen the older figure is as likely right as wrong; that counts as this many windows.
        const BEFORE: f64 = 2.0;
        /// Nothing is surer than this.
        const MOST: f64 = 0.98;
        let reach = self.trust.about;
        let says = heard.get(&(row, column)).and_then(|(says, _)| *says);
        let (mut right, mut all) = (BEFORE / 2.0, BEFORE);
        for down in -reach..=reach {
            for right_of in (-reach..=reach).filter(|right_of| (down, *right_of) != (0, 0)) {
                if let Some((other, share)) = heard.get(&(row + down, column + right_of)) {
                    let weight = if *other == says { 1.0 } else { 0.5 };
                    right += weight * share;
                    all += weight;
                }
            }
        }
        let likely = (right / all).clamp(1.0 - MOST, MOST);
        self.trust.say * (likely / (1.0 - likely)).ln()
    }

    /// The bead of each place, with the colour it shows. A colour whose places are mostly of one bead in the older
    /// figure has that bead where the older figure has nothing, too.
    fn beads(
        &self,
        shown: &BTreeMap<Cell, Shown>,
        said: &BTreeMap<Cell, usize>,
    ) -> BTreeMap<Cell, (usize, BeadId)> {
        let mut of_colour: BTreeMap<usize, (usize, BTreeMap<BeadId, usize>)> = BTreeMap::new();
        let own = |spot: &Cell, colour: usize| {
            let bead = self.laid.beads.get(spot).filter(|_| said.get(spot) == Some(&colour))?.bead?;
            self.stays(colour, bead).then_some(bead)
        };
        let places = || shown.iter().filter_map(|(spot, shown)| Some((spot, (*shown)?)));
        for (spot, colour) in places() {
            let (all, beads) = of_colour.entry(colour).or_default();
            *all += 1;
            own(spot, colour).into_iter().for_each(|bead| *beads.entry(bead).or_default() += 1);
        }
        let main = |colour: usize| {
            let (all, beads) = &of_colour[&colour];
            let most = beads.iter().max_by_key(|(bead, count)| (**count, Reverse(**bead)));
            let theirs = most.filter(|(_, count)| 2 * **count >= *all).map(|(bead, _)| *bead);
            theirs.unwrap_or(self.draft.matched.colours()[colour].chosen.bead)
        };
        let bead = |spot, colour| own(spot, colour).unwrap_or_else(|| main(colour));
        places().map(|(spot, colour)| (*spot, (colour, bead(spot, colour)))).collect()
    }

    /// Whether the older figure's bead may stay for a colour.
    fn stays(&self, colour: usize, bead: BeadId) -> bool {
        let colour = &self.draft.matched.colours()[colour];
        let far = |bead: BeadId| ciede2000(colour.aim, self.tray.bead(bead).lab).0;
        far(bead) <= far(colour.chosen.bead) + STAYS
    }
}

/// A place and the eight about it.
fn about((row, column): Cell) -> impl Iterator<Item = Cell> {
    (-1..=1).flat_map(move |down| (-1..=1).map(move |right| (row + down, column + right)))
}
