//! Two figures laid over one another.

use std::collections::{BTreeMap, BTreeSet};

use super::is_near;
use crate::cast::lines::Lines;
use crate::colour::Lab;
use crate::grid::Grid;
use crate::plan::{Zone, ZoneRows, zones_for_rows};
use crate::units::{Column, Row};

/// Colours by number, so that beads are compared quickly.
#[derive(Clone, Debug, Default)]
pub(super) struct Colours(Vec<(String, Lab)>);

impl Colours {
    /// The number of a bead; beads of one name are one.
    pub(super) fn of(&mut self, name: &str, lab: Lab) -> u16 {
        let known = self.0.iter().position(|(own, _)| own == name);
        let at = known.unwrap_or_else(|| {
            self.0.push((name.into(), lab));
            self.0.len() - 1
        });
        // A figure has a few hundred kinds of beads at most.
        at as u16
    }

    pub(super) fn name(&self, colour: u16) -> &str {
        &self.0[usize::from(colour)].0
    }

    /// Which may be the same thing drawn, by both their numbers.
    fn near(&self) -> Grid<bool> {
        let alike = |one: usize, other: usize| one == other || is_near(self.0[one].1, self.0[other].1);
        Grid::from_fn(self.0.len(), self.0.len(), |one, other| alike(one.0, other.0))
    }
}

/// A figure as it is compared: rows of colours, those above the crown apart.
#[derive(Clone, Debug)]
pub(super) struct Cut {
    pub rows: ZoneRows,
    lines: Vec<Vec<Option<u16>>>,
    /// The figure's own row of each line; none of one that is added to no row of its zone.
    from: Vec<Option<usize>>,
}

impl Cut {
    /// The beads with their zones; where they have none, those of a figure of this many rows.
    pub(super) fn of(beads: &Grid<Option<u16>>, rows: Option<&ZoneRows>) -> Self {
        let rows = rows.filter(|rows| rows.total() == beads.rows()).copied();
        let line = |row: usize| (0..beads.columns()).map(|c| beads[(Row(row), Column(c))]).collect();
        Self {
            rows: rows.unwrap_or_else(|| zones_for_rows(beads.rows())),
            lines: (0..beads.rows()).map(line).collect(),
            from: (0..beads.rows()).map(Some).collect(),
        }
    }

    /// The same with this many rows in each zone below the headwear.
    pub(super) fn brought_to(&self, rows: &ZoneRows) -> Self {
        let mut from = Vec::new();
        let mut brought = [0; 6];
        let mut first = 0;
        for zone in Zone::ALL {
            let own = self.rows.get(zone).min(self.lines.len() - first);
            let wanted = if zone == Zone::Headwear { own } else { rows.get(zone) };
            let band = Lines::of(self.lines[first..first + own].to_vec());
            from.extend(band.fitted(wanted).into_iter().map(|line| line.map(|line| first + line)));
            brought[zone as usize] = wanted;
            first += own;
        }
        let line = |from: &Option<usize>| from.map_or(Vec::new(), |row| self.lines[row].clone());
        Self {
            rows: ZoneRows::new(brought).unwrap_or(self.rows),
            lines: from.iter().map(line).collect(),
            from,
        }
    }

    /// Every bead: row from the crown down, column, colour.
    fn beads(&self) -> impl Iterator<Item = (i32, i32, u16)> + '_ {
        let crown = self.rows.get(Zone::Headwear) as i32;
        (-crown..).zip(&self.lines).flat_map(|(row, line)| {
            (0..).zip(line).filter_map(move |(column, bead)| bead.map(|bead| (row, column, bead)))
        })
    }

    /// Row and column in the figure's own grid of a place counted from the crown.
    fn place(&self, row: i32, column: i32) -> Option<(usize, usize)> {
        let line = usize::try_from(row + self.rows.get(Zone::Headwear) as i32).ok()?;
        (*self.from.get(line)?).zip(usize::try_from(column).ok())
    }
}

/// Whether beads may be swapped, and the figure mirrored, before two are compared.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Way {
    /// They may.
    Swapping,
    /// They may not.
    AsTheyAre,
}

/// A figure is laid this far aside of where the middles of both meet.
const ASIDE: i32 = 3;

