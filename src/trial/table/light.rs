//! The light a sheet on a table is photographed in, and the shadows that fall on it.

use super::plane::{Place, Slab, eased, off_rod};
use super::setting::{Lighting, Thrown};
use crate::trial::canvas::Paint;
use crate::trial::chance::Chance;

/// A light and the shadows in it.
#[derive(Debug)]
pub(in crate::trial) struct Light {
    colour: Paint,
    fall: Fall,
    thrown: Option<Shadow>,
    corner: Option<Dark>,
    /// Which way it comes from, as a step of length 1.
    from: Place,
}

/// How light falls off over the table.
#[derive(Debug)]
enum Fall {
    /// From a lamp at a place, this high above it.
    Lamp { at: Place, height: f64 },
    /// Along its way: how much is left after each length of the sheet's longer side.
    Across { left: f64 },
}

/// A shadow with an edge.
#[derive(Debug)]
struct Shadow {
    parts: Vec<Part>,
    /// How much of the light it takes, and over how many millimetres its edge goes.
    depth: f64,
    edge: f64,
}

#[derive(Debug)]
enum Part {
    Board(Slab),
    Rod((Place, Place), f64),
}

/// Darkness over a corner: what lies beyond a line.
#[derive(Debug)]
struct Dark {
    /// A place on the line and the way out over the corner, of length 1.
    on: Place,
    out: Place,
    depth: f64,
    edge: f64,
}

/// The longer side of the sheet, by which light and shadows are measured.
const SHEET: f64 = super::LONGER;

impl Light {
    /// A light of a kind, with the shadow that falls on the sheet.
    pub fn new(lighting: Lighting, thrown: Thrown, chance: &mut Chance) -> Self {
        let angle = chance.within(0.0, std::f64::consts::TAU);
        let from = (angle.cos(), angle.sin());
        Self {
            colour: colour(lighting, chance),
            fall: fall(lighting, from, chance),
            thrown: Shadow::new(thrown, chance),
            corner: None,
            from,
        }
    }

    /// Puts a corner in the dark: what lies beyond the place `on`, the way `out`.
    pub fn darken(&mut self, on: Place, out: Place, chance: &mut Chance) {
        /// How much of the light is gone, and how wide the edge of the dark is in millimetres.
        const DEPTH: (f64, f64) = (0.72, 0.93);
        const EDGE: (f64, f64) = (4.0, 22.0);
        let (depth, edge) = (chance.within(DEPTH.0, DEPTH.1), chance.within(EDGE.0, EDGE.1));
        self.corner = Some(Dark { on, out, depth, edge });
    }

    /// Which way it comes from, as a step of length 1.
    pub fn from(&self) -> Place {
        self.from
    }

    /// The light at a place: of each colour this much.
    pub fn at(&self, place: Place) -> Paint {
        let thrown = self.thrown.as_ref().map_or(1.0, |shadow| shadow.leaves(place));
        let corner = self.corner.as_ref().map_or(1.0, |dark| dark.leaves(place));
        let bright = (self.fall.at(place, self.from) * thrown * corner) as f32;
        self.colour.map(|v| v * bright)
    }
}

/// The colour of a light on white, the telephone's correction taken: it never takes out all.
fn colour(lighting: Lighting, chance: &mut Chance) -> Paint {
    /// From a lamp red and this much green and blue; at dusk blue and this much green and red.
    const LAMP: [(f64, f64); 2] = [(0.70, 0.90), (0.30, 0.68)];
    const DUSK: [(f64, f64); 2] = [(0.84, 0.97), (0.62, 0.86)];
    /// By a window all of them, the blue a little more or less.
    const WINDOW: (f64, f64) = (0.88, 1.06);
    let mut of = |(low, high): (f64, f64)| chance.within(low, high) as f32;
    match lighting {
        Lighting::Lamp => [1.0, of(LAMP[0]), of(LAMP[1])],
        Lighting::Dusk => [of(DUSK[1]), of(DUSK[0]), 1.0],
        Lighting::Window => [1.0, 1.0, of(WINDOW)],
    }
}

fn fall(lighting: Lighting, from: Place, chance: &mut Chance) -> Fall {
    /// A lamp stands this far from the middle of the sheet and this high, in lengths of the sheet's side.
    const AWAY: (f64, f64) = (0.2, 1.1);
    const HIGH: (f64, f64) = (0.9, 2.0);
    /// What is left of a window's light after a length of the sheet's side, and of the sky's.
    const WINDOW: (f64, f64) = (0.45, 0.75);
    const SKY: (f64, f64) = (0.75, 0.97);
    match lighting {
        Lighting::Lamp => {
            let away = SHEET * chance.within(AWAY.0, AWAY.1);
            let height = SHEET * chance.within(HIGH.0, HIGH.1);
            Fall::Lamp { at: (from.0 * away, from.1 * away), height }
        }
        Lighting::Window => Fall::Across { left: chance.within(WINDOW.0, WINDOW.1) },
        Lighting::Dusk => Fall::Across { left: chance.within(SKY.0, SKY.1) },
    }
}

