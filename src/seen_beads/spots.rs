//! Where beads lie: round things of one size, found by their edges, whatever their colour. A white bead on white paper
//! shows its rim and its hole.

use std::f64::consts::TAU;

use ndarray::Array2;

use super::field::Field;
use super::patch::closest_box;
use super::shade::{Shade, Side};
use crate::reference::mask::{Piece, outside_of, pieces};
use crate::reference::middle::median;

/// A round thing in pixels of the flat sheet.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct BeadSpot {
    /// Its middle.
    pub x: f64,
    pub y: f64,
    /// Its radius.
    pub radius: f64,
    /// How much of its outline is seen, 0 to 1.
    pub rim: f64,
    /// How much of a hole's outline is seen in it, 0 to 1.
    pub hole: f64,
}

impl BeadSpot {
    pub fn distance(&self, other: &Self) -> f64 {
        (self.x - other.x).hypot(self.y - other.y)
    }
}

/// A hole's radius as a part of the bead's: common practice, no source (a bead of 5 mm has a hole of about 2.5 mm).
pub(super) const HOLE: f64 = 0.5;

/// Directions in which an outline is looked for.
const DIRECTIONS: usize = 48;

/// Smallest radius that is read: below it nothing of a ring is free of its edges.
const LEAST_RADIUS: f64 = 4.0;

/// A pixel this far from paper belongs to something that lies there: in Lab units, and in times the middle distance, which
/// is the noise of bare paper.
const LIES_THERE: f64 = 10.0;
const LIES_IN_NOISE: f64 = 3.5;

/// Beads on a sheet and what else lies there.
pub(super) struct Found {
    pub spots: Vec<BeadSpot>,
    /// Things that stand out from paper, filled, each as its pixels.
    pub things: Vec<Piece>,
    /// A bead's usual radius.
    pub radius: f64,
}

/// Finds every bead; nothing where no round thing shows how large beads are.
pub(super) fn find(field: &Field) -> Option<Found> {
    let least = LIES_THERE.max(LIES_IN_NOISE * field.noise());
    let lies = Array2::from_shape_fn(field.dim(), |place| field.off_paper(place) > least);
    let things = pieces(&outside_of(&lies).map(|outside| !outside));
    let rough = rough_radius(&things, field.dim())?;
    let first = spots_of(field, rough);
    let radius = usual_radius(field, &first, rough);
    let spots = spots_of(field, radius).into_iter().map(|spot| settled(field, spot)).collect();
    Some(Found { spots: apart(spots), things, radius })
}

/// The middle radius of the things that are as wide as beads are: a shadow makes a thing longer, hardly ever wider.
fn rough_radius(things: &[Piece], (rows, columns): (usize, usize)) -> Option<f64> {
    /// Longer side beside the shorter, a shadow's length with it, and share of that box that is filled (a disc: 0.79).
    const LONG: f64 = 2.4;
    const FILLED: std::ops::Range<f64> = 0.6..0.95;
    let round = things.iter().filter_map(|thing| {
        let ((top, bottom), (left, right)) = span(thing);
        let is_inside = top > 0 && left > 0 && bottom < rows - 1 && right < columns - 1;
        let least = std::f64::consts::PI * LEAST_RADIUS * LEAST_RADIUS;
        if !is_inside || (thing.len() as f64) < least {
            return None;
        }
        let (wide, high) = closest_box(thing);
        let (short, long) = (wide.min(high), wide.max(high));
        let fits = long <= LONG * short && FILLED.contains(&(thing.len() as f64 / wide / high));
        (fits && short >= 2.0 * LEAST_RADIUS).then_some(short / 2.0)
    });
    let mut radii: Vec<f64> = round.collect();
    radii.sort_by(f64::total_cmp);
    // Beads are of one size and many; crumbs and coins are of many sizes.
    const ALIKE: f64 = 1.3;
    let kin = |radius: f64| radii.iter().filter(move |r| (radius / ALIKE..=radius * ALIKE).contains(*r));
    let most = radii.iter().copied().max_by_key(|radius| kin(*radius).count())?;
    Some(median(kin(most).copied().collect()))
}

