//! Two figures laid over one another.

use std::collections::BTreeMap;

use super::is_near;
use crate::cast::lines::Lines;
use crate::colour::Lab;
use crate::grid::Grid;
use crate::plan::{BodyPart, Zone, ZoneRows, zones_for_rows};
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
    /// What is worn on the head, and all below it.
    lines: Vec<Vec<Option<u16>>>,
}

impl Cut {
    /// The beads with their zones; where they have none, those of a figure of so many rows.
    pub(super) fn of(beads: &Grid<Option<u16>>, rows: Option<&ZoneRows>) -> Self {
        let rows = rows.filter(|rows| rows.total() == beads.rows()).copied();
        let line = |row: usize| (0..beads.columns()).map(|c| beads[(Row(row), Column(c))]).collect();
        Self {
            rows: rows.unwrap_or_else(|| zones_for_rows(beads.rows())),
            lines: (0..beads.rows()).map(line).collect(),
        }
    }

    fn columns(&self) -> usize {
        self.lines.first().map_or(0, Vec::len)
    }

    /// The same with so many rows in each zone below the headwear.
    pub(super) fn brought_to(self, rows: &ZoneRows) -> Self {
        let columns = self.columns();
        let mut lines = Vec::new();
        let mut brought = [0; 6];
        let mut first = 0;
        for zone in Zone::ALL {
            let own = self.rows.get(zone);
            let mut band = Lines::of(self.lines[first..first + own].to_vec());
            first += own;
            if zone != Zone::Headwear {
                band.fit(rows.get(zone), columns);
            }
            brought[zone as usize] = band.len();
            lines.extend(band.into_pegs());
        }
        Self { rows: ZoneRows::new(brought).unwrap_or(self.rows), lines }
    }

    /// Every bead: row from the crown down, column, colour.
    fn beads(&self) -> impl Iterator<Item = (i32, i32, u16)> + '_ {
        let crown = self.rows.get(Zone::Headwear) as i32;
        (-crown..).zip(&self.lines).flat_map(|(row, line)| {
            (0..).zip(line).filter_map(move |(column, bead)| bead.map(|bead| (row, column, bead)))
        })
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

/// What differs where two figures lie best.
#[derive(Clone, Debug, Default)]
pub(super) struct Laid {
    /// Which part each peg to fill is of.
    pub fill: Vec<BodyPart>,
    /// Which part each bead to lift is of.
    pub lift: Vec<BodyPart>,
    /// Beads to exchange after the swaps.
    pub exchange: usize,
    /// Old colour, new colour, beads changed.
    pub swaps: Vec<(u16, u16, usize)>,
    pub mirrored: bool,
    /// Beads that either has.
    pub of: usize,
}

/// A figure is laid so far aside of where the middles of both meet.
const ASIDE: i32 = 3;

/// Lays an older figure over another where it costs least to change.
pub(super) fn lay(own: Cut, sought: &Cut, colours: &Colours, way: Way) -> Laid {
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
    best.map_or_else(Laid::default, |(_, over)| over.laid(sought, &own))
}

/// An older figure over another, at one place.
struct Over {
    /// Its beads as they lie over the other: row, column, colour.
    here: Vec<(i32, i32, u16)>,
    mirrored: bool,
    fill: usize,
    lift: usize,
    exchange: usize,
    swaps: Vec<(u16, u16, usize)>,
    of: usize,
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
            // A swap costs as much as a bead, and must mend more.
            Some((&bead, _)) if way == Way::Swapping && served(bead) > kept + 1 => {
                self.exchange += all - served(bead);
                self.swaps.push((own, bead, all));
            }
            _ => self.exchange += all - kept,
        }
    }

    fn cost(&self) -> usize {
        let whole = self.fill + self.exchange + self.swaps.len() + usize::from(self.mirrored);
        super::BEAD * whole + super::LIFT * self.lift
    }

    /// What differs, with the parts it lies in.
    fn laid(self, sought: &Cut, own: &Cut) -> Laid {
        let there: BTreeMap<(i32, i32), u16> = sought.beads().map(|(r, c, bead)| ((r, c), bead)).collect();
        let here: BTreeMap<(i32, i32), u16> = self.here.iter().map(|&(r, c, bead)| ((r, c), bead)).collect();
        let (theirs, ours) = (Frame::of(sought.rows, &there), Frame::of(own.rows, &here));
        let fill = there.keys().filter(|at| !here.contains_key(at)).map(|at| theirs.part(*at)).collect();
        let lift = here.keys().filter(|at| !there.contains_key(at)).map(|at| ours.part(*at)).collect();
        Laid { fill, lift, exchange: self.exchange, swaps: self.swaps, mirrored: self.mirrored, of: self.of }
    }
}

/// Where the parts of a figure lie, roughly, by the rows of its zones and the column it stands on.
struct Frame {
    rows: ZoneRows,
    /// Twice the column it stands on.
    axis: i32,
}

/// How far from the axis each part reaches, in half beads: a head of four to six beads with hair at both sides; a torso
/// of seven; an arm of two beads with a gap, held a little out; a skirt.
const HEAD: i32 = 9;
const TORSO: i32 = 7;
const ARM: i32 = 14;
const SKIRT: i32 = 11;

/// Rows from the crown on in which hair or a hat lies over the face.
const HAIR: i32 = 2;

/// Rows below the hip that hands reach to.
const HANDS: i32 = 2;

impl Frame {
    /// The axis is the middle of the head: of what its rows have there, the middle one of all.
    fn of(rows: ZoneRows, beads: &BTreeMap<(i32, i32), u16>) -> Self {
        let chin = (rows.get(Zone::Head) + rows.get(Zone::Neck)).max(1) as i32;
        let middles = |band: std::ops::Range<i32>| -> Vec<i32> {
            band.filter_map(|row| {
                let columns: Vec<i32> =
                    beads.range((row, i32::MIN)..=(row, i32::MAX)).map(|(at, _)| at.1).collect();
                // The widest run of the row: a prop beside it is narrower.
                let run = columns.chunk_by(|one, next| one + 1 == *next).max_by_key(|run| run.len())?;
                Some(run[0] + run[run.len() - 1])
            })
            .collect()
        };
        let mut all = middles(0..chin);
        all.sort_unstable();
        let axis = all.get(all.len() / 2).copied().unwrap_or(0);
        Self { rows, axis }
    }

    fn part(&self, (row, column): (i32, i32)) -> BodyPart {
        let off = 2 * column - self.axis;
        let below = |zone: Zone| -> i32 {
            let rows = Zone::ALL[1..].iter().take_while(|own| **own <= zone).map(|own| self.rows.get(*own));
            rows.sum::<usize>() as i32
        };
        let arm = if off < 0 { BodyPart::RightArm } else { BodyPart::LeftArm };
        let hip = below(Zone::Torso);
        match off.abs() {
            far if row < below(Zone::Neck) && far > HEAD => BodyPart::Props,
            _ if row < HAIR => BodyPart::Hat,
            _ if row < below(Zone::Neck) => BodyPart::Head,
            far if row < hip && far <= TORSO => BodyPart::Torso,
            far if row < hip + HANDS && far <= ARM && far > TORSO => arm,
            far if far > SKIRT => BodyPart::Props,
            _ if row < below(Zone::Legs) => BodyPart::Legs,
            _ => BodyPart::Feet,
        }
    }
}
