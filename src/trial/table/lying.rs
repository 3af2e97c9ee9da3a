//! What lies on a table beside a drawing: another sheet, the rest of a notebook, a hand on a corner.

use super::plane::{Place, Slab, covered, eased, off_rod};
use crate::trial::canvas::{Paint, lit, over};
use crate::trial::chance::Chance;

/// The shadow right beside something that lies on something: air below a sheet, or the roundness of a hand.
#[derive(Clone, Copy, Debug)]
pub(super) struct Contact {
    depth: f64,
    /// Millimetres over which it fades.
    wide: f64,
    /// Where the light comes from, as long as the shadow is off in millimetres.
    towards: Place,
}

impl Contact {
    /// Of a sheet, in light that comes from the way `from`.
    pub fn of_sheet(from: Place, chance: &mut Chance) -> Self {
        const DEPTH: (f64, f64) = (0.12, 0.5);
        const WIDE: (f64, f64) = (1.5, 8.0);
        const OFF: (f64, f64) = (0.2, 2.0);
        let off = chance.within(OFF.0, OFF.1);
        Self {
            depth: chance.within(DEPTH.0, DEPTH.1),
            wide: chance.within(WIDE.0, WIDE.1),
            towards: (off * from.0, off * from.1),
        }
    }

    /// What it leaves of the light on what is below, at a place from which the shape is off by `off`.
    fn on(&self, below: Paint, (x, y): Place, off: impl Fn(Place) -> f64) -> Paint {
        let off = off((x + self.towards.0, y + self.towards.1));
        lit(below, 1.0 - self.depth * (1.0 - eased(0.0, self.wide, off)))
    }
}

/// A sheet without a drawing.
#[derive(Debug)]
pub(super) struct Bare {
    slab: Slab,
    paint: Paint,
    contact: Contact,
}

/// Paper of another make: whiter, yellower, greyer or bluer.
const PAPERS: [Paint; 4] = [[0.86, 0.86, 0.87], [0.80, 0.76, 0.66], [0.70, 0.70, 0.68], [0.74, 0.79, 0.84]];

impl Bare {
    /// A sheet under one of this half width and height: off it and turned.
    pub fn under(half: Place, contact: Contact, chance: &mut Chance) -> Self {
        /// Off by this much of half its sides, and turned by up to this many degrees.
        const OFF: (f64, f64) = (0.08, 0.4);
        const TURN: f64 = 25.0;
        const BOTH_WAYS: [f64; 2] = [-1.0, 1.0];
        let mut off = |half: f64| half * chance.one_of(&BOTH_WAYS) * chance.within(OFF.0, OFF.1);
        let middle = (off(half.0), off(half.1));
        let slab = Slab::new(middle, half, chance.either_way(TURN).to_radians());
        Self { slab, paint: chance.one_of(&PAPERS), contact }
    }

    /// The page beyond a notebook's spiral.
    fn opposite(half: Place, aside: f64, contact: Contact, chance: &mut Chance) -> Self {
        /// It lies nearly straight, by this many degrees, and is in another light: it bends up a little.
        const TURN: f64 = 1.2;
        const LIGHT: (f64, f64) = (0.8, 1.0);
        let slab = Slab::new((aside, 0.0), half, chance.either_way(TURN).to_radians());
        let paint = lit(PAPERS[0], chance.within(LIGHT.0, LIGHT.1));
        Self { slab, paint, contact }
    }

    /// Itself and its shadow over what lies below, in pixels this many millimetres wide.
    pub fn over(&self, below: Paint, place: Place, pixel: f64) -> Paint {
        let shadowed = self.contact.on(below, place, |at| self.slab.off(at));
        over(shadowed, self.paint, covered(self.slab.off(place), pixel))
    }
}

/// The shadow a sheet throws on what it lies on.
pub(super) fn beneath(slab: &Slab, contact: &Contact, below: Paint, place: Place) -> Paint {
    contact.on(below, place, |at| slab.off(at))
}

/// A notebook's spiral, and the page opposite.
#[derive(Debug)]
pub(super) struct Spiral {
    pub opposite: Bare,
    half: Place,
    /// On the page's left (-1) or right (1).
    side: f64,
    gap: f64,
    wire: Paint,
}

impl Spiral {
    /// Millimetres from a hole to the page's edge, from hole to hole, and half across a hole and a wire.
    const IN: f64 = 5.0;
    const STEP: f64 = 9.0;
    const HOLE: f64 = 2.3;
    const WIRE: f64 = 1.0;

