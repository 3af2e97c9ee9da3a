//! Beads needed against beads owned: what a few figures take, what is short, what to buy, what can be made.
//!
//! ```
//! use smallcast::count::{Batch, Spare, count};
//! use smallcast::{figure, tray::Tray};
//! let text = "format = 1\nname = \"Dot\"\n[[legend]]\nmark = \"c\"\nbead = \"coal\"\nby = \"hand\"\n\
//!             [[part]]\nname = \"body\"\nbeads = \"ccc\"\n";
//! let dot = figure::read("dot", text)?;
//! let tray = Tray::parse("mine", b"name,hex,count,pack,price\ncoal,1f2023,10,50,\"2,40 kr\"\n")?;
//! let counted = count(&[Batch { figure: &dot, times: 4 }], &tray, Spare::parse("5%")?);
//! let coal = &counted.needs[0];
//! assert_eq!((coal.used, coal.needed, coal.short()), (12, 13, 3));
//! assert_eq!(coal.to_buy().and_then(|buy| buy.cost).map(|cost| cost.to_string()), Some("2,40 kr".into()));
//! # Ok::<(), smallcast::error::Error>(())
//! ```

mod reach;
mod spare;

pub use reach::{Order, Waiting};
pub use spare::Spare;

use std::collections::{BTreeSet, HashMap};

use rayon::prelude::*;

use crate::figure::{Figure, Mark};
use crate::tray::{BeadId, Price, Tray};

/// A figure and how many of it are to be made.
#[derive(Clone, Copy, Debug)]
pub struct Batch<'a> {
    /// The figure.
    pub figure: &'a Figure,
    /// How many of it.
    pub times: u32,
}

/// How many of a bead there are.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Owned {
    /// The tray's count.
    Told(u32),
    /// The tray has the bead and no count for it.
    NotTold,
    /// The tray has no bead of that name.
    NotInTray,
}

/// What is needed of one bead.
#[derive(Clone, Debug, PartialEq)]
pub struct Need {
    /// Its name.
    pub bead: String,
    /// Its place in the tray.
    pub id: Option<BeadId>,
    /// Beads in one of each figure, in the order of the batches.
    pub each: Vec<u64>,
    /// Beads that all of them take.
    pub used: u64,
    /// The same with the spare share, rounded up.
    pub needed: u64,
    /// How many there are.
    pub owned: Owned,
    /// Beads in a pack.
    pub pack: Option<u32>,
    /// Price of a pack.
    pub price: Option<Price>,
}

/// What to buy of one bead.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct ToBuy {
    /// Packs; nothing where the tray does not say how many beads are in one.
    pub packs: Option<u64>,
    /// What they cost, where the tray has a price.
    pub cost: Option<Price>,
}

impl Need {
    /// How many are missing; 0 where there are enough, and where nobody said how many there are.
    pub fn short(&self) -> u64 {
        match self.owned {
            Owned::Told(owned) => self.needed.saturating_sub(owned.into()),
            Owned::NotTold => 0,
            Owned::NotInTray => self.needed,
        }
    }

    /// How many are owned, where the tray says so.
    pub fn owned_if_told(&self) -> Option<u32> {
        match self.owned {
            Owned::Told(owned) => Some(owned),
            Owned::NotTold | Owned::NotInTray => None,
        }
    }

    /// How many are missing, unless nobody said how many there are.
    pub fn short_if_told(&self) -> Option<u64> {
        (self.owned != Owned::NotTold).then(|| self.short())
    }

    /// What to buy; nothing where none is short.
    pub fn to_buy(&self) -> Option<ToBuy> {
        let short = Some(self.short()).filter(|short| *short > 0)?;
        let packs = self.pack.map(|pack| short.div_ceil(pack.max(1).into()));
        let cost = packs.and_then(|packs| self.price.as_ref().map(|price| price.times(packs)));
        Some(ToBuy { packs, cost })
    }
}

