//! The beads nearest to a colour.

use super::{BeadId, Tray};
use crate::colour::Lab;
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
        let mut near = self.by_name(self.colours.nearest(lab, n));
        near.truncate(n);
        near
    }

    /// The `n` beads nearest by some distance and those as near as the last of them, nearest first; equally near ones by
    /// name. The distance is made of the CIEDE2000 to each of several colours; it must not fall as one of these grows, nor
    /// grow more than it.
    pub fn nearest_by(
        &self,
        aims: &[Lab],
        distance: impl Fn(&[f64]) -> f64,
        n: usize,
    ) -> Vec<(BeadId, DeltaE)> {
        self.by_name(self.colours.nearest_by(aims, distance, n))
    }

    fn by_name(&self, near: Vec<(usize, DeltaE)>) -> Vec<(BeadId, DeltaE)> {
        let mut near: Vec<(BeadId, DeltaE)> =
            near.into_iter().map(|(place, apart)| (BeadId(place), apart)).collect();
        near.sort_by(|(one, near), (other, far)| {
            near.0.total_cmp(&far.0).then_with(|| self.bead(*one).name.cmp(&self.bead(*other).name))
        });
        near
    }
}
