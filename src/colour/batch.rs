//! CIEDE2000 from one colour to many, some at a time.
//!
//! The terms of [`ciede2000`] without an angle: the mean hue is the bisector of the two colours' directions, the cosines
//! of its multiples are products, and what turns about blue is a polynomial. There is no branch, so that several pairs go
//! through the processor side by side. Its compiler would take the roots one by one: `wide` does not.

use wide::f64x8 as Lanes;

use super::difference::KNEE;
use super::known::{Known, LANES};
use super::{Lab, ciede2000};

/// No difference found here is off [`ciede2000`] by more.
pub(super) const SLACK: f64 = 1e-9;

/// CIEDE2000 from one colour to each of some, within 1e-9 of [`ciede2000`].
pub(super) fn differences(from: &Known, to: &Known<Lanes>) -> [f64; LANES] {
    let mut found = Hues::of(from, to).difference(from.l, to.l).to_array();
    if found.iter().any(|difference| difference.is_nan()) {
        as_printed(from, to, &mut found);
    }
    found
}

/// What the bisector cannot tell is reckoned as printed.
#[cold]
fn as_printed(from: &Known, to: &Known<Lanes>, found: &mut [f64; LANES]) {
    let (l, a, b) = (to.l.to_array(), to.a.to_array(), to.b.to_array());
    for (lane, found) in found.iter_mut().enumerate().filter(|(_, found)| found.is_nan()) {
        *found = ciede2000(from.lab(), Lab::new(l[lane], a[lane], b[lane])).0;
    }
}

/// Pairs of colours on the plane of hues, stretched: what is asked of them there.
struct Hues {
    c1: Lanes,
    c2: Lanes,
    /// The cosine and sine of the mean hue.
    x: Lanes,
    y: Lanes,
    /// Twice the sine of half the step in hue; no number where rounding decides on which side of the circle the mean
    /// hue lies.
    step: Lanes,
}

impl Hues {
    #[inline(always)]
    fn of(one: &Known, other: &Known<Lanes>) -> Self {
        let stretch = 1.5 - 0.5 * saturated((one.chroma + other.chroma) * 0.5).sqrt();
        let (a1, b1, a2, b2) = (one.a * stretch, one.b, other.a * stretch, other.b);
        let (c1, c2) = ((a1 * a1 + b1 * b1).sqrt(), (a2 * a2 + b2 * b2).sqrt());
        // The sum of both directions, as long as the product of the chromas and twice the cosine of half the step.
        let (x, y) = (c2 * a1 + c1 * a2, c2 * b1 + c1 * b2);
        let (squared, product) = (x * x + y * y, c1 * c2);
        // Without a hue any direction serves: the step is 0.
        let shrink = 1.0 / squared.sqrt().fast_max(Lanes::splat(f64::MIN_POSITIVE));
        let is_opposite = squared.simd_lt(OPPOSITE * product * product);
        let is_0 = x.simd_gt(Lanes::ZERO) & y.abs().simd_lt(HUE_0 * x);
        let step = 2.0 * (a1 * b2 - a2 * b1) * shrink;
        // A comparison that holds is all bits, which is no number.
        Self { c1, c2, x: x * shrink, y: y * shrink, step: step | is_opposite | is_0 }
    }

    /// CIEDE2000. Terms are put together so that few roots and divisions are left, which cost most.
    #[inline(always)]
    fn difference(&self, l1: f64, l2: Lanes) -> Lanes {
        let chroma = (self.c1 + self.c2) * 0.5;
        let from_middle = (l1 + l2) * 0.5 - 50.0;
        let squared = from_middle * from_middle;
        let root = (20.0 + squared).sqrt();
        let s_l = root + 0.015 * squared;
        let (s_c, s_h) = (1.0 + 0.045 * chroma, 1.0 + 0.015 * chroma * weight_of_hue(self.x, self.y));
        let weight = 1.0 / (s_l * s_c * s_h);
        let l = (l2 - l1) * root * (s_c * s_h * weight);
        let c = (self.c2 - self.c1) * (s_l * s_h * weight);
        // But for the root of the product of the chromas.
        let h = self.step * (s_l * s_c * weight);
        let product = self.c1 * self.c2;
        let rotation = -2.0 * (saturated(chroma) * product).sqrt() * turn(self.x, self.y);
        let squared = l * l + c * c + product * h * h + rotation * c * h;
        // What is no number stays none: `fast_max` gives the second then.
        Lanes::ZERO.fast_max(squared).sqrt()
    }
}

