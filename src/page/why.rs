//! Why a bead is there: the detector that set it, or what of the picture it was read from.

use std::collections::BTreeMap;

use super::reading::Laid;
use super::table::colour_of;
use crate::colour::ciede2000;
use crate::figure::{Figure, LegendEntry};
use crate::sample::detector_named;
use crate::tray::Tray;
use crate::units::{Column, Row};

/// What each detector that set beads of a figure finds, by its name. One that this program does not know is left out.
pub fn detectors(figure: &Figure) -> BTreeMap<&str, &'static str> {
    let names = figure.why().values().map(String::as_str);
    names.filter_map(|name| Some((name, detector_named(name)?.what))).collect()
}

/// What the windows of some pegs show; none where no picture was read there.
pub fn of_windows(laid: Option<Laid>, pegs: &[(Row, Column)], tray: &Tray) -> Option<String> {
    /// The two that may lie there.
    const NAMED: usize = 2;
    /// Less is the edge of what lies beside it.
    const LEAST: f64 = 0.05;
    let filling = laid?.filling(pegs);
    let named = filling.iter().filter(|(_, share)| *share >= LEAST).take(NAMED);
    let said: Vec<String> =
        named.map(|(bead, share)| format!("{:.0} % {}", share * 100.0, tray.bead(*bead).name)).collect();
    (!said.is_empty()).then(|| format!("in the picture it is {}", said.join(", ")))
}

/// How far the picture's colour lies from its bead and from the one it may be; none where the picture asked for none.
pub fn of_colour(entry: &LegendEntry, other: Option<&str>, tray: &Tray) -> Option<String> {
    let aim = entry.aim?;
    let apart = |name: &str, colour| format!("{:.1} from {name}", ciede2000(aim, colour).0);
    let own = apart(&entry.bead, colour_of(entry, tray)?);
    let other = other.and_then(|name| Some(apart(name, tray.bead(tray.find(name)?).lab)));
    let said: Vec<String> = std::iter::once(own).chain(other).collect();
    Some(format!("in the picture its colour is {} (CIEDE2000)", said.join(", ")))
}
