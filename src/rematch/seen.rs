//! Colours as all eyes see them, looked up once.

use crate::colour::{Lab, ciede2000};
use crate::tray::Eyes;
use crate::units::DeltaE;

/// A colour as each of [`Eyes::ALL`] sees it.
#[derive(Clone, Copy, Debug)]
pub(super) struct ToAllEyes([Lab; Eyes::ALL.len()]);

impl ToAllEyes {
    pub(super) fn of(lab: Lab) -> Self {
        Self(Eyes::ALL.map(|eyes| eyes.see(lab)))
    }

    /// CIEDE2000 between two colours, for ordinary eyes.
    pub(super) fn apart(&self, other: &Self) -> DeltaE {
        // The first of all eyes are ordinary ones.
        ciede2000(self.0[0], other.0[0])
    }

    /// Whether some eyes tell the old colour from the one beside it, and not the new one. Where the old colour is not
    /// known, all eyes are taken to have told the two apart.
    pub(super) fn loses(old: Option<&Self>, new: &Self, beside: &Self) -> bool {
        let apart = |one: &Self, at: usize| ciede2000(one.0[at], beside.0[at]) > Eyes::ALL[at].hard_to_tell();
        (0..Eyes::ALL.len()).any(|at| !apart(new, at) && old.is_none_or(|old| apart(old, at)))
    }
}
