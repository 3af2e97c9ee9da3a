//! Colour as beads and pictures have it: sRGB for screens and files, linear light for averages,
//! CIE Lab (D65, 2 degrees, f64) for judging.
//!
//! Sources: IEC 61966-2-1:1999 (transfer curve and the four-digit matrix), CIE 15 (Lab), ASTM E308
//! (white points). The crate `palette` does the transfer curve, Lab and adaptation, which agree with the print to
//! 1e-6 (`tests/engine/colour_print.rs`); the matrix is ours, since `palette` reckons its own from the primaries and differs
//! in the fifth digit, and so is [`ciede2000`].

mod batch;
mod bound;
mod colours;
mod difference;
mod known;
mod quick;
mod vision;

pub use colours::Colours;
pub use difference::ciede2000;
pub(crate) use quick::labs;
pub use vision::ColourVision;

use std::fmt;
use std::str::FromStr;
use std::sync::LazyLock;

use palette::chromatic_adaptation::adaptation_matrix;
use palette::convert::{Convert, FromColorUnclamped, IntoColorUnclamped};
use palette::encoding::{FromLinear, IntoLinear, Srgb as Curve};
use palette::lms::matrix::{Bradford, VonKries};
use palette::white_point;

/// An 8-bit sRGB colour, as in a picture file or on a screen.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub struct Srgb {
    /// Red, 0 to 255.
    pub r: u8,
    /// Green, 0 to 255.
    pub g: u8,
    /// Blue, 0 to 255.
    pub b: u8,
}

/// Light itself: sRGB primaries without the transfer curve, 0 to 1. Only here may colours be averaged.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Linear {
    /// Red light, 0 to 1.
    pub r: f64,
    /// Green light, 0 to 1.
    pub g: f64,
    /// Blue light, 0 to 1.
    pub b: f64,
}

/// CIE 1976 L*a*b* under D65: what the eye compares.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Lab {
    /// Lightness, 0 (black) to 100 (white).
    pub l: f64,
    /// Green (below 0) to red.
    pub a: f64,
    /// Blue (below 0) to yellow.
    pub b: f64,
}

/// The white point (X, Y, Z with Y = 1), ASTM E308, 2 degree observer.
const D65: [f64; 3] = [0.95047, 1.0, 1.08883];

/// Linear sRGB to XYZ, the four-digit matrix printed in IEC 61966-2-1.
const TO_XYZ: [[f64; 3]; 3] = [[0.4124, 0.3576, 0.1805], [0.2126, 0.7152, 0.0722], [0.0193, 0.1192, 0.9505]];

/// CIE 15: where the cube root gives way to a straight line.
const EPSILON: f64 = 216.0 / 24389.0;
const KAPPA: f64 = 24389.0 / 27.0;

/// The library's own table of stored values departs from the print in the ninth decimal; its formula does not.
static DECODED: LazyLock<[f64; 256]> =
    LazyLock::new(|| std::array::from_fn(|v| <Curve as IntoLinear<f64, f64>>::into_linear(v as f64 / 255.0)));

static FROM_XYZ: LazyLock<[[f64; 3]; 3]> = LazyLock::new(|| inverse(&TO_XYZ));

/// XYZ under D65, Y = 1 for white.
type Xyz = palette::Xyz<white_point::D65, f64>;

impl Srgb {
    /// A colour from its three channels.
    pub const fn new(r: u8, g: u8, b: u8) -> Self {
        Self { r, g, b }
    }

    /// Its light.
    pub fn linear(self) -> Linear {
        let [r, g, b] = [self.r, self.g, self.b].map(|v| DECODED[usize::from(v)]);
        Linear { r, g, b }
    }

    /// Its place in Lab.
    pub fn lab(self) -> Lab {
        self.linear().lab()
    }

    /// The ink, black or white, that stands out more on this colour (WCAG 2.2 contrast ratio).
    pub fn ink(self) -> Srgb {
        let light = self.linear().luminance();
        // (1 + 0.05) / (Y + 0.05) against (Y + 0.05) / 0.05: white wins below the geometric middle.
        let middle = (1.05_f64 * 0.05).sqrt() - 0.05;
        if light < middle { Srgb::new(255, 255, 255) } else { Srgb::new(0, 0, 0) }
    }
}

