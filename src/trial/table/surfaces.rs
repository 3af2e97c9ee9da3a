//! What tables are made of and covered with.

use super::plane::{Place, eased};
use super::setting::Surface;
use crate::trial::canvas::{Paint, lit, over};
use crate::trial::chance::{Chance, Noise};

/// A table's top.
#[derive(Debug)]
pub(in crate::trial) struct Top {
    surface: Surface,
    /// Cosine and sine of its turn beneath the sheet.
    turn: (f64, f64),
    /// Its ground and what is on it.
    paints: [Paint; 3],
    grain: Noise,
    blotches: Noise,
    /// Millimetres from one check, board, flower or band to the next.
    step: f64,
    /// How strong its grain is, as a part of its light.
    contrast: f64,
}

/// What a surface's chances are: its grounds to choose from, what is on them, its step and its contrast.
struct Range {
    grounds: &'static [Paint],
    marks: &'static [Paint],
    step: (f64, f64),
    contrast: (f64, f64),
}

/// Colours of yarn, thread and print: blue, red, green, grey, ochre.
const DYES: &[Paint] =
    &[[0.03, 0.08, 0.24], [0.36, 0.03, 0.03], [0.05, 0.17, 0.06], [0.14, 0.14, 0.15], [0.42, 0.22, 0.04]];

/// What stands on nothing: surfaces of one material.
const NO_MARKS: &[Paint] = &[[0.0; 3]];

fn range(surface: Surface) -> Range {
    let (grounds, marks, step, contrast): (&[Paint], &[Paint], _, _) = match surface {
        Surface::White => (
            &[[0.72, 0.72, 0.72], [0.66, 0.68, 0.70], [0.76, 0.74, 0.69]],
            NO_MARKS,
            (1.0, 1.0),
            (0.01, 0.04),
        ),
        Surface::Oak => (
            &[[0.42, 0.28, 0.15], [0.50, 0.36, 0.21], [0.46, 0.35, 0.24]],
            NO_MARKS,
            (1.0, 1.0),
            (0.12, 0.28),
        ),
        Surface::Walnut => (
            &[[0.10, 0.045, 0.02], [0.13, 0.06, 0.03], [0.07, 0.04, 0.03]],
            NO_MARKS,
            (1.0, 1.0),
            (0.2, 0.45),
        ),
        Surface::Boards => (
            &[[0.38, 0.25, 0.13], [0.22, 0.12, 0.06], [0.52, 0.40, 0.26]],
            &[[0.03, 0.02, 0.01]],
            (70.0, 150.0),
            (0.12, 0.3),
        ),
        Surface::Checked => (&[[0.72, 0.70, 0.64], [0.80, 0.80, 0.80]], DYES, (18.0, 46.0), (0.1, 0.3)),
        Surface::Flowered => (
            &[[0.72, 0.68, 0.58], [0.10, 0.14, 0.26], [0.52, 0.30, 0.28], [0.74, 0.78, 0.80]],
            &[[0.60, 0.08, 0.10], [0.72, 0.42, 0.05], [0.34, 0.12, 0.42], [0.80, 0.76, 0.72]],
            (30.0, 62.0),
            (0.05, 0.2),
        ),
        Surface::Rug => {
            (&[[0.26, 0.05, 0.04], [0.30, 0.24, 0.17], [0.06, 0.09, 0.15]], DYES, (50.0, 110.0), (0.25, 0.55))
        }
        Surface::Stone => (
            &[[0.42, 0.41, 0.38], [0.22, 0.22, 0.23], [0.58, 0.54, 0.48]],
            &[[0.62, 0.60, 0.57], [0.10, 0.10, 0.11]],
            (60.0, 140.0),
            (0.15, 0.45),
        ),
        Surface::Black => (
            &[[0.012, 0.012, 0.014], [0.03, 0.028, 0.026], [0.006, 0.007, 0.01]],
            NO_MARKS,
            (1.0, 1.0),
            (0.1, 0.4),
        ),
        Surface::Card => (
            &[
                [0.80, 0.76, 0.66],
                [0.76, 0.78, 0.80],
                [0.80, 0.72, 0.70],
                [0.70, 0.77, 0.70],
                [0.79, 0.79, 0.77],
            ],
            NO_MARKS,
            (1.0, 1.0),
            (0.01, 0.03),
        ),
    };
    Range { grounds, marks, step, contrast }
}