/// What figures take, bead by bead.
#[derive(Clone, Debug, PartialEq)]
pub struct Counted {
    /// Every bead that is used, in the tray's order; those not in the tray come last, by name.
    pub needs: Vec<Need>,
    /// How many of each figure, in the order of the batches.
    pub times: Vec<u32>,
    /// The spare share.
    pub spare: Spare,
}

/// Counts what figures take, against a tray.
pub fn count(batches: &[Batch], tray: &Tray, spare: Spare) -> Counted {
    // Of each figure, beads by name: two marks may stand for one bead.
    let counts: Vec<HashMap<&str, u64>> = batches.par_iter().map(|batch| by_name(batch.figure)).collect();
    let names: BTreeSet<&str> = counts.iter().flat_map(|of| of.keys().copied()).collect();
    // What the tray has not goes behind all that it has.
    let mut names: Vec<(bool, Option<BeadId>, &str)> =
        names.into_iter().map(|name| (tray.find(name).is_none(), tray.find(name), name)).collect();
    names.sort_unstable();
    let need = |name: &str| {
        let each: Vec<u64> = counts.iter().map(|of| of.get(name).copied().unwrap_or(0)).collect();
        let used = each.iter().zip(batches).map(|(beads, batch)| beads * u64::from(batch.times)).sum();
        let id = tray.find(name);
        let bead = id.map(|id| tray.bead(id));
        Need {
            bead: name.into(),
            id,
            each,
            used,
            needed: spare.on_top_of(used),
            owned: match bead {
                Some(bead) => bead.count.map_or(Owned::NotTold, Owned::Told),
                None => Owned::NotInTray,
            },
            pack: bead.and_then(|bead| bead.pack),
            price: bead.and_then(|bead| bead.price.clone()),
        }
    };
    let needs = names.into_par_iter().map(|(_, _, name)| need(name)).collect();
    Counted { needs, times: batches.iter().map(|batch| batch.times).collect(), spare }
}

/// The beads of a figure that show, by name.
fn by_name(figure: &Figure) -> HashMap<&str, u64> {
    let mut of_mark: HashMap<Mark, u64> = HashMap::new();
    let beads = figure.beads();
    beads.iter().filter_map(|(_, _, placed)| *placed).for_each(|placed| {
        *of_mark.entry(placed.mark).or_default() += 1;
    });
    let mut of_name = HashMap::new();
    for entry in figure.legend() {
        if let Some(beads) = of_mark.get(&entry.mark) {
            *of_name.entry(entry.bead.as_str()).or_default() += beads;
        }
    }
    of_name
}

impl Counted {
    /// Beads of one figure.
    pub fn beads_of(&self, figure: usize) -> u64 {
        self.needs.iter().map(|need| need.each.get(figure).copied().unwrap_or(0)).sum()
    }

    /// Beads of all figures.
    pub fn used(&self) -> u64 {
        self.needs.iter().map(|need| need.used).sum()
    }

    /// Beads of all figures with the spare share of each bead.
    pub fn needed(&self) -> u64 {
        self.needs.iter().map(|need| need.needed).sum()
    }

    /// What everything to buy costs, one sum a currency, and how many short beads have no cost.
    pub fn costs(&self) -> (Vec<Price>, usize) {
        let mut sums: Vec<Price> = Vec::new();
        let mut unknown = 0;
        for cost in self.needs.iter().filter_map(Need::to_buy).map(|buy| buy.cost) {
            let Some(cost) = cost else {
                unknown += 1;
                continue;
            };
            match sums.iter_mut().find_map(|sum| sum.plus(&cost).map(|total| (sum, total))) {
                Some((sum, total)) => *sum = total,
                None => sums.push(cost),
            }
        }
        (sums, unknown)
    }

    /// Whether the tray says how many there are of any bead in use.
    pub fn is_owned_told(&self) -> bool {
        self.needs.iter().any(|need| matches!(need.owned, Owned::Told(_)))
    }
}
