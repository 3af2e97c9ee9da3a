//! Where an older figure's beads lie on a draft's grid.

use std::collections::{BTreeMap, BTreeSet};

use crate::draft::Draft;
use crate::figure::{Anatomy, Figure, Mark};
use crate::plan::{BodyPart, FittedRow, fitted_rows};
use crate::tray::{BeadId, Tray};
use crate::units::{Column, Row};

/// A place on the draft's grid, or beyond it.
pub(super) type Spot = (i32, i32);

/// One bead of the older figure.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct OldBead {
    pub mark: Mark,
    pub part: BodyPart,
    /// The bead, where the tray has it.
    pub bead: Option<BeadId>,
}

/// An older figure on a draft's grid, and its regions: beads of one mark in one part that touch.
pub(super) struct Laid {
    pub beads: BTreeMap<Spot, OldBead>,
    pub regions: Vec<Vec<Spot>>,
}

impl Laid {
    /// Lays a figure's rows on the draft's zones where it has some, else sole on sole; then moves it to where most of its
    /// beads lie on the drawing and its regions are of one colour. None where none lies on it.
    pub fn over(draft: &Draft, older: &Figure, anatomy: &Anatomy, tray: &Tray) -> Option<Self> {
        /// Landmarks may be found a row off; without zones two.
        const BY_ZONES: i32 = 1;
        const BY_SOLE: i32 = 2;
        let rows = draft.samples.beads().rows();
        let theirs = anatomy.zones()?;
        let (map, reach) = match &draft.zones {
            Some(zones) => (fitted_rows(theirs, zones), BY_ZONES),
            None => {
                let down = rows as i32 - theirs.total() as i32;
                let row = |from: usize| FittedRow { to: from as i32 + down, from, is_copy: false };
                ((0..theirs.total()).map(row).collect(), BY_SOLE)
            }
        };
        let placed = older.beads();
        let mut beads = BTreeMap::new();
        for row in map {
            for column in 0..placed.columns() {
                let at = (Row(row.from), Column(column));
                let found = placed.get(at.0, at.1).copied().flatten().zip(anatomy.part(at.0, at.1));
                let Some((bead, part)) = found else { continue };
                let name = older.entry(bead.mark).map(|entry| entry.bead.as_str());
                let bead = OldBead { mark: bead.mark, part, bead: name.and_then(|name| tray.find(name)) };
                beads.insert((row.to, column as i32), bead);
            }
        }
        let regions = regions_of(&beads);
        let (down, right) = best_place(draft, &regions, reach, placed.columns() as i32)?;
        let moved = |(row, column): Spot| (row + down, column + right);
        Some(Self {
            beads: beads.into_iter().map(|(spot, bead)| (moved(spot), bead)).collect(),
            regions: regions.into_iter().map(|region| region.into_iter().map(moved).collect()).collect(),
        })
    }

    /// The bead at a place of the draft's grid.
    pub fn at(&self, row: Row, column: Column) -> Option<&OldBead> {
        self.beads.get(&(row.0 as i32, column.0 as i32))
    }
}

/// Groups of places that touch, side to side or corner to corner, and of which something is the same.
pub(super) fn groups<K: PartialEq>(places: &BTreeSet<Spot>, key: impl Fn(Spot) -> K) -> Vec<Vec<Spot>> {
    let mut open = places.clone();
    let mut groups = Vec::new();
    while let Some(first) = open.pop_first() {
        let own = key(first);
        let mut group = vec![first];
        let mut next = 0;
        while let Some(&(row, column)) = group.get(next) {
            next += 1;
            let about = (-1..=1).flat_map(|down| (-1..=1).map(move |right| (row + down, column + right)));
            for spot in about {
                if open.contains(&spot) && key(spot) == own {
                    open.remove(&spot);
                    group.push(spot);
                }
            }
        }
        group.sort_unstable();
        groups.push(group);
    }
    groups
}

fn regions_of(beads: &BTreeMap<Spot, OldBead>) -> Vec<Vec<Spot>> {
    let places = beads.keys().copied().collect();
    groups(&places, |spot| beads.get(&spot).map(|bead| (bead.mark, bead.part)))
}

/// By how much the older figure is moved down and to the right.
fn best_place(draft: &Draft, regions: &[Vec<Spot>], reach: i32, columns: i32) -> Option<Spot> {
    /// A row away from where the landmarks have it must be worth so many beads.
    const ROW: i64 = 4;
    let wide = draft.samples.beads().columns() as i32;
    let colour = |(row, column): Spot| {
        let at = (Row(usize::try_from(row).ok()?), Column(usize::try_from(column).ok()?));
        let bead = draft.matched.beads().get(at.0, at.1)?.as_ref()?;
        Some(bead.bead)
    };
    let score = |(down, right): Spot| -> i64 {
        let of_region = |region: &Vec<Spot>| {
            let mut seen: BTreeMap<BeadId, i64> = BTreeMap::new();
            for (row, column) in region {
                if let Some(bead) = colour((row + down, column + right)) {
                    *seen.entry(bead).or_default() += 1;
                }
            }
            let (most, all) = (seen.values().copied().max().unwrap_or(0), seen.values().sum::<i64>());
            // On the drawing and of one colour; what lies off the drawing counts against it.
            2 * all + most - region.len() as i64
        };
        regions.iter().map(of_region).sum::<i64>() - ROW * i64::from(down.abs())
    };
    let places = (-reach..=reach).flat_map(|down| (-columns..=wide).map(move |right| (down, right)));
    let best = places.max_by_key(|place| (score(*place), -place.0.abs(), -place.1.abs()))?;
    (score(best) > 0).then_some(best)
}