/// First and last row, first and last column.
pub(super) fn span(thing: &Piece) -> ((usize, usize), (usize, usize)) {
    let start = ((usize::MAX, 0), (usize::MAX, 0));
    thing.iter().fold(start, |((t, b), (l, r)), &(y, x)| ((t.min(y), b.max(y)), (l.min(x), r.max(x))))
}

/// Beads of about this radius: places that many edges lie around.
fn spots_of(field: &Field, radius: f64) -> Vec<BeadSpot> {
    /// A bead's outline is seen this far around; less, where its hole is seen well or its shadow lies beside it: a white
    /// bead's rim is lost in the paper where the light comes from.
    const RIM: f64 = 0.6;
    const SOME_RIM: f64 = 0.42;
    const LITTLE_RIM: f64 = 0.3;
    const HOLE_SEEN: f64 = 0.75;
    let votes = votes(field, radius);
    let mut judged: Vec<BeadSpot> =
        maxima(&votes, radius).into_iter().map(|place| nudged(field, place, radius)).collect();
    let shade = Shade::of(field, judged.iter().filter(|spot| spot.rim >= RIM && spot.hole >= HOLE_SEEN));
    // A shadow that ends somewhere begins at a bead.
    let behind: Vec<BeadSpot> = shade
        .iter()
        .flat_map(|shade| {
            let ends =
                judged.iter().filter(|spot| spot.rim >= RIM && shade.beside(field, spot) == Side::Bare);
            ends.filter_map(|end| at_the_foot(field, shade, end)).collect::<Vec<_>>()
        })
        .collect();
    judged.extend(behind);
    let is_bead = |spot: &BeadSpot| {
        let (is_holed, side) =
            (spot.hole >= HOLE_SEEN, shade.as_ref().map(|shade| shade.beside(field, spot)));
        let enough = match (is_holed, side) {
            (_, Some(Side::Shaded)) => LITTLE_RIM,
            (true, _) => SOME_RIM,
            (false, _) => RIM,
        };
        // Beads cast shadows; the end of a shadow casts none.
        let is_shadow = !is_holed && side == Some(Side::Bare);
        spot.rim >= enough && !is_shadow && has_body(field, spot)
    };
    apart(judged.into_iter().filter(is_bead).collect())
}

/// Each edge points to middles a bead's radius away, and a hole's, on either side.
fn votes(field: &Field, radius: f64) -> Array2<f32> {
    let (rows, columns) = field.dim();
    let mut votes = Array2::from_elem((rows, columns), 0.0_f32);
    for ((y, x), (across, down)) in field.edges() {
        let size = f64::from(across.hypot(down));
        let (u, v) = (f64::from(across) / size, f64::from(down) / size);
        for reach in [radius, -radius, HOLE * radius, -HOLE * radius] {
            let (px, py) = ((x as f64 + u * reach).round(), (y as f64 + v * reach).round());
            if px >= 0.0 && py >= 0.0 && (px as usize) < columns && (py as usize) < rows {
                votes[(py as usize, px as usize)] += 1.0;
            }
        }
    }
    /// Edges are a few pixels wide and beads not quite round: votes for one middle lie within a part of its radius.
    const SPREAD: f64 = 0.15;
    let reach = ((SPREAD * radius).round() as usize).max(1);
    boxed(&boxed(&votes, reach), reach)
}

/// The mean over a square of this many pixels to each side, edges left out.
fn boxed(values: &Array2<f32>, reach: usize) -> Array2<f32> {
    let (rows, columns) = values.dim();
    let mut sums = Array2::from_elem((rows + 1, columns + 1), 0.0_f64);
    for ((y, x), value) in values.indexed_iter() {
        sums[(y + 1, x + 1)] = f64::from(*value) + sums[(y, x + 1)] + sums[(y + 1, x)] - sums[(y, x)];
    }
    Array2::from_shape_fn((rows, columns), |(y, x)| {
        let (top, bottom) = (y.saturating_sub(reach), (y + reach + 1).min(rows));
        let (left, right) = (x.saturating_sub(reach), (x + reach + 1).min(columns));
        let sum = sums[(bottom, right)] + sums[(top, left)] - sums[(top, right)] - sums[(bottom, left)];
        (sum / ((bottom - top) * (right - left)) as f64) as f32
    })
}

