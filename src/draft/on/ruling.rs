//! Where window and older figure disagree: which of them is heard.

use std::collections::{BTreeMap, BTreeSet};

use super::laid::{Laid, Spot, groups};
use crate::colour::ciede2000;
use crate::draft::Draft;
use crate::figure::EVEN;
use crate::grid::Grid;
use crate::matching::MatchedBead;
use crate::tray::{BeadId, Tray};
use crate::units::{Column, Row};

/// A region is in the picture where so much of it lies on the drawing.
const PRESENT: f64 = 0.5;

/// The older figure's bead stays where it lies no more than this farther from the colour seen than the nearest does, in
/// CIEDE2000: a maker's skin is one skin.
const STAYS: f64 = 4.0;

/// The same in wax and pencil, where paper shines through: of 8 to 20 the more the better on the pairs of
/// `fixtures/pairs`, of 30 worse.
const STAYS_IN_STROKES: f64 = 16.0;

/// A region has a colour where at least so many of its windows show it.
const MOST: f64 = 0.5;

/// The older figure's shape is heard where the drawing's outline and its own share so much of what either has. On the
/// pairs it spoilt more than it mended below, wherever the stance or what is held is another.
const SAME_OUTLINE: f64 = 0.75;

/// Under a like outline a region's colour is laid over beads less sure than this: of surer ones as many were right.
const SURER: f64 = 0.9;

/// So many beads that stand over the edge, nowhere two by two, are how a hand draws; more are a thing.
const EDGE: usize = 5;

/// The colour a region takes.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Colour {
    pub bead: BeadId,
    /// The colour of the drawing it was chosen for.
    pub seen: usize,
    /// The share of the region's windows that show it, 0 to 1.
    pub share: f64,
}

/// What is ruled of one place.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) enum Ruled {
    /// As drafted; the older figure is not heard, or says nothing.
    Drafted,
    /// Both say the same.
    Agreed,
    /// The older figure's bead, in this colour.
    Older(Colour),
    /// Nothing lies there, as in the older figure.
    Cleared,
}

/// Rules every place of the draft's grid.
pub(super) fn settle(draft: &Draft, laid: &Laid, tray: &Tray) -> Grid<Ruled> {
    let bench = Bench { draft, laid, tray };
    let is_like = bench.is_like();
    let doubted = if is_like { SURER } else { EVEN };
    let mut said: BTreeMap<Spot, Colour> = BTreeMap::new();
    for region in &laid.regions {
        if let Some(colour) = bench.colour_of(region) {
            said.extend(region.iter().map(|spot| (*spot, colour)));
        }
    }
    let beads = draft.matched.beads();
    let mut ruled = beads.map(|row, column, bead| {
        let Some(colour) = said.get(&(row.0 as i32, column.0 as i32)) else { return Ruled::Drafted };
        match bead {
            Some(bead) if bead.bead == colour.bead => Ruled::Agreed,
            Some(bead) if colour.seen == bead.colour || bead.confidence.get() < doubted => {
                Ruled::Older(*colour)
            }
            None if is_like => Ruled::Older(*colour),
            Some(_) | None => Ruled::Drafted,
        }
    });
    if is_like {
        for patch in groups(&bench.beside(), |_| ()) {
            if patch.len() <= EDGE && !is_thick(&patch) {
                patch.into_iter().for_each(|spot| ruled[place(spot)] = Ruled::Cleared);
            }
        }
    }
    ruled
}

/// A place of the grid, which it is known to lie in.
fn place((row, column): Spot) -> (Row, Column) {
    (Row(row.max(0) as usize), Column(column.max(0) as usize))
}

struct Bench<'a> {
    draft: &'a Draft,
    laid: &'a Laid,
    tray: &'a Tray,
}

impl Bench<'_> {
    fn drafted(&self, (row, column): Spot) -> Option<&MatchedBead> {
        let at = (Row(usize::try_from(row).ok()?), Column(usize::try_from(column).ok()?));
        self.draft.matched.beads().get(at.0, at.1)?.as_ref()
    }

    /// Whether the drawing has the older figure's shape, drawn by an untidy hand. Wax lies on its pegs as it was put, and a
    /// picture that was brought to a plan zone by zone has its rows from there.
    fn is_like(&self) -> bool {
        let drafted = self.draft.matched.beads().iter().filter(|(.., bead)| bead.is_some());
        let (all, beside) = (drafted.count(), self.beside().len());
        let both = all - beside;
        let either = beside + self.laid.beads.len();
        let is_free = self.draft.zones.is_none() && !self.draft.samples.is_stroked();
        is_free && both as f64 >= SAME_OUTLINE * either as f64
    }

    /// What is drafted where the older figure has nothing.
    fn beside(&self) -> BTreeSet<Spot> {
        let drafted = self.draft.matched.beads().iter().filter(|(.., bead)| bead.is_some());
        let spots = drafted.map(|(row, column, _)| (row.0 as i32, column.0 as i32));
        spots.filter(|spot| !self.laid.beads.contains_key(spot)).collect()
    }

    /// The colour of a region by the windows under it; none where it is not in the picture, or is of many colours.
    fn colour_of(&self, region: &[Spot]) -> Option<Colour> {
        let old = self.laid.beads.get(region.first()?)?;
        let seen: Vec<&MatchedBead> = region.iter().filter_map(|spot| self.drafted(*spot)).collect();
        if seen.len() as f64 <= PRESENT * region.len() as f64 {
            return None;
        }
        let mut votes: BTreeMap<usize, usize> = BTreeMap::new();
        seen.iter().for_each(|bead| *votes.entry(bead.colour).or_default() += 1);
        let (seen_as, most) =
            votes.into_iter().max_by_key(|(colour, votes)| (*votes, std::cmp::Reverse(*colour)))?;
        let share = most as f64 / seen.len() as f64;
        if share < MOST {
            return None;
        }
        let colour = &self.draft.matched.colours()[seen_as];
        let far = |bead: BeadId| ciede2000(colour.aim, self.tray.bead(bead).lab).0;
        let stays = if self.draft.samples.is_stroked() { STAYS_IN_STROKES } else { STAYS };
        let nearest = colour.chosen.bead;
        let bead = old.bead.filter(|own| far(*own) <= far(nearest) + stays).unwrap_or(nearest);
        Some(Colour { bead, seen: seen_as, share })
    }
}

/// Whether some beads have two by two among them.
fn is_thick(patch: &[Spot]) -> bool {
    patch.iter().any(|(row, column)| {
        [(1, 0), (0, 1), (1, 1)]
            .iter()
            .all(|(down, right)| patch.binary_search(&(row + down, column + right)).is_ok())
    })
}
