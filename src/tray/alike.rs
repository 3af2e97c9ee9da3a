//! Beads that are hard to tell apart, for ordinary eyes and for each simulated colour vision.
//!
//! CIEDE2000 is made for small differences of large patches side by side. A bead is 2.6 to 5 mm
//! across and is looked at from an arm's length or more, so the limit for "hard to tell apart" lies
//! well above the least difference that can be seen; where each number comes from stands beside it.

use super::{BeadId, Tray};
use crate::colour::{ColourVision, Lab, ciede2000};
use crate::units::DeltaE;

/// Half of all people see no difference side by side. 50:50 % perceptibility in CIEDE2000, 175
/// observers, single-colour ceramic pairs in a viewing booth: R. D. Paravina et al., "Color
/// difference thresholds in dentistry", J Esthet Restor Dent 27 Suppl 1, S1-S9 (2015).
pub const SEEN: DeltaE = DeltaE(0.8);

/// Half of all people would let it pass as a match. 50:50 % acceptability, same source as [`SEEN`].
pub const ACCEPTED: DeltaE = DeltaE(1.8);

/// Up to here two beads are hard to tell apart in a figure: chosen, not measured on beads.
///
/// Two published hints meet at 5, both in CIE 1976 units, which CIEDE2000 follows near grey and
/// shrinks for vivid colours (so the limit is on the cautious side there):
/// an observer notices two different colours above 5 (W. Mokrzycki, M. Tatol, "Colour difference
/// dE: a survey", Machine Graphics & Vision 20(4), 383-411, 2011); and half of 624 people asked at
/// ordinary screens told two separate patches apart at `0.5 * (10.16 + 1.50 / s)` in lightness, `s` the
/// size in degrees (M. Stone, D. A. Szafir, V. Setlur, "An engineering model for color difference as
/// a function of size", Color and Imaging Conference 2014): 5.2 at 6 degrees, 5.8 at 1 degree (a 5 mm
/// bead 29 cm away), 7.3 at a third of a degree (86 cm). Neighbouring beads touch, which helps the
/// eye, so the lower end was taken.
pub const HARD_TO_TELL: DeltaE = DeltaE(5.0);

/// Up to here two beads are still kin, such as a colour and its shade: twice [`HARD_TO_TELL`], by eye.
pub const KIN: DeltaE = DeltaE(10.0);

/// What a colour difference means between two beads.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Likeness {
    /// Up to [`SEEN`].
    Same,
    /// Up to [`ACCEPTED`].
    Match,
    /// Up to [`HARD_TO_TELL`].
    Close,
    /// Up to [`KIN`].
    Kin,
    /// Beyond [`KIN`], or not a number.
    Different,
}

impl Likeness {
    /// The word for a difference.
    pub fn of(difference: DeltaE) -> Self {
        match difference {
            d if d <= SEEN => Self::Same,
            d if d <= ACCEPTED => Self::Match,
            d if d <= HARD_TO_TELL => Self::Close,
            d if d <= KIN => Self::Kin,
            _ => Self::Different,
        }
    }

    /// In the maker's words.
    pub fn word(self) -> &'static str {
        match self {
            Self::Same => "the same",
            Self::Match => "a match",
            Self::Close => "close",
            Self::Kin => "of a kind",
            Self::Different => "different",
        }
    }
}

/// Whose eyes look at the beads.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Eyes {
    /// Ordinary colour vision.
    Ordinary,
    /// A colour-vision deficiency at its strongest.
    With(ColourVision),
}

impl Eyes {
    /// All, in the order they are reported.
    pub const ALL: [Self; 4] = [
        Self::Ordinary,
        Self::With(ColourVision::Protan),
        Self::With(ColourVision::Deutan),
        Self::With(ColourVision::Tritan),
    ];

    /// `ordinary`, or the deficiency's name as in the literature.
    pub fn name(self) -> &'static str {
        match self {
            Self::Ordinary => "ordinary",
            Self::With(vision) => vision.name(),
        }
    }

    /// Up to here two neighbours are hard to tell apart for these eyes: [`HARD_TO_TELL`] for ordinary ones; for the
    /// strongest deficiencies, which are rare, only [`ACCEPTED`].
    pub fn hard_to_tell(self) -> DeltaE {
        match self {
            Self::Ordinary => HARD_TO_TELL,
            Self::With(_) => ACCEPTED,
        }
    }

    /// Whether these eyes tell two neighbours apart.
    pub fn tell_apart(self, one: Lab, other: Lab) -> bool {
        ciede2000(self.see(one), self.see(other)) > self.hard_to_tell()
    }

    /// The colour as these eyes see it.
    pub fn see(self, lab: Lab) -> Lab {
        match self {
            Self::Ordinary => lab,
            Self::With(vision) => vision.simulate_lab(lab),
        }
    }
}

/// Two beads that some eyes can hardly tell apart.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct AlikePair {
    beads: (BeadId, BeadId),
    apart: [DeltaE; Eyes::ALL.len()],
}

impl AlikePair {
    /// The two beads, in the tray's order.
    pub fn beads(&self) -> (BeadId, BeadId) {
        self.beads
    }

    /// How far apart these eyes see the two.
    pub fn apart(&self, eyes: Eyes) -> DeltaE {
        match eyes {
            Eyes::Ordinary => self.apart[0],
            Eyes::With(vision) => self.apart[1 + vision as usize],
        }
    }

    /// Whose eyes see the two no further apart than `limit`.
    pub fn alike_to(&self, limit: DeltaE) -> impl Iterator<Item = Eyes> + '_ {
        Eyes::ALL.into_iter().filter(move |&eyes| self.apart(eyes) <= limit)
    }

    /// The least difference that any eyes see.
    pub fn least(&self) -> DeltaE {
        DeltaE(self.apart.iter().fold(f64::INFINITY, |least, d| least.min(d.0)))
    }
}

impl Tray {
    /// Every pair of beads that ordinary eyes, or eyes with a colour-vision deficiency, see no further
    /// apart than `limit` ([`HARD_TO_TELL`] serves). Pairs alike to ordinary eyes come first, most
    /// alike first; then those alike to other eyes only, most alike first.
    pub fn alike(&self, limit: DeltaE) -> Vec<AlikePair> {
        let seen: Vec<(BeadId, [Lab; Eyes::ALL.len()])> =
            self.iter().map(|(id, bead)| (id, Eyes::ALL.map(|eyes| eyes.see(bead.lab)))).collect();
        let mut pairs = Vec::new();
        for (at, (one, as_seen)) in seen.iter().enumerate() {
            for (other, beside) in &seen[at + 1..] {
                let apart = std::array::from_fn(|eyes| ciede2000(as_seen[eyes], beside[eyes]));
                let pair = AlikePair { beads: (*one, *other), apart };
                if pair.least() <= limit {
                    pairs.push(pair);
                }
            }
        }
        let order = |pair: &AlikePair| {
            let ordinary = pair.apart(Eyes::Ordinary);
            if ordinary <= limit { (false, ordinary.0) } else { (true, pair.least().0) }
        };
        // The sort is stable: equal pairs stay in the tray's order.
        pairs.sort_by(|one, other| {
            let ((late1, apart1), (late2, apart2)) = (order(one), order(other));
            late1.cmp(&late2).then(apart1.total_cmp(&apart2))
        });
        pairs
    }
}
