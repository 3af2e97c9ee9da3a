//! Colours that others are compared with, many times: how far each is, and which are nearest.

use std::ops::Range;

use wide::f64x8 as Lanes;

use super::batch::{SLACK, differences};
use super::bound::{bounds_squared, lightness_bound};
use super::known::{Known, LANES};
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
    /// The same, some at a time.
    blocks: Vec<Known<Lanes>>,
    /// The place of each in the list.
    places: Vec<usize>,
}

impl Colours {
    /// Takes the colours in.
    pub fn new(labs: impl IntoIterator<Item = Lab>) -> Self {
        let mut all: Vec<(usize, Lab)> = labs.into_iter().enumerate().collect();
        all.sort_by(|(_, one), (_, other)| one.l.total_cmp(&other.l));
        let (places, sorted): (_, Vec<Known>) =
            all.into_iter().map(|(place, lab)| (place, Known::of(lab))).unzip();
        let blocks = sorted.chunks(LANES).map(Known::some).collect();
        Self { sorted, blocks, places }
    }

    /// CIEDE2000 from a colour to each, in their order: within 1e-9 of [`ciede2000`] and several times as quick.
    pub fn differences(&self, from: Lab) -> Vec<f64> {
        let mut ordered = vec![0.0; self.sorted.len()];
        let from = Known::of(from);
        let found = self.blocks.iter().flat_map(|block| differences(&from, block));
        self.places.iter().zip(found).for_each(|(place, difference)| ordered[*place] = difference);
        ordered
    }

    /// The `n` nearest to a colour, and all that are as near as the last of them, with their exact [`ciede2000`]; the
    /// nearest first, of equals the first in the list.
    pub fn nearest(&self, to: Lab, n: usize) -> Vec<(usize, DeltaE)> {
        let may_be = match n {
            0 => return Vec::new(),
            n if n < self.sorted.len() => self.may_be_nearest(&Known::of(to), n),
            _ => (0..self.sorted.len()).collect(),
        };
        let exact = |at: usize| (self.places[at], ciede2000(to, self.sorted[at].lab()));
        in_order(may_be.into_iter().map(exact), n)
    }

    /// As [`Colours::nearest`], by some `distance` that is made of the CIEDE2000 to each of several aims. It must not
    /// fall as one of these grows, nor grow more than it.
    pub fn nearest_by(
        &self,
        aims: &[Lab],
        distance: impl Fn(&[f64]) -> f64,
        n: usize,
    ) -> Vec<(usize, DeltaE)> {
        let apart: Vec<Vec<f64>> = aims.iter().map(|aim| self.differences(*aim)).collect();
        let mut each = vec![0.0; aims.len()];
        let mut about = |place: usize| {
            each.iter_mut().zip(&apart).for_each(|(each, apart)| *each = apart[place]);
            distance(&each)
        };
        let mut near: Vec<(f64, usize)> =
            (0..self.places.len()).map(|at| (about(self.places[at]), at)).collect();
        if n == 0 || near.is_empty() {
            return Vec::new();
        }
        let n = n.min(near.len());
        let last = nth_least(&mut near, n) + 2.0 * SLACK;
        // What is no number is kept and left to the order.
        near.retain(|(apart, _)| apart.total_cmp(&last).is_le() || apart.is_nan());
        let exact = |(_, at): (f64, usize)| {
            let lab = self.sorted[at].lab();
            let each: Vec<f64> = aims.iter().map(|aim| ciede2000(*aim, lab).0).collect();
            (self.places[at], DeltaE(distance(&each)))
        };
        in_order(near.into_iter().map(exact), n)
    }

    /// Which of the sorted colours can be among the `n` nearest, fewer than there are; all where no number tells.
    fn may_be_nearest(&self, aim: &Known, n: usize) -> Vec<usize> {
        let looked_at = self.about_as_light(aim.l, n);
        let bounds = |block: &Known<Lanes>| bounds_squared(aim, block).to_array();
        let bounds = self.blocks[looked_at.clone()].iter().flat_map(bounds);
        let mut guess: Vec<(f64, usize)> = bounds.zip(looked_at.start * LANES..self.sorted.len()).collect();
        // As many as are compared at once.
        let taken = n.next_multiple_of(LANES).min(guess.len());
        nth_least(&mut guess, taken);
        let mut near = Vec::with_capacity(2 * taken);
        self.compare(aim, guess[..taken].iter().map(|(_, at)| *at), &mut near);
        let most = nth_least(&mut near, n) + SLACK;
        // Where a colour is endless no bound tells anything.
        if !most.is_finite() {
            return (0..self.sorted.len()).collect();
        }
        let squared = most * most;
        let left = guess[taken..].iter().filter(|(bound, _)| *bound <= squared).map(|(_, at)| *at);
        let as_light = self.as_light(aim.l, most);
        let beyond = (as_light.start..looked_at.start).chain(looked_at.end..as_light.end);
        let left = left.chain(beyond.flat_map(|block| self.within(aim, block, squared)));
        self.compare(aim, left, &mut near);
        let last = nth_least(&mut near, n) + 2.0 * SLACK;
        near.into_iter().filter(|(apart, _)| *apart <= last).map(|(_, at)| at).collect()
    }

