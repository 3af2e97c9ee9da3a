//! One bead as light falls on it: a short tube on its end or on its side.

use super::{BeadKind, Colour, LaidBead, Light, Place};
use crate::trial::chance::{Chance, Noise};

/// A bead's radius and half its length in millimetres, and its hole's radius: common practice, no source.
const RADIUS: f64 = 2.5;
const HOLE: f64 = 1.25;

/// An outline is this many millimetres wide: about a pixel.
const SOFT: f64 = 0.13;

/// How far the edges of the tube are rounded, in millimetres.
const ROUNDED: f64 = 0.3;

/// A bead in its place.
pub(super) struct Bead {
    bead: LaidBead,
    /// Its middle.
    pub at: Place,
    /// Along its axis, where it lies.
    axis: Place,
    /// How bright its gloss is beside white paper.
    gloss: f64,
    /// How much light comes back out of its hole.
    depth: f64,
    sparks: Noise,
}

impl Bead {
    pub fn new(bead: LaidBead, at: Place, chance: &mut Chance) -> Self {
        const GLOSS: (f64, f64) = (0.1, 0.5);
        const DEPTH: (f64, f64) = (0.25, 0.55);
        let angle = chance.within(0.0, std::f64::consts::PI);
        let gloss = chance.within(GLOSS.0, GLOSS.1);
        Self {
            bead,
            at,
            axis: (angle.cos(), angle.sin()),
            gloss: if bead.kind == BeadKind::Glossy { 2.0 * gloss + 0.3 } else { gloss },
            depth: chance.within(DEPTH.0, DEPTH.1),
            sparks: chance.noise(),
        }
    }

    /// A place as seen from its middle.
    fn off_middle(&self, (x, y): Place) -> Place {
        (x - self.at.0, y - self.at.1)
    }

    /// How far a place lies from its middle: along the outline's own shape, in millimetres.
    fn out(&self, place: Place) -> f64 {
        let (dx, dy) = self.off_middle(place);
        match self.bead.kind {
            BeadKind::Lying => {
                let along = (dx * self.axis.0 + dy * self.axis.1).abs();
                let across = (dy * self.axis.0 - dx * self.axis.1).abs();
                // A square with round corners.
                let corner = RADIUS - 2.0 * ROUNDED;
                let (a, b) = ((along - corner).max(0.0), (across - corner).max(0.0));
                if a > 0.0 || b > 0.0 { corner + a.hypot(b) } else { along.max(across) }
            }
            _ => dx.hypot(dy),
        }
    }

    pub fn covers(&self, place: Place) -> bool {
        self.out(place) < RADIUS + SOFT
    }

    /// How much of its shadow lies on a place, 0 to 1.
    pub fn shadow_at(&self, place: Place, light: &Light) -> f64 {
        let (dx, dy) = self.off_middle(place);
        let length = 2.0 * RADIUS * light.tangent;
        if dx.abs().max(dy.abs()) > length + 2.0 * RADIUS + light.edge {
            return 0.0;
        }
        // The nearest place of the line from its foot away from the light.
        let along = (-(dx * light.towards.0 + dy * light.towards.1)).clamp(0.0, length);
        let far = (dx + light.towards.0 * along).hypot(dy + light.towards.1 * along);
        // Softer, and paler, the farther from the bead.
        let edge = light.edge * (0.4 + along / RADIUS);
        (1.0 - smooth((far - RADIUS + edge / 2.0) / edge)) * (1.0 - 0.25 * along / (length + 1e-9))
    }

    /// The place with the bead over what lies below.
    pub fn over(&self, below: Colour, place: Place, light: &Light, paper: Colour) -> Colour {
        let part = 1.0 - smooth((self.out(place) - RADIUS + SOFT) / (2.0 * SOFT));
        let own = match self.bead.kind {
            BeadKind::Lying => self.lying(place, light, paper),
            BeadKind::Clear => self.clear(place, light, paper),
            _ => self.upright(place, light, paper),
        };
        mixed(below, own, part)
    }

