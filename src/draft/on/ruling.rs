//! Where window and older figure disagree: which of them is heard.

use std::collections::{BTreeMap, BTreeSet};

use super::laid::{Laid, OldBead, Spot, groups};
use crate::colour::ciede2000;
use crate::draft::Draft;
use crate::figure::EVEN;
use crate::grid::Grid;
use crate::matching::MatchedBead;
use crate::plan::BodyPart;
use crate::tray::{BeadId, Tray};
use crate::units::{Column, Row};

/// A region is in the picture where so much of it lies on the drawing.
const PRESENT: f64 = 0.5;

/// The older figure's bead stays where it lies no more than this farther from the colour seen than the nearest does, in
/// CIEDE2000: a maker's skin is one skin. In wax and pencil a colour is seen less exactly.
const STAYS: f64 = 4.0;
const STAYS_IN_STROKES: f64 = 8.0;

/// Two colours seen at least so far apart are two materials in the picture; in wax and pencil farther.
const TWO: f64 = 8.0;
const TWO_IN_STROKES: f64 = 14.0;

/// A mark of so few beads, such as an eye, a button or a cuff, may be too small for the picture to show.
const SMALL: usize = 3;

/// A row of so few, such as a belt, too.
const BAND: usize = 8;

/// So many beads that touch are a thing, where they are thick somewhere (two by two) or go on in a line.
const THING: usize = 4;

/// The colour a region takes.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Colour {
    pub bead: BeadId,
    /// The colour of the drawing it was chosen for; none where the picture says nothing of it.
    pub seen: Option<usize>,
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

/// Whether a bead is likelier wrong than right: only there is the older figure heard against it. Of the beads that it
/// decided against any window, fewer than half were right (`fixtures/pairs`).
fn is_doubted(bead: &MatchedBead) -> bool {
    bead.confidence.get() < EVEN
}

