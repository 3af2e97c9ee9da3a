//! Which figures can be made from what is owned, and in which order the stock reaches furthest: as many figures
//! as can be.
//!
//! Up to [`MOST_WAYS`] ways to choose are all looked through (branch and bound, so far fewer are seen): the answer
//! is exact, and of equal choices it is the one that keeps the figures named first. Beyond that the next figure is
//! always the one that takes the least share of what is left of its scarcest bead; how many figures could be made
//! at the very most is said beside it: for each bead, how many fit if the figures that take least of it are made,
//! and the least of these.
//!
//! Beads of which nobody said how many there are never run out here; beads that are not in the tray are not there.

use std::cmp::{Ordering, Reverse};
use std::collections::BinaryHeap;

use super::{Counted, Owned};

/// Ways to choose that are looked through: 20 different figures, or fewer in several copies.
const MOST_WAYS: u64 = 1 << 20;

/// In which order to make figures.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Order {
    /// The figures to make, by their place in the list, each as often as it can be made.
    pub made: Vec<usize>,
    /// The figures that cannot be made after those.
    pub waiting: Vec<Waiting>,
    /// No choice makes more figures than this.
    pub at_most: usize,
}

/// A figure that cannot be made after those that are made.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Waiting {
    /// Its place in the list.
    pub figure: usize,
    /// How many of it are left to make.
    pub times: u32,
    /// Whether one could be made if it were the first.
    pub alone: bool,
    /// What one of it lacks: beads by their place in [`Counted::needs`], and how many.
    pub lacks: Vec<(usize, u64)>,
}

impl Order {
    /// Whether no choice makes more.
    pub fn is_exact(&self) -> bool {
        self.made.len() == self.at_most
    }
}

/// What is there and what figures take of it: only beads that can run out.
struct Stock<'a> {
    counted: &'a Counted,
    /// Beads by their place in the needs, and how many may be pegged.
    scarce: Vec<(usize, u64)>,
}

impl Counted {
    /// The order in which most figures can be made.
    pub fn order(&self) -> Order {
        let can_run_out = |(at, need): (usize, &super::Need)| match need.owned {
            Owned::Told(owned) => Some((at, self.spare.leaves(owned.into()))),
            Owned::NotInTray => Some((at, 0)),
            Owned::NotTold => None,
        };
        let scarce = self.needs.iter().enumerate().filter_map(can_run_out).collect();
        let stock = Stock { counted: self, scarce };
        let ways = self.times.iter().try_fold(1_u64, |ways, times| ways.checked_mul(u64::from(*times) + 1));
        let bound = stock.bound();
        let (made, at_most) = match ways {
            Some(ways) if ways <= MOST_WAYS => {
                let made = stock.searched();
                let most = made.iter().map(|times| *times as usize).sum();
                (stock.in_order(&made), most)
            }
            _ => (stock.greedy(), bound),
        };
        let waiting = stock.waiting(&made);
        Order { made, waiting, at_most }
    }
}

