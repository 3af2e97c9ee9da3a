//! The parts a figure is made of, by the names a maker calls them.

/// A part of a figure. Left and right are the figure's own: its left arm is on the looker's right.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum BodyPart {
    /// Face, ears, beard and neck.
    Head,
    /// What grows on the head.
    Hair,
    /// What is worn on the head.
    Hat,
    /// Shoulders to hips, and what hangs from there: a coat's skirts, an apron.
    Torso,
    /// The figure's own left arm with its hand.
    LeftArm,
    /// The figure's own right arm with its hand.
    RightArm,
    /// Hips to ankles.
    Legs,
    /// Ankles to soles.
    Feet,
    /// What is held or carried.
    Props,
}

impl BodyPart {
    /// All parts, from the top; props last.
    pub const ALL: [Self; 9] = [
        Self::Head,
        Self::Hair,
        Self::Hat,
        Self::Torso,
        Self::LeftArm,
        Self::RightArm,
        Self::Legs,
        Self::Feet,
        Self::Props,
    ];

    /// Its name in figure files and lines of changes.
    pub fn name(self) -> &'static str {
        match self {
            Self::Head => "head",
            Self::Hair => "hair",
            Self::Hat => "hat",
            Self::Torso => "torso",
            Self::LeftArm => "left-arm",
            Self::RightArm => "right-arm",
            Self::Legs => "legs",
            Self::Feet => "feet",
            Self::Props => "props",
        }
    }

    /// The part of that name.
    pub fn named(name: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|part| part.name() == name)
    }
}
