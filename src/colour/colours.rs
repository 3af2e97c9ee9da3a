//! Colours that others are compared with, many times: how far each is, and which are nearest.

use std::ops::Range;

use super::batch::{SLACK, differences};
use super::bound::lightness_bound;
use super::known::Known;
use super::{Lab, ciede2000};
use crate::units::DeltaE;

/// Colours to compare others with, by their places in the list they were given in.
///
/// ```
/// use smallcast::colour::{Colours, Lab, ciede2000};
/// let greys: Vec<Lab> = (0..=10).map(|tenth| Lab::new(f64::from(tenth) * 10.0, 0.0, 0.0)).collect();
/// let near = Colours::new(greys.iter().copied()).nearest(Lab::new(42.0, 3.0, 1.0), 2);
/// assert_eq!(near.iter().map(|(place, _)| *place).collect::<Vec<_>>(), [4, 5]);
/// assert_eq!(near[0].1, ciede2000(Lab::new(42.0, 3.0, 1.0), greys[4]));
/// ```
#[derive(Clone, Debug, PartialEq)]
pub struct Colours {
    /// The darkest first.
    sorted: Vec<Known>,
    /// The place of each of these.
    places: Vec<usize>,
}

impl Colours {
    /// Takes the colours in.
    pub fn new(labs: impl IntoIterator<Item = Lab>) -> Self {
        let mut all: Vec<(usize, Lab)> = labs.into_iter().enumerate().collect();
        all.sort_by(|(_, one), (_, other)| one.l.total_cmp(&other.l));
        let (places, sorted) = all.into_iter().map(|(place, lab)| (place, Known::of(lab))).unzip();
        Self { sorted, places }
    }

    /// CIEDE2000 from a colour to each, in their order: within 1e-9 of [`ciede2000`] and several times as quick.
    pub fn differences(&self, from: Lab) -> Vec<f64> {
        let mut ordered = vec![0.0; self.sorted.len()];
        let found = differences(from, self.sorted.iter());
        self.places.iter().zip(found).for_each(|(place, difference)| ordered[*place] = difference);
        ordered
    }

    /// The `n` nearest to a colour, and all that are as near as the last of them, with their exact [`ciede2000`]; the
    /// nearest first, of equals the first in the list.
    pub fn nearest(&self, to: Lab, n: usize) -> Vec<(usize, DeltaE)> {
        let may_be = match n {
            0 => return Vec::new(),
            n if n < self.sorted.len() => self.may_be_nearest(to, n),
            _ => (0..self.sorted.len()).collect(),
        };
        let exact = |at: usize| (self.places[at], ciede2000(to, self.sorted[at].lab));
        let mut near: Vec<(usize, DeltaE)> = may_be.into_iter().map(exact).collect();
        near.sort_by(|(one, near), (other, far)| near.0.total_cmp(&far.0).then(one.cmp(other)));
        let last = near.get(n - 1).map(|(_, apart)| *apart);
        near.retain(|(_, apart)| last.is_none_or(|last| apart.0.total_cmp(&last.0).is_le()));
        near
    }

    /// Which of the sorted colours can be among the `n` nearest, fewer than there are; all where no number tells.
    fn may_be_nearest(&self, to: Lab, n: usize) -> Vec<usize> {
        let aim = Known::of(to);
        let most = self.first_guess(&aim, n) + SLACK;
        if !most.is_finite() {
            return (0..self.sorted.len()).collect();
        }
        let mut left = Vec::new();
        let lightnesses = self.as_light(to.l, most);
        self.bounds(&aim, lightnesses, |at, bound| {
            if bound <= most {
                left.push(at);
            }
        });
        let apart = self.apart(to, &left);
        let last = nth_least(apart.clone(), n) + 2.0 * SLACK;
        let mut apart = apart.into_iter();
        left.retain(|_| apart.next().is_some_and(|apart| apart <= last));
        left
    }

    /// How far the `n` nearest are at most: those do that seem nearest of some about as light.
    fn first_guess(&self, aim: &Known, n: usize) -> f64 {
        /// Looking at more costs more than the better guess saves.
        const LOOKED_AT: usize = 24;
        let count = LOOKED_AT.max(n).min(self.sorted.len());
        let middle = self.sorted.partition_point(|colour| colour.lab.l < aim.lab.l);
        let from = middle.saturating_sub(count / 2).min(self.sorted.len() - count);
        let mut guess = Vec::with_capacity(count);
        self.bounds(aim, from..from + count, |at, bound| guess.push((bound, at)));
        guess.select_nth_unstable_by(n - 1, |one, other| one.0.total_cmp(&other.0));
        let guess: Vec<usize> = guess[..n].iter().map(|(_, at)| *at).collect();
        nth_least(self.apart(aim.lab, &guess), n)
    }

    /// The sorted colours whose lightness does not keep them farther away than `most`.
    fn as_light(&self, l: f64, most: f64) -> Range<usize> {
        let middle = self.sorted.partition_point(|colour| colour.lab.l < l);
        let (darker, lighter) = self.sorted.split_at(middle);
        let is_far = |colour: &Known| lightness_bound(l, colour.lab.l) > most;
        darker.partition_point(is_far)..middle + lighter.partition_point(|colour| !is_far(colour))
    }

    fn bounds(&self, aim: &Known, range: Range<usize>, mut each: impl FnMut(usize, f64)) {
        for chunk in range.clone().step_by(CHUNK) {
            let some = &self.sorted[chunk..(chunk + CHUNK).min(range.end)];
            let mut bounds = [0.0; CHUNK];
            bounds.iter_mut().zip(some).for_each(|(bound, colour)| *bound = aim.bound(colour));
            (chunk..).zip(&bounds[..some.len()]).for_each(|(at, bound)| each(at, *bound));
        }
    }

    fn apart(&self, to: Lab, places: &[usize]) -> Vec<f64> {
        differences(to, places.iter().map(|at| &self.sorted[*at]))
    }
}

/// Bounds reckoned at once.
const CHUNK: usize = 8;

fn nth_least(mut of: Vec<f64>, n: usize) -> f64 {
    *of.select_nth_unstable_by(n - 1, f64::total_cmp).1
}
