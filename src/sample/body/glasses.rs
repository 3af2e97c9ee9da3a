//! Glasses: two rings about the eyes that a bridge joins.
//!
//! Outlined eyes are rings too; only the bridge over the nose tells glasses from them. They become lenses with
//! the frame's colour between them, for a frame about a lens is far thinner than a bead (all four designs by eye of
//! our two sketches with glasses).

use ndarray::Array2;

use super::detect::{Asked, Claim, Detector, Rank};
use super::face::{EYES, face_of};
use super::scene::Scene;
use super::silhouette::Span;
use crate::colour::{Lab, ciede2000};
use crate::reference::ground::middle_colour;
use crate::reference::mask::beside;

/// A lens as those who design by eye give it: palest blue, whatever is seen through it.
const LENS: Lab = Lab { l: 89.0, a: -4.0, b: -6.0 };

/// What is so much darker than the skin may be a frame.
const DARKER: f64 = 8.0;

/// A lens is at least and at most so large, in beads; the smaller one is at least so much of the larger.
const LENS_SIZE: (f64, f64) = (0.12, 4.0);
const ALIKE: f64 = 0.4;

/// Skin is seen through a lens, within so much (CIEDE2000); the white of an eye is another colour. A lens of another
/// colour is larger than the white of an eye: at least so many beads.
const SEEN_THROUGH: f64 = 12.0;
const LARGE: f64 = 0.6;

/// Both stand on one line within so many beads.
const LEVEL: f64 = 0.6;

/// Where the rings may lie about the eyes' row, in beads.
const ABOUT: f64 = 1.0;

/// The bridge leaves a ring within so many working pixels of its lens.
const RIM: usize = 4;

/// Glasses.
pub(super) const DETECTOR: Detector = Detector {
    name: "glasses",
    what: "Two rings about the eyes that a bridge over the nose joins: two lenses and the frame between them.",
    why: "Glasses are the first thing that is seen of who wears them; a frame is far thinner than a bead.",
    source: "All four designs by eye of our two sketches with glasses.",
    example: "A clockmaker's round spectacles.",
    limits: "Lenses of 0.12 to 4 beads, the smaller at least 0.4 of the larger, level within 0.6 beads.",
    find,
};

fn find(scene: &Scene) -> Vec<Claim> {
    let Some((row, seen)) = face_of(scene).and_then(|face| Some((face.row, seen_on(scene, &face)?))) else {
        return Vec::new();
    };
    let claim =
        |pegs, colour| Claim { pegs, asked: Asked::Known(colour), rank: Rank::Glasses, stands: seen.alike };
    vec![claim(EYES.map(|column| (row, column)).to_vec(), LENS), claim(vec![(row, 0)], seen.frame)]
}

/// The glasses that a face wears.
fn seen_on(scene: &Scene, face: &super::face::Face) -> Option<Glasses> {
    let bead = |column: i32| scene.stretch((face.row, column)).map(|stretch| stretch.span);
    let (left, nose, right) = (bead(EYES[0])?, bead(0)?, bead(EYES[1])?);
    let (above, below) = (scene.lines[face.row], scene.lines[face.row + 1]);
    glasses(&Face {
        colours: scene.reference.colours(),
        skin: scene.colour(face.skin),
        down: Span { from: above, to: below },
        across: Span { from: left.from, to: right.to },
        nose: nose.middle(),
        pitch: below - above,
    })
}

/// The face as it is looked at for glasses.
struct Face<'a> {
    colours: &'a Array2<Lab>,
    skin: Lab,
    /// The row of the eyes and the beads they lie in, from the left eye to the right one.
    down: Span,
    across: Span,
    /// Where the nose is.
    nose: f64,
    pitch: f64,
}

/// A part of the face that a line shuts in, with its box: from and to, to being the first outside.
#[derive(Clone, Debug)]
struct Lens {
    pixels: Vec<(usize, usize)>,
    down: (usize, usize),
    across: (usize, usize),
}

impl Lens {
    fn middle(&self) -> (f64, f64) {
        let middle = |(from, to): (usize, usize)| f64::midpoint(from as f64, to as f64);
        (middle(self.down), middle(self.across))
    }
}

/// Glasses: the colour of their frame, and how alike both lenses are in size, 0 to 1.
struct Glasses {
    frame: Lab,
    alike: f64,
}

