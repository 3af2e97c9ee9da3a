//! How wide the parts of a body are, in beads.

use super::{Look, Zone, ZoneRows};
use crate::error::{Error, Result, did_you_mean};

/// The widths of a build (common practice, no source): a torso of five beads and legs of two serve most; stout
/// figures have a torso of seven and legs of three; thin limbs are one wide; the smallest children have a torso
/// of three.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Build {
    /// Beads of the torso without arms; odd, so that it stands on the axis.
    pub torso: i32,
    /// Beads of one leg.
    pub leg: i32,
}

/// A torso of so few rows is a small child's.
const SMALL: usize = 4;

/// Hips wider than this are stout.
const STOUT: f64 = 6.3;

/// Legs narrower and wider than these are a small child's thin ones, and stout; larger figures stand on two beads
/// however thin their legs are drawn.
const LEGS: (f64, f64) = (1.15, 2.9);

/// A build by its name (common practice, no source).
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum BuildKind {
    /// A torso of five beads, limbs as the look has them; the smallest children have a torso of three and thin limbs.
    #[default]
    Usual,
    /// A torso of seven beads, legs of three.
    Stout,
    /// Limbs of one bead.
    Thin,
    /// A torso of three beads, limbs of one.
    Small,
}

impl BuildKind {
    /// All of them, as they are named.
    pub const ALL: [Self; 4] = [Self::Usual, Self::Stout, Self::Thin, Self::Small];

    /// Its name on the command line.
    pub fn name(self) -> &'static str {
        match self {
            Self::Usual => "usual",
            Self::Stout => "stout",
            Self::Thin => "thin",
            Self::Small => "small",
        }
    }

    /// The build of that name.
    ///
    /// # Errors
    /// [`Error::BadValue`] that lists the names there are.
    pub fn named(name: &str) -> Result<Self> {
        Self::ALL.into_iter().find(|kind| kind.name() == name).ok_or_else(|| Error::BadValue {
            option: "--build",
            value: name.into(),
            why: format!("there is no build of that name{}", did_you_mean(name, Self::ALL.map(Self::name))),
            right: format!("choose one of {}", Self::ALL.map(Self::name).join(", ")),
        })
    }
}

/// Beads across a usual and a stout torso, and a stout leg (common practice, no source).
const TORSO: i32 = 5;
const STOUT_TORSO: i32 = 7;
const STOUT_LEG: i32 = 3;

impl Build {
    /// The widths of a build on a body of these rows, with the limbs of a group's look.
    pub fn of(kind: BuildKind, zones: &ZoneRows, look: Look) -> Self {
        let leg = i32::from(look.limbs);
        let is_small = (1..=SMALL).contains(&zones.get(Zone::Torso));
        match kind {
            BuildKind::Small => Self { torso: Self::LEAST_TORSO, leg: 1 },
            BuildKind::Usual if is_small => Self { torso: Self::LEAST_TORSO, leg: 1 },
            BuildKind::Usual => Self { torso: TORSO, leg },
            BuildKind::Thin if is_small => Self { torso: Self::LEAST_TORSO, leg: 1 },
            BuildKind::Thin => Self { torso: TORSO, leg: 1 },
            // A stout small child is as wide as a larger one.
            BuildKind::Stout if is_small => Self { torso: TORSO, leg: leg.min(2) },
            BuildKind::Stout => Self { torso: STOUT_TORSO, leg: STOUT_LEG },
        }
    }

    /// Beads of a head.
    pub const HEAD: i32 = 5;

    /// Beads of the smallest children's torso.
    pub const LEAST_TORSO: i32 = 3;

    /// The build of a drawn body: how wide its hips are and, where it is seen, one leg, both in the mean height
    /// of its rows.
    pub fn seen(zones: &ZoneRows, hips: f64, leg: Option<f64>) -> Self {
        let torso = match zones.get(Zone::Torso) {
            0..=SMALL => Self::LEAST_TORSO,
            _ if hips < STOUT => 5,
            _ => 7,
        };
        let leg = match leg {
            Some(leg) if leg < LEGS.0 && zones.get(Zone::Torso) <= SMALL => 1,
            Some(leg) if leg >= LEGS.1 => 3,
            _ => 2,
        };
        Self { torso, leg }
    }

    /// Other builds a drawn body may have, each with how likely it is beside the one seen (1: as likely), from
    /// how near the measured widths come to the border between the two.
    ///
    /// A width is measured to about half a bead at the hips and a third of one at a leg; the odds of lying
    /// beyond a border this many of those away fall as a logistic's do (our own reckoning, no source).
    pub fn others(zones: &ZoneRows, hips: f64, leg: Option<f64>) -> Vec<(Self, f64)> {
        /// To what part of a bead hips and a leg are measured.
        const HIPS: f64 = 0.5;
        const LEG: f64 = 0.33;
        let seen = Self::seen(zones, hips, leg);
        let odds = |away: f64, within: f64| (-away.abs() / within).exp();
        let torso = (zones.get(Zone::Torso) > SMALL)
            .then(|| (Self { torso: if seen.torso == 5 { 7 } else { 5 }, ..seen }, odds(hips - STOUT, HIPS)));
        let legs = leg.into_iter().flat_map(|leg| {
            let thinner = (leg - LEGS.0, (1, 2));
            let thicker = (leg - LEGS.1, (2, 3));
            [thinner, thicker].into_iter().filter_map(move |(away, (below, above))| {
                let other = [(below, above), (above, below)].into_iter().find(|(own, _)| *own == seen.leg)?.1;
                Some((Self { leg: other, ..seen }, odds(away, LEG)))
            })
        });
        torso.into_iter().chain(legs).collect()
    }

    /// Beads from the outside of one leg to that of the other, the gap of one between them.
    pub fn between_outsides(self) -> i32 {
        2 * self.leg + 1
    }
}

/// A body's widths as a drawing shows them, and the build they were brought to.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Measured {
    /// The build.
    pub build: Build,
    /// How wide the hips are, in the mean height of the figure's rows.
    pub hips: f64,
    /// How wide one leg is, in the same; none where legs are not seen.
    pub leg: Option<f64>,
}
