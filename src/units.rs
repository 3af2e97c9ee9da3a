//! Quantities that must not be mixed up: a row is not a column, a colour difference is not a share.

use std::fmt;

/// A row of beads, counted from 0 at the top.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Row(pub usize);

/// A column of beads, counted from 0 at the left as the viewer sees the figure.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Column(pub usize);

/// A colour difference by CIEDE2000; 0 is the same colour, about 1 can just be seen side by side.
#[derive(Clone, Copy, Debug, PartialEq, PartialOrd)]
pub struct DeltaE(pub f64);

impl fmt::Display for DeltaE {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{:.1}", self.0)
    }
}

/// The probability, 0 to 1, that the maker would keep what the tool proposes.
#[derive(Clone, Copy, Debug, PartialEq, PartialOrd)]
pub struct Confidence(f64);

impl Confidence {
    /// Nothing speaks for it.
    pub const NONE: Self = Self(0.0);
    /// Settled: by the maker's own hand.
    pub const FULL: Self = Self(1.0);

    /// Takes any number and brings it into 0..=1; NaN becomes 0, the honest reading of "unknown".
    pub fn new(p: f64) -> Self {
        if p.is_nan() { Self::NONE } else { Self(p.clamp(0.0, 1.0)) }
    }

    /// The probability, in 0..=1.
    pub fn get(self) -> f64 {
        self.0
    }

    /// In whole percent, never rounded up to 100 unless it is certain.
    pub fn percent(self) -> u8 {
        if self.0 >= 1.0 { 100 } else { (self.0 * 100.0).round().min(99.0) as u8 }
    }
}

impl fmt::Display for Confidence {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{} %", self.percent())
    }
}

/// A standing height (stature) in centimetres.
#[derive(Clone, Copy, Debug, PartialEq, PartialOrd)]
pub struct Centimetres(pub f64);

impl fmt::Display for Centimetres {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{:.0} cm", self.0)
    }
}

/// A length on paper or between beads, in millimetres.
#[derive(Clone, Copy, Debug, PartialEq, PartialOrd)]
pub struct Millimetres(pub f64);

impl fmt::Display for Millimetres {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{} mm", self.0)
    }
}
