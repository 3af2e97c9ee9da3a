//! The JSON document of `smallcast rematch --suggest`.

use serde::Serialize;
use smallcast::rematch::{Help, Suggested};

use super::suggest::Told;

/// The document's layout; grows when a reader would have to change.
const FORMAT: u32 = 1;

#[derive(Serialize)]
pub struct Document<'a> {
    format: u32,
    tray: String,
    catalogue: String,
    /// The sum over all beads that may change of their CIEDE2000 from their aims, and by how much it drops.
    now: f64,
    drop: f64,
    /// No other choice of this many beads makes it drop by more.
    at_most: f64,
    /// Beads that may change, and beads that stay by hand.
    beads_counted: usize,
    beads_left: usize,
    beads: Vec<Bead<'a>>,
}

#[derive(Serialize)]
struct Bead<'a> {
    bead: &'a str,
    drop: f64,
    beads: u64,
    packs: u64,
    pack: Option<u32>,
    cost: Option<String>,
    helps: Vec<HelpJson<'a>>,
}

#[derive(Serialize)]
struct HelpJson<'a> {
    figure: &'a str,
    mark: char,
    bead: &'a str,
    beads: usize,
    before: f64,
    after: f64,
}

/// Everything a script may want of a suggestion.
pub fn document<'a>(told: &'a Told) -> Document<'a> {
    let suggestion = told.suggestion;
    Document {
        format: FORMAT,
        tray: told.home.tray_name(),
        catalogue: told.catalogue.0.display().to_string(),
        now: suggestion.now,
        drop: suggestion.drop,
        at_most: suggestion.at_most,
        beads_counted: suggestion.counted.0,
        beads_left: suggestion.counted.1,
        beads: suggestion.beads.iter().map(|suggested| bead(told, suggested)).collect(),
    }
}

fn bead<'a>(told: &'a Told, suggested: &'a Suggested) -> Bead<'a> {
    let bead = told.catalogue.1.bead(suggested.bead);
    let help = |help: &'a Help| HelpJson {
        figure: told.opened[help.line.figure].figure.name(),
        mark: help.line.mark.get(),
        bead: &help.line.bead,
        beads: help.line.shown,
        before: help.before.0,
        after: help.after.0,
    };
    Bead {
        bead: &bead.name,
        drop: suggested.drop,
        beads: suggested.beads,
        packs: suggested.packs,
        pack: bead.pack,
        cost: suggested.cost.as_ref().map(ToString::to_string),
        helps: suggested.helps.iter().map(help).collect(),
    }
}