impl Fall {
    /// The share of its full light, which a lamp has below it and a window half a sheet towards it.
    fn at(&self, (x, y): Place, from: Place) -> f64 {
        match self {
            // By the square of the distance, and by the cosine at which light meets the table.
            Self::Lamp { at, height } => {
                let away = ((x - at.0).powi(2) + (y - at.1).powi(2)) / (height * height);
                (1.0 + away).powf(-1.5)
            }
            Self::Across { left } => {
                let way = 0.5 - (x * from.0 + y * from.1) / SHEET;
                left.powf(way).min(1.0)
            }
        }
    }
}

impl Shadow {
    fn new(thrown: Thrown, chance: &mut Chance) -> Option<Self> {
        /// How much of the light it takes; millimetres over which its edge goes, where it is hard.
        const DEPTH: (f64, f64) = (0.28, 0.62);
        const EDGE: (f64, f64) = (1.5, 9.0);
        /// It reaches to a place on the sheet, in shares of half its sides from the middle.
        const REACH: f64 = 0.75;
        let mut on = |half: f64| half * chance.either_way(REACH);
        let tip = (on(SHEET / 2.0 / std::f64::consts::SQRT_2), on(SHEET / 2.0));
        let parts = match thrown {
            Thrown::Nothing => return None,
            Thrown::Telephone => telephone(tip, chance),
            Thrown::Hand => hand(tip, chance),
        };
        let (depth, edge) = (chance.within(DEPTH.0, DEPTH.1), chance.within(EDGE.0, EDGE.1));
        Some(Self { parts, depth, edge })
    }

    fn leaves(&self, place: Place) -> f64 {
        let off = self.parts.iter().map(|part| part.off(place)).fold(f64::INFINITY, f64::min);
        1.0 - self.depth * (1.0 - eased(-0.5 * self.edge, 0.5 * self.edge, off))
    }
}

impl Part {
    fn off(&self, place: Place) -> f64 {
        match self {
            Self::Board(slab) => slab.off(place),
            Self::Rod(ends, radius) => off_rod(place, *ends, *radius),
        }
    }
}

/// A step of length 1 from below, where whoever takes the picture stands, or from the side.
fn towards_the_taker(chance: &mut Chance) -> (Place, f64) {
    /// To either side of straight down, in degrees.
    const ASIDE: f64 = 75.0;
    let angle = std::f64::consts::FRAC_PI_2 + chance.either_way(ASIDE).to_radians();
    ((angle.cos(), angle.sin()), angle)
}

/// Long enough to leave every frame, in millimetres.
const FAR: f64 = 900.0;

/// A telephone's shadow and the arm's that holds it; its upper edge reaches to `tip`.
fn telephone(tip: Place, chance: &mut Chance) -> Vec<Part> {
    /// Half the width and half the length of a telephone's shadow in millimetres: above the table it is larger.
    const WIDE: (f64, f64) = (45.0, 75.0);
    const LONG: f64 = 2.0;
    const ARM: f64 = 0.8;
    let (out, angle) = towards_the_taker(chance);
    let wide = chance.within(WIDE.0, WIDE.1);
    let at = |far: f64| (tip.0 + far * out.0, tip.1 + far * out.1);
    let long = LONG * wide;
    let turn = angle - std::f64::consts::FRAC_PI_2;
    vec![
        Part::Board(Slab::new(at(long), (wide, long), turn)),
        Part::Rod((at(1.5 * long), at(FAR)), ARM * wide),
    ]
}

/// A hand's shadow: three fingers and an arm; the longest finger reaches to `tip`.
fn hand(tip: Place, chance: &mut Chance) -> Vec<Part> {
    /// How thick a finger's shadow is and how thick the arm's, in millimetres; how long a finger is.
    const FINGER: (f64, f64) = (10.0, 16.0);
    const LONG: f64 = 95.0;
    const ARM: f64 = 3.2;
    /// Fingers beside the longest: how far aside their tips lie and how much shorter they are, in thicknesses.
    const BESIDE: [(f64, f64); 2] = [(-2.6, 1.6), (2.5, 2.2)];
    let (out, _) = towards_the_taker(chance);
    let thick = chance.within(FINGER.0, FINGER.1);
    let at =
        |far: f64, aside: f64| (tip.0 + far * out.0 - aside * out.1, tip.1 + far * out.1 + aside * out.0);
    let knuckles = LONG + 2.0 * thick;
    let mut parts = vec![
        Part::Rod((at(thick, 0.0), at(knuckles, 0.0)), thick),
        Part::Rod((at(knuckles, 0.0), at(FAR, 0.0)), ARM * thick),
    ];
    for (aside, shorter) in BESIDE {
        let ends = (at((1.0 + shorter) * thick, aside * thick), at(knuckles, 0.6 * aside * thick));
        parts.push(Part::Rod(ends, thick));
    }
    parts
}

impl Dark {
    fn leaves(&self, (x, y): Place) -> f64 {
        let past = (x - self.on.0) * self.out.0 + (y - self.on.1) * self.out.1;
        1.0 - self.depth * eased(-0.5 * self.edge, 0.5 * self.edge, past)
    }
}
