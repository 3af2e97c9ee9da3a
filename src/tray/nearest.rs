//! The beads nearest to a colour.

use super::{Bead, BeadId, Tray};
use crate::colour::{Lab, ciede2000};
use crate::units::DeltaE;

impl Tray {
    /// The `n` beads nearest to a colour by CIEDE2000, nearest first; equally near ones by name.
    ///
    /// ```
    /// use smallcast::{colour::Srgb, tray::Tray};
    /// let tray = Tray::embedded();
    /// let near = tray.nearest(Srgb::new(0, 0, 0).lab(), 3);
    /// assert_eq!(near.len(), 3);
    /// assert!(near[0].1 <= near[1].1);
    /// ```
    pub fn nearest(&self, lab: Lab, n: usize) -> Vec<(BeadId, DeltaE)> {
        self.nearest_by(|bead| ciede2000(lab, bead.lab), n)
    }

    /// The `n` beads nearest by some distance, nearest first; equally near ones by name.
    pub fn nearest_by(&self, distance: impl Fn(&Bead) -> DeltaE, n: usize) -> Vec<(BeadId, DeltaE)> {
        let mut all: Vec<(BeadId, DeltaE)> = self.iter().map(|(id, bead)| (id, distance(bead))).collect();
        all.sort_by(|(one, near), (other, far)| {
            near.0.total_cmp(&far.0).then_with(|| self.bead(*one).name.cmp(&self.bead(*other).name))
        });
        all.truncate(n);
        all
    }
}
