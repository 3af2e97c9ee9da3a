//! Light and shade: a coat lit from one side is one colour's path, not three colours.
//!
//! Areas that pass into one another without an edge are one material. Where a painter laid shade with a hard
//! edge, light falls off by one factor everywhere and on one side: such pairs are joined as well.

use std::collections::{BTreeMap, BTreeSet};

use ndarray::Array2;

use crate::colour::{Lab, Linear, ciede2000};
use crate::reference::PIXELS_PER_BEAD;
use crate::reference::middle::median;
use crate::sample::cluster::mean_of;
use crate::sample::labels::Labels;
use crate::sample::piece::{Piece, Place};

/// Along a soft passage no two neighbouring pixels differ by more than this, in Lab units.
const SOFT_STEP: f64 = 2.5;

/// How far to each side of a border the passage is looked at, in pixels.
const LOOK: usize = 4;

/// A passage is soft where this much of it is.
const SOFT_PART: f64 = 0.6;

/// Two areas must touch over at least this much of a bead's side.
const LEAST_CONTACT: f64 = 0.3;

/// Materials nearer than this (CIEDE2000) are one; so are a shaded half and the lit one dimmed, 5 joined too much.
const SAME: f64 = 4.0;

/// A drawing is shaded when this much of its area has a lit and a shaded part; one light falls on all of it.
const SHADED: f64 = 0.3;

/// Places of two segments.
type Pair = (usize, usize);

/// One area of one label.
struct Segment {
    pixels: Vec<Place>,
    label: u8,
    /// Middle light, channel by channel: along its edge a neighbour's light is mixed in.
    light: [f64; 3],
    /// Middle column.
    across: f64,
}

/// How two segments touch.
#[derive(Default)]
struct Contact {
    soft: usize,
    /// Where they touch.
    places: Vec<Place>,
}

impl Contact {
    /// In pixels.
    fn length(&self) -> f64 {
        self.places.len() as f64
    }
}

/// A light whose shade has a hard edge.
struct SteppedLight {
    /// Lit and shaded halves of one material.
    pairs: Vec<Pair>,
    /// What shade leaves of each channel's light.
    factors: [f64; 3],
    to_the_right: bool,
}

/// Joins what is one material in light and shade, where the drawing shows shading.
pub(super) fn take_out(colours: &Array2<Lab>, labels: &mut Labels) {
    let (segments, of) = segments(colours, labels);
    let contacts = contacts(colours, &of);
    let long = contacts.iter().filter(|(_, c)| c.length() >= LEAST_CONTACT * PIXELS_PER_BEAD);
    let (soft, hard): (Vec<_>, Vec<_>) = long.partition(|(_, c)| c.soft as f64 >= SOFT_PART * c.length());
    let hard: Vec<(Pair, f64)> = hard.into_iter().map(|(pair, contact)| (*pair, contact.length())).collect();
    let stepped = stepped(&segments, &hard);
    let mut pairs: Vec<Pair> = soft.into_iter().map(|(pair, _)| *pair).collect();
    pairs.extend(stepped.iter().flat_map(|light| &light.pairs));
    let halves: BTreeSet<usize> = pairs.iter().flat_map(|&(a, b)| [a, b]).collect();
    let area = |segments: &mut dyn Iterator<Item = &Segment>| -> f64 {
        segments.map(|segment| segment.pixels.len() as f64).sum()
    };
    if area(&mut halves.iter().map(|&s| &segments[s])) < SHADED * area(&mut segments.iter()) {
        return;
    }
    let light = stepped.map(|light| {
        let touching = light.pairs.iter().filter_map(|pair| contacts.get(pair));
        let edge: Vec<Place> = touching.flat_map(|contact| contact.places.iter().copied()).collect();
        (light, edge)
    });
    // What lies entirely in the shade has no lit half, and is brought to light.
    let dimmed = |segment: usize, pixels: &[Place]| {
        let (light, edge) = light.as_ref().filter(|_| !halves.contains(&segment))?;
        lies_in_shade(pixels, edge, light.to_the_right).then_some(light.factors)
    };
    relabel(labels, colours, (&segments, &joined(segments.len(), &pairs)), dimmed);
}

