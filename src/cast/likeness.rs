//! How alike two figures are, and which figures of a cast are too alike to be told apart at a glance.
//!
//! **The measure.** Both figures stand sole on sole and axis on axis; the axis is the middle bead's column, and one may
//! stand [`MOST_SHIFT`] columns beside the other, or be turned round, if that makes them more alike: the same figure
//! that walks the other way is no other figure. A peg where only one of them has a bead counts 1. A peg where both have
//! one counts by the CIEDE2000 between the two: nothing up to [`HARD_TO_TELL`], all from [`AT_A_GLANCE`] on, in a
//! straight line between. The sum, over the beads of the larger figure and at most 1, is their [`Difference`]. Props
//! are beads as all others: figures in one uniform are told apart by them.
//!
//! **All pairs of a cast** that differ by no more than a bound come without comparing each with each: a sieve
//! ([`sieve`]) gives every figure a signature between whose ends no two figures can be farther apart than they differ,
//! and keeps the signatures in a tree. No pair is lost; what comes through is measured.
//!
//! ```
//! use smallcast::{cast::Crowd, figure, tray::Tray};
//! let text = |beads: &str| format!(
//!     "format = 1\nname = \"Post\"\n[[legend]]\nmark = \"c\"\nbead = \"coal\"\nby = \"hand\"\n\
//!      [[legend]]\nmark = \"w\"\nbead = \"chalk\"\nby = \"hand\"\n[[part]]\nname = \"body\"\nbeads = \"{beads}\"\n");
//! let black = figure::read("black", &text("cccc"))?;
//! let tipped = figure::read("tipped", &text("cccw"))?;
//! let crowd = Crowd::new(&[&black, &tipped], &Tray::embedded());
//! assert_eq!(crowd.difference(0, 1).share(), 0.25);
//! assert!(crowd.too_alike().is_empty());
//! # Ok::<(), smallcast::error::Error>(())
//! ```

mod kinds;
mod sieve;
mod standing;

use std::fmt;

use rayon::prelude::*;

use self::kinds::Kinds;
use self::sieve::Sieve;
use self::standing::Standing;
use crate::figure::Figure;
use crate::tray::{HARD_TO_TELL, KIN, Tray};
use crate::units::DeltaE;

/// How many columns one of two figures may be moved so that they are more alike: a prop held out moves the axis by no
/// more (by eye, no source).
pub const MOST_SHIFT: usize = 2;

/// From here on two colours are told apart at a glance, figure beside figure: twice [`KIN`], by eye, no source.
pub const AT_A_GLANCE: DeltaE = DeltaE(2.0 * KIN.0);

/// Up to here two figures are too alike to be told apart at a glance: one bead of twenty. Of the guide's 121 beads that
/// is six: the least prop that is seen as one, a lantern of two by three, is six beads, and hair or a hat are more
/// (common practice, no source).
pub const TOO_ALIKE: Difference = Difference(0.05);

/// A bead's worth in the whole numbers that differences are summed in, so that sums do not depend on their order.
const BEAD: u32 = 1000;

/// How much of two figures differs: 0 where no peg does, 1 where all do.
#[derive(Clone, Copy, Debug, PartialEq, PartialOrd)]
pub struct Difference(f64);

impl Difference {
    /// No peg differs.
    pub const NONE: Self = Self(0.0);

    /// A share, brought into 0..=1; what is no number differs entirely.
    pub fn new(share: f64) -> Self {
        if share.is_nan() { Self(1.0) } else { Self(share.clamp(0.0, 1.0)) }
    }

    /// The share, in 0..=1.
    pub fn share(self) -> f64 {
        self.0
    }

    /// The most that two figures may differ by, the larger of this many beads, in thousandths of a bead.
    fn allowed(self, beads: usize) -> u32 {
        // All that is more than all counts as all.
        if self.0 >= 1.0 {
            return u32::MAX;
        }
        (self.0 * beads as f64 * f64::from(BEAD)).floor() as u32
    }

    fn of(cost: u32, beads: usize) -> Self {
        // Two figures without beads are alike.
        Self::new(f64::from(cost) / (beads.max(1) as f64 * f64::from(BEAD)))
    }
}