/// Below this share of its greatest length, squared, the bisector is unsure in the eighth digit and less.
const OPPOSITE: f64 = 1e-8;

/// This near to hue 0 the printed mean may be 0 or 360, which differ in the turn.
const HUE_0: f64 = 1e-10;

/// C^7 / (C^7 + 25^7): 0 for grey, 1 for vivid.
#[inline(always)]
fn saturated(chroma: Lanes) -> Lanes {
    let squared = chroma * chroma;
    let seventh = squared * squared * squared * chroma;
    seventh / (seventh + KNEE)
}

/// Equation 15, T, of the hue with this cosine and sine: the cosines of multiples written out in powers of the cosine.
#[inline(always)]
fn weight_of_hue(x: Lanes, y: Lanes) -> Lanes {
    // The printed factors along the cosines and the sines of the hue's multiples; those turned by 30, 6 and 63 degrees.
    const ONCE: (f64, f64) = (-0.17 * 0.866_025_403_784_438_6, -0.17 * 0.5);
    const TWICE: f64 = 0.24;
    const THRICE: (f64, f64) = (0.32 * 0.994_521_895_368_273_3, -0.32 * 0.104_528_463_267_653_47);
    const FOUR: (f64, f64) = (-0.20 * 0.453_990_499_739_546_8, -0.20 * 0.891_006_524_188_367_9);
    const OF_X: [f64; 5] = [
        1.0 - TWICE + FOUR.0,
        ONCE.0 - 3.0 * THRICE.0,
        2.0 * TWICE - 8.0 * FOUR.0,
        4.0 * THRICE.0,
        8.0 * FOUR.0,
    ];
    const OF_Y: [f64; 4] = [ONCE.1 - THRICE.1, -4.0 * FOUR.1, 4.0 * THRICE.1, 8.0 * FOUR.1];
    polynomial(&OF_X, x) + y * polynomial(&OF_Y, x)
}

/// sin(2 * 30 degrees * exp(-((h - 275) / 25)^2)) of equations 16 and 19, of the hue h with this cosine and sine.
#[inline(always)]
fn turn(x: Lanes, y: Lanes) -> Lanes {
    /// The cosine and sine of 275 degrees.
    const BLUE: (f64, f64) = (0.087_155_742_747_658_17, -0.996_194_698_091_745_5);
    // The printed step is taken from 0 to 360: beyond 0 the nearer way round does not count.
    let is_beyond = x.simd_ge(Lanes::ZERO) & y.simd_ge(Lanes::ZERO);
    // All bits keep the 2, which leaves nothing of any cosine.
    let cosine = x * BLUE.0 + y * BLUE.1 - (is_beyond & Lanes::splat(2.0));
    let half = (0.5 + 0.5 * cosine).fast_max(Lanes::ZERO).sqrt();
    let peak = peak(0.5 - 0.5 * half);
    peak * polynomial(&SINE, peak * peak)
}

/// sin(60 degrees * p) / p as a polynomial of p squared, p from 0 to 1, fitted in the nodes of Chebyshev, within 2e-13.
const SINE: [f64; 6] = [
    1.047_197_551_196_457,
    -0.191_396_769_621_357_1,
    0.010_494_502_103_568_33,
    -0.000_274_011_625_966_413_2,
    4.172_469_003_302_79e-6,
    -4.073_740_647_212_857e-8,
];