/// Places (x, y) with more votes than any within two thirds of a radius.
fn maxima(votes: &Array2<f32>, radius: f64) -> Vec<(f64, f64)> {
    /// A place with fewer votes than this part of the most is none.
    const FEW: f32 = 0.07;
    let (rows, columns) = votes.dim();
    let most = votes.iter().fold(0.0_f32, |most, v| most.max(*v));
    let reach = (radius * 0.66) as usize;
    let is_most = |y: usize, x: usize, here: f32| {
        let across = x.saturating_sub(reach)..(x + reach + 1).min(columns);
        (y.saturating_sub(reach)..(y + reach + 1).min(rows))
            .all(|ny| across.clone().all(|nx| votes[(ny, nx)] <= here))
    };
    let enough = votes.indexed_iter().filter(|(_, v)| **v > FEW * most);
    enough.filter(|((y, x), v)| is_most(*y, *x, **v)).map(|((y, x), _)| (x as f64, y as f64)).collect()
}

/// How much of an outline is seen around a place, its distance within these bounds.
fn outline(field: &Field, (x, y): (f64, f64), between: (f64, f64)) -> f64 {
    /// An edge of the outline faces the middle within 37 degrees.
    const FACES: f32 = 0.8;
    let is_seen = |direction: usize| {
        let (v, u) = (direction as f64 / DIRECTIONS as f64 * TAU).sin_cos();
        let mut far = between.0;
        while far <= between.1 {
            let step = field.step_at((x + u * far, y + v * far));
            let along = step.0 * u as f32 + step.1 * v as f32;
            if field.is_edge(step) && along.abs() >= FACES * step.0.hypot(step.1) {
                return true;
            }
            far += 0.7;
        }
        false
    };
    (0..DIRECTIONS).filter(|direction| is_seen(*direction)).count() as f64 / DIRECTIONS as f64
}

/// The bead that casts a shadow with such an end: where most of an outline is seen on the way to the light.
fn at_the_foot(field: &Field, shade: &Shade, end: &BeadSpot) -> Option<BeadSpot> {
    /// This many radii towards the light: a light that stands between 22 and 45 degrees from the upright.
    const AWAY: [f64; 5] = [0.8, 1.1, 1.4, 1.7, 2.0];
    let spots = AWAY
        .iter()
        .map(|away| nudged(field, shade.towards_light((end.x, end.y), away * end.radius), end.radius));
    let shaded = spots.filter(|spot| shade.beside(field, spot) == Side::Shaded);
    shaded.max_by(|a, b| (a.rim + a.hole).total_cmp(&(b.rim + b.hole)))
}

/// A spot at the place near by where most of its outline is seen: a lying bead is no disc, and its votes lie apart.
fn nudged(field: &Field, (x, y): (f64, f64), radius: f64) -> BeadSpot {
    /// This far to each side, in radii.
    const FAR: [f64; 5] = [0.0, -0.15, 0.15, -0.3, 0.3];
    let near = FAR.iter().flat_map(|down| FAR.iter().map(move |across| (across, down)));
    let spots = near.map(|(across, down)| judged(field, (x + across * radius, y + down * radius), radius));
    // The first of equals: nearest to where the votes are.
    let better = |a: BeadSpot, b: BeadSpot| if b.rim + b.hole > a.rim + a.hole { b } else { a };
    spots.reduce(better).unwrap_or_else(|| judged(field, (x, y), radius))
}

fn judged(field: &Field, (x, y): (f64, f64), radius: f64) -> BeadSpot {
    /// Beads seen aslant and lying beads are somewhat smaller or larger than the usual radius.
    const RIM: (f64, f64) = (0.8, 1.18);
    const HOLES: (f64, f64) = (0.34, 0.68);
    let rim = outline(field, (x, y), (RIM.0 * radius, RIM.1 * radius));
    let hole = outline(field, (x, y), (HOLES.0 * radius, HOLES.1 * radius));
    BeadSpot { x, y, radius, rim, hole }
}