/// The green of printed leaves.
const LEAF: Paint = [0.10, 0.24, 0.08];

impl Top {
    /// A table's top, turned by an angle in radians beneath the sheet.
    pub fn new(surface: Surface, angle: f64, chance: &mut Chance) -> Self {
        let Range { grounds, marks, step, contrast } = range(surface);
        Self {
            surface,
            turn: (angle.cos(), angle.sin()),
            paints: [chance.one_of(grounds), chance.one_of(marks), chance.one_of(marks)],
            grain: chance.noise(),
            blotches: chance.noise(),
            step: chance.within(step.0, step.1),
            contrast: chance.within(contrast.0, contrast.1),
        }
    }

    /// Its light at a place.
    pub fn at(&self, (x, y): Place) -> Paint {
        let (cos, sin) = self.turn;
        let at = (x * cos + y * sin, y * cos - x * sin);
        match self.surface {
            Surface::White | Surface::Black | Surface::Card => self.smooth(at),
            Surface::Oak | Surface::Walnut => self.wood(self.paints[0], at),
            Surface::Boards => self.boards(at),
            Surface::Checked => self.checked(at),
            Surface::Flowered => self.flowered(at),
            Surface::Rug => self.rug(at),
            Surface::Stone => self.stone(at),
        }
    }

    fn grained(&self, paint: Paint, by: f64) -> Paint {
        lit(paint, 1.0 + self.contrast * by)
    }

    fn smooth(&self, (x, y): Place) -> Paint {
        /// Millimetres across a cloud of polish, and across a speck of dust or fibre.
        const CLOUD: f64 = 70.0;
        const SPECK: f64 = 0.7;
        let speck = self.grain.at(x / SPECK, y / SPECK);
        self.grained(self.paints[0], self.blotches.at(x / CLOUD, y / CLOUD) + 0.5 * speck)
    }

    fn wood(&self, paint: Paint, (x, y): Place) -> Paint {
        /// Millimetres along and across a growth ring, and along and across a fibre.
        const RING: Place = (190.0, 8.0);
        const FIBRE: Place = (26.0, 0.8);
        /// A ring bends aside by this many millimetres.
        const BEND: f64 = 6.0;
        let bent = y + BEND * self.blotches.at(x / RING.0, y / RING.0);
        let ring = self.blotches.at(x / RING.0, bent / RING.1);
        let fibre = self.grain.at(x / FIBRE.0, bent / FIBRE.1);
        self.grained(paint, 0.55 * ring + 0.6 * fibre)
    }

    fn boards(&self, (x, y): Place) -> Paint {
        /// Half a seam's width in millimetres.
        const SEAM: (f64, f64) = (0.7, 1.2);
        /// A board is lighter or darker than another by this part, and was cut this far along its tree.
        const APART: f64 = 0.16;
        const ALONG: f64 = 733.0;
        let board = (y / self.step).floor();
        let to_seam = (y / self.step - board).min(board + 1.0 - y / self.step) * self.step;
        let tone = 1.0 + APART * self.grain.grain(board as i64, 0);
        let wood = self.wood(lit(self.paints[0], tone), (x + ALONG * board, y));
        over(self.paints[1], wood, eased(SEAM.0, SEAM.1, to_seam))
    }

    /// Fine threads, crossing.
    fn weave(&self, paint: Paint, (x, y): Place) -> Paint {
        /// Millimetres from thread to thread, and across a fold that was not ironed out.
        const THREAD: f64 = 0.9;
        const FOLD: f64 = 90.0;
        let threads = self.grain.at(x / THREAD, y / (2.0 * THREAD)) + self.grain.at(y / THREAD, x / THREAD);
        self.grained(paint, 0.4 * threads + 0.4 * self.blotches.at(x / FOLD, y / FOLD))
    }

