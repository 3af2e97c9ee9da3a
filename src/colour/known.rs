//! What is asked of a colour in every comparison, looked up once.

use wide::f64x8 as Lanes;

use super::Lab;

/// Colours worked on side by side.
pub(super) const LANES: usize = size_of::<Lanes>() / size_of::<f64>();

/// A colour with its chroma and hue; `Known<Lanes>` are several.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Known<T = f64> {
    pub l: T,
    pub a: T,
    pub b: T,
    pub chroma: T,
    /// From blue (275 degrees) to its hue, -180 to 180 degrees.
    pub from_blue: T,
}

impl Known {
    pub fn of(lab: Lab) -> Self {
        let Lab { l, a, b } = lab;
        let hue = b.atan2(a).to_degrees() - 275.0;
        let from_blue = if hue < -180.0 { hue + 360.0 } else { hue };
        Self { l, a, b, chroma: lab.chroma(), from_blue }
    }

    pub fn lab(&self) -> Lab {
        Lab::new(self.l, self.a, self.b)
    }
}

impl Known<Lanes> {
    /// Some side by side, [`LANES`] at most; lanes that are left over hold zeros.
    pub fn some<'a>(colours: impl IntoIterator<Item = &'a Known>) -> Self {
        let mut channels = [[0.0; LANES]; 5];
        for (lane, colour) in colours.into_iter().take(LANES).enumerate() {
            let Known { l, a, b, chroma, from_blue } = *colour;
            for (channel, value) in channels.iter_mut().zip([l, a, b, chroma, from_blue]) {
                channel[lane] = value;
            }
        }
        let [l, a, b, chroma, from_blue] = channels;
        Self {
            l: Lanes::new(l),
            a: Lanes::new(a),
            b: Lanes::new(b),
            chroma: Lanes::new(chroma),
            from_blue: Lanes::new(from_blue),
        }
    }
}
