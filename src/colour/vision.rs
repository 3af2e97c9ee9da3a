//! How colours look to makers and viewers with a colour-vision deficiency.
//!
//! Full dichromacy by the matrices of G. M. Machado, M. M. Oliveira, L. A. F. Fernandes, "A
//! physiologically-based model for simulation of color vision deficiency", IEEE TVCG 15(6),
//! 1291-1298 (2009), severity 1.0, applied to linear sRGB. The model is known to be weak for tritan.

use super::{Lab, Linear, Srgb};

/// A kind of colour vision, simulated at its strongest.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum ColourVision {
    /// No red cones (about 1 man in 100).
    Protan,
    /// No green cones (about 1 man in 100).
    Deutan,
    /// No blue cones (about 1 person in 10 000 or rarer).
    Tritan,
}

impl ColourVision {
    /// All three, in the order they are reported.
    pub const ALL: [Self; 3] = [Self::Protan, Self::Deutan, Self::Tritan];

    /// Its name, as in the literature.
    pub fn name(self) -> &'static str {
        match self {
            Self::Protan => "protan",
            Self::Deutan => "deutan",
            Self::Tritan => "tritan",
        }
    }

    /// The colour as these eyes see it, clipped to sRGB.
    pub fn simulate(self, colour: Linear) -> Linear {
        let light = [colour.r, colour.g, colour.b];
        let [r, g, b] = super::apply(self.matrix(), &light).map(|v| v.clamp(0.0, 1.0));
        Linear { r, g, b }
    }

    /// [`Self::simulate`] for a stored colour.
    pub fn simulate_srgb(self, colour: Srgb) -> Srgb {
        self.simulate(colour.linear()).srgb()
    }

    /// [`Self::simulate`] for a colour in Lab.
    pub fn simulate_lab(self, colour: Lab) -> Lab {
        self.simulate(colour.linear()).lab()
    }

    fn matrix(self) -> &'static [[f64; 3]; 3] {
        match self {
            Self::Protan => &[
                [0.152286, 1.052583, -0.204868],
                [0.114503, 0.786281, 0.099216],
                [-0.003882, -0.048116, 1.051998],
            ],
            Self::Deutan => &[
                [0.367322, 0.860646, -0.227968],
                [0.280085, 0.672501, 0.047413],
                [-0.011820, 0.042940, 0.968881],
            ],
            Self::Tritan => &[
                [1.255528, -0.076749, -0.178779],
                [-0.078411, 0.930809, 0.147602],
                [0.004733, 0.691367, 0.303900],
            ],
        }
    }
}
