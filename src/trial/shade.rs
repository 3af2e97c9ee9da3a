//! Light from one side on a painted figure, and the shadow it throws.

use ndarray::Array2;

use super::canvas::{Paint, lit, over};
use super::chance::{Chance, Noise};
use super::shapes::{Frame, Shape};

/// Light, shade and ground of a painting.
#[derive(Debug)]
pub(super) struct Scene {
    /// How far from the lit side each fine pixel of the figure lies, 0 to 1.
    turned: Array2<f32>,
    depth: f64,
    /// Painted in steps instead of softly.
    steps: bool,
    folds: Noise,
    scale: f64,
    shadow: Shadow,
    /// Where the floor begins, as a share of the height, and how much darker it is; a wall alone has none.
    floor: Option<(f64, f64)>,
}

/// An ellipse at the feet, in fine pixels.
#[derive(Debug)]
struct Shadow {
    middle: (f64, f64),
    half: (f64, f64),
    depth: f64,
}

impl Scene {
    pub fn new(seen: &Array2<Shape>, frame: &Frame, rows: usize, chance: &mut Chance) -> Self {
        /// Light falls from the left or the right, is painted softly or in steps, and lies on a floor or only
        /// before a wall: each as often as the other.
        const EVERY_SECOND: f64 = 0.5;
        /// How much of the light the far side lacks.
        const DEPTH: (f64, f64) = (0.32, 0.62);
        /// The thrown shadow: moved aside by this part of half the feet's width; this high, in beads, as one seen
        /// from a little above; and how much darker.
        const ASIDE: f64 = 0.5;
        const LYING: (f64, f64) = (0.35, 0.7);
        const THROWN: (f64, f64) = (0.35, 0.6);
        /// The floor begins behind the feet, by this share of the picture's height, and keeps this much light.
        const BEHIND: (f64, f64) = (0.02, 0.12);
        const FLOOR: (f64, f64) = (0.75, 0.9);
        let from_left = chance.happens(EVERY_SECOND);
        let (feet, sole) = feet_of(seen, frame, rows);
        let half = (feet.1 - feet.0) / 2.0;
        let aside = if from_left { ASIDE * half } else { -ASIDE * half };
        let height = seen.nrows() as f64;
        Self {
            turned: turned_away(seen, from_left),
            depth: chance.within(DEPTH.0, DEPTH.1),
            steps: chance.happens(EVERY_SECOND),
            folds: chance.noise(),
            scale: frame.scale,
            shadow: Shadow {
                middle: ((feet.0 + feet.1) / 2.0 + aside, sole),
                half: (half + frame.scale, chance.within(LYING.0, LYING.1) * frame.scale),
                depth: chance.within(THROWN.0, THROWN.1),
            },
            floor: chance.happens(EVERY_SECOND).then(|| {
                (sole / height - chance.within(BEHIND.0, BEHIND.1), chance.within(FLOOR.0, FLOOR.1))
            }),
        }
    }

    pub fn on_figure(&self, paint: Paint, p: (usize, usize)) -> Paint {
        /// A fold of cloth is this many beads wide and long, and turns the light by this much.
        const FOLD: (f64, f64) = (1.6, 3.0);
        const FOLDED: f64 = 0.12;
        /// Painted in steps, what lies past the middle is in the shade.
        const STEP: f64 = 0.58;
        /// Painted softly, shade begins a fifth from the lit side and is full a little before the far one.
        const SOFT: (f64, f64) = (1.5, 0.3);
        /// The lit side is a little brighter than the paint.
        const LIT: f64 = 1.06;
        /// Shade takes the colour of the sky a little.
        const COOL: Paint = [0.96, 0.98, 1.04];
        let fold = self.folds.at(p.1 as f64 / (FOLD.0 * self.scale), p.0 as f64 / (FOLD.1 * self.scale));
        let away = f64::from(self.turned[p]) + FOLDED * fold;
        let shade = if self.steps {
            f64::from(u8::from(away > STEP))
        } else {
            (SOFT.0 * away - SOFT.1).clamp(0.0, 1.0)
        };
        let dim = LIT - self.depth * shade;
        let dimmed = lit(paint, dim);
        std::array::from_fn(|c| (dimmed[c] * (1.0 + (COOL[c] - 1.0) * shade as f32)).min(1.0))
    }

    pub fn on_ground(&self, ground: Paint, (y, x): (usize, usize)) -> Paint {
        /// How much darker a wall is at its foot than at its top.
        const WALL: f64 = 0.1;
        /// The thrown shadow fades out over this part of its size, ending this far from its middle.
        const FADES: f64 = 0.5;
        const ENDS: f64 = 1.25;
        let share = y as f64 / self.turned.nrows() as f64;
        let tone = match self.floor {
            Some((line, darker)) if share > line => darker,
            _ => 1.0 - WALL * share,
        };
        let lying = lit(ground, tone);
        let Shadow { middle, half, depth } = self.shadow;
        let away = ((x as f64 - middle.0) / half.0).hypot((y as f64 - middle.1) / half.1);
        let part = ((ENDS - away) / FADES).clamp(0.0, 1.0);
        over(lying, lit(lying, 1.0 - depth), part)
    }
}

/// How far across its row each pixel lies from the lit side, evened from row to row.
fn turned_away(seen: &Array2<Shape>, from_left: bool) -> Array2<f32> {
    /// How much of an edge is carried from one fine row to the next: what sticks out is evened over about 16.
    const CARRIED: f64 = 0.94;
    const NEW: f64 = 0.06;
    let (rows, columns) = seen.dim();
    let mut turned = Array2::zeros((rows, columns));
    let mut carried: Option<(f64, f64)> = None;
    for y in 0..rows {
        let mut filled = (0..columns).filter(|&x| seen[(y, x)].is_some());
        let Some(first) = filled.next() else { continue };
        let last = filled.next_back().unwrap_or(first);
        let (first, last) = (first as f64, last as f64 + 1.0);
        let slow = |old: f64, new: f64| CARRIED * old + NEW * new;
        let (left, right) = carried.map_or((first, last), |(l, r)| (slow(l, first), slow(r, last)));
        carried = Some((left, right));
        for x in 0..columns {
            let across = ((x as f64 - left) / (right - left).max(1.0)).clamp(0.0, 1.0);
            turned[(y, x)] = if from_left { across } else { 1.0 - across } as f32;
        }
    }
    turned
}

/// The span of the lowest row of beads, and its lower edge.
fn feet_of(seen: &Array2<Shape>, frame: &Frame, rows: usize) -> ((f64, f64), f64) {
    let sole = frame.top + rows as f64 * frame.scale;
    let y = ((sole - 0.5 * frame.scale) as usize).min(seen.nrows() - 1);
    let filled = || (0..seen.ncols()).filter(|&x| seen[(y, x)].is_some());
    let (first, last) = (filled().next().unwrap_or(0), filled().next_back().unwrap_or(seen.ncols() - 1));
    ((first as f64, last as f64), sole)
}