/// The WCAG 2.2 contrast ratio of two colours, 1 to 21.
pub fn contrast_ratio(one: Srgb, other: Srgb) -> f64 {
    let (y1, y2) = (one.linear().luminance(), other.linear().luminance());
    (y1.max(y2) + 0.05) / (y1.min(y2) + 0.05)
}

impl Linear {
    /// The nearest 8-bit sRGB colour; light outside 0..=1 is clipped.
    pub fn srgb(self) -> Srgb {
        let to8 =
            |v: f64| (<Curve as FromLinear<f64, f64>>::from_linear(v.clamp(0.0, 1.0)) * 255.0).round() as u8;
        Srgb::new(to8(self.r), to8(self.g), to8(self.b))
    }

    /// Relative luminance Y, 0 to 1.
    pub fn luminance(self) -> f64 {
        dot(&TO_XYZ[1], &[self.r, self.g, self.b])
    }

    /// Its place in Lab.
    pub fn lab(self) -> Lab {
        let [x, y, z] = apply(&TO_XYZ, &[self.r, self.g, self.b]);
        Lab::from_xyz(Xyz::new(x, y, z))
    }
}

impl Lab {
    /// A colour from lightness, green-red and blue-yellow.
    pub const fn new(l: f64, a: f64, b: f64) -> Self {
        Self { l, a, b }
    }

    /// Lab measured under D50, brought to D65 by the Bradford transform.
    pub fn from_d50(l: f64, a: f64, b: f64) -> Self {
        let measured =
            palette::Xyz::from_color_unclamped(palette::Lab::<white_point::D50, f64>::new(l, a, b));
        Self::from_xyz(adaptation_matrix::<_, _, _, Bradford>(None, None).convert(measured))
    }

    /// How it looks beside `white` as the white of the picture: white's tint is taken out by the Bradford transform,
    /// as [`Lab::from_d50`] does it, and its lightness is kept.
    pub fn beside_white(self, white: Lab) -> Self {
        match white.light() {
            Some(light) => {
                Self::from_xyz(adaptation_matrix::<_, _, _, Bradford>(Some(light), None).convert(self.xyz()))
            }
            None => self,
        }
    }

    /// What a photograph shows, where the camera left `white` tinted: the tint is taken out by the transform of von
    /// Kries in the eye's cones. A camera's channels overlap as cones do, and its tint lies in them: the sharpened ones
    /// of [`Lab::beside_white`] turn reds and blues.
    pub fn untinted(self, white: Lab) -> Self {
        match white.light() {
            Some(light) => {
                Self::from_xyz(adaptation_matrix::<_, _, _, VonKries>(Some(light), None).convert(self.xyz()))
            }
            None => self,
        }
    }

    fn xyz(self) -> Xyz {
        palette::Lab::new(self.l, self.a, self.b).into_color_unclamped()
    }

    fn from_xyz(xyz: Xyz) -> Self {
        let palette::Lab { l, a, b, .. } = palette::Lab::from_color_unclamped(xyz);
        Self { l, a, b }
    }

    /// A white's light; nothing can be told beside black.
    fn light(self) -> Option<Xyz> {
        (self.l > 0.0).then(|| self.xyz())
    }

    /// Its chromaticity x and y, CIE 1931; the white's own for black.
    pub fn chromaticity(self) -> (f64, f64) {
        let [x, y, z] = self.light().map_or(D65, |light| [light.x, light.y, light.z]);
        (x / (x + y + z), y / (x + y + z))
    }

    /// Its light; channels may lie outside 0..=1 where sRGB cannot show the colour.
    pub fn linear(self) -> Linear {
        let xyz = self.xyz();
        let [r, g, b] = apply(&FROM_XYZ, &[xyz.x, xyz.y, xyz.z]);
        Linear { r, g, b }
    }

