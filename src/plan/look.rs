//! How a group of a cast is drawn in beads: what all its figures share beside their heights.

use std::ops::RangeInclusive;

/// Where a figure looks.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Facing {
    /// A little to one side: one ear is seen.
    Turned,
    /// At the looker.
    Forward,
}

/// How the legs stand beside each other.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum LegLook {
    /// A peg apart.
    Parted,
    /// Side by side, without a gap.
    Solid,
    /// Side by side, with a dark line between them.
    SolidWithLine,
}

/// The outline of a head.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum HeadShape {
    /// Narrower on top: two beads over rows of four.
    Round,
    /// As wide on top as below.
    Square,
}

/// What the figures of one group share (common practice, no source).
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Look {
    /// Where they look.
    pub facing: Facing,
    /// How their legs stand.
    pub legs: LegLook,
    /// Beads across an arm or a leg, 1 to 3: 2 serve most, 1 is thin, 3 is stout.
    pub limbs: u8,
    /// Beads along an arm of an adult, from the shoulder to the fingertips, 4 to 12.
    pub arms: u8,
    /// The head's outline.
    pub head: HeadShape,
}

impl Look {
    /// Most figures' look (common practice, no source): turned, legs apart, limbs two beads wide, arms nine long, a
    /// round head.
    pub const USUAL: Self =
        Self { facing: Facing::Turned, legs: LegLook::Parted, limbs: 2, arms: 9, head: HeadShape::Round };

    /// Fewest and most beads across a limb.
    pub const LIMBS: RangeInclusive<u8> = 1..=3;

    /// Fewest and most beads along an arm.
    pub const ARMS: RangeInclusive<u8> = 4..=12;
}

impl Default for Look {
    fn default() -> Self {
        Self::USUAL
    }
}

impl Facing {
    /// Both, as they are named.
    pub const ALL: [Self; 2] = [Self::Turned, Self::Forward];

    /// Its name in files and on the command line.
    pub fn name(self) -> &'static str {
        match self {
            Self::Turned => "turned",
            Self::Forward => "forward",
        }
    }
}

impl LegLook {
    /// All of them, as they are named.
    pub const ALL: [Self; 3] = [Self::Parted, Self::Solid, Self::SolidWithLine];

    /// Its name in files and on the command line.
    pub fn name(self) -> &'static str {
        match self {
            Self::Parted => "parted",
            Self::Solid => "solid",
            Self::SolidWithLine => "solid with a line",
        }
    }
}

impl HeadShape {
    /// Both, as they are named.
    pub const ALL: [Self; 2] = [Self::Round, Self::Square];

    /// Its name in files and on the command line.
    pub fn name(self) -> &'static str {
        match self {
            Self::Round => "round",
            Self::Square => "square",
        }
    }
}