/// Whether something lies there, and not only round about: between beads laid closely there is bare paper.
fn has_body(field: &Field, spot: &BeadSpot) -> bool {
    /// This far from paper, in Lab units, is what lies there in a quarter of its disc at least.
    const OFF: f64 = 3.5;
    const PART: f64 = 0.25;
    let disc: Vec<bool> =
        field.within((spot.x, spot.y), 0.9 * spot.radius).map(|(at, _)| field.off_paper(at) > OFF).collect();
    disc.iter().filter(|off| **off).count() as f64 >= PART * disc.len() as f64
}

/// The best of spots that lie over one another.
fn apart(mut spots: Vec<BeadSpot>) -> Vec<BeadSpot> {
    /// Beads that touch lie two radii apart; seen aslant and found a little off, somewhat less.
    const TOUCHING: f64 = 1.6;
    // A hole tells a white bead from the end of its own shadow.
    let worth = |spot: &BeadSpot| spot.rim + spot.hole;
    spots.sort_by(|a, b| worth(b).total_cmp(&worth(a)));
    let mut kept: Vec<BeadSpot> = Vec::new();
    for spot in spots {
        if kept.iter().all(|other| other.distance(&spot) >= TOUCHING * spot.radius) {
            kept.push(spot);
        }
    }
    kept
}

/// How strongly the sheet changes along a circle, each direction capped so that a dark bead says no more than a pale one.
fn sharpness(field: &Field, (x, y): (f64, f64), radius: f64) -> f64 {
    const CAP: f32 = 12.0;
    let one = |direction: usize| {
        let (v, u) = (direction as f64 / DIRECTIONS as f64 * TAU).sin_cos();
        let step = field.step_at((x + u * radius, y + v * radius));
        f64::from((step.0 * u as f32 + step.1 * v as f32).abs().min(CAP))
    };
    (0..DIRECTIONS).map(one).sum()
}

/// The radius at which the outlines of all beads together are sharpest.
fn usual_radius(field: &Field, spots: &[BeadSpot], rough: f64) -> f64 {
    // Shadows make things larger, never smaller.
    let radii = (0..=24).map(|step| rough * (0.74 + 0.02 * f64::from(step)));
    let sharp = |radius: f64| spots.iter().map(|s| sharpness(field, (s.x, s.y), radius)).sum::<f64>();
    radii.map(|radius| (sharp(radius), radius)).fold((0.0, rough), |a, b| if b.0 > a.0 { b } else { a }).1
}

/// How sharp a spot's outlines are: its rim, and its hole where one is seen; a white bead's rim hardly is.
fn outlines(field: &Field, spot: &BeadSpot) -> f64 {
    const SEEN: f64 = 0.75;
    let middle = (spot.x, spot.y);
    let hole = if spot.hole >= SEEN { sharpness(field, middle, HOLE * spot.radius) } else { 0.0 };
    sharpness(field, middle, spot.radius) + hole
}

/// A spot moved and resized a little to where its outlines are sharpest.
fn settled(field: &Field, spot: BeadSpot) -> BeadSpot {
    const MOVES: [(f64, f64); 9] = [
        (0.0, 0.0),
        (1.0, 0.0),
        (-1.0, 0.0),
        (0.0, 1.0),
        (0.0, -1.0),
        (1.0, 1.0),
        (-1.0, -1.0),
        (1.0, -1.0),
        (-1.0, 1.0),
    ];
    /// Times it is moved by half a pixel at most; and how much larger or smaller one bead may be than another.
    const ROUNDS: usize = 6;
    const SIZES: [f64; 5] = [0.92, 0.96, 1.0, 1.04, 1.08];
    let mut best = (outlines(field, &spot), spot);
    for _ in 0..ROUNDS {
        let before = best.0;
        let BeadSpot { x, y, .. } = best.1;
        for ((dx, dy), size) in MOVES.iter().flat_map(|m| SIZES.iter().map(move |s| (*m, *s))) {
            let moved = BeadSpot { x: x + 0.5 * dx, y: y + 0.5 * dy, radius: spot.radius * size, ..spot };
            let sharp = outlines(field, &moved);
            if sharp > best.0 {
                best = (sharp, moved);
            }
        }
        if best.0 <= before {
            break;
        }
    }
    best.1
}
