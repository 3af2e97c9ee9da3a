//! The few colours a drawing is made of.
//!
//! Colours are gathered in bins of Lab, clustered by k-means (kmeans_colors), and clusters the eye
//! would call one are joined.

use std::collections::HashMap;

use kmeans_colors::{Calculate, get_kmeans};
use rand::Rng;

use crate::colour::{Lab, ciede2000};

/// Side of a bin in Lab units: within about 1 % of clustering every pixel, at a fraction of the time.
const BIN: f64 = 3.0;

/// Clusters looked for before joining; a drawing of this scale has fewer colours.
const MOST_CLUSTERS: usize = 20;

/// Restarts of k-means; one unlucky start costs up to 15 % summed error.
const RESTARTS: u64 = 5;

/// Rounds of Lloyd's iteration at most.
const MOST_ROUNDS: usize = 60;

/// Centroids that move less than this (summed squares) have settled.
const SETTLED: f32 = 1e-6;

/// Clusters nearer than this by CIEDE2000 are one colour to the eye on a bead.
pub(crate) const ONE_COLOUR: f64 = 3.0;

/// A clustering of points.
#[derive(Clone, Debug)]
pub struct Clustering<C> {
    /// The middle of each cluster.
    pub centres: Vec<C>,
    /// Which cluster each point belongs to.
    pub members: Vec<usize>,
    /// The summed squared error; what restarts are ranked by.
    pub error: f64,
}

/// The best of several k-means runs with fixed seeds `seed`, `seed + 1`, ..., ranked by summed error.
///
/// `squared` is the squared distance of a point from a centre, weighted if points have weights.
/// kmeans_colors' own `score` says how far the centres last moved and does not rank runs.
/// Empty for no points or `k` = 0; at most 255 clusters.
pub fn best_kmeans<C: Calculate + Clone>(
    points: &[C],
    k: usize,
    seed: u64,
    restarts: u64,
    squared: impl Fn(&C, &C) -> f64,
) -> Clustering<C> {
    let mut best = Clustering { centres: Vec::new(), members: Vec::new(), error: f64::INFINITY };
    if points.is_empty() || k == 0 {
        return best;
    }
    for restart in 0..restarts {
        let run = get_kmeans(
            k.min(points.len()).min(u8::MAX as usize),
            MOST_ROUNDS,
            SETTLED,
            false,
            points,
            seed.wrapping_add(restart),
        );
        let nearest = |point: &C| least_of(run.centroids.iter().map(|centre| squared(point, centre)));
        let members: Vec<(usize, f64)> = points.iter().map(nearest).collect();
        let error = members.iter().map(|m| m.1).sum();
        if error < best.error {
            let members = members.into_iter().map(|m| m.0).collect();
            best = Clustering { centres: run.centroids, members, error };
        }
    }
    best
}

/// The least of some squared distances with its place, the first of equal ones; 0 at the first place of none.
pub(super) fn least_of(distances: impl Iterator<Item = f64>) -> (usize, f64) {
    let mut all = distances.enumerate();
    let first = all.next().unwrap_or((0, 0.0));
    all.fold(first, |least, one| if one.1 < least.1 { one } else { least })
}

/// Many pixels of nearly one colour.
#[derive(Clone, Copy, Debug, PartialEq)]
struct Bin {
    colour: Lab,
    /// How much it counts in clustering.
    weight: f64,
}

impl Calculate for Bin {
    fn get_closest_centroid(bins: &[Self], centres: &[Self], indices: &mut Vec<u8>) {
        let nearest = |bin: &Self| least_of(centres.iter().map(|c| bin.colour.distance_squared(c.colour)));
        indices.extend(bins.iter().map(|bin| nearest(bin).0 as u8));
    }

    fn recalculate_centroids(_: &mut impl Rng, bins: &[Self], centres: &mut [Self], indices: &[u8]) {
        let mut sums = vec![([0.0; 3], 0.0); centres.len()];
        for (Bin { colour, weight }, &at) in bins.iter().zip(indices) {
            let (sum, total) = &mut sums[usize::from(at)];
            sum[0] += colour.l * weight;
            sum[1] += colour.a * weight;
            sum[2] += colour.b * weight;
            *total += weight;
        }
        // A cluster left empty stays where it is; joining removes it if it is a double.
        let filled = centres.iter_mut().zip(sums).filter(|(_, (_, total))| *total > 0.0);
        filled.for_each(|(centre, (sum, weight))| {
            let [l, a, b] = sum.map(|v| v / weight);
            *centre = Bin { colour: Lab::new(l, a, b), weight };
        });
    }

    fn check_loop(centres: &[Self], old: &[Self]) -> f32 {
        centres.iter().zip(old).map(|(c, o)| c.colour.distance_squared(o.colour)).sum::<f64>() as f32
    }

    fn create_random(rng: &mut impl Rng) -> Self {
        let mut within = |low: f64, high: f64| low + (high - low) * f64::from(rng.random::<f32>());
        let colour = Lab::new(within(0.0, 100.0), within(-100.0, 100.0), within(-100.0, 100.0));
        Self { colour, weight: 1.0 }
    }

    fn difference(one: &Self, other: &Self) -> f32 {
        one.colour.distance_squared(other.colour) as f32
    }
}