    /// Which of a block have no greater bound.
    fn within(&self, aim: &Known, block: usize, squared: f64) -> impl Iterator<Item = usize> {
        let bounds = bounds_squared(aim, &self.blocks[block]);
        let lanes = bounds.simd_le(Lanes::splat(squared)).to_bitmask();
        // The last block may have lanes that hold no colour.
        let places = block * LANES..((block + 1) * LANES).min(self.sorted.len());
        (0..).zip(places).filter(move |(lane, _)| lanes >> lane & 1 == 1).map(|(_, at)| at)
    }

    /// The blocks that a first guess is taken from: more of them cost more than the better guess saves.
    fn about_as_light(&self, l: f64, n: usize) -> Range<usize> {
        const BLOCKS: usize = 6;
        let count = BLOCKS.max(n.div_ceil(LANES) + 1).min(self.blocks.len());
        let from = self.as_light_as(l).saturating_sub(count / 2).min(self.blocks.len() - count);
        from..from + count
    }

    /// The block that holds the colours about as light.
    fn as_light_as(&self, l: f64) -> usize {
        self.sorted.partition_point(|colour| colour.l < l) / LANES
    }

    /// The blocks of colours whose lightness does not keep them farther away than `most`.
    fn as_light(&self, l: f64, most: f64) -> Range<usize> {
        let middle = self.as_light_as(l).min(self.blocks.len() - 1);
        let is_near = |at: usize| lightness_bound(l, self.sorted[at].l) <= most;
        let darker = (0..middle).rev().take_while(|block| is_near((block + 1) * LANES - 1)).count();
        let lighter = (middle + 1..self.blocks.len()).take_while(|block| is_near(block * LANES)).count();
        middle - darker..middle + 1 + lighter
    }

    /// Adds how far some of the sorted colours are.
    fn compare(&self, aim: &Known, mut sorted: impl Iterator<Item = usize>, to: &mut Vec<(f64, usize)>) {
        let (mut places, mut filled) = ([0; LANES], 0);
        loop {
            let next = sorted.next();
            if let Some(at) = next {
                places[filled] = at;
                filled += 1;
            }
            if filled == LANES || (next.is_none() && filled > 0) {
                let places = &places[..filled];
                let block = Known::some(places.iter().map(|at| &self.sorted[*at]));
                to.extend(differences(aim, &block).into_iter().zip(places.iter().copied()));
                filled = 0;
            }
            if next.is_none() {
                return;
            }
        }
    }
}

/// The `n` nearest and those as near as the last of them, the nearest first; of equals the first in the list.
fn in_order(near: impl Iterator<Item = (usize, DeltaE)>, n: usize) -> Vec<(usize, DeltaE)> {
    let mut near: Vec<(usize, DeltaE)> = near.collect();
    near.sort_by(|(one, near), (other, far)| near.0.total_cmp(&far.0).then(one.cmp(other)));
    let last = near.get(n - 1).map(|(_, apart)| *apart);
    near.retain(|(_, apart)| last.is_none_or(|last| apart.0.total_cmp(&last.0).is_le()));
    near
}

/// The `n`th least; it and the lesser ones are brought to the front.
fn nth_least(of: &mut [(f64, usize)], n: usize) -> f64 {
    of.select_nth_unstable_by(n - 1, |one, other| one.0.total_cmp(&other.0)).1.0
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    /// Colours on a coarse lattice, so that many are equal or equally far.
    fn any_lab() -> impl Strategy<Value = Lab> {
        let near = |most: f64, step: f64| (-most..=most).prop_map(move |v: f64| (v / step).round() * step);
        prop_oneof![
            (near(50.0, 10.0), near(40.0, 20.0), near(40.0, 20.0)),
            (near(50.0, 1e-9), near(120.0, 1e-9), near(120.0, 1e-9)),
        ]
        .prop_map(|(l, a, b)| Lab::new(l + 50.0, a, b))
    }

    proptest! {
        #![proptest_config(ProptestConfig::with_cases(2_000))]

        #[test]
        fn the_nearest_are_those_of_a_search_over_all(
            labs in prop::collection::vec(any_lab(), 0..400),
            to in any_lab(),
            n in 0..9_usize,
        ) {
            let mut all: Vec<(usize, DeltaE)> =
                labs.iter().map(|lab| ciede2000(to, *lab)).enumerate().collect();
            all.sort_by(|one, other| one.1.0.total_cmp(&other.1.0).then(one.0.cmp(&other.0)));
            let last = all.get(n.wrapping_sub(1)).or(all.last()).map(|(_, apart)| *apart);
            all.retain(|(_, apart)| n > 0 && last.is_some_and(|last| *apart <= last));
            prop_assert_eq!(Colours::new(labs.iter().copied()).nearest(to, n), all);
        }
    }

    proptest! {
        #![proptest_config(ProptestConfig::with_cases(500))]

        /// By the least far of one colour and another at a cost, as a drawing's colour may be another one.
        #[test]
        fn the_nearest_to_several_are_those_of_a_search_over_all(
            labs in prop::collection::vec(any_lab(), 1..60),
            aims in prop::array::uniform2(any_lab()),
            n in 1..7_usize,
        ) {
            let distance = |apart: &[f64]| apart[0].min(apart[1].hypot(3.0));
            let exact = |lab: &Lab| distance(&aims.map(|aim| ciede2000(aim, *lab).0));
            let all = in_order(labs.iter().map(|lab| DeltaE(exact(lab))).enumerate(), n);
            prop_assert_eq!(Colours::new(labs.iter().copied()).nearest_by(&aims, distance, n), all);
        }
    }
}
