//! The tray's colours as other eyes see them.

use std::collections::BTreeMap;

use serde::Serialize;

use super::table::hex;
use crate::colour::{ColourVision, Lab};
use crate::tray::Tray;

/// Each bead's colour without hue, and in each simulated colour vision.
#[derive(Debug, Serialize)]
pub struct Visions(BTreeMap<&'static str, BTreeMap<String, String>>);

impl Visions {
    /// All beads of a tray, and those to try.
    pub fn of(tray: &Tray) -> Self {
        let all = |see: &dyn Fn(Lab) -> Lab| -> BTreeMap<String, String> {
            let beads = tray.iter().map(|(_, bead)| bead).chain(tray.to_try());
            beads.map(|bead| (bead.name.clone(), hex(see(bead.lab).srgb()))).collect()
        };
        let grey = all(&|lab| Lab::new(lab.l, 0.0, 0.0));
        let simulated = ColourVision::ALL.map(|eyes| (eyes.name(), all(&|lab| eyes.simulate_lab(lab))));
        Self(std::iter::once(("grey", grey)).chain(simulated).collect())
    }
}
