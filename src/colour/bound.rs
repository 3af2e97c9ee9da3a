//! What CIEDE2000 cannot be below: a few products a pair, which pass over most colours of a search.
//!
//! Of equation 22, with C the greater reach of the mean chroma and R the rotation:
//!
//! - S_L <= 1 + 0.015 |L - 50|, for the root is no less than |L - 50|;
//! - S_H <= S_C, for T <= 1.93 and 0.015 T < 0.045; so both may be taken as S_C <= 1 + 0.045 C;
//! - c^2 + h^2 + R c h >= (1 - |R| / 2) (c^2 + h^2), and the square of the chroma's and the hue's steps together is that
//!   of the straight way between the stretched colours, no shorter than between the colours themselves.

use wide::f64x8 as Lanes;

use super::known::Known;

/// The stretch of the green-red axis carries a mean chroma by no more than this (6.37, near chroma 17).
const MOST_CARRIED: f64 = 6.4;

/// And by no more than half of it.
const MOST_STRETCH: f64 = 1.5;

/// It turns a hue by no more than atan(0.5 / (2 sqrt(1.5))) degrees.
const MOST_TURNED: f64 = 11.54;

/// Hues farther apart than this, stretched, may lie on the other side of opposite; rounding too.
const NEARLY_OPPOSITE: f64 = 180.0 - 2.0 * MOST_TURNED - 1e-6;

/// No more than the CIEDE2000 from a colour to each of some, but for rounding; squared.
#[inline(always)]
pub(super) fn bounds_squared(one: &Known, other: &Known<Lanes>) -> Lanes {
    let (l, a, b) = (one.l - other.l, one.a - other.a, one.b - other.b);
    let mean = (one.chroma + other.chroma) * 0.5;
    let chroma = (mean * MOST_STRETCH).fast_min(mean + MOST_CARRIED);
    let s_l = 1.0 + 0.015 * ((one.l + other.l) * 0.5 - 50.0).abs();
    let s_c = 1.0 + 0.045 * chroma;
    let rest = 1.0 - most_rotation(nearest_to_blue(one, other), chroma);
    let (l, ab) = (l * s_c, (a * a + b * b) * (s_l * s_l));
    let weight = s_l * s_c;
    (l * l + rest * ab) / (weight * weight)
}

/// How near to blue the mean hue may lie, in degrees; below 0 it may be blue.
#[inline(always)]
fn nearest_to_blue(one: &Known, other: &Known<Lanes>) -> Lanes {
    let near = (one.from_blue + other.from_blue).abs() * 0.5;
    let round = 180.0 - near;
    let apart = (one.from_blue - other.from_blue).abs();
    // All bits where the comparison holds: a whole turn more leaves that way out.
    let straight = near + (apart.simd_gt(Lanes::splat(360.0 - NEARLY_OPPOSITE)) & Lanes::splat(360.0));
    let round = round + (apart.simd_lt(Lanes::splat(NEARLY_OPPOSITE)) & Lanes::splat(360.0));
    straight.fast_min(round) - MOST_TURNED
}

/// What the lightness alone keeps two colours apart; it grows with the step, upwards and downwards.
pub(super) fn lightness_bound(one: f64, other: f64) -> f64 {
    (one - other).abs() / (1.0 + 0.015 * ((one + other) / 2.0 - 50.0).abs())
}

/// Half of |R|: sin(60 degrees * exp(-(d / 25)^2)) at d degrees from blue, times the saturation. The first lies below a
/// straight line that falls to a fiftieth at 50 degrees, the second below the cube of C / 25.
#[inline(always)]
fn most_rotation(from_blue: Lanes, chroma: Lanes) -> Lanes {
    /// The sine of 60 degrees, rounded up.
    const MOST: f64 = 0.866_03;
    const LEAST: f64 = 0.02;
    let line = 0.99 - (0.99 - LEAST) / 50.0 * from_blue;
    let turn = line.fast_max(Lanes::splat(LEAST)).fast_min(Lanes::splat(MOST));
    let share = chroma * (1.0 / 25.0);
    turn * (share * share * share).fast_min(Lanes::ONE)
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;
    use crate::colour::{Lab, ciede2000};

    /// Any colours, greys and nearly greys among them.
    fn any_lab() -> impl Strategy<Value = Lab> {
        let axis = || prop_oneof![4 => -128.0..=128.0, 2 => -20.0..=20.0, 1 => -1.0..=1.0, 1 => Just(0.0)];
        (0.0..=100.0, axis(), axis()).prop_map(|(l, a, b)| Lab::new(l, a, b))
    }

    /// Another colour, or one near by, of the same hue, or of the opposite one and nearly so.
    fn any_pair() -> impl Strategy<Value = (Lab, Lab)> {
        let near = (any_lab(), prop::array::uniform3(-4.0..=4.0_f64)).prop_map(|(one, [l, a, b])| {
            (one, Lab::new((one.l + l).clamp(0.0, 100.0), one.a + a, one.b + b))
        });
        let turned = (any_lab(), -1.0..=1.0_f64, 0.0..=100.0, -1e-3..=1e-3_f64)
            .prop_map(|(one, share, l, off)| (one, Lab::new(l, share * one.a + off, share * one.b - off)));
        prop_oneof![2 => (any_lab(), any_lab()), 2 => near, 1 => turned]
    }

    proptest! {
        #![proptest_config(ProptestConfig::with_cases(100_000))]

        #[test]
        fn no_difference_is_below_its_bound((one, other) in any_pair()) {
            let known = Known::of(other);
            let bound = bounds_squared(&Known::of(one), &Known::some([&known])).to_array()[0].sqrt();
            let printed = ciede2000(one, other).0;
            prop_assert!(bound <= printed + 1e-9, "{one} and {other}: {printed}, bound {bound}");
            prop_assert!(lightness_bound(one.l, other.l) <= printed + 1e-9);
        }
    }

    #[test]
    fn what_the_bound_takes_for_granted_holds() {
        for step in 0..20_000 {
            let chroma = f64::from(step) / 100.0;
            let saturation = (chroma.powi(7) / (chroma.powi(7) + 25.0_f64.powi(7))).sqrt();
            assert!(chroma * 0.5 * (1.0 - saturation) < MOST_CARRIED, "chroma {chroma}");
            let off = f64::from(step) / 100.0;
            let turn = (60.0 * (-(off / 25.0).powi(2)).exp()).to_radians().sin();
            // Chroma 25 and more leaves the turn alone.
            let most = most_rotation(Lanes::splat(off), Lanes::splat(25.0)).to_array()[0];
            assert!(turn <= most, "{off} degrees from blue: {turn}, at most {most}");
            let share = most_rotation(Lanes::splat(-90.0), Lanes::splat(chroma)).to_array()[0] / 0.866_03;
            assert!(saturation <= share + 1e-12, "chroma {chroma}: {saturation}, at most {share}");
        }
        assert!((0.5 / (2.0 * MOST_STRETCH.sqrt())).atan().to_degrees() < MOST_TURNED);
    }
}
