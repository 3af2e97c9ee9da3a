//! The JSON document of `smallcast compare --thing`.

use serde::Serialize;
use smallcast::rematch::{Held, Ledger, Serves};

use super::figures::Opened;
use super::home::Home;

/// The document's layout; grows when a reader would have to change.
const FORMAT: u32 = 1;

#[derive(Serialize)]
pub struct Document<'a> {
    format: u32,
    tray: String,
    things: Vec<ThingJson<'a>>,
}

#[derive(Serialize)]
struct ThingJson<'a> {
    name: &'a str,
    /// As the cast says.
    bead: &'a str,
    disagrees: bool,
    figures: Vec<HeldJson<'a>>,
    missing: &'a [&'a str],
    serves: Option<ServesJson<'a>>,
}

#[derive(Serialize)]
struct HeldJson<'a> {
    figure: &'a str,
    bead: Option<&'a str>,
    mark: Option<char>,
    beads: usize,
    apart: Option<f64>,
    by_hand: bool,
}

#[derive(Serialize)]
struct ServesJson<'a> {
    bead: &'a str,
    serves_all: bool,
    /// CIEDE2000 from each figure's aim, in the order of `figures`.
    each: Vec<Option<f64>>,
}

/// Everything a script may want of some things.
pub fn document<'a>(ledgers: &'a [Ledger], opened: &'a [Opened], home: &'a Home) -> Document<'a> {
    let held = |held: &'a Held| HeldJson {
        figure: opened[held.figure].figure.name(),
        bead: held.bead.as_deref(),
        mark: held.mark.map(|mark| mark.get()),
        beads: held.beads,
        apart: held.apart.map(|apart| apart.0),
        by_hand: held.by_hand,
    };
    let serves = |serves: &Serves| ServesJson {
        bead: &home.tray.bead(serves.bead).name,
        serves_all: serves.serves_all(),
        each: serves.each.iter().map(|apart| apart.map(|apart| apart.0)).collect(),
    };
    let thing = |ledger: &'a Ledger| ThingJson {
        name: &ledger.thing.name,
        bead: &ledger.thing.bead,
        disagrees: ledger.disagrees(),
        figures: ledger.held.iter().map(held).collect(),
        missing: &ledger.missing,
        serves: ledger.serves.as_ref().map(serves),
    };
    Document { format: FORMAT, tray: home.tray_name(), things: ledgers.iter().map(thing).collect() }
}