fn glasses(face: &Face) -> Option<Glasses> {
    let (rows, columns) = face.colours.dim();
    let clamp = |v: f64, most: usize| (v.max(0.0) as usize).min(most);
    let about = ABOUT * face.pitch;
    let (top, bottom) = (clamp(face.down.from - about, rows), clamp(face.down.to + about, rows));
    let (left, right) = (clamp(face.across.from - about, columns), clamp(face.across.to + about, columns));
    let seen = face.colours.slice(ndarray::s![top..bottom, left..right]);
    let dark = seen.map(|c| c.l + DARKER <= face.skin.l);
    let nose = face.nose - left as f64;
    let size = |lens: &Lens| lens.pixels.len() as f64 / (face.pitch * face.pitch);
    let mut lenses = shut_in(&dark);
    lenses.retain(|lens| {
        let through = || middle_colour(&lens.pixels.iter().map(|p| seen[*p]).collect::<Vec<_>>());
        (LENS_SIZE.0..LENS_SIZE.1).contains(&size(lens))
            && (size(lens) >= LARGE || ciede2000(through(), face.skin).0 <= SEEN_THROUGH)
    });
    let alike = |one: &Lens, other: &Lens| size(one).min(size(other)) / size(one).max(size(other));
    let is_pair = |one: &Lens, other: &Lens| {
        one.middle().1 < nose
            && nose < other.middle().1
            && alike(one, other) >= ALIKE
            && (one.middle().0 - other.middle().0).abs() <= LEVEL * face.pitch
    };
    let pairs = lenses.iter().flat_map(|one| lenses.iter().map(move |other| (one, other)));
    pairs.filter(|(one, other)| is_pair(one, other)).find_map(|(one, other)| {
        let frame = frame_colour(bridge(&dark, one, other)?.iter().map(|p| seen[*p]).collect())?;
        Some(Glasses { frame, alike: alike(one, other) })
    })
}

/// The middle of the darker half: the rest is blurred with the skin.
fn frame_colour(mut seen: Vec<Lab>) -> Option<Lab> {
    seen.sort_by(|a, b| a.l.total_cmp(&b.l));
    seen.truncate(seen.len().div_ceil(2));
    seen.get(seen.len() / 2).copied()
}

/// Parts that dark lines shut in, so that they do not reach the border.
fn shut_in(dark: &Array2<bool>) -> Vec<Lens> {
    let (rows, columns) = dark.dim();
    let mut seen = dark.clone();
    let mut found = Vec::new();
    for (start, _) in dark.indexed_iter() {
        if std::mem::replace(&mut seen[start], true) {
            continue;
        }
        let mut pixels = vec![start];
        let mut next = 0;
        while let Some(&place) = pixels.get(next) {
            next += 1;
            pixels.extend(beside(place, dark.dim()).filter(|p| !std::mem::replace(&mut seen[*p], true)));
        }
        let span = |of: fn(&(usize, usize)) -> usize| {
            let (low, high) = pixels.iter().map(of).fold((usize::MAX, 0), |(l, h), v| (l.min(v), h.max(v)));
            (low, high + 1)
        };
        let (down, across) = (span(|p| p.0), span(|p| p.1));
        if down.0 > 0 && across.0 > 0 && down.1 < rows && across.1 < columns {
            found.push(Lens { pixels, down, across });
        }
    }
    found
}

/// The dark pixels that lead from one lens to the other at their own height, if any do.
fn bridge(dark: &Array2<bool>, one: &Lens, other: &Lens) -> Option<Vec<(usize, usize)>> {
    let (top, bottom) = (one.down.0.min(other.down.0), one.down.1.max(other.down.1));
    let (from, to) = (one.across.1, other.across.0);
    let is_inside =
        |(y, x): (usize, usize)| (top..bottom).contains(&y) && (from..to).contains(&x) && dark[(y, x)];
    let mut reached: Vec<(usize, usize)> = (top..bottom)
        .flat_map(|y| (from..to.min(from + RIM)).map(move |x| (y, x)))
        .filter(|p| is_inside(*p))
        .collect();
    let mut seen = Array2::from_elem(dark.dim(), false);
    reached.iter().for_each(|p| seen[*p] = true);
    let mut next = 0;
    while let Some(&(y, x)) = reached.get(next) {
        next += 1;
        for near in
            (y.saturating_sub(1)..=y + 1).flat_map(|y| (x.saturating_sub(1)..=x + 1).map(move |x| (y, x)))
        {
            if is_inside(near) && !std::mem::replace(&mut seen[near], true) {
                reached.push(near);
            }
        }
    }
    reached.iter().any(|(_, x)| x + RIM >= to).then_some(reached)
}