    /// Of a page of this half width and height.
    pub fn new(half: Place, contact: Contact, chance: &mut Chance) -> Self {
        /// Millimetres between the two pages.
        const GAP: (f64, f64) = (5.0, 10.0);
        /// Steel, black and white plastic.
        const WIRES: [Paint; 3] = [[0.34, 0.34, 0.36], [0.02, 0.02, 0.02], [0.66, 0.66, 0.66]];
        const SIDES: [f64; 2] = [-1.0, 1.0];
        let side = chance.one_of(&SIDES);
        let gap = chance.within(GAP.0, GAP.1);
        let opposite = Bare::opposite(half, side * (2.0 * half.0 + gap), contact, chance);
        Self { opposite, half, side, gap, wire: chance.one_of(&WIRES) }
    }

    /// Holes and wires over what lies below.
    pub fn over(&self, below: Paint, (x, y): Place, pixel: f64) -> Paint {
        /// What is seen through a hole: the next pages, in shade.
        const THROUGH: f64 = 0.3;
        /// A round wire is dark towards both its sides.
        const ROUND: f64 = 0.6;
        let near = self.side * x - self.half.0;
        if near < -Self::IN - Self::STEP || near > self.gap + Self::IN + Self::STEP {
            return below;
        }
        let last = (self.half.1 / Self::STEP).floor() - 1.0;
        let row = (y / Self::STEP).round().clamp(-last, last) * Self::STEP;
        let ends = (-Self::IN, self.gap + Self::IN);
        let off_hole = |at: f64| (near - at).hypot(y - row) - Self::HOLE;
        let holes = off_hole(ends.0).min(off_hole(ends.1));
        let punched = over(below, lit(below, THROUGH), covered(holes, pixel));
        let wire = off_rod((near, y), ((ends.0, row), (ends.1, row)), Self::WIRE);
        let shine = 1.0 - ROUND * ((y - row) / Self::WIRE).powi(2).min(1.0);
        over(punched, lit(self.wire, shine), covered(wire, pixel))
    }
}

/// A hand that holds a corner down: a thumb, a finger and the palm beyond.
#[derive(Debug)]
pub(super) struct Hand {
    rods: [((Place, Place), f64); 3],
    skin: Paint,
    contact: Contact,
}

impl Hand {
    /// On a corner, the way `out` over it of length 1; it reaches this many millimetres over the sheet.
    pub fn new((corner, out): (Place, Place), most: f64, from: Place, chance: &mut Chance) -> Self {
        /// From fair to dark.
        const SKINS: [Paint; 4] =
            [[0.62, 0.38, 0.28], [0.50, 0.28, 0.18], [0.30, 0.15, 0.08], [0.12, 0.06, 0.035]];
        /// Half a thumb, half a finger and half a palm across, in millimetres; where the palm's middle is beyond.
        const THUMB: (f64, f64) = (9.0, 12.0);
        const FINGER: f64 = 0.8;
        const PALM: f64 = 3.4;
        const BEYOND: f64 = 62.0;
        const FOREARM: f64 = 500.0;
        /// How far the thumb reaches over the corner, and the finger lies aside of it, in millimetres.
        const REACH: (f64, f64) = (12.0, 34.0);
        const ASIDE: f64 = 26.0;
        /// The shadow about it.
        const DEPTH: f64 = 0.45;
        const WIDE: f64 = 9.0;
        const OFF: f64 = 4.0;
        let thumb = chance.within(THUMB.0, THUMB.1);
        let reach = chance.within(REACH.0, REACH.1).min(most - thumb);
        let at = |far: f64, aside: f64| {
            (corner.0 + far * out.0 - aside * out.1, corner.1 + far * out.1 + aside * out.0)
        };
        let aside = if chance.happens(0.5) { ASIDE } else { -ASIDE };
        Self {
            rods: [
                ((at(-reach, 0.0), at(BEYOND, 0.0)), thumb),
                ((at(0.5 * thumb, aside), at(BEYOND, aside / 2.0)), FINGER * thumb),
                ((at(BEYOND, 0.0), at(FOREARM, aside)), PALM * thumb),
            ],
            skin: chance.one_of(&SKINS),
            contact: Contact { depth: DEPTH, wide: WIDE, towards: (OFF * from.0, OFF * from.1) },
        }
    }

    fn off(&self, place: Place) -> (f64, f64) {
        let each = self.rods.map(|(ends, radius)| (off_rod(place, ends, radius), radius));
        each.into_iter().fold((f64::INFINITY, 1.0), |near, rod| if rod.0 < near.0 { rod } else { near })
    }

    /// Itself and its shadow over what lies below.
    pub fn over(&self, below: Paint, place: Place, pixel: f64) -> Paint {
        /// How dark it is at its side, where it turns away, and over which part of its thickness.
        const EDGE: f64 = 0.55;
        const TURNS: f64 = 0.9;
        let (off, radius) = self.off(place);
        let shadowed = self.contact.on(below, place, |at| self.off(at).0);
        let shade = EDGE + (1.0 - EDGE) * eased(0.0, TURNS * radius, -off);
        over(shadowed, lit(self.skin, shade), covered(off, pixel))
    }
}
