//! What CIEDE2000 cannot be below: a few products a pair, which pass over most colours of a search.
//!
//! Of equation 22, with C the greater reach of the mean chroma and R the rotation:
//!
//! - S_L <= 1 + 0.015 |L - 50|, for the root is no less than |L - 50|;
//! - S_H <= S_C, for T <= 1.93 and 0.015 T < 0.045; so both may be taken as S_C <= 1 + 0.045 C;
//! - c^2 + h^2 + R c h >= (1 - |R| / 2) (c^2 + h^2), and the square of the chroma's and the hue's steps together is that
//!   of the straight way between the stretched colours, no shorter than between the colours themselves.

use super::known::Known;

/// The stretch of the green-red axis carries a mean chroma by no more than this (6.37, near chroma 17).
const MOST_CARRIED: f64 = 6.4;

/// And by no more than half of it.
const MOST_STRETCH: f64 = 1.5;

/// It turns a hue by no more than atan(0.5 / (2 sqrt(1.5))) degrees.
const MOST_TURNED: f64 = 11.54;

/// Hues farther apart than this, stretched, may lie on the other side of opposite; rounding too.
const NEARLY_OPPOSITE: f64 = 180.0 - 2.0 * MOST_TURNED - 1e-6;

impl Known {
    /// No more than the CIEDE2000 of the two, but for rounding.
    #[inline(always)]
    pub fn bound(&self, other: &Self) -> f64 {
        let (l, a, b) = (self.lab.l - other.lab.l, self.lab.a - other.lab.a, self.lab.b - other.lab.b);
        let mean = (self.chroma + other.chroma) / 2.0;
        let chroma = less(mean * MOST_STRETCH, mean + MOST_CARRIED);
        let s_l = weight_of_lightness(self.lab.l, other.lab.l);
        let s_c = 1.0 + 0.045 * chroma;
        let rest = 1.0 - most_rotation(self.most_turn(other), chroma);
        let (l, ab) = (l * s_c, (a * a + b * b) * (s_l * s_l));
        (l * l + rest * ab).sqrt() / (s_l * s_c)
    }

    /// How near to blue the mean hue may lie, in degrees.
    #[inline(always)]
    fn most_turn(&self, other: &Self) -> f64 {
        let near = (self.from_blue + other.from_blue).abs() / 2.0;
        let round = 180.0 - near;
        let apart = (self.from_blue - other.from_blue).abs();
        let near = if apart < NEARLY_OPPOSITE {
            near
        } else if apart > 360.0 - NEARLY_OPPOSITE {
            round
        } else {
            less(near, round)
        };
        near - MOST_TURNED
    }
}

/// What the lightness alone keeps two colours apart; it grows with the step, upwards and downwards.
pub(super) fn lightness_bound(one: f64, other: f64) -> f64 {
    (one - other).abs() / weight_of_lightness(one, other)
}

#[inline(always)]
fn weight_of_lightness(one: f64, other: f64) -> f64 {
    1.0 + 0.015 * ((one + other) / 2.0 - 50.0).abs()
}

/// Half of |R|: sin(60 degrees * exp(-(d / 25)^2)) at d degrees from blue, times the saturation. The first lies below a
/// straight line that falls to a fiftieth at 50 degrees, the second below the cube of C / 25.
#[inline(always)]
fn most_rotation(from_blue: f64, chroma: f64) -> f64 {
    /// The sine of 60 degrees, rounded up.
    const MOST: f64 = 0.866_03;
    const LEAST: f64 = 0.02;
    let line = 0.99 - (0.99 - LEAST) / 50.0 * from_blue;
    let turn = if line > LEAST { less(line, MOST) } else { LEAST };
    let share = chroma / 25.0;
    turn * less(share * share * share, 1.0)
}

/// The lesser of two, in one instruction.
#[inline(always)]
fn less(one: f64, other: f64) -> f64 {
    if one < other { one } else { other }
}
