//! Which figures of a crowd can be alike at all, without comparing each with each.
//!
//! **Signatures.** A view gives every kind of bead a weight from 0 to [`BEAD`], such that the weights of two kinds lie
//! no farther apart than the two count on a peg; an empty peg weighs nothing. A signature is the sum of the weights in
//! each row from the sole up, in every view. On one peg two weights differ by no more than the peg counts; so in one
//! view the rows' sums together differ by no more than the figures do, wherever they are moved along their rows and
//! however they are turned round, and the greatest such distance of all views is no more either. No pair is lost.
//!
//! The first view weighs all kinds alike: it sees the outline. Each other one parts the kinds in two; a kind weighs what
//! it is away from the nearest one beyond, by the shortest way over other kinds: so that the weights of any two
//! lie no farther apart than they count.
//!
//! **The tree.** That distance is a metric: figures farther from a third one than the radius says, by the triangle
//! inequality, are left out by the half (P. N. Yianilos, "Data structures and algorithms for nearest neighbor search in
//! general metric spaces", SODA 1993). It is laid out in one list: a vantage figure, the nearer half, the farther half.

use rayon::prelude::*;

use super::BEAD;
use super::kinds::{Kind, Kinds};
use super::standing::Standing;
use crate::colour::Lab;

/// Rows from the sole up that have a sum of their own; higher ones share the last.
const ROWS: usize = 32;

/// Ways to look at colours.
const VIEWS: usize = 8;

/// So few figures are compared one by one.
const LEAF: usize = 8;

type Signature = [[i32; ROWS]; VIEWS];

/// How near and how far the figures of a branch lie from its vantage figure.
#[derive(Clone, Copy, Debug, Default)]
struct Span {
    nearest: u32,
    farthest: u32,
}

impl Span {
    fn of(sorted: &[(u32, u32)]) -> Self {
        let distance = |at: Option<&(u32, u32)>| at.map_or(0, |at| at.0);
        Self { nearest: distance(sorted.first()), farthest: distance(sorted.last()) }
    }

    /// Whether a figure of the branch can lie within a radius of one that lies `distance` from the vantage figure.
    fn reaches(self, distance: u32, radius: u32) -> bool {
        distance <= self.farthest.saturating_add(radius) && self.nearest <= distance.saturating_add(radius)
    }
}

/// The tree.
#[derive(Debug)]
pub(super) struct Sieve {
    signatures: Vec<Signature>,
    /// Figures: of every branch the vantage figure, then the nearer, then the farther half.
    order: Vec<u32>,
    /// Of the branch that begins at a place, its two halves.
    spans: Vec<[Span; 2]>,
}

impl Sieve {
    pub fn new(standing: &[Standing], kinds: &Kinds) -> Self {
        let views = views(standing, kinds);
        let signatures: Vec<Signature> = standing.par_iter().map(|one| signature(one, &views)).collect();
        let mut order: Vec<(u32, u32)> = (0..standing.len() as u32).map(|figure| (0, figure)).collect();
        let mut spans = vec![[Span::default(); 2]; standing.len()];
        grow(&signatures, &mut order, &mut spans);
        Self { signatures, order: order.into_iter().map(|(_, figure)| figure).collect(), spans }
    }

    /// The figures whose signature lies within a radius of one's own, in thousandths of a bead; itself among them.
    pub fn within(&self, figure: usize, radius: u32) -> Vec<usize> {
        let mut found = Vec::new();
        self.search((0, self.order.len()), &self.signatures[figure], radius, &mut found);
        found
    }

    fn search(&self, (from, to): (usize, usize), own: &Signature, radius: u32, found: &mut Vec<usize>) {
        let mut near = |at: usize| {
            let figure = self.order[at] as usize;
            let distance = apart(own, &self.signatures[figure]);
            found.extend((distance <= radius).then_some(figure));
            distance
        };
        if to - from <= LEAF {
            (from..to).for_each(|at| {
                near(at);
            });
            return;
        }
        let distance = near(from);
        let middle = middle(from, to);
        for ((from, to), span) in [(from + 1, middle), (middle, to)].into_iter().zip(self.spans[from]) {
            if from < to && span.reaches(distance, radius) {
                self.search((from, to), own, radius, found);
            }
        }
    }
}

/// Where the farther half of a branch begins.
fn middle(from: usize, to: usize) -> usize {
    from + 1 + (to - from - 1) / 2
}