/// Whether an area lies entirely beyond the shade's edge, as it runs at that height.
fn lies_in_shade(pixels: &[Place], edge: &[Place], to_the_right: bool) -> bool {
    /// The edge is looked for this far above and below, in beads.
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

fn segments(colours: &Array2<Lab>, labels: &Labels) -> (Vec<Segment>, Array2<u32>) {
    let mut of = Array2::from_elem(labels.plane.dim(), u32::MAX);
    let segment = |(number, Piece { label, pixels, .. }): (usize, Piece)| {
        pixels.iter().for_each(|&p| of[p] = number as u32);
        let lights: Vec<Linear> = pixels.iter().map(|&p| colours[p].linear()).collect();
        let middle = |of: fn(&Linear) -> f64| median(lights.iter().map(of).collect());
        let light = [middle(|light| light.r), middle(|light| light.g), middle(|light| light.b)];
        let across = pixels.iter().map(|p| p.1 as f64).sum::<f64>() / pixels.len() as f64;
        Segment { pixels, label, light, across }
    };
    let found = Piece::all(labels).into_iter().enumerate().map(segment).collect();
    (found, of)
}

/// Every pair of touching segments, and over how much of their border they pass softly into each other.
fn contacts(colours: &Array2<Lab>, of: &Array2<u32>) -> BTreeMap<Pair, Contact> {
    let (rows, columns) = of.dim();
    let mut contacts: BTreeMap<Pair, Contact> = BTreeMap::new();
    for ((y, x), &one) in of.indexed_iter().filter(|(_, one)| **one != u32::MAX) {
        for (dy, dx) in [(0, 1), (1, 0)] {
            let (ny, nx) = (y + dy, x + dx);
            let Some(&other) = of.get((ny, nx)).filter(|o| **o != u32::MAX && **o != one) else { continue };
            let pair = (one.min(other) as usize, one.max(other) as usize);
            let contact = contacts.entry(pair).or_default();
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
    /// How light falls over a hard border of this many pixels, if by one factor in all channels alike.
    fn over(segments: &[Segment], &((a, b), length): &(Pair, f64)) -> Option<Self> {
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
fn stepped(segments: &[Segment], hard: &[(Pair, f64)]) -> Option<SteppedLight> {
    /// Factors this near to one another are one light's.
    const SAME_LIGHT: f64 = 0.05;
    /// This many different colours must fall off so, and three times as much to one side as to the other.
    const LEAST_COLOURS: usize = 3;
    let falls: Vec<Fall> = hard.iter().filter_map(|border| Fall::over(segments, border)).collect();
    let near = |factor: f64| falls.iter().filter(move |s| (s.factor - factor).abs() <= SAME_LIGHT);
    let lean = |factor: f64| near(factor).map(|fall| fall.say).sum::<f64>();
    let light = falls.iter().map(|s| s.factor).max_by(|a, b| lean(*a).abs().total_cmp(&lean(*b).abs()))?;
    let to_the_right = lean(light) > 0.0;
    let chosen = || near(light).filter(|fall| (fall.say > 0.0) == to_the_right);
    let colours: BTreeSet<u8> = chosen().map(|fall| segments[fall.lit].label).collect();
    let all: f64 = near(light).map(|fall| fall.say.abs()).sum();
    if colours.len() < LEAST_COLOURS || 2.0 * lean(light).abs() < all {
        return None;
    }
    let factors = std::array::from_fn(|c| {
        let light_of = |of: fn(&Fall) -> usize| chosen().map(|s| segments[of(s)].light[c]).sum::<f64>();
        light_of(|fall| fall.dim) / light_of(|fall| fall.lit).max(1e-6)
    });
    let is_halves = |pair: &Pair| halves(segments, *pair, factors, to_the_right);
    let pairs = hard.iter().map(|(pair, _)| *pair).filter(is_halves).collect();
    Some(SteppedLight { pairs, factors, to_the_right })
}

/// Whether one of two segments is the other in the shade of a known light.
///
/// Colours are compared as the eye does: in a navy coat hardly any light is left to tell a factor by.
fn halves(segments: &[Segment], (a, b): (usize, usize), factors: [f64; 3], to_the_right: bool) -> bool {
    let [a, b] = [&segments[a], &segments[b]];
    let (lit, dim) = if (a.across > b.across) == to_the_right { (b, a) } else { (a, b) };
    let lab = |[r, g, b]: [f64; 3]| Linear { r, g, b }.lab();
    let shaded = std::array::from_fn(|c| lit.light[c] * factors[c]);
    ciede2000(lab(shaded), lab(dim.light)).0 <= SAME
}

/// Which group each of `count` things belongs to once the pairs are joined.
fn joined(count: usize, pairs: &[Pair]) -> Vec<usize> {
    let mut group: Vec<usize> = (0..count).collect();
    let find = |group: &[usize], mut at: usize| {
        while group[at] != at {
            at = group[at];
        }
        at
    };
    for &(a, b) in pairs {
        let (a, b) = (find(&group, a), find(&group, b));
        group[a.max(b)] = a.min(b);
    }
    (0..count).map(|at| find(&group, at)).collect()
}

/// Labels and clusters by material: each takes the colour of its lit part.
fn relabel(
    labels: &mut Labels,
    colours: &Array2<Lab>,
    (segments, materials): (&[Segment], &[usize]),
    dimmed: impl Fn(usize, &[Place]) -> Option<[f64; 3]>,
) {
    let mut regions: BTreeMap<usize, Vec<Place>> = BTreeMap::new();
    for (segment, material) in segments.iter().zip(materials) {
        regions.entry(*material).or_default().extend(&segment.pixels);
    }
    let mut regions: Vec<(Lab, Vec<Place>)> = regions
        .into_iter()
        .map(|(material, pixels)| {
            let seen = lit_colour(colours, &pixels);
            (dimmed(material, &pixels).map_or(seen, |factors| relit(seen, factors)), pixels)
        })
        .collect();
    regions.sort_by_key(|(_, pixels)| (std::cmp::Reverse(pixels.len()), pixels[0]));
    labels.clusters.clear();
    for (colour, pixels) in regions {
        let clusters = &mut labels.clusters;
        let near: Vec<f64> = clusters.iter().map(|c| ciede2000(c.colour, colour).0).collect();
        let label = match (0..near.len()).min_by(|&a, &b| near[a].total_cmp(&near[b])) {
            Some(at) if near[at] <= SAME => {
                clusters[at].pixels += pixels.len();
                at as u8 + 1
            }
            _ => labels.add_colour(colour, pixels.len()),
        };
        pixels.iter().for_each(|&p| labels.plane[p] = label);
    }
}

/// The colour as it would be out of the shade.
fn relit(colour: Lab, factors: [f64; 3]) -> Lab {
    let Linear { r, g, b } = colour.linear();
    let [r, g, b] = [r / factors[0], g / factors[1], b / factors[2]].map(|v| v.min(1.0));
    Linear { r, g, b }.lab()
}

/// The colour of a material where the light falls on it: the mean of its lighter pixels, except for the very
/// lightest, which shine.
fn lit_colour(colours: &Array2<Lab>, pixels: &[Place]) -> Lab {
    const LIT: (f64, f64) = (0.6, 0.9);
    let mut sorted: Vec<Lab> = pixels.iter().map(|&p| colours[p]).collect();
    sorted.sort_by(|a, b| a.l.total_cmp(&b.l));
    let at = |share: f64| (share * (sorted.len() - 1) as f64) as usize;
    mean_of(sorted[at(LIT.0)..=at(LIT.1)].iter().copied()).unwrap_or(sorted[0])
}