/// exp(-(d / 25)^2) of d degrees, of which the squared sine of a quarter is given.
#[inline(always)]
fn peak(squared_sine: Lanes) -> Lanes {
    // Farther than 135 degrees it is nothing: 2e-13.
    let s = squared_sine.fast_min(Lanes::splat(FARTHEST));
    let root = polynomial(&PEAK, s);
    let fourth = (root * root) * (root * root);
    let sixteenth = (fourth * fourth) * (fourth * fourth);
    sixteenth * sixteenth
}

/// The value at x of a polynomial, the constant first: even and odd terms each by themselves, so that neither waits.
#[inline(always)]
fn polynomial<const N: usize>(terms: &[f64; N], x: Lanes) -> Lanes {
    let squared = x * x;
    let (mut even, mut odd) = (Lanes::ZERO, Lanes::ZERO);
    for at in (0..N).rev() {
        if at % 2 == 0 {
            even = even * squared + terms[at];
        } else {
            odd = odd * squared + terms[at];
        }
    }
    even + odd * x
}

/// How far [`PEAK`] reaches.
const FARTHEST: f64 = 0.31;

/// The 32nd root of the peak as a polynomial of the squared sine of a quarter of the angle, from 0 to [`FARTHEST`]:
/// exp(-(4 asin(sqrt(s)) / 25 degrees)^2 / 32), fitted in the nodes of Chebyshev, within 3e-14.
const PEAK: [f64; 9] = [
    0.9999999999999823,
    -2.626245080000178,
    2.5731665826823122,
    -1.1867737442008026,
    0.2723744052619873,
    -0.031158258134175536,
    0.0017255247544005023,
    -5.0510124292834025e-06,
    -7.870738790319701e-05,
];

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    fn any_lab() -> impl Strategy<Value = Lab> {
        let axis = || prop_oneof![4 => -128.0..=128.0, 1 => -1.0..=1.0, 1 => Just(0.0)];
        (0.0..=100.0, axis(), axis()).prop_map(|(l, a, b)| Lab::new(l, a, b))
    }

    fn assert_as_printed(from: Lab, to: &[Lab]) -> Result<(), TestCaseError> {
        for to in to.chunks(LANES) {
            let known: Vec<Known> = to.iter().copied().map(Known::of).collect();
            let found = differences(&Known::of(from), &Known::some(&known));
            for (found, to) in found.into_iter().zip(to) {
                let printed = ciede2000(from, *to).0;
                prop_assert!((found - printed).abs() < SLACK, "{from} to {to}: {found}, printed {printed}");
            }
        }
        Ok(())
    }

    proptest! {
        #![proptest_config(ProptestConfig::with_cases(4_000))]

        #[test]
        fn a_batch_is_as_printed(from in any_lab(), to in prop::collection::vec(any_lab(), 0..40)) {
            assert_as_printed(from, &to)?;
        }

        /// Opposite hues, mirrored ones (their mean is 0 or 180) and the same one, at any chroma and nearly so.
        #[test]
        fn a_batch_is_as_printed_where_hues_turn(
            from in any_lab(),
            stretch in 0.0..3.0_f64,
            off in prop::sample::select(vec![0.0, 1e-15, -1e-12, 1e-9, -1e-7, 1e-5, -1e-3]),
        ) {
            let Lab { l, a, b } = from;
            let to = [(-a, -b), (a, -b), (-a, b), (a, b), (a + off, 0.0), (0.0, b - off)]
                .map(|(a, b)| Lab::new(l + off, a * stretch + off, b * stretch - off));
            assert_as_printed(from, &to)?;
        }
    }

    #[test]
    fn the_turn_about_blue_is_as_printed() {
        for tenth in 0..3600 {
            let hue = f64::from(tenth) / 10.0;
            let printed = (60.0 * (-((hue - 275.0) / 25.0_f64).powi(2)).exp()).to_radians().sin();
            let found = turn(Lanes::splat(hue.to_radians().cos()), Lanes::splat(hue.to_radians().sin()))
                .to_array()[0];
            assert!((found - printed).abs() < 3e-12, "{hue} degrees: {found}, printed {printed}");
        }
    }
}
