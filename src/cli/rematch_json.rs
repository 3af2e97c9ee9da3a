//! The JSON document of `smallcast rematch`.

use serde::Serialize;
use smallcast::rematch::{Fate, Holds, Judged, Lost, Other};
use smallcast::units::DeltaE;

use super::rematch::Told;

/// The document's layout; grows when a reader would have to change.
const FORMAT: u32 = 1;

#[derive(Serialize)]
pub struct Document<'a> {
    format: u32,
    tray: String,
    applied: bool,
    /// How much nearer all beads that change come together, in CIEDE2000.
    gained: f64,
    figures: Vec<OneFigure<'a>>,
}

#[derive(Serialize)]
struct OneFigure<'a> {
    file: String,
    name: &'a str,
    /// The line of the change; null where the figure stays as it is.
    edit: Option<String>,
    colours: Vec<Colour<'a>>,
}

#[derive(Serialize)]
struct Colour<'a> {
    mark: char,
    bead: &'a str,
    gone: bool,
    /// Beads that show and may change, and beads that stay by hand.
    beads: usize,
    by_hand: usize,
    apart: Option<f64>,
    things: &'a [String],
    /// `changes`, `at-a-loss`, `by-hand`, `no-aim`, `together`, `slight` or `best`.
    fate: &'static str,
    other: Option<OtherBead<'a>>,
    /// The figure, by name, that keeps a thing from changing everywhere, and why.
    held: Option<Held<'a>>,
}

#[derive(Serialize)]
struct OtherBead<'a> {
    bead: &'a str,
    apart: f64,
    lost: Vec<LostJson<'a>>,
}

#[derive(Serialize)]
struct LostJson<'a> {
    /// `contrast` or `short`.
    what: &'static str,
    beside: Option<&'a str>,
    apart: Option<f64>,
    missing: Option<u64>,
}

#[derive(Serialize)]
struct Held<'a> {
    thing: &'a str,
    figure: &'a str,
    /// `by-hand`, `no-aim` or `not-chosen`.
    why: &'static str,
}

/// Everything a script may want of a plan.
pub fn document<'a>(told: &'a Told) -> Document<'a> {
    let figure = |at: usize| {
        let opened = &told.opened[at];
        let own = told.plan.judged().iter().filter(|judged| judged.line.figure == at);
        OneFigure {
            file: opened.file.display().to_string(),
            name: opened.figure.name(),
            edit: told.edits.iter().find(|(figure, _)| *figure == at).map(|(_, edit)| edit.to_string()),
            colours: own.map(|judged| colour(told, judged)).collect(),
        }
    };
    Document {
        format: FORMAT,
        tray: told.home.tray_name(),
        applied: told.applied,
        gained: told.plan.gained(),
        figures: (0..told.opened.len()).map(figure).collect(),
    }
}

fn colour<'a>(told: &'a Told, judged: &'a Judged) -> Colour<'a> {
    let line = &judged.line;
    let (fate, other, held) = match &judged.fate {
        Fate::Changes(other) => ("changes", Some(other), None),
        Fate::AtALoss(other) => ("at-a-loss", Some(other), None),
        Fate::ByHand(other) => ("by-hand", other.as_ref(), None),
        Fate::NoAim => ("no-aim", None, None),
        Fate::Together { thing, why, nearer } => ("together", nearer.as_ref(), Some(held(told, thing, why))),
        Fate::Slight => ("slight", None, None),
        Fate::Best => ("best", None, None),
    };
    Colour {
        mark: line.mark.get(),
        bead: &line.bead,
        gone: line.gone,
        beads: line.shown,
        by_hand: line.by_hand,
        apart: line.apart.map(|apart| apart.0),
        things: &line.things,
        fate,
        other: other.map(|other| other_bead(told, other)),
        held,
    }
}

fn held<'a>(told: &'a Told, thing: &'a str, why: &'a Holds) -> Held<'a> {
    let (figure, why) = match why {
        Holds::Hand(at) => (told.opened[*at].figure.name(), "by-hand"),
        Holds::NoAim(at) => (told.opened[*at].figure.name(), "no-aim"),
        Holds::NotChosen(stem) => (stem.as_str(), "not-chosen"),
    };
    Held { thing, figure, why }
}

fn other_bead<'a>(told: &'a Told, other: &'a Other) -> OtherBead<'a> {
    let lost = other.lost.iter().map(|lost| match lost {
        Lost::Contrast { beside, apart: DeltaE(apart) } => {
            LostJson { what: "contrast", beside: Some(beside), apart: Some(*apart), missing: None }
        }
        Lost::Short { missing } => {
            LostJson { what: "short", beside: None, apart: None, missing: Some(*missing) }
        }
    });
    OtherBead { bead: &told.home.tray.bead(other.bead).name, apart: other.apart.0, lost: lost.collect() }
}
