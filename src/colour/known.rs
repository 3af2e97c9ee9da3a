//! What is asked of a colour in every comparison, looked up once.

use super::Lab;

/// A colour with its chroma and hue.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Known {
    pub lab: Lab,
    pub chroma: f64,
    /// From blue (275 degrees) to its hue, -180 to 180 degrees.
    pub from_blue: f64,
}

impl Known {
    pub fn of(lab: Lab) -> Self {
        let hue = lab.b.atan2(lab.a).to_degrees() - 275.0;
        let from_blue = if hue < -180.0 { hue + 360.0 } else { hue };
        Self { lab, chroma: lab.chroma(), from_blue }
    }
}
