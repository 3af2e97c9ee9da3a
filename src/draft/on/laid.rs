//! Where an older figure's beads lie on a draft's grid.

use std::collections::{BTreeMap, BTreeSet};

use super::windows::Windows;
use crate::draft::Draft;
use crate::figure::{Anatomy, Figure, Mark};
use crate::grid::counts;
use crate::plan::{BodyPart, FittedRow, fitted_rows};
use crate::tray::{BeadId, Tray};
use crate::units::{Column, Row};

/// A place on the draft's grid, or beyond it.
pub(super) type Cell = (i32, i32);

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
    pub beads: BTreeMap<Cell, OldBead>,
    pub regions: Vec<Vec<Cell>>,
}

impl Laid {
    /// Lays a figure's rows on the draft's zones where it has some, else sole on sole; then moves it to where most of its
    /// beads lie on the drawing and its regions are of one colour. None where none lies on it.
    pub fn over(
        draft: &Draft,
        windows: &Windows,
        older: &Figure,
        anatomy: &Anatomy,
        tray: &Tray,
    ) -> Option<Self> {
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
        let columns = (placed.columns() as i32, draft.samples.beads().columns() as i32);
        let (down, right) = best_place(windows, &regions, reach, columns)?;
        let moved = |(row, column): Cell| (row + down, column + right);
        Some(Self {
            beads: beads.into_iter().map(|(spot, bead)| (moved(spot), bead)).collect(),
            regions: regions.into_iter().map(|region| region.into_iter().map(moved).collect()).collect(),
        })
    }

    /// The share of all beads, the older figure's and the draft's, on which both have one, of the colour that most of its
    /// region has: 0 to 1.
    pub fn agreement(&self, windows: &Windows) -> f64 {
        let of_region = |region: &Vec<Cell>| {
            let drafted = region.iter().filter_map(|spot| windows.drafted(*spot));
            counts(drafted).into_values().max().unwrap_or(0)
        };
        let beside = windows.filled().filter(|spot| !self.beads.contains_key(spot)).count();
        let all = self.beads.len() + beside;
        self.regions.iter().map(of_region).sum::<usize>() as f64 / all.max(1) as f64
    }

    /// The bead at a place of the draft's grid.
    pub fn at(&self, row: Row, column: Column) -> Option<&OldBead> {
        self.beads.get(&(row.0 as i32, column.0 as i32))
    }
}

/// Groups of places that touch, side to side or corner to corner, and of which something is the same.
pub(super) fn groups<K: PartialEq>(places: &BTreeSet<Cell>, key: impl Fn(Cell) -> K) -> Vec<Vec<Cell>> {
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

fn regions_of(beads: &BTreeMap<Cell, OldBead>) -> Vec<Vec<Cell>> {
    let places = beads.keys().copied().collect();
    groups(&places, |spot| beads.get(&spot).map(|bead| (bead.mark, bead.part)))
}

/// By how much the older figure is moved down and to the right: to where its regions, laid on the windows, are most of one
/// colour each.
fn best_place(windows: &Windows, regions: &[Vec<Cell>], reach: i32, columns: (i32, i32)) -> Option<Cell> {
    /// A row away from where the landmarks have it must be worth this many beads.
    const ROW: f64 = 2.0;
    let score = |(down, right): Cell| -> f64 {
        let of_region = |region: &Vec<Cell>| {
            let share = |colour| {
                let moved = region.iter().map(|(row, column)| (row + down, column + right));
                moved.map(|spot| windows.share(spot, Some(colour))).sum::<f64>()
            };
            (0..windows.colours()).map(share).fold(0.0, f64::max)
        };
        regions.iter().map(of_region).sum()
    };
    let (own, wide) = columns;
    let places = (-reach..=reach).flat_map(|down| (-own..=wide).map(move |right| (down, right)));
    let scored = places.map(|place| (score(place), place)).filter(|(score, _)| *score > 0.0);
    let worth = |(score, (down, _)): &(f64, Cell)| score - ROW * f64::from(down.abs());
    let nearer = |(_, (down, right)): &(f64, Cell)| (-down.abs(), -right.abs(), *right);
    scored
        .max_by(|one, other| {
            worth(one).total_cmp(&worth(other)).then_with(|| nearer(one).cmp(&nearer(other)))
        })
        .map(|(_, place)| place)
}
