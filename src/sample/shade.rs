//! Light and shade: a coat lit from one side is one colour's path, not three colours.
//!
//! Areas that pass into one another without an edge are one material. Where a painter laid shade with a hard
//! edge, light falls off by one factor everywhere and on one side: such pairs are joined as well.

use std::collections::{BTreeMap, BTreeSet};

use ndarray::Array2;

use crate::colour::{Lab, Linear, ciede2000};
use crate::reference::PIXELS_PER_BEAD;
use crate::reference::mask::Joined;
use crate::reference::middle::median;
use crate::reference::subject::pieces;
use crate::sample::cluster::Cluster;
use crate::sample::labels::GROUND;

/// Along a soft passage no two neighbouring pixels differ by more than this, in Lab units.
const SOFT_STEP: f64 = 2.5;

/// How far to each side of a border the passage is looked at, in pixels.
const LOOK: usize = 4;

/// A passage is soft where so much of it is.
const SOFT_PART: f64 = 0.6;

/// Two areas must touch over at least so much of a bead's side.
const LEAST_CONTACT: f64 = 0.3;

/// Materials nearer than this (CIEDE2000) are one.
const SAME: f64 = 4.0;

/// A drawing is shaded when so much of its area has a lit and a shaded part; one light falls on all of it.
const SHADED: f64 = 0.3;

/// One area of one label.
struct Segment {
    pixels: Vec<(usize, usize)>,
    label: u8,
    /// Middle light, channel by channel: along its edge a neighbour's light is mixed in.
    light: [f64; 3],
    /// Middle column.
    across: f64,
}

/// How two segments touch.
#[derive(Default)]
struct Contact {
    length: usize,
    soft: usize,
    /// Where they touch.
    places: Vec<(usize, usize)>,
}

/// A light whose shade has a hard edge.
struct SteppedLight {
    /// Lit and shaded halves of one material.
    pairs: Vec<(usize, usize)>,
    /// What shade leaves of each channel's light.
    factors: [f64; 3],
    to_the_right: bool,
}

/// Joins what is one material in light and shade. Gives the plane and clusters back unchanged where the
/// drawing shows no shading.
pub(super) fn without_shade(
    colours: &Array2<Lab>,
    plane: Array2<u8>,
    clusters: Vec<Cluster>,
) -> (Array2<u8>, Vec<Cluster>) {
    let (segments, of) = segments(colours, &plane, clusters.len());
    let contacts = contacts(colours, &of);
    let enough = |c: &Contact| c.length as f64 >= LEAST_CONTACT * PIXELS_PER_BEAD;
    let soft = contacts.iter().filter(|(_, c)| enough(c) && c.soft as f64 >= SOFT_PART * c.length as f64);
    let mut pairs: Vec<(usize, usize)> = soft.map(|(pair, _)| *pair).collect();
    let hard: Vec<(usize, usize, f64)> = contacts
        .iter()
        .filter(|(_, c)| enough(c) && (c.soft as f64) < SOFT_PART * c.length as f64)
        .map(|(&(a, b), c)| (a, b, c.length as f64))
        .collect();
    let stepped = stepped(&segments, &hard);
    pairs.extend(stepped.iter().flat_map(|light| &light.pairs));
    let mut shaded: Vec<usize> = pairs.iter().flat_map(|&(a, b)| [a, b]).collect();
    shaded.sort_unstable();
    shaded.dedup();
    let area = |chosen: &[usize]| chosen.iter().map(|&s| segments[s].pixels.len()).sum::<usize>() as f64;
    let all: Vec<usize> = (0..segments.len()).collect();
    if area(&shaded) < SHADED * area(&all) {
        return (plane, clusters);
    }
    let materials = joined(segments.len(), &pairs);
    let edge: Vec<(usize, usize)> = stepped
        .iter()
        .flat_map(|light| &light.pairs)
        .filter_map(|pair| contacts.get(pair))
        .flat_map(|contact| contact.places.iter().copied())
        .collect();
    let in_shade = |pixels: &[(usize, usize)]| {
        let light = stepped.as_ref().filter(|light| lies_in_shade(pixels, &edge, light.to_the_right))?;
        Some(light.factors)
    };
    let halves: Vec<bool> = (0..segments.len()).map(|s| shaded.binary_search(&s).is_ok()).collect();
    relabelled(
        colours,
        plane.dim(),
        &segments,
        &materials,
        |s, pixels| {
            if halves[s] { None } else { in_shade(pixels) }
        },
    )
}