    /// The nearest sRGB colour, clipped channel by channel.
    pub fn srgb(self) -> Srgb {
        self.linear().srgb()
    }

    /// Whether sRGB can show it, within half a step of eight bits.
    pub fn is_displayable(self) -> bool {
        let Linear { r, g, b } = self.linear();
        const SLACK: f64 = 0.5 / 255.0;
        [r, g, b].iter().all(|v| (-SLACK..=1.0 + SLACK).contains(v))
    }

    /// The mean of some colours, each with its weight; nothing where none has any.
    pub(crate) fn mean(colours: impl IntoIterator<Item = (Self, f64)>) -> Option<Self> {
        let (mut sum, mut all) = ([0.0; 3], 0.0);
        for (Self { l, a, b }, weight) in colours {
            sum = [sum[0] + l * weight, sum[1] + a * weight, sum[2] + b * weight];
            all += weight;
        }
        let [l, a, b] = sum.map(|v| v / all);
        (all > 0.0).then_some(Self { l, a, b })
    }

    /// Hue in degrees, -180 to 180; 0 of grey.
    pub(crate) fn hue(self) -> f64 {
        self.b.atan2(self.a).to_degrees()
    }

    /// Chroma: how far from grey.
    pub fn chroma(self) -> f64 {
        (self.a * self.a + self.b * self.b).sqrt()
    }

    /// Straight distance in Lab (CIE 1976).
    pub(crate) fn distance(self, other: Lab) -> f64 {
        self.distance_squared(other).sqrt()
    }

    /// Squared straight distance in Lab (CIE 1976): for searching, never for reporting.
    pub fn distance_squared(self, other: Lab) -> f64 {
        let (l, a, b) = (self.l - other.l, self.a - other.a, self.b - other.b);
        l * l + a * a + b * b
    }
}

fn dot(row: &[f64; 3], v: &[f64; 3]) -> f64 {
    row[0] * v[0] + row[1] * v[1] + row[2] * v[2]
}

fn apply(m: &[[f64; 3]; 3], v: &[f64; 3]) -> [f64; 3] {
    std::array::from_fn(|i| dot(&m[i], v))
}

/// Inverse of a 3 x 3 matrix by cofactors; ours are fixed and well conditioned.
fn inverse(m: &[[f64; 3]; 3]) -> [[f64; 3]; 3] {
    let cofactor = |r: usize, c: usize| {
        let (r1, r2, c1, c2) = ((r + 1) % 3, (r + 2) % 3, (c + 1) % 3, (c + 2) % 3);
        m[r1][c1] * m[r2][c2] - m[r1][c2] * m[r2][c1]
    };
    let determinant: f64 = (0..3).map(|c| m[0][c] * cofactor(0, c)).sum();
    std::array::from_fn(|r| std::array::from_fn(|c| cofactor(c, r) / determinant))
}

impl fmt::Display for Srgb {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "#{:02x}{:02x}{:02x}", self.r, self.g, self.b)
    }
}

impl fmt::Display for Lab {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{:.1} {:.1} {:.1}", self.l, self.a, self.b)
    }
}

/// A text that is not a colour; carries no detail since the caller knows the text and its place.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct NotAColour;

impl FromStr for Srgb {
    type Err = NotAColour;

    /// Six hexadecimal digits, with or without `#` before them; three digits are doubled (`f80` is `ff8800`).
    fn from_str(text: &str) -> Result<Self, NotAColour> {
        let digits = text.trim();
        let digits = digits.strip_prefix('#').unwrap_or(digits);
        let nibbles: Option<Vec<u8>> = digits.chars().map(|c| c.to_digit(16).map(|d| d as u8)).collect();
        match nibbles.as_deref() {
            Some(&[r, g, b]) => Ok(Srgb::new(r * 17, g * 17, b * 17)),
            Some(&[r1, r0, g1, g0, b1, b0]) => Ok(Srgb::new(r1 * 16 + r0, g1 * 16 + g0, b1 * 16 + b0)),
            _ => Err(NotAColour),
        }
    }
}
