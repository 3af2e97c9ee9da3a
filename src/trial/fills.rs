//! How an area is filled: with marker, wax crayon or coloured pencil.

use super::canvas::{Paint, lit, over};
use super::chance::{Chance, Noise};

/// Strokes across an area: their direction, their width in beads, and their unevenness.
#[derive(Clone, Copy, Debug)]
struct Strokes {
    along: (f64, f64),
    width: f64,
    noise: Noise,
}

impl Strokes {
    fn new(chance: &mut Chance, width: f64) -> Self {
        /// Radians off the upright: a hand fills slantwise, to the left or right.
        const SLANT: (f64, f64) = (0.5, 1.2);
        let angle = chance.within(SLANT.0, SLANT.1) * chance.one_of(&[1.0, -1.0]);
        Self { along: angle.sin_cos(), width, noise: chance.noise() }
    }

    /// Unevenness at a place, -1 to 1: quick across the strokes, slow along them.
    fn at(&self, x: f64, y: f64) -> f64 {
        /// A stroke is about this many times as long as it is wide.
        const LONG: f64 = 18.0;
        let (sin, cos) = self.along;
        let (across, along) = (x * cos - y * sin, x * sin + y * cos);
        self.noise.at(across / self.width, along / (LONG * self.width))
    }
}

/// What an area is filled with.
#[derive(Clone, Copy, Debug)]
pub(super) struct Fill {
    paint: Paint,
    medium: Medium,
}

#[derive(Clone, Copy, Debug)]
enum Medium {
    Marker {
        strokes: Strokes,
        missed: f64,
    },
    /// Wax or pencil: how much of the paper it covers, how uneven the strokes and how coarse the paper's
    /// grain is, and how much both take away.
    Dry {
        strokes: Strokes,
        grain: Noise,
        cover: f64,
        uneven: f64,
        rough: f64,
    },
}

impl Fill {
    /// Felt marker: streaks a little lighter and darker, and here and there one that was missed.
    pub fn marker(paint: Paint, chance: &mut Chance) -> Self {
        /// How wide a stroke is, in beads.
        const WIDTH: (f64, f64) = (0.25, 0.5);
        /// Streaks past this are missed: some at the lower end, none above 1.
        const MISSED: (f64, f64) = (0.72, 1.05);
        let width = chance.within(WIDTH.0, WIDTH.1);
        let missed = chance.within(MISSED.0, MISSED.1);
        Self { paint, medium: Medium::Marker { strokes: Strokes::new(chance, width), missed } }
    }

    /// Wax crayon: broad strokes that catch only on the paper's grain.
    pub fn crayon(paint: Paint, chance: &mut Chance) -> Self {
        /// How wide a stroke is, in beads, how much of the paper wax covers, and what strokes and grain change in it.
        const WIDTH: f64 = 0.3;
        const COVER: (f64, f64) = (0.36, 0.72);
        const UNEVEN: f64 = 0.3;
        const ROUGH: f64 = 0.45;
        let strokes = Strokes::new(chance, WIDTH);
        let (cover, grain) = (chance.within(COVER.0, COVER.1), chance.noise());
        Self { paint, medium: Medium::Dry { strokes, grain, cover, uneven: UNEVEN, rough: ROUGH } }
    }

    /// Coloured pencil: fine strokes, paler, evener.
    pub fn pencil(paint: Paint, chance: &mut Chance) -> Self {
        /// As for wax: a hard point leaves fine lines, and feels less of the grain.
        const WIDTH: f64 = 0.13;
        const COVER: (f64, f64) = (0.34, 0.66);
        const UNEVEN: f64 = 0.35;
        const ROUGH: f64 = 0.2;
        let strokes = Strokes::new(chance, WIDTH);
        let (cover, grain) = (chance.within(COVER.0, COVER.1), chance.noise());
        Self { paint, medium: Medium::Dry { strokes, grain, cover, uneven: UNEVEN, rough: ROUGH } }
    }

    /// The light at a place (in beads) on paper; `pixel` is the fine pixel.
    pub fn at(&self, paper: Paint, (x, y): (f64, f64), pixel: (usize, usize)) -> Paint {
        match self.medium {
            Medium::Marker { strokes, missed } => {
                /// A streak's deviation of light.
                const STREAK: f64 = 0.14;
                /// A missed streak lets half of the paper through.
                const THROUGH: f64 = 0.55;
                let streak = strokes.at(x, y);
                let ink = lit(self.paint, 1.0 + STREAK * streak);
                if streak > missed { over(ink, paper, THROUGH) } else { ink }
            }
            Medium::Dry { strokes, grain, cover, uneven, rough } => {
                /// The paper's grain is some fine pixels wide whatever the drawing's scale.
                const GRAIN: f64 = 3.0;
                /// Some wax is everywhere, and some paper shows everywhere.
                const LEAST: f64 = 0.05;
                const MOST: f64 = 0.97;
                let grain = grain.at(pixel.1 as f64 / GRAIN, pixel.0 as f64 / GRAIN);
                let part = cover + uneven * strokes.at(x, y) + rough * grain;
                over(paper, self.paint, part.clamp(LEAST, MOST))
            }
        }
    }
}
