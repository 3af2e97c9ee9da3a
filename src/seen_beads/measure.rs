//! The light that one bead sends back beside the paper around it: glosses, hole, rim and shadow left out.

use super::field::{Field, PAPER, Share};
use super::spots::{BeadSpot, HOLE};
use super::{Doubt, Pose, Unreadable};
use crate::colour::{Lab, Linear, ciede2000};
use crate::reference::FlatSheet;
use crate::reference::middle::{median, middle_colour};

/// What is seen of a bead.
pub(super) struct Measure {
    /// Its light as a share of what paper would send back there.
    pub share: [f64; 3],
    /// How much the paper's light differs around it, as a part of that light.
    pub unevenness: f64,
    /// How much its own pixels differ, in L* beside paper.
    pub spread: f64,
    /// Whether a channel holds hardly any light, as of a colour that the picture cannot show.
    pub is_beyond: bool,
    pub pose: Pose,
    pub doubts: Vec<Doubt>,
    pub unreadable: Option<Unreadable>,
}

/// A part of the pixels from one share of them to another, as sorted by lightness.
type Part = (f64, f64);

/// Of a ring's face the darker middle: what is darker lies in its own shade, what is brighter shines.
const OF_A_FACE: Part = (0.25, 0.7);

/// Of a lying bead's ridge the same, further down, since the shine runs along it.
const OF_A_RIDGE: Part = (0.2, 0.6);

/// Less than this part of the paper's light in a channel is what lens and noise leave where there was none.
const BEYOND: f64 = 0.015;

/// Reads one spot among the others.
pub(super) fn measure(field: &Field, sheet: &FlatSheet, spot: &BeadSpot, others: &[BeadSpot]) -> Measure {
    let pose = pose(field, spot);
    let (places, part) = match pose {
        Pose::Upright => (face(field, spot), OF_A_FACE),
        Pose::Lying => (ridge(field, spot), OF_A_RIDGE),
    };
    let local = local_paper(field, spot, others);
    let mut shares: Vec<(f64, Share)> = places
        .iter()
        .filter_map(|&place| field.share(place).map(|share| (field.colour(place).l, share)))
        .collect();
    shares.sort_by(|a, b| a.0.total_cmp(&b.0));
    let lightness: Vec<f64> = shares.iter().map(|(l, _)| *l).collect();
    let kept = part_of(&shares, part);
    let mean = |c: usize| kept.iter().map(|(_, s)| f64::from(s[c])).sum::<f64>() / kept.len().max(1) as f64;
    let share: [f64; 3] = std::array::from_fn(|c| mean(c) / local.level[c]);
    let is_beyond = share.iter().any(|share| *share < BEYOND);
    let middle = median(lightness.clone());
    let spread = median(lightness.iter().map(|l| (l - middle).abs()).collect());
    let seen = BeadPixels { shares: &shares, middle, places: &places };
    Measure {
        share,
        unevenness: local.unevenness,
        spread,
        is_beyond,
        pose,
        unreadable: unreadable(field, spot, &seen, share),
        doubts: doubts(sheet, (spot, others), &seen, (kept.len(), is_beyond)),
    }
}

/// The pixels of a bead that were looked at.
struct BeadPixels<'a> {
    shares: &'a [(f64, Share)],
    /// Their middle lightness.
    middle: f64,
    places: &'a [(usize, usize)],
}

impl BeadPixels<'_> {
    /// Which part of them differs from the middle lightness by more than `by`, upwards and downwards.
    fn beyond(&self, by: f64) -> (f64, f64) {
        let count = |is: &dyn Fn(f64) -> bool| {
            self.shares.iter().filter(|(l, _)| is(*l)).count() as f64 / self.shares.len().max(1) as f64
        };
        (count(&|l| l > self.middle + by), count(&|l| l < self.middle - by))
    }
}

fn part_of<T>(sorted: &[T], (from, to): Part) -> &[T] {
    let at = |part: f64| (part * sorted.len() as f64) as usize;
    let (from, to) = (at(from), at(to).max(at(from) + 1).min(sorted.len()));
    sorted.get(from..to).unwrap_or(sorted)
}

/// A ring shows its hole, in another colour than the ring's.
fn pose(field: &Field, spot: &BeadSpot) -> Pose {
    const SEEN: f64 = 0.55;
    /// This far from the face is a hole's middle at least, in Lab units.
    const OTHER: f64 = 5.0;
    let inside = middle_within(field, spot, (0.0, 0.3));
    let around = middle_within(field, spot, FACE);
    if spot.hole >= SEEN && inside.distance_squared(around).sqrt() >= OTHER {
        Pose::Upright
    } else {
        Pose::Lying
    }
}

/// Where a ring's face lies, in radii: free of hole and rim, which light and camera blur.
const FACE: (f64, f64) = (HOLE + 0.13, 0.88);

fn middle_within(field: &Field, spot: &BeadSpot, (from, to): (f64, f64)) -> Lab {
    let places = ring(field, spot, (from, to));
    middle_colour(&places.iter().map(|&place| field.colour(place)).collect::<Vec<_>>())
}

fn ring(field: &Field, spot: &BeadSpot, (from, to): (f64, f64)) -> Vec<(usize, usize)> {
    let all = field.within((spot.x, spot.y), to * spot.radius);
    all.filter(|(_, far)| *far >= from * spot.radius).map(|(place, _)| place).collect()
}

fn face(field: &Field, spot: &BeadSpot) -> Vec<(usize, usize)> {
    ring(field, spot, FACE)
}

/// Of a lying bead what faces upwards, whichever way it lies.
fn ridge(field: &Field, spot: &BeadSpot) -> Vec<(usize, usize)> {
    const REACH: f64 = 0.42;
    ring(field, spot, (0.0, REACH))
}