impl Stock<'_> {
    /// Beads one figure takes of each scarce bead.
    fn takes(&self, figure: usize) -> impl Iterator<Item = u64> + '_ {
        self.scarce.iter().map(move |&(need, _)| self.counted.needs[need].each[figure])
    }

    fn full(&self) -> Vec<u64> {
        self.scarce.iter().map(|scarce| scarce.1).collect()
    }

    fn fits(&self, figure: usize, left: &[u64]) -> bool {
        self.takes(figure).zip(left).all(|(takes, left)| takes <= *left)
    }

    fn take(&self, figure: usize, left: &mut [u64]) {
        self.takes(figure).zip(left).for_each(|(takes, left)| *left -= takes);
    }

    /// No choice makes more than this: of each bead, how many figures fit if those that take least are made.
    fn bound(&self) -> usize {
        let fit = |at: usize, owned: u64| {
            let mut each: Vec<(u64, u64)> = (0..self.counted.times.len())
                .map(|figure| {
                    (self.counted.needs[self.scarce[at].0].each[figure], self.counted.times[figure].into())
                })
                .collect();
            each.sort_unstable();
            let mut left = owned;
            each.into_iter()
                .map(|(takes, times)| {
                    let many = left.checked_div(takes).map_or(times, |many| many.min(times));
                    left -= many * takes;
                    many
                })
                .sum::<u64>()
        };
        let all: u64 = self.counted.times.iter().map(|times| u64::from(*times)).sum();
        let least = self.scarce.iter().enumerate().map(|(at, &(_, owned))| fit(at, owned)).min();
        usize::try_from(least.unwrap_or(all).min(all)).unwrap_or(usize::MAX)
    }

    /// How often each figure is made so that most are made: every choice is looked at, or cannot be better.
    fn searched(&self) -> Vec<u32> {
        let times = &self.counted.times;
        let mut search = Search {
            stock: self,
            // Figures from each place on, all of them made.
            after: (0..=times.len()).map(|at| times[at..].iter().map(|t| u64::from(*t)).sum()).collect(),
            most: self.bound() as u64,
            best: None,
        };
        search.from(0, 0, &mut Vec::new(), &self.full());
        search.best.map_or_else(|| vec![0; times.len()], |(_, made)| made)
    }

    /// Chosen figures in the order to make them: those first that take the least share of what is owned.
    fn in_order(&self, made: &[u32]) -> Vec<usize> {
        let full = self.full();
        let mut figures: Vec<usize> = (0..made.len()).filter(|&at| made[at] > 0).collect();
        figures.sort_by(|&one, &other| smaller(self.share(one, &full), self.share(other, &full)));
        figures.into_iter().flat_map(|at| std::iter::repeat_n(at, made[at] as usize)).collect()
    }

    /// The largest share a figure takes of what is left of a bead, as a fraction.
    fn share(&self, figure: usize, left: &[u64]) -> (u64, u64) {
        let shares = self.takes(figure).zip(left).map(|(takes, left)| (takes, *left));
        shares.filter(|(takes, _)| *takes > 0).max_by(|one, other| smaller(*one, *other)).unwrap_or((0, 1))
    }

    /// Always the figure next that takes the least share of what is left of its scarcest bead; of equal ones the first.
    ///
    /// What is left only shrinks, so that a figure's share only grows: one that is best by what was known of it and is so
    /// still when it is looked at again is best of all.
    fn greedy(&self) -> Vec<usize> {
        let mut left = self.full();
        let mut times = self.counted.times.clone();
        let known = |figure: usize, left: &[u64]| Reverse(Known { share: self.share(figure, left), figure });
        let mut open: BinaryHeap<Reverse<Known>> =
            (0..times.len()).filter(|&at| times[at] > 0).map(|at| known(at, &left)).collect();
        let mut made = Vec::new();
        while let Some(Reverse(Known { figure, .. })) = open.pop() {
            if !self.fits(figure, &left) {
                continue;
            }
            let now = known(figure, &left);
            if open.peek().is_some_and(|next| *next > now) {
                open.push(now);
                continue;
            }
            self.take(figure, &mut left);
            made.push(figure);
            times[figure] -= 1;
            open.extend((times[figure] > 0).then(|| known(figure, &left)));
        }
        made
    }

    fn waiting(&self, made: &[usize]) -> Vec<Waiting> {
        let full = self.full();
        let mut left = full.clone();
        made.iter().for_each(|&figure| self.take(figure, &mut left));
        let mut times = self.counted.times.clone();
        made.iter().for_each(|&figure| times[figure] -= 1);
        let waits = (0..times.len()).filter(|&figure| times[figure] > 0).map(|figure| {
            let missing = self.takes(figure).zip(&left).map(|(takes, left)| takes.saturating_sub(*left));
            let lacks = self.scarce.iter().map(|scarce| scarce.0).zip(missing).filter(|lack| lack.1 > 0);
            Waiting { figure, times: times[figure], alone: self.fits(figure, &full), lacks: lacks.collect() }
        });
        let mut waiting: Vec<Waiting> = waits.collect();
        // The nearest to being made come first; equal ones stay in the order they were named.
        waiting.sort_by_key(|waits| waits.lacks.iter().map(|lack| lack.1).sum::<u64>());
        waiting
    }
}

/// A figure and the share it took when it was last looked at, the least first.
#[derive(Clone, Copy, Debug)]
struct Known {
    share: (u64, u64),
    figure: usize,
}

impl Ord for Known {
    fn cmp(&self, other: &Self) -> Ordering {
        smaller(self.share, other.share).then(self.figure.cmp(&other.figure))
    }
}

impl PartialOrd for Known {
    fn partial_cmp(&self, other: &Self) -> Option<Ordering> {
        Some(self.cmp(other))
    }
}

impl PartialEq for Known {
    fn eq(&self, other: &Self) -> bool {
        self.cmp(other) == Ordering::Equal
    }
}

impl Eq for Known {}

/// The search for the most figures.
struct Search<'a> {
    stock: &'a Stock<'a>,
    after: Vec<u64>,
    most: u64,
    best: Option<(u64, Vec<u32>)>,
}

impl Search<'_> {
    fn from(&mut self, figure: usize, so_far: u64, made: &mut Vec<u32>, left: &[u64]) {
        let best = self.best.as_ref().map(|best| best.0);
        if best.is_some_and(|best| best >= self.most || best >= so_far + self.after[figure]) {
            return;
        }
        let Some(&times) = self.stock.counted.times.get(figure) else {
            self.best = Some((so_far, made.clone()));
            return;
        };
        let mut stocks = vec![left.to_vec()];
        // As many as fit first, then fewer: the first choice found keeps the figures named first.
        while (stocks.len() as u64) <= u64::from(times) {
            let mut next = stocks[stocks.len() - 1].clone();
            if !self.stock.fits(figure, &next) {
                break;
            }
            self.stock.take(figure, &mut next);
            stocks.push(next);
        }
        for many in (0..stocks.len()).rev() {
            made.push(many as u32);
            self.from(figure + 1, so_far + many as u64, made, &stocks[many]);
            made.pop();
        }
    }
}

/// Which of two fractions is smaller; one with nothing below counts as all there is.
fn smaller(one: (u64, u64), other: (u64, u64)) -> Ordering {
    let (a, b) = (u128::from(one.0) * u128::from(other.1), u128::from(other.0) * u128::from(one.1));
    match (one.1, other.1) {
        (0, 0) => Ordering::Equal,
        (0, _) => Ordering::Greater,
        (_, 0) => Ordering::Less,
        _ => a.cmp(&b),
    }
}