/// Orders a branch; each figure stands beside its distance from the vantage figure above.
fn grow(signatures: &[Signature], order: &mut [(u32, u32)], spans: &mut [[Span; 2]]) {
    if order.len() <= LEAF {
        return;
    }
    // The farthest from the last vantage figure sees the others from the side.
    let last = order.len() - 1;
    order.swap(0, last);
    let [vantage, rest @ ..] = order else { return };
    let own = &signatures[vantage.1 as usize];
    rest.par_iter_mut().with_min_len(64).for_each(|one| one.0 = apart(own, &signatures[one.1 as usize]));
    rest.sort_unstable();
    let (nearer, farther) = rest.split_at_mut(middle(0, last + 1) - 1);
    spans[0] = [Span::of(nearer), Span::of(farther)];
    let (of_nearer, of_farther) = spans[1..].split_at_mut(nearer.len());
    rayon::join(|| grow(signatures, nearer, of_nearer), || grow(signatures, farther, of_farther));
}

/// The distance of two signatures.
fn apart(one: &Signature, other: &Signature) -> u32 {
    let view = |(one, other): (&[i32; ROWS], &[i32; ROWS])| -> u32 {
        one.iter().zip(other).map(|(a, b)| a.abs_diff(*b)).sum()
    };
    one.iter().zip(other).map(view).max().unwrap_or(0)
}

fn signature(standing: &Standing, views: &[Vec<u32>]) -> Signature {
    let mut sums = [[0; ROWS]; VIEWS];
    for bead in standing.each() {
        let row = usize::from(bead.height).min(ROWS - 1);
        for (sums, weights) in sums.iter_mut().zip(views) {
            sums[row] += weights[bead.kind as usize] as i32;
        }
    }
    sums
}

/// The weights of every kind, view by view.
fn views(standing: &[Standing], kinds: &Kinds) -> Vec<Vec<u32>> {
    let outline = vec![BEAD; kinds.len()];
    // Where colours are too many to compare each with each, the outline alone decides.
    if !kinds.is_tabled() {
        return vec![outline];
    }
    let mut beads = vec![0_u64; kinds.len()];
    standing.iter().flat_map(Standing::each).for_each(|bead| beads[bead.kind as usize] += 1);
    let ways: [fn(Lab) -> f64; 4] = [|lab| lab.l, |lab| lab.a, |lab| lab.b, |lab| lab.a + lab.b];
    let mut views = vec![outline];
    for (at, way) in ways.into_iter().enumerate() {
        let ranks = ranks(kinds, &beads, way);
        // The upper half, and of the plain ways the middle half as well.
        views.push(weights(kinds, &ranks, |rank| rank >= 0.5));
        if at < 3 {
            views.push(weights(kinds, &ranks, |rank| (0.25..0.75).contains(&rank)));
        }
    }
    views.truncate(VIEWS);
    views
}

/// Which share of the crowd's beads lies below each kind, in one way to look; nothing where the colour is not known.
fn ranks(kinds: &Kinds, beads: &[u64], way: fn(Lab) -> f64) -> Vec<Option<f64>> {
    let mut known: Vec<(f64, usize)> =
        (0..kinds.len()).filter_map(|kind| Some((way(kinds.lab(kind as Kind)?), kind))).collect();
    known.sort_by(|one, other| one.0.total_cmp(&other.0));
    let all = known.iter().map(|&(_, kind)| beads[kind]).sum::<u64>().max(1) as f64;
    let mut below = 0;
    let mut ranks = vec![None; kinds.len()];
    for (_, kind) in known {
        ranks[kind] = Some((below as f64 + beads[kind] as f64 / 2.0) / all);
        below += beads[kind];
    }
    ranks
}

/// How far each kind is from the nearest of some, by the shortest way over other kinds, and no more than a bead
/// (E. W. Dijkstra, "A note on two problems in connexion with graphs", 1959).
fn weights(kinds: &Kinds, ranks: &[Option<f64>], is_one: impl Fn(f64) -> bool) -> Vec<u32> {
    let mut weights: Vec<u32> =
        ranks.iter().map(|rank| if rank.is_some_and(&is_one) { 0 } else { BEAD }).collect();
    let mut open: Vec<usize> = (0..weights.len()).collect();
    while let Some(next) = (0..open.len()).min_by_key(|&at| weights[open[at]]) {
        let kind = open.swap_remove(next);
        for &other in &open {
            let over = weights[kind] + kinds.cost(kind as Kind, other as Kind);
            weights[other] = weights[other].min(over);
        }
    }
    weights
}