/// Whether an area lies wholly beyond the shade's edge, as it runs at that height.
fn lies_in_shade(pixels: &[(usize, usize)], edge: &[(usize, usize)], to_the_right: bool) -> bool {
    /// The edge is looked for so far above and below, in beads.
    const NEAR: f64 = 2.0;
    let reach = (NEAR * PIXELS_PER_BEAD) as usize;
    let count = pixels.len();
    let middle = pixels.iter().map(|p| p.0).sum::<usize>() / count;
    let near = edge.iter().filter(|p| p.0.abs_diff(middle) <= reach).map(|p| p.1 as f64).collect();
    let line = median(near);
    let beyond = pixels.iter().filter(|p| (p.1 as f64 > line) == to_the_right).count();
    /// Nearly all of it: the edge wavers.
    const WHOLLY: f64 = 0.85;
    line > 0.0 && beyond as f64 >= WHOLLY * count as f64
}

fn segments(colours: &Array2<Lab>, plane: &Array2<u8>, labels: usize) -> (Vec<Segment>, Array2<u32>) {
    let mut of = Array2::from_elem(plane.dim(), u32::MAX);
    let mut found = Vec::new();
    for label in 1..=labels as u8 {
        for pixels in pieces(&plane.map(|l| *l == label)) {
            pixels.iter().for_each(|&p| of[p] = found.len() as u32);
            let lights: Vec<Linear> = pixels.iter().map(|&p| colours[p].linear()).collect();
            let middle = |of: fn(&Linear) -> f64| median(lights.iter().map(of).collect());
            let light = [middle(|light| light.r), middle(|light| light.g), middle(|light| light.b)];
            let across = pixels.iter().map(|p| p.1 as f64).sum::<f64>() / pixels.len() as f64;
            found.push(Segment { pixels, label, light, across });
        }
    }
    (found, of)
}

/// Every pair of touching segments, and over how much of their border they pass softly into each other.
fn contacts(colours: &Array2<Lab>, of: &Array2<u32>) -> BTreeMap<(usize, usize), Contact> {
    let (rows, columns) = of.dim();
    let mut contacts: BTreeMap<(usize, usize), Contact> = BTreeMap::new();
    for ((y, x), &one) in of.indexed_iter().filter(|(_, one)| **one != u32::MAX) {
        for (dy, dx) in [(0, 1), (1, 0)] {
            let (ny, nx) = (y + dy, x + dx);
            let Some(&other) = of.get((ny, nx)).filter(|o| **o != u32::MAX && **o != one) else { continue };
            let pair = (one.min(other) as usize, one.max(other) as usize);
            let contact = contacts.entry(pair).or_default();
            contact.length += 1;
            contact.places.push((y, x));
            let from = (y.saturating_sub(dy * LOOK), x.saturating_sub(dx * LOOK));
            let to = ((ny + dy * LOOK).min(rows - 1), (nx + dx * LOOK).min(columns - 1));
            let length = (to.0 - from.0).max(to.1 - from.1);
            let along = |i: usize| (from.0 + dy * i, from.1 + dx * i);
            let is_soft = (1..=length)
                .all(|i| colours[along(i)].distance_squared(colours[along(i - 1)]) <= SOFT_STEP * SOFT_STEP);
            contact.soft += usize::from(is_soft);
        }
    }
    contacts
}

/// Two segments of which one may be the other in the shade.
struct Fall {
    /// Their places, the lit one first.
    lit: usize,
    dim: usize,
    factor: f64,
    /// How much it says, below 0 where the shade lies to the left: a long border alone is a seam between two cloths.
    say: f64,
}

