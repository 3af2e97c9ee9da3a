//! The colours of a crowd, and what each counts against each.

use std::collections::HashMap;

use super::{BEAD, counted};
use crate::colour::{Lab, ciede2000};
use crate::figure::{Figure, LegendEntry, Mark};
use crate::tray::Tray;

/// A colour by its place.
pub(super) type Kind = u32;

/// Up to this many colours, each pair is compared once and for all; a tray has far fewer. Of more, as drafts of many
/// trays may ask for, each two are compared when they meet.
const TABLED: usize = 1024;

/// What a bead looks like.
#[derive(Clone, Debug, PartialEq, Eq, Hash)]
enum ColourKey {
    /// A colour, by its bits.
    Colour([u64; 3]),
    /// A bead of that name, whose colour nobody knows.
    Named(String),
}

/// The colours of a crowd.
#[derive(Debug)]
pub(super) struct Kinds {
    tray: HashMap<String, Lab>,
    places: HashMap<ColourKey, Kind>,
    labs: Vec<Option<Lab>>,
    /// What each counts against each, row by row; empty where there are too many.
    table: Vec<u32>,
}

impl Kinds {
    pub fn new(tray: &Tray) -> Self {
        let tray = tray.iter().map(|(_, bead)| (bead.name.clone(), bead.lab)).collect();
        Self { tray, places: HashMap::new(), labs: Vec::new(), table: Vec::new() }
    }

    /// The kinds of a figure's marks.
    pub fn of_legend(&mut self, figure: &Figure) -> HashMap<Mark, Kind> {
        figure.legend().iter().map(|entry| (entry.mark, self.of(entry))).collect()
    }

    fn of(&mut self, entry: &LegendEntry) -> Kind {
        let lab = self.tray.get(&entry.bead).copied().or(entry.aim);
        let seen = match lab {
            Some(Lab { l, a, b }) => ColourKey::Colour([l, a, b].map(f64::to_bits)),
            None => ColourKey::Named(entry.bead.clone()),
        };
        let labs = &mut self.labs;
        *self.places.entry(seen).or_insert_with(|| {
            labs.push(lab);
            (labs.len() - 1) as Kind
        })
    }

    /// Compares each with each, where they are not too many.
    pub fn compare(&mut self) {
        let count = self.labs.len();
        if count <= TABLED {
            let mut table = vec![0; count * count];
            for one in 0..count {
                for other in 0..one {
                    let cost = self.compared(one as Kind, other as Kind);
                    (table[one * count + other], table[other * count + one]) = (cost, cost);
                }
            }
            self.table = table;
        }
    }

    /// How many kinds.
    pub fn len(&self) -> usize {
        self.labs.len()
    }

    /// Whether they are compared once and for all.
    pub fn is_tabled(&self) -> bool {
        self.labs.len() <= TABLED
    }

    /// A kind's colour, where it is known.
    pub fn lab(&self, kind: Kind) -> Option<Lab> {
        self.labs[kind as usize]
    }

    /// What a peg counts where one figure has one kind and another the other.
    pub fn cost(&self, one: Kind, other: Kind) -> u32 {
        match self.table.get(one as usize * self.labs.len() + other as usize) {
            Some(cost) => *cost,
            None => self.compared(one, other),
        }
    }

    fn compared(&self, one: Kind, other: Kind) -> u32 {
        if one == other {
            return 0;
        }
        match (self.lab(one), self.lab(other)) {
            // Told one way round always: CIEDE2000 is symmetric except for the last bit.
            (Some(a), Some(b)) if one < other => counted(ciede2000(a, b)),
            (Some(a), Some(b)) => counted(ciede2000(b, a)),
            _ => BEAD,
        }
    }
}
