//! CIEDE2000, as printed: CIE 142-2001 in the form of G. Sharma, W. Wu, E. N. Dalal, "The CIEDE2000
//! color-difference formula: implementation notes, supplementary test data, and mathematical
//! observations", Color Research & Application 30(1), 21-30 (2005). Equation numbers are theirs.

use super::Lab;
use crate::units::DeltaE;

/// 25^7, the knee of the chroma terms (equations 4 and 20).
pub(super) const KNEE: f64 = 6_103_515_625.0;

/// The CIEDE2000 difference of two colours with kL = kC = kH = 1; symmetric, 0 for equal colours.
///
/// ```
/// use smallcast::colour::{ciede2000, Lab};
/// // Pair 1 of Table 1 in Sharma, Wu and Dalal 2005.
/// let d = ciede2000(Lab::new(50.0, 2.6772, -79.7751), Lab::new(50.0, 0.0, -82.7485));
/// assert!((d.0 - 2.0425).abs() < 1e-4);
/// ```
pub fn ciede2000(one: Lab, other: Lab) -> DeltaE {
    // Equations 2 to 7: a' stretches the green-red axis for greyish colours.
    let mean_chroma = (one.chroma() + other.chroma()) / 2.0;
    let stretch = 1.0 + 0.5 * (1.0 - saturation(mean_chroma));
    let (a1, a2) = (one.a * stretch, other.a * stretch);
    let (c1, c2) = (a1.hypot(one.b), a2.hypot(other.b));
    let (h1, h2) = (hue(a1, one.b), hue(a2, other.b));

    // Equations 8 to 11.
    let d_lightness = other.l - one.l;
    let d_chroma = c2 - c1;
    let d_hue_angle = hue_step(h1, h2, c1 * c2);
    let d_hue = 2.0 * (c1 * c2).sqrt() * (d_hue_angle / 2.0).to_radians().sin();

    // Equations 12 to 14.
    let lightness = (one.l + other.l) / 2.0;
    let chroma = (c1 + c2) / 2.0;
    let hue = mean_hue(h1, h2, c1 * c2);

    // Equations 15 to 21: the weights.
    let t = 1.0 - 0.17 * (hue - 30.0).to_radians().cos()
        + 0.24 * (2.0 * hue).to_radians().cos()
        + 0.32 * (3.0 * hue + 6.0).to_radians().cos()
        - 0.20 * (4.0 * hue - 63.0).to_radians().cos();
    let turn = 30.0 * (-((hue - 275.0) / 25.0).powi(2)).exp();
    let from_middle = (lightness - 50.0).powi(2);
    let s_l = 1.0 + 0.015 * from_middle / (20.0 + from_middle).sqrt();
    let s_c = 1.0 + 0.045 * chroma;
    let s_h = 1.0 + 0.015 * chroma * t;
    let rotation = -(2.0 * turn).to_radians().sin() * 2.0 * saturation(chroma);

    // Equation 22.
    let (l, c, h) = (d_lightness / s_l, d_chroma / s_c, d_hue / s_h);
    DeltaE((l * l + c * c + h * h + rotation * c * h).max(0.0).sqrt())
}

/// sqrt(C^7 / (C^7 + 25^7)), 0 for grey, 1 for vivid.
fn saturation(chroma: f64) -> f64 {
    let seventh = chroma.powi(7);
    (seventh / (seventh + KNEE)).sqrt()
}

/// Hue angle in 0..360 degrees; 0 for grey.
fn hue(a: f64, b: f64) -> f64 {
    if a == 0.0 && b == 0.0 { 0.0 } else { b.atan2(a).to_degrees().rem_euclid(360.0) }
}

/// Equation 10: from one hue to the other the short way round, in degrees.
fn hue_step(h1: f64, h2: f64, chroma_product: f64) -> f64 {
    let step = h2 - h1;
    match step {
        _ if chroma_product == 0.0 => 0.0,
        s if s > 180.0 => s - 360.0,
        s if s < -180.0 => s + 360.0,
        s => s,
    }
}

/// Equation 14: the hue half way between the two, in degrees.
fn mean_hue(h1: f64, h2: f64, chroma_product: f64) -> f64 {
    let sum = h1 + h2;
    if chroma_product == 0.0 {
        sum
    } else if (h1 - h2).abs() <= 180.0 {
        sum / 2.0
    } else if sum < 360.0 {
        (sum + 360.0) / 2.0
    } else {
        (sum - 360.0) / 2.0
    }
}