    fn checked(&self, (x, y): Place) -> Paint {
        /// One set of threads covers this much of the ground, both together nearly all.
        const ONE: f64 = 0.5;
        const BOTH: f64 = 0.92;
        let dyed = |v: f64| usize::from((v / self.step).rem_euclid(1.0) < 0.5);
        let part = [0.0, ONE, BOTH][dyed(x) + dyed(y)];
        self.weave(over(self.paints[0], self.paints[1], part), (x, y))
    }

    fn flowered(&self, (x, y): Place) -> Paint {
        /// A flower is off the middle of its place by this part of a step; its radius as a part of it.
        const OFF: f64 = 0.16;
        const RADIUS: f64 = 0.27;
        /// Petals, how deep they are parted, and how large the eye is in radii.
        const PETALS: f64 = 5.0;
        const PARTED: f64 = 0.3;
        const EYE: f64 = 0.28;
        /// Two leaves, this far from the middle in radii, this long and wide.
        const LEAVES: (f64, f64, f64) = (1.15, 0.5, 0.22);
        let (column, row) = ((x / self.step).floor(), (y / self.step).floor());
        let cell = |salt: i64| self.grain.grain(column as i64 * 8 + salt, row as i64);
        let (u, v) =
            (x / self.step - column - 0.5 - OFF * cell(0), y / self.step - row - 0.5 - OFF * cell(1));
        let (u, v) = (u / RADIUS, v / RADIUS);
        let turn = std::f64::consts::PI * cell(2);
        let away = u.hypot(v);
        let petal = 1.0 - PARTED + PARTED * (PETALS * (v.atan2(u) + turn)).cos();
        let (along, aside) = ((u * turn.cos() + v * turn.sin()).abs(), v * turn.cos() - u * turn.sin());
        let leaf = ((along - LEAVES.0) / LEAVES.1).hypot(aside / LEAVES.2);
        let flower = if cell(3) > 0.0 { self.paints[1] } else { self.paints[2] };
        let printed = if away < EYE {
            lit(flower, 0.35)
        } else if away < petal {
            flower
        } else if leaf < 1.0 {
            LEAF
        } else {
            self.paints[0]
        };
        self.weave(printed, (x, y))
    }

    fn rug(&self, (x, y): Place) -> Paint {
        /// Millimetres across a tuft of the pile.
        const TUFT: f64 = 2.2;
        /// Every band has a row of lozenges, as wide as a part of the band, and is edged by a stripe.
        const LOZENGE: f64 = 0.36;
        const INNER: f64 = 0.18;
        const STRIPE: f64 = 0.06;
        let (band, across) = ((y / self.step).floor(), (y / self.step).rem_euclid(1.0) - 0.5);
        let along = (x / self.step + 0.5 * (band as i64 % 2) as f64).rem_euclid(1.0) - 0.5;
        let off_middle = along.abs() + across.abs();
        let woven = if across.abs() > 0.5 - STRIPE || off_middle < INNER {
            self.paints[2]
        } else if off_middle < LOZENGE {
            self.paints[1]
        } else {
            self.paints[0]
        };
        let pile = self.grain.at(x / TUFT, y / TUFT) + 0.5 * self.blotches.at(x / self.step, y / self.step);
        self.grained(woven, pile)
    }

    fn stone(&self, (x, y): Place) -> Paint {
        /// Millimetres across a cloud and across a grain.
        const CLOUD: f64 = 45.0;
        const GRAIN: f64 = 1.6;
        /// A vein is where smooth noise is this near to 0.
        const VEIN: f64 = 0.05;
        let cloud = self.blotches.at(x / CLOUD, y / CLOUD);
        let grain = self.grain.at(x / GRAIN, y / GRAIN);
        let bent = self.grain.at(x / CLOUD, y / CLOUD);
        let vein = self.blotches.at(x / self.step + bent, y / self.step - bent).abs();
        let stone = self.grained(self.paints[0], 0.5 * cloud + 0.6 * grain);
        over(stone, self.paints[1], 0.5 * (1.0 - eased(0.0, VEIN, vein)))
    }
}
