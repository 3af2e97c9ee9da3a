//! Lined and squared paper: pale thin lines that belong to the page.

use ndarray::Array2;

use crate::reference::mask::{grown, worn};
use crate::reference::middle::median;

/// A printed rule is at most so thick, in beads; a limb one bead thick is far from it.
const THICK: f64 = 0.16;

/// A rule differs from its paper by at most this much, in Lab units; ink and marker differ by more.
const PALE: f64 = 40.0;

/// Rules run straight: a line of pixels is one when at least this share of it is pale and thin.
const RUNNING: f64 = 0.4;

/// This many pixels off a rule, on one side at least, the paper is bare: it has at most this share of the rule's pixels.
const ASIDE: usize = 4;
const BARE: f64 = 0.7;

/// This many of them make a ruled page; a belt drawn with a pale pen is one or two.
const LEAST_RULES: usize = 4;

/// Slopes that are looked at: a page lies within some three degrees of upright.
const STEEPEST: f64 = 0.055;
const SLOPES: i32 = 11;

/// The pixels that are pale and thin. `distances` are from the ground, `bound` is where the ground ends.
pub(crate) fn pale_rules(distances: &Array2<f64>, bound: f64, bead: f64) -> Array2<bool> {
    let reach = ((THICK * bead / 2.0).ceil() as usize).max(1);
    // What is thick survives being worn down and grown again; a pixel more takes the soft edge along.
    let off_ground = distances.map(|d| *d > bound);
    let core = grown(&worn(&off_ground, reach), reach + 1);
    // Pale beside a stroke of ink is the ink's own soft edge.
    let by_ink = grown(&distances.map(|d| *d > PALE), 1);
    Array2::from_shape_fn(distances.dim(), |p| off_ground[p] && !core[p] && !by_ink[p])
}

/// Whether the pale lines rule the page.
pub(crate) fn is_ruled(pale: &Array2<bool>) -> bool {
    let lying = running(pale);
    lying >= LEAST_RULES || running(&pale.t().to_owned()) >= LEAST_RULES
}

/// How many level lines run through the picture, at the slope at which most do.
fn running(pale: &Array2<bool>) -> usize {
    let (rows, columns) = pale.dim();
    let places: Vec<(usize, usize)> =
        pale.indexed_iter().filter(|(_, is_pale)| **is_pale).map(|(place, _)| place).collect();
    // Fewer pixels than the fewest rules have: most pages are bare.
    if (places.len() as f64) < LEAST_RULES as f64 * RUNNING * columns as f64 {
        return 0;
    }
    let count_at = |slope: f64| {
        let mut hits = vec![0_usize; rows];
        // How far a line of this slope has risen in each column, from its middle on.
        let rise: Vec<f64> = (0..columns).map(|x| slope * (x as f64 - columns as f64 / 2.0)).collect();
        for &(y, x) in &places {
            let level = y as f64 - rise[x];
            // Half a pixel up and cut off is the nearest line.
            if let Some(hit) = hits.get_mut((level.max(0.0) + 0.5) as usize) {
                *hit += 1;
            }
        }
        // Two neighbouring lines of pixels share one soft rule.
        let both = |y: usize| (hits[y] + hits.get(y + 1).copied().unwrap_or(0)) as f64;
        let enough = RUNNING * columns as f64;
        // A rule has bare paper beside it; the grain of a painted ground is as dense everywhere.
        let is_bare = |y: Option<usize>| y.filter(|y| *y < rows).is_none_or(|y| both(y) <= BARE * enough);
        let mut dense: Vec<usize> = hits.clone();
        dense.sort_unstable();
        if 2.0 * dense[rows / 2] as f64 > BARE * enough {
            return 0;
        }
        let mut rules: Vec<f64> = Vec::new();
        let mut start = None;
        for y in 0..=rows {
            let now = y < rows && both(y) >= enough;
            match (start, now) {
                (None, true) => start = Some(y),
                (Some(first), false) => {
                    if is_bare(usize::checked_sub(first, ASIDE)) || is_bare(Some(y + ASIDE)) {
                        rules.push((first + y) as f64 / 2.0);
                    }
                    start = None;
                }
                _ => {}
            }
        }
        if are_even(&rules) { rules.len() } else { 0 }
    };
    (-SLOPES..=SLOPES).map(|i| count_at(STEEPEST * f64::from(i) / f64::from(SLOPES))).max().unwrap_or(0)
}

/// Whether most gaps between lines are the usual one or some of it, where the figure hides a line.
fn are_even(lines: &[f64]) -> bool {
    /// A gap may be off by this share of the usual one, and this many gaps must not be.
    const OFF: f64 = 0.2;
    const MOST: f64 = 0.6;
    let gaps: Vec<f64> = lines.windows(2).map(|pair| pair[1] - pair[0]).collect();
    if gaps.is_empty() {
        return false;
    }
    let usual = median(gaps.clone());
    let is_even = |gap: &&f64| {
        let times = (*gap / usual).round().max(1.0);
        (*gap - times * usual).abs() <= OFF * usual
    };
    gaps.iter().filter(is_even).count() as f64 >= MOST * gaps.len() as f64
}