impl Fall {
    /// How light falls over a hard border of so many pixels, if by one factor in all channels alike.
    fn over(segments: &[Segment], &(a, b, length): &(usize, usize, f64)) -> Option<Self> {
        /// How far shade dims.
        const DIMS: std::ops::Range<f64> = 0.35..0.85;
        /// Channels fall alike within this part: shade takes a little of the sky's blue.
        const ALIKE: f64 = 0.16;
        /// Pixels of border beyond which a pair counts no more.
        const LONGEST_SAY: f64 = 40.0;
        /// Black stays black: from less light than this no factor can be told.
        const LEAST_LIGHT: f64 = 0.012;
        let sum = |s: usize| segments[s].light.iter().sum::<f64>();
        let (lit, dim) = if sum(a) >= sum(b) { (a, b) } else { (b, a) };
        let both = segments[dim].light.into_iter().zip(segments[lit].light);
        let ratios: Vec<f64> =
            both.filter(|(_, lit)| *lit > LEAST_LIGHT).map(|(dim, lit)| dim / lit).collect();
        let (low, high) = ratios.iter().fold((f64::MAX, 0.0_f64), |(l, h), r| (l.min(*r), h.max(*r)));
        let factor = ratios.iter().sum::<f64>() / ratios.len().max(1) as f64;
        let side = if segments[dim].across > segments[lit].across { 1.0 } else { -1.0 };
        let is_alike = ratios.len() >= 2 && high - low <= ALIKE * factor && DIMS.contains(&factor);
        is_alike.then_some(Self { lit, dim, factor, say: side * length.min(LONGEST_SAY) })
    }
}

/// A light whose shade has a hard edge: it falls off by the same factor at several colours and to the same side. Its
/// pairs are all segments that are halves under that light.
fn stepped(segments: &[Segment], hard: &[(usize, usize, f64)]) -> Option<SteppedLight> {
    /// Factors this near to one another are one light's.
    const SAME_LIGHT: f64 = 0.05;
    /// So many different colours must fall off so, with so much more to one side than to the other, as a part of all.
    const LEAST_COLOURS: usize = 3;
    const ONE_SIDE: f64 = 0.5;
    let falls: Vec<Fall> = hard.iter().filter_map(|border| Fall::over(segments, border)).collect();
    let near = |factor: f64| falls.iter().filter(move |s| (s.factor - factor).abs() <= SAME_LIGHT);
    let lean = |factor: f64| near(factor).map(|fall| fall.say).sum::<f64>();
    let light = falls.iter().map(|s| s.factor).max_by(|a, b| lean(*a).abs().total_cmp(&lean(*b).abs()))?;
    let to_the_right = lean(light) > 0.0;
    let chosen = || near(light).filter(|fall| (fall.say > 0.0) == to_the_right);
    let colours: BTreeSet<u8> = chosen().map(|fall| segments[fall.lit].label).collect();
    let all: f64 = near(light).map(|fall| fall.say.abs()).sum();
    if colours.len() < LEAST_COLOURS || lean(light).abs() < ONE_SIDE * all {
        return None;
    }
    let factors = std::array::from_fn(|c| {
        let light_of = |of: fn(&Fall) -> usize| chosen().map(|s| segments[of(s)].light[c]).sum::<f64>();
        light_of(|fall| fall.dim) / light_of(|fall| fall.lit).max(1e-6)
    });
    let is_halves = |pair: &(usize, usize)| halves(segments, *pair, factors, to_the_right);
    let pairs = hard.iter().map(|&(a, b, _)| (a, b)).filter(is_halves).collect();
    Some(SteppedLight { pairs, factors, to_the_right })
}