    fn upright(&self, place: Place, light: &Light, paper: Colour) -> Colour {
        let (dx, dy) = self.off_middle(place);
        let far = dx.hypot(dy).max(1e-6);
        let outwards = (dx / far, dy / far);
        // Rounded at rim and hole: how far the surface leans there, outwards or inwards.
        let rim = ((far - (RADIUS - ROUNDED)) / ROUNDED).clamp(0.0, 1.0);
        let inner = (((HOLE + ROUNDED) - far) / ROUNDED).clamp(0.0, 1.0);
        let lean = 1.2 * (rim - inner);
        let face = self.lit(lean, outwards, light, paper, place);
        // In the hole paper is seen, shaded and tinted by the walls; brighter where the light reaches.
        let reached = 1.0 - 0.35 * (dx * light.towards.0 + dy * light.towards.1) / HOLE;
        let bottom: Colour = std::array::from_fn(|c| {
            paper[c] * self.depth * reached * (0.35 + 0.65 * self.bead.colour[c] / paper[c].max(1e-6))
        });
        mixed(bottom, face, smooth((far - HOLE + SOFT) / (2.0 * SOFT)))
    }

    fn lying(&self, place: Place, light: &Light, paper: Colour) -> Colour {
        let (dx, dy) = self.off_middle(place);
        let across = dy * self.axis.0 - dx * self.axis.1;
        let side = (-self.axis.1 * across.signum(), self.axis.0 * across.signum());
        let lean = (across.abs() / RADIUS).clamp(0.0, 0.98).asin();
        self.lit(lean, side, light, paper, place)
    }

    /// See-through: paper a little dimmed, its outlines dark, with bright spots where it gathers light.
    fn clear(&self, place: Place, light: &Light, paper: Colour) -> Colour {
        let (dx, dy) = self.off_middle(place);
        let far = dx.hypot(dy);
        let line = |at: f64| (1.0 - ((far - at).abs() / 0.28)).max(0.0);
        let dark = 0.45 * line(RADIUS - 0.25) + 0.4 * line(HOLE + 0.05);
        let gathered = 0.25 * self.sparks.at(dx * 1.2, dy * 1.2).max(0.0);
        let tint: Colour = std::array::from_fn(|c| self.bead.colour[c] / paper[c].max(1e-6));
        let glint = self.gloss * shine(0.3, (dx / far.max(1e-6), dy / far.max(1e-6)), light);
        std::array::from_fn(|c| {
            paper[c] * (0.9 - dark + gathered) * (0.7 + 0.3 * tint[c].min(1.0)) + 0.3 * glint * paper[c]
        })
    }

    /// The face where it leans by an angle to a side.
    fn lit(&self, lean: f64, side: Place, light: &Light, paper: Colour, place: Place) -> Colour {
        let towards = side.0 * light.towards.0 + side.1 * light.towards.1;
        // Beside a level surface, which paper is; from all around comes half as much onto an upright one.
        let straight = (lean.cos() + lean.sin() * towards * light.tangent).max(0.0);
        let shade = light.around * (1.0 + lean.cos()) / 2.0 + (1.0 - light.around) * straight;
        let glint = self.gloss * self.shine_at(lean, side, light, place);
        let spark = self.spark(place);
        std::array::from_fn(|c| (self.bead.colour[c] * shade * spark + glint * paper[c]).max(0.0))
    }

    fn shine_at(&self, lean: f64, side: Place, light: &Light, place: Place) -> f64 {
        let edge = shine(lean, side, light);
        if self.bead.kind != BeadKind::Glossy {
            return edge;
        }
        // A face that was cut unevenly shines in broad spots too.
        let (dx, dy) = self.off_middle(place);
        let spot = (dx - 1.3 * light.towards.0).hypot(dy - 1.3 * light.towards.1);
        edge.max((-spot * spot / 0.8).exp())
    }

    fn spark(&self, place: Place) -> f64 {
        if self.bead.kind != BeadKind::Glitter {
            return 1.0;
        }
        let (dx, dy) = self.off_middle(place);
        1.0 + 0.9 * self.sparks.at(dx * 3.0, dy * 3.0)
    }
}

/// How much a surface that leans to a side shines: most where it mirrors the light upwards.
fn shine(lean: f64, side: Place, light: &Light) -> f64 {
    /// The sheen of plastic: a lobe of seven degrees.
    const WIDE: f64 = 0.12;
    let half = light.tangent.atan() / 2.0;
    let towards = side.0 * light.towards.0 + side.1 * light.towards.1;
    let away = (lean * lean + half * half - 2.0 * lean * half * towards).max(0.0).sqrt();
    (-(away / WIDE).powi(2)).exp()
}

fn smooth(t: f64) -> f64 {
    let t = t.clamp(0.0, 1.0);
    t * t * (3.0 - 2.0 * t)
}

fn mixed(below: Colour, above: Colour, part: f64) -> Colour {
    std::array::from_fn(|c| below[c] * (1.0 - part) + above[c] * part)
}