/// The paper around a bead beside what the sheet's light says of it.
struct LocalPaper {
    level: [f64; 3],
    unevenness: f64,
}

/// Bare paper around a bead: the light of soft shadows that the sheet's own light does not hold. Shadows of beads are
/// darker and left out.
fn local_paper(field: &Field, spot: &BeadSpot, others: &[BeadSpot]) -> LocalPaper {
    /// Paper is looked for this far out, in radii, and this far from other beads.
    const AROUND: (f64, f64) = (1.35, 2.7);
    const OFF_OTHERS: f64 = 1.35;
    /// Of that paper the brighter middle.
    const BRIGHTER: Part = (0.5, 0.85);
    /// Fewer pixels tell nothing; and no soft shadow is left that deep, no light that bright.
    const ENOUGH: usize = 60;
    const WITHIN: std::ops::Range<f64> = 0.8..1.15;
    let near: Vec<&BeadSpot> =
        others.iter().filter(|o| o.distance(spot) < (AROUND.1 + OFF_OTHERS) * spot.radius).collect();
    let is_free = |&(y, x): &(usize, usize)| {
        near.iter().all(|o| (o.x - x as f64).hypot(o.y - y as f64) > OFF_OTHERS * o.radius)
    };
    let free = ring(field, spot, AROUND).into_iter().filter(is_free);
    let mut paper: Vec<(f64, Share)> =
        free.filter_map(|place| field.share(place).map(|share| (field.colour(place).l, share))).collect();
    paper.sort_by(|a, b| a.0.total_cmp(&b.0));
    let kept = part_of(&paper, BRIGHTER);
    let mean = |c: usize| kept.iter().map(|(_, s)| f64::from(s[c])).sum::<f64>() / kept.len().max(1) as f64;
    let level: [f64; 3] = std::array::from_fn(mean);
    if kept.len() < ENOUGH || !level.iter().all(|level| WITHIN.contains(level)) {
        /// Paper that cannot be looked at is so uneven at most, as a rule.
        const UNSEEN: f64 = 0.05;
        return LocalPaper { level: [1.0; 3], unevenness: UNSEEN };
    }
    let green = |share: &Share| f64::from(share[1]);
    let (low, high) =
        kept.iter().fold((f64::MAX, f64::MIN), |(l, h), (_, s)| (l.min(green(s)), h.max(green(s))));
    // Noise parts the ends; what the light has to do with it is a part of that.
    let unevenness = (level[1] - 1.0).abs() / 2.0 + (high - low).max(0.0) / 8.0;
    LocalPaper { level, unevenness }
}

/// Why no one colour can be read of it.
fn unreadable(field: &Field, spot: &BeadSpot, seen: &BeadPixels, share: [f64; 3]) -> Option<Unreadable> {
    /// See-through: rim and hole are seen by their outlines alone; the hole's middle is like the face, both near paper.
    const OUTLINED: f64 = 0.75;
    const LIKE: f64 = 6.0;
    const NEAR_PAPER: f64 = 22.0;
    let face = Linear { r: share[0], g: share[1], b: share[2] }.lab();
    let inside = middle_within(field, spot, (0.0, 0.3));
    let around = middle_within(field, spot, FACE);
    let is_clear = spot.rim >= OUTLINED
        && spot.hole >= OUTLINED
        && ciede2000(inside, around).0 < LIKE
        && face.distance_squared(PAPER).sqrt() < NEAR_PAPER;
    if is_clear {
        return Some(Unreadable::Clear);
    }
    /// Glitter: half of the pixels differ from their neighbours by more than this in L*, and by this many times more than
    /// paper's do. A gloss, a shade or a rim goes over more than a pixel.
    const SPARKS: f64 = 1.5;
    const NOISES: f64 = 4.5;
    let sparks = field.grain(seen.places.iter().copied());
    (sparks > SPARKS.max(NOISES * field.paper_grain())).then_some(Unreadable::Glitter)
}

/// What speaks against a reading.
fn doubts(
    sheet: &FlatSheet,
    (spot, others): (&BeadSpot, &[BeadSpot]),
    seen: &BeadPixels,
    (clean, is_beyond): (usize, bool),
) -> Vec<Doubt> {
    /// Fewer clean pixels than this say little.
    const FEW: usize = 24;
    /// Glossy where a sixth of what is seen shines.
    const SHINE: f64 = 9.0;
    const GLOSSY: f64 = 0.16;
    /// Nearer than this, in radii, another bead lends its colour and takes its light.
    const NEAR: f64 = 2.25;
    /// Clipped where this many pixels have a channel at either end of its range.
    const CLIPPED: f64 = 0.3;
    const ENDS: (f32, f32) = (0.0008, 0.985);
    let nearest =
        others.iter().filter(|o| *o != spot).map(|o| o.distance(spot)).fold(f64::INFINITY, f64::min);
    let is_clipped = |place: &&(usize, usize)| {
        sheet.seen_at(**place).is_some_and(|seen| seen.iter().any(|v| *v < ENDS.0 || *v > ENDS.1))
    };
    let clipped = seen.places.iter().filter(is_clipped).count() as f64 / seen.places.len().max(1) as f64;
    [
        (clean < FEW, Doubt::FewPixels),
        (seen.beyond(SHINE).0 > GLOSSY, Doubt::Glossy),
        (nearest < NEAR * spot.radius, Doubt::NearAnother),
        (clipped > CLIPPED || is_beyond, Doubt::Clipped),
    ]
    .into_iter()
    .filter_map(|(is, doubt)| is.then_some(doubt))
    .collect()
}