impl fmt::Display for Difference {
    /// In whole percent; 0 and 100 only where nothing differs and all does.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let percent = self.0 * 100.0;
        let shown = match percent.round() {
            0.0 if percent > 0.0 => 1.0,
            100.0 if percent < 100.0 => 99.0,
            whole => whole,
        };
        write!(f, "{shown} %")
    }
}

/// Two figures and how much they differ.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Pair {
    /// One, by its place among the figures.
    pub one: usize,
    /// The other; it stands behind the first.
    pub other: usize,
    /// How much they differ.
    pub difference: Difference,
    /// Whether they are more alike with one of them turned round.
    pub turned: bool,
}

/// Figures that are to be told apart.
#[derive(Debug)]
pub struct Crowd {
    kinds: Kinds,
    standing: Vec<Standing>,
}

impl Crowd {
    /// Figures in the colours of a tray; of a bead that the tray lacks, the colour its reference asked for. A bead whose
    /// colour nobody knows is like beads of its own name only.
    pub fn new(figures: &[&Figure], tray: &Tray) -> Self {
        let mut kinds = Kinds::new(tray);
        let marks: Vec<_> = figures.iter().map(|figure| kinds.of_legend(figure)).collect();
        let both = figures.par_iter().zip(&marks);
        let standing = both.map(|(figure, marks)| Standing::new(&figure.beads(), marks)).collect();
        kinds.compare();
        Self { kinds, standing }
    }

    /// How many figures.
    pub fn len(&self) -> usize {
        self.standing.len()
    }

    /// Whether there is none.
    pub fn is_empty(&self) -> bool {
        self.standing.is_empty()
    }

    /// How much two figures differ, by their places.
    ///
    /// # Panics
    /// If there is no figure at one of the places.
    pub fn difference(&self, one: usize, other: usize) -> Difference {
        let (one, other) = (&self.standing[one], &self.standing[other]);
        Difference::of(self.least(one, other, u32::MAX).0, one.beads().max(other.beads()))
    }

    /// Every pair that is too alike to be told apart at a glance, by their places.
    pub fn too_alike(&self) -> Vec<Pair> {
        self.pairs(TOO_ALIKE)
    }

    /// Every pair that differs by no more than a bound, by their places: n log n, and what the pairs take. The same on
    /// any number of cores.
    pub fn pairs(&self, bound: Difference) -> Vec<Pair> {
        let sieve = Sieve::new(&self.standing, &self.kinds);
        let places = (0..self.standing.len()).into_par_iter();
        let mut pairs: Vec<Pair> =
            places.flat_map_iter(|larger| self.partners(&sieve, larger, bound)).collect();
        pairs.par_sort_unstable_by_key(|pair| (pair.one, pair.other));
        pairs
    }

    /// The figures no larger than one that differ from it by no more than a bound; of those as large, the earlier.
    fn partners(&self, sieve: &Sieve, larger: usize, bound: Difference) -> Vec<Pair> {
        let own = &self.standing[larger];
        let allowed = bound.allowed(own.beads());
        let is_smaller = |other: usize| (self.standing[other].beads(), other) < (own.beads(), larger);
        let candidates = sieve.within(larger, allowed).into_iter().filter(|&other| is_smaller(other));
        let pair = |other: usize| {
            let (cost, turned) = self.least(own, &self.standing[other], allowed);
            let difference = Difference::of(cost, own.beads());
            let (one, other) = (larger.min(other), larger.max(other));
            (cost <= allowed).then_some(Pair { one, other, difference, turned })
        };
        candidates.filter_map(pair).collect()
    }

    /// The least that two differ by, in thousandths of a bead, and whether with one of them turned round. What is more
    /// than `enough` need not be the least.
    fn least(&self, one: &Standing, other: &Standing, enough: u32) -> (u32, bool) {
        let straight = one.least_cost(other, &self.kinds, false, enough);
        let turned = one.least_cost(other, &self.kinds, true, enough.min(straight));
        if turned < straight { (turned, true) } else { (straight, false) }
    }
}

/// What two colours that lie this far apart count, in thousandths of a bead.
fn counted(apart: DeltaE) -> u32 {
    let share = (apart.0 - HARD_TO_TELL.0) / (AT_A_GLANCE.0 - HARD_TO_TELL.0);
    (share.clamp(0.0, 1.0) * f64::from(BEAD)).round() as u32
}
