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
        let from_left = chance.happens(0.5);
        let (feet, sole) = feet_of(seen, frame, rows);
        let half = (feet.1 - feet.0) / 2.0;
        let aside = if from_left { 0.5 * half } else { -0.5 * half };
        let height = seen.nrows() as f64;
        Self {
            turned: turned_away(seen, from_left),
            depth: chance.within(0.3, 0.55),
            steps: chance.happens(0.5),
            folds: chance.noise(),
            scale: frame.scale,
            shadow: Shadow {
                middle: ((feet.0 + feet.1) / 2.0 + aside, sole),
                half: (half + frame.scale, chance.within(0.35, 0.7) * frame.scale),
                depth: chance.within(0.35, 0.6),
            },
            floor: chance
                .happens(0.5)
                .then(|| (sole / height - chance.within(0.02, 0.12), chance.within(0.75, 0.9))),
        }
    }

    pub fn on_figure(&self, paint: Paint, p: (usize, usize)) -> Paint {
        let fold = self.folds.at(p.1 as f64 / (1.6 * self.scale), p.0 as f64 / (3.0 * self.scale));
        let away = f64::from(self.turned[p]) + 0.12 * fold;
        let shade =
            if self.steps { if away > 0.58 { 1.0 } else { 0.0 } } else { (1.5 * away - 0.3).clamp(0.0, 1.0) };
        let dim = 1.06 - self.depth * shade;
        // Shade takes the colour of the sky a little.
        let cool: Paint = [0.96, 0.98, 1.04];
        let dimmed = lit(paint, dim);
        std::array::from_fn(|c| (dimmed[c] * (1.0 + (cool[c] - 1.0) * shade as f32)).min(1.0))
    }

    pub fn on_ground(&self, ground: Paint, (y, x): (usize, usize)) -> Paint {
        let share = y as f64 / self.turned.nrows() as f64;
        let tone = match self.floor {
            Some((line, darker)) if share > line => darker,
            // A wall grows darker downwards.
            _ => 1.0 - 0.1 * share,
        };
        let lying = lit(ground, tone);
        let Shadow { middle, half, depth } = self.shadow;
        let away = ((x as f64 - middle.0) / half.0).hypot((y as f64 - middle.1) / half.1);
        let part = ((1.25 - away) / 0.5).clamp(0.0, 1.0);
        over(lying, lit(lying, 1.0 - depth), part)
    }
}

/// How far across its row each pixel lies from the lit side, evened from row to row.
fn turned_away(seen: &Array2<Shape>, from_left: bool) -> Array2<f32> {
    let (rows, columns) = seen.dim();
    let mut turned = Array2::zeros((rows, columns));
    let mut carried: Option<(f64, f64)> = None;
    for y in 0..rows {
        let mut filled = (0..columns).filter(|&x| seen[(y, x)].is_some());
        let Some(first) = filled.next() else { continue };
        let last = filled.next_back().unwrap_or(first);
        let (first, last) = (first as f64, last as f64 + 1.0);
        let slow = |old: f64, new: f64| 0.94 * old + 0.06 * new;
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
