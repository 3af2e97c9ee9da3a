//! Beads by how near they come to a colour.

use super::{BeadId, Tray};
use crate::colour::{Lab, ciede2000};
use crate::units::DeltaE;

impl Tray {
    /// The `n` beads nearest to a colour by CIEDE2000, nearest first; beads as near keep the tray's order.
    pub fn nearest(&self, colour: Lab, n: usize) -> Vec<(BeadId, DeltaE)> {
        let mut all: Vec<(BeadId, DeltaE)> =
            self.iter().map(|(id, b)| (id, ciede2000(b.lab, colour))).collect();
        all.sort_by(|a, b| a.1.0.total_cmp(&b.1.0));
        all.truncate(n);
        all
    }
}