/// Lays an older figure over another where it costs least to change.
pub(super) fn lay(own: &Cut, sought: &Cut, colours: &Colours, way: Way) -> Over {
    let near = match way {
        Way::Swapping => colours.near(),
        Way::AsTheyAre => Grid::from_fn(colours.0.len(), colours.0.len(), |one, other| one.0 == other.0),
    };
    let there: BTreeMap<(i32, i32), u16> = sought.beads().map(|(r, c, bead)| ((r, c), bead)).collect();
    let here: Vec<(i32, i32, u16)> = own.beads().collect();
    let mean = |columns: &mut dyn Iterator<Item = i32>, beads: usize| {
        (f64::from(columns.sum::<i32>()) / beads.max(1) as f64).round() as i32
    };
    let middle = mean(&mut there.keys().map(|at| at.1), there.len());
    let mut best: Option<(usize, Over)> = None;
    let mirrored: &[bool] = if way == Way::Swapping { &[false, true] } else { &[false] };
    for &mirrored in mirrored {
        let turned: Vec<(i32, i32, u16)> =
            here.iter().map(|&(r, c, bead)| (r, if mirrored { -c } else { c }, bead)).collect();
        let at = middle - mean(&mut turned.iter().map(|bead| bead.1), turned.len());
        // The nearest first: of equals the least shift is taken.
        let shifts = (0..=ASIDE).flat_map(|aside| if aside == 0 { vec![0] } else { vec![-aside, aside] });
        for aside in shifts {
            let over = Over::of(&turned, &there, at + aside, mirrored, (&near, way));
            let cost = over.cost();
            if best.as_ref().is_none_or(|(least, _)| cost < *least) {
                best = Some((cost, over));
            }
        }
    }
    best.map(|(_, over)| over).unwrap_or_default()
}

/// An older figure over another, at one place.
#[derive(Clone, Debug, Default)]
pub(super) struct Over {
    /// Its beads as they lie over the other: row, column, colour.
    here: Vec<(i32, i32, u16)>,
    /// Old colour, new colour, beads changed.
    swaps: Vec<(u16, u16, usize)>,
    pub mirrored: bool,
    pub fill: usize,
    pub lift: usize,
    /// Beads to exchange after the swaps.
    pub exchange: usize,
    /// Beads that either has.
    pub of: usize,
}

impl Over {
    fn of(
        beads: &[(i32, i32, u16)],
        there: &BTreeMap<(i32, i32), u16>,
        aside: i32,
        mirrored: bool,
        (near, way): (&Grid<bool>, Way),
    ) -> Self {
        let here: Vec<(i32, i32, u16)> = beads.iter().map(|&(r, c, bead)| (r, c + aside, bead)).collect();
        let mut asked: BTreeMap<u16, BTreeMap<u16, usize>> = BTreeMap::new();
        for &(row, column, own) in &here {
            if let Some(&other) = there.get(&(row, column)) {
                *asked.entry(own).or_default().entry(other).or_default() += 1;
            }
        }
        let both: usize = asked.values().flat_map(BTreeMap::values).sum();
        let mut over = Self {
            mirrored,
            fill: there.len() - both,
            lift: here.len() - both,
            exchange: 0,
            swaps: Vec::new(),
            of: there.len() + here.len() - both,
            here,
        };
        for (own, asked) in &asked {
            over.settle(*own, asked, near, way);
        }
        over
    }

    /// Chooses whether a bead is swapped: for the one that, with those it may be taken for, most pegs ask for.
    fn settle(&mut self, own: u16, asked: &BTreeMap<u16, usize>, near: &Grid<bool>, way: Way) {
        let all: usize = asked.values().sum();
        let served = |bead: u16| -> usize {
            let alike = |other: u16| near[(Row(usize::from(bead)), Column(usize::from(other)))];
            asked.iter().filter(|(other, _)| alike(**other)).map(|(_, pegs)| pegs).sum()
        };
        let kept = served(own);
        // Of equals the one that most pegs ask for by itself, then the first.
        let best =
            asked.iter().max_by_key(|(bead, pegs)| (served(**bead), **pegs, std::cmp::Reverse(**bead)));
        match best {
            // It must mend more than it costs.
            Some((&bead, _)) if way == Way::Swapping && served(bead) > kept + super::SWAP => {
                self.exchange += all - served(bead);
                self.swaps.push((own, bead, all));
            }
            _ => self.exchange += all - kept,
        }
    }

    pub(super) fn cost(&self) -> usize {
        let whole = self.fill + self.exchange + super::SWAP * self.swaps.len() + usize::from(self.mirrored);
        super::BEAD * whole + super::LIFT * self.lift
    }

    pub(super) fn swaps(&self) -> &[(u16, u16, usize)] {
        &self.swaps
    }

    /// The pegs to fill, in the sought figure's own grid.
    pub(super) fn to_fill(&self, sought: &Cut) -> Vec<(usize, usize)> {
        let here: BTreeSet<(i32, i32)> = self.here.iter().map(|&(r, c, _)| (r, c)).collect();
        let missing = sought.beads().filter(|&(r, c, _)| !here.contains(&(r, c)));
        missing.filter_map(|(r, c, _)| sought.place(r, c)).collect()
    }

    /// The beads to lift, in the older figure's own grid.
    pub(super) fn to_lift(&self, own: &Cut, sought: &Cut) -> Vec<(usize, usize)> {
        let there: BTreeSet<(i32, i32)> = sought.beads().map(|(r, c, _)| (r, c)).collect();
        let surplus = self.here.iter().zip(own.beads()).filter(|((r, c, _), _)| !there.contains(&(*r, *c)));
        surplus.filter_map(|(_, (r, c, _))| own.place(r, c)).collect()
    }
}
