//! From a bead's share of the paper's light to its colour under D65, and how far that may be off.

use super::measure::Measure;
use super::patch::GreyPatch;
use super::spots::BeadSpot;
use super::{Doubt, Pose, ReadColour, SeenLight};
use crate::colour::{Lab, Linear, Srgb};
use crate::reference::FlatSheet;
use crate::reference::middle::median;
use crate::units::DeltaE;

/// White office paper gives back this much of the light: L* 95 (common practice, no source; ISO 12647-2 has L* 93 to 95 for
/// uncoated and coated white papers).
const PAPER_LIGHTNESS: f64 = 95.0;

/// Light scattered in the lens lies over all of a picture: between nothing and a hundredth of white, common practice,
/// no source. Half of that is taken off.
const GLARE: f64 = 0.004;

/// A patch whose lightness is told sets the picture's own scale of lightness right within these bounds: no camera bends
/// it further.
const BENDS: (f64, f64) = (0.6, 1.6);

/// How shares become colours in one photograph.
pub(super) struct ColourReader {
    /// The linear colour of paper where the beads lie.
    paper: [f64; 3],
    /// What white is, as a share of paper and as it is seen.
    white: Lab,
    /// What the picture's light is raised to so that the patch has the lightness told.
    bend: f64,
    has_patch: bool,
    has_lightness: bool,
    pub light: SeenLight,
}

impl ColourReader {
    /// Paper is taken as lies among the beads; `told` is the patch's own lightness.
    pub fn of(sheet: &FlatSheet, patch: Option<&GreyPatch>, spots: &[BeadSpot], told: Option<f64>) -> Self {
        let at = |spot: &BeadSpot| {
            let (rows, columns) = sheet.dim();
            sheet.paper_at(((spot.y as usize).min(rows - 1), (spot.x as usize).min(columns - 1)))
        };
        let seen: Vec<[f32; 3]> = spots.iter().map(at).collect();
        let paper = std::array::from_fn(|c| median(seen.iter().map(|p| f64::from(p[c])).collect()));
        let mut bright: Vec<f64> = seen.iter().map(|p| luminance(p.map(f64::from))).collect();
        bright.sort_by(f64::total_cmp);
        // One in twenty at either end may be a stain.
        let (low, high) = (bright[bright.len() / 20], bright[bright.len() - 1 - bright.len() / 20]);
        let share = patch.map_or([1.0; 3], |patch| patch.share.map(f64::from));
        let bend = told.filter(|_| patch.is_some()).map_or(1.0, |told| bend(share, told));
        let white = times(paper, share);
        let light = SeenLight::of(linear(white), luminance(paper), high / low.max(1e-6));
        let full = 1.0 / luminance(white).max(1e-6);
        Self {
            paper,
            white: linear(white.map(|v| v * full)).lab(),
            bend,
            has_patch: patch.is_some(),
            has_lightness: told.is_some() && patch.is_some(),
            light,
        }
    }

    /// The colour under D65 of what sends back such a share of paper's light.
    pub fn lab(&self, share: [f64; 3]) -> Lab {
        let share = share.map(|share| (share - GLARE).max(0.0) / (1.0 - GLARE));
        let level = Lab::new(PAPER_LIGHTNESS, 0.0, 0.0).linear().luminance();
        // Raised by its luminance alone: a bent channel would be another hue.
        let seen = luminance(times(self.paper, share)) / luminance(self.paper).max(1e-9);
        let bent = seen.max(1e-6).powf(self.bend - 1.0);
        let scale = level * bent / luminance(self.paper).max(1e-9);
        linear(times(self.paper, share).map(|v| v * scale)).lab().untinted(self.white)
    }

    /// A bead's colour and its uncertainty.
    pub fn colour(&self, measure: &Measure) -> ReadColour {
        let lab = self.lab(measure.share);
        // No bead is lighter than white or darker than black.
        let lab = Lab { l: lab.l.clamp(0.0, 100.0), ..lab };
        ReadColour { lab, uncertainty: self.uncertainty(lab, measure) }
    }

    /// The colour that a spot's clean part shows in the photograph.
    pub fn shown(&self, sheet: &FlatSheet, spot: &BeadSpot, measure: &Measure) -> Srgb {
        let (rows, columns) = sheet.dim();
        let place = ((spot.y as usize).min(rows - 1), (spot.x as usize).min(columns - 1));
        linear(times(sheet.paper_at(place).map(f64::from), measure.share)).srgb()
    }

    /// Independent errors add by their squares. Chosen on half of the drawn photographs (`tests/laid_beads`), so that
    /// two in three readings lie within it.
    fn uncertainty(&self, lab: Lab, measure: &Measure) -> DeltaE {
        /// What paper's lightness and the camera's own curve leave open, in CIEDE2000; less where the patch's lightness
        /// was told.
        const LIGHTNESS: f64 = 2.2;
        const LIGHTNESS_TOLD: f64 = 1.2;
        /// A camera's colours are not the eye's: the more vivid, the further off.
        const VIVID: f64 = 1.6;
        /// A chroma at which that is felt in full.
        const FULL_CHROMA: f64 = 50.0;
        /// What adaptation leaves of a tinted light, per unit of its chroma.
        const ADAPTED: f64 = 0.12;
        /// Paper's own tint, where no patch tells it: papers brightened and not differ by some 5 in b*.
        const NO_PATCH: f64 = 2.2;
        /// Light that differs by one in a hundred moves a mid colour by about this much.
        const UNEVEN: f64 = 0.35;
        /// A ring's own spread, as its mean feels it.
        const SPREAD: f64 = 0.2;
        /// A lying bead is shaded all over; a doubt, whichever, adds this much.
        const LYING: f64 = 0.8;
        const DOUBT: f64 = 1.0;
        /// A colour that the picture cannot show is drawn to what it can.
        const BEYOND: f64 = 3.5;
        let counted = |doubt: &&Doubt| **doubt != Doubt::NearAnother;
        let terms = [
            if self.has_lightness { LIGHTNESS_TOLD } else { LIGHTNESS },
            VIVID * (lab.chroma() / FULL_CHROMA).min(1.0),
            ADAPTED * self.light.chroma,
            if self.has_patch { 0.0 } else { NO_PATCH },
            UNEVEN * 100.0 * measure.unevenness,
            SPREAD * measure.spread,
            if measure.pose == Pose::Lying { LYING } else { 0.0 },
            if measure.is_beyond { BEYOND } else { 0.0 },
            DOUBT * (measure.doubts.iter().filter(counted).count() as f64).sqrt(),
        ];
        DeltaE(terms.iter().map(|term| term * term).sum::<f64>().sqrt())
    }
}

/// What a picture's light is raised to so that a patch seen with such a share of paper's light has a lightness.
fn bend(share: [f64; 3], told: f64) -> f64 {
    let level = |lightness: f64| Lab::new(lightness, 0.0, 0.0).linear().luminance();
    let (seen, is) = (luminance(share), level(told) / level(PAPER_LIGHTNESS));
    let bend = is.max(1e-6).ln() / seen.max(1e-6).ln();
    if bend.is_finite() { bend.clamp(BENDS.0, BENDS.1) } else { 1.0 }
}

fn linear([r, g, b]: [f64; 3]) -> Linear {
    Linear { r, g, b }
}

fn luminance(light: [f64; 3]) -> f64 {
    linear(light).luminance()
}

fn times(one: [f64; 3], other: [f64; 3]) -> [f64; 3] {
    std::array::from_fn(|c| one[c] * other[c])
}