/// Rules every place of the draft's grid.
pub(super) fn settle(draft: &Draft, laid: &Laid, tray: &Tray) -> Grid<Ruled> {
    let bench = Bench { draft, laid, tray };
    let colours: Vec<Option<Colour>> = laid.regions.iter().map(|region| bench.colour_of(region)).collect();
    let mut said: BTreeMap<Spot, Colour> = BTreeMap::new();
    for (region, colour) in laid.regions.iter().zip(&colours) {
        colour.iter().for_each(|colour| said.extend(region.iter().map(|spot| (*spot, *colour))));
    }
    let beads = draft.matched.beads();
    let mut ruled = beads.map(|_, _, _| Ruled::Drafted);
    let (mut open, mut extra) = (BTreeSet::new(), BTreeSet::new());
    for (row, column, bead) in beads.iter() {
        let spot = (row.0 as i32, column.0 as i32);
        match (said.get(&spot), bead) {
            (Some(colour), Some(bead)) if colour.bead == bead.bead => ruled[(row, column)] = Ruled::Agreed,
            (Some(_), bead) if bead.as_ref().is_none_or(is_doubted) => {
                open.insert(spot);
            }
            (None, Some(bead)) if laid.at(row, column).is_none() && is_doubted(bead) => {
                extra.insert(spot);
            }
            (Some(_) | None, _) => {}
        }
    }
    for patch in groups(&open, |spot| bench.drafted(spot).map(|bead| bead.bead)) {
        if !bench.is_another_thing(&patch, &said) {
            for spot in patch {
                ruled[place(spot)] = Ruled::Older(said[&spot]);
            }
        }
    }
    for patch in groups(&extra, |_| ()) {
        if !bench.stands_off(&patch) {
            patch.into_iter().for_each(|spot| ruled[place(spot)] = Ruled::Cleared);
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

    fn in_strokes(&self, plain: f64, strokes: f64) -> f64 {
        if self.draft.samples.is_stroked() { strokes } else { plain }
    }

    /// The colour of a region by the windows under it; none where it is not in the picture.
    fn colour_of(&self, region: &[Spot]) -> Option<Colour> {
        let old = self.laid.beads.get(region.first()?)?;
        let seen: Vec<&MatchedBead> = region.iter().filter_map(|spot| self.drafted(*spot)).collect();
        if seen.len() as f64 <= PRESENT * region.len() as f64 {
            return None;
        }
        let mut votes: BTreeMap<BeadId, usize> = BTreeMap::new();
        seen.iter().for_each(|bead| *votes.entry(bead.bead).or_default() += 1);
        let (bead, most) = votes.iter().max_by_key(|(bead, votes)| (**votes, std::cmp::Reverse(**bead)))?;
        let share = *most as f64 / seen.len() as f64;
        if let Some(own) = self.small_mark(region, old, *bead) {
            return Some(Colour { bead: own, seen: None, share });
        }
        let mut clusters: BTreeMap<usize, usize> = BTreeMap::new();
        let of_bead = seen.iter().filter(|own| own.bead == *bead);
        of_bead.for_each(|own| *clusters.entry(own.colour).or_default() += 1);
        let cluster = *clusters.iter().max_by_key(|(c, votes)| (**votes, std::cmp::Reverse(**c)))?.0;
        let far =
            |bead: BeadId| ciede2000(self.draft.matched.colours()[cluster].aim, self.tray.bead(bead).lab).0;
        let limit = far(*bead) + self.in_strokes(STAYS, STAYS_IN_STROKES);
        let bead = old.bead.filter(|own| far(*own) <= limit).unwrap_or(*bead);
        Some(Colour { bead, seen: Some(cluster), share })
    }

    /// The bead of a small mark or a band that the picture does not show: its windows are as what lies about it.
    fn small_mark(&self, region: &[Spot], old: &OldBead, seen: BeadId) -> Option<BeadId> {
        let rows: BTreeSet<i32> = region.iter().map(|spot| spot.0).collect();
        let is_small = region.len() <= SMALL || (rows.len() == 1 && region.len() <= BAND);
        let own = old.bead.filter(|own| is_small && *own != seen && old.part != BodyPart::Props)?;
        let is_near =
            |spot: &Spot| region.iter().any(|own| (own.0 - spot.0).abs() <= 1 && (own.1 - spot.1).abs() <= 1);
        let about: Vec<&Spot> =
            self.laid.beads.keys().filter(|spot| is_near(spot) && !region.contains(spot)).collect();
        let like = about.iter().filter(|spot| self.drafted(***spot).is_some_and(|bead| bead.bead == seen));
        // The picture shows there what it shows about it: it does not contradict.
        (2 * like.count() >= about.len()).then_some(own)
    }

    /// Whether the picture clearly has something else where the older figure has beads: nothing, or another material.
    fn is_another_thing(&self, patch: &[Spot], said: &BTreeMap<Spot, Colour>) -> bool {
        let Some(bead) = self.drafted(patch[0]) else {
            return patch.len() > THING && is_thick(patch);
        };
        let colours = self.draft.matched.colours();
        let aim = |spot: &Spot| {
            let colour = said.get(spot)?;
            Some(colour.seen.map_or(self.tray.bead(colour.bead).lab, |seen| colours[seen].aim))
        };
        let apart = |spot: &Spot| aim(spot).map_or(0.0, |aim| ciede2000(colours[bead.colour].aim, aim).0);
        let far = patch.iter().filter(|spot| apart(spot) >= self.in_strokes(TWO, TWO_IN_STROKES)).count();
        2 * far > patch.len() && patch.len() >= THING && (is_thick(patch) || is_line(patch))
    }

    /// Whether what is drafted beside the older figure is a thing of its own and no wider hand: thick, or a line that
    /// does not run along the figure.
    fn stands_off(&self, patch: &[Spot]) -> bool {
        let beside = |(row, column): Spot| {
            [(row - 1, column), (row, column - 1), (row, column + 1), (row + 1, column)]
        };
        let along =
            patch.iter().filter(|spot| beside(**spot).iter().any(|near| self.laid.beads.contains_key(near)));
        let hugs = 2 * along.count() > patch.len();
        patch.len() >= THING && (is_thick(patch) || !hugs)
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

/// Whether they are one straight line.
fn is_line(patch: &[Spot]) -> bool {
    patch.iter().all(|spot| spot.0 == patch[0].0) || patch.iter().all(|spot| spot.1 == patch[0].1)
}