/// Whether one of two segments is the other in the shade of a known light.
///
/// Colours are compared as the eye does: in a navy coat hardly any light is left to tell a factor by.
fn halves(segments: &[Segment], (a, b): (usize, usize), factors: [f64; 3], to_the_right: bool) -> bool {
    /// CIEDE2000 between the shaded half and the lit one dimmed; 3 and 4 did the same, 5 joined too much.
    const ONE_MATERIAL: f64 = 3.5;
    let [a, b] = [&segments[a], &segments[b]];
    let (lit, dim) = if (a.across > b.across) == to_the_right { (b, a) } else { (a, b) };
    let lab = |[r, g, b]: [f64; 3]| Linear { r, g, b }.lab();
    let shaded = std::array::from_fn(|c| lit.light[c] * factors[c]);
    ciede2000(lab(shaded), lab(dim.light)).0 <= ONE_MATERIAL
}

/// Which group each of `count` things belongs to once the pairs are joined.
fn joined(count: usize, pairs: &[(usize, usize)]) -> Vec<usize> {
    let mut joined = Joined::apart(count);
    pairs.iter().for_each(|&(one, other)| joined.join(one, other));
    (0..count).map(|at| joined.root(at)).collect()
}

/// Labels and clusters by material: each takes the colour of its lit part.
fn relabelled(
    colours: &Array2<Lab>,
    dim: (usize, usize),
    segments: &[Segment],
    materials: &[usize],
    dimmed: impl Fn(usize, &[(usize, usize)]) -> Option<[f64; 3]>,
) -> (Array2<u8>, Vec<Cluster>) {
    let mut regions: BTreeMap<usize, Vec<(usize, usize)>> = BTreeMap::new();
    for (segment, material) in segments.iter().zip(materials) {
        regions.entry(*material).or_default().extend(&segment.pixels);
    }
    let mut regions: Vec<(Lab, Vec<(usize, usize)>)> = regions
        .into_iter()
        .map(|(material, pixels)| {
            let seen = lit_colour(colours, &pixels);
            (dimmed(material, &pixels).map_or(seen, |factors| relit(seen, factors)), pixels)
        })
        .collect();
    regions.sort_by_key(|(_, pixels)| (std::cmp::Reverse(pixels.len()), pixels[0]));
    let mut clusters: Vec<Cluster> = Vec::new();
    let mut plane = Array2::from_elem(dim, GROUND);
    for (colour, pixels) in regions {
        let near = |c: &Cluster| ciede2000(c.colour, colour).0;
        let nearest = (0..clusters.len()).min_by(|&a, &b| near(&clusters[a]).total_cmp(&near(&clusters[b])));
        // Labels are bytes and the last is taken: more colours than that are nobody's drawing.
        let full = clusters.len() >= usize::from(u8::MAX) - 2;
        let place = match nearest.filter(|&at| full || near(&clusters[at]) <= SAME) {
            Some(at) => {
                clusters[at].pixels += pixels.len();
                at
            }
            None => {
                clusters.push(Cluster { colour, pixels: pixels.len(), spread: 0.0, possible: Vec::new() });
                clusters.len() - 1
            }
        };
        pixels.iter().for_each(|&p| plane[p] = place as u8 + 1);
    }
    (plane, clusters)
}

/// The colour as it would be out of the shade.
fn relit(colour: Lab, factors: [f64; 3]) -> Lab {
    let Linear { r, g, b } = colour.linear();
    let [r, g, b] = [r / factors[0], g / factors[1], b / factors[2]].map(|v| v.min(1.0));
    Linear { r, g, b }.lab()
}

/// The colour of a material where the light falls on it: the mean of its lighter pixels, but for the very
/// lightest, which shine.
fn lit_colour(colours: &Array2<Lab>, pixels: &[(usize, usize)]) -> Lab {
    const LIT: (f64, f64) = (0.6, 0.9);
    let mut sorted: Vec<Lab> = pixels.iter().map(|&p| colours[p]).collect();
    sorted.sort_by(|a, b| a.l.total_cmp(&b.l));
    let at = |share: f64| (share * (sorted.len() - 1) as f64) as usize;
    let lit = &sorted[at(LIT.0)..=at(LIT.1)];
    Lab::mean(lit.iter().map(|colour| (*colour, 1.0))).unwrap_or(lit[0])
}