/// A colour that a drawing's marks may as well come from.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Possible {
    /// The colour.
    pub colour: Lab,
    /// How unlikely it is, as a distance in CIEDE2000 that counts beside the distance to a bead.
    pub cost: f64,
}

/// One colour of a drawing.
#[derive(Clone, Debug, PartialEq)]
pub struct Cluster {
    /// Its middle.
    pub colour: Lab,
    /// Pixels that belong to it.
    pub pixels: usize,
    /// Root mean square distance of its pixels from the middle, in Lab units.
    pub spread: f64,
    /// What else it may be, where the drawing leaves that open: wax or pencil that nowhere covers its paper.
    pub possible: Vec<Possible>,
}

/// The colours of a drawing, most pixels first.
///
/// `least` is the fewest pixels a colour may have; the pixels of smaller ones count with their nearest.
pub fn cluster_colours(colours: &[Lab], least: usize, seed: u64) -> Vec<Cluster> {
    let bins = gather(colours, BIN);
    let points: Vec<Bin> = bins
        .iter()
        // The root lets a button's colour stand against a coat's.
        .map(|&(colour, count)| Bin { colour, weight: (count as f64).sqrt() })
        .collect();
    let clustering = best_kmeans(&points, MOST_CLUSTERS, seed, RESTARTS, |bin, centre| {
        bin.weight * bin.colour.distance_squared(centre.colour)
    });
    let mut clusters = vec![Vec::new(); clustering.centres.len()];
    for (&bin, &member) in bins.iter().zip(&clustering.members) {
        clusters[member].push(bin);
    }
    clusters.retain(|members| !members.is_empty());
    join_alike(&mut clusters);
    join_small(&mut clusters, least);
    let mut found: Vec<Cluster> = clusters.iter().map(summarise).collect();
    found.sort_by(|a, b| b.pixels.cmp(&a.pixels).then(a.colour.l.total_cmp(&b.colour.l)));
    found
}

pub(super) type Members = Vec<(Lab, usize)>;

/// Colours in bins of such a side, each with its mean and how many fell into it, in the order of the bins.
pub(super) fn gather(colours: &[Lab], side: f64) -> Members {
    let mut places: HashMap<[i32; 3], usize> = HashMap::new();
    let mut bins: Vec<([i32; 3], [f64; 3], usize)> = Vec::new();
    let mut at = 0;
    for colour in colours {
        let key = [colour.l, colour.a, colour.b].map(|v| (v / side).floor() as i32);
        // Neighbours are mostly of one colour.
        if bins.get(at).is_none_or(|bin| bin.0 != key) {
            at = *places.entry(key).or_insert(bins.len());
            if at == bins.len() {
                bins.push((key, [0.0; 3], 0));
            }
        }
        let (_, sum, count) = &mut bins[at];
        sum[0] += colour.l;
        sum[1] += colour.a;
        sum[2] += colour.b;
        *count += 1;
    }
    bins.sort_unstable_by_key(|bin| bin.0);
    let mean = |(_, sum, count): ([i32; 3], [f64; 3], usize)| {
        let [l, a, b] = sum.map(|s| s / count as f64);
        (Lab::new(l, a, b), count)
    };
    bins.into_iter().map(mean).collect()
}

fn summarise(members: &Members) -> Cluster {
    let pixels = members.iter().map(|m| m.1).sum();
    let colour = middle(members);
    let error: f64 = members.iter().map(|(c, n)| *n as f64 * c.distance_squared(colour)).sum();
    Cluster { colour, pixels, spread: (error / pixels as f64).sqrt(), possible: Vec::new() }
}

fn middle(members: &Members) -> Lab {
    // Every cluster keeps at least one member, each of at least one pixel.
    Lab::mean(members.iter().map(|&(c, n)| (c, n as f64))).unwrap_or(Lab::new(0.0, 0.0, 0.0))
}

/// Joins the nearest two clusters until all are told apart by eye.
fn join_alike(clusters: &mut Vec<Members>) {
    loop {
        let middles: Vec<Lab> = clusters.iter().map(middle).collect();
        let nearest = (0..middles.len())
            .flat_map(|i| (0..i).map(move |j| (i, j)))
            .map(|(i, j)| (ciede2000(middles[i], middles[j]).0, i, j))
            .min_by(|a, b| a.0.total_cmp(&b.0));
        match nearest {
            Some((apart, i, j)) if apart < ONE_COLOUR => {
                let members = clusters.swap_remove(i);
                clusters[j].extend(members);
            }
            _ => return,
        }
    }
}

/// Gives clusters too small to fill a bead to their nearest, smallest first.
fn join_small(clusters: &mut Vec<Members>, least: usize) {
    let size = |members: &Members| members.iter().map(|m| m.1).sum::<usize>();
    while clusters.len() > 1 {
        let Some(smallest) = (0..clusters.len()).min_by_key(|&i| size(&clusters[i])) else { return };
        if size(&clusters[smallest]) >= least {
            return;
        }
        let members = clusters.swap_remove(smallest);
        let colour = middle(&members);
        let nearest = (0..clusters.len()).min_by(|&a, &b| {
            let apart = |i: usize| ciede2000(middle(&clusters[i]), colour).0;
            apart(a).total_cmp(&apart(b))
        });
        if let Some(nearest) = nearest {
            clusters[nearest].extend(members);
        }
    }
}
