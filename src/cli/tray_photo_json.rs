//! What a photograph of beads told, as one JSON document.

use serde::Serialize;
use smallcast::error::Warning;
use smallcast::seen_beads::{Doubt, Pose, SeenBead};

use super::tray::{lab, rounded};
use super::tray_photo::Answer;

/// The layout of the document; grows when a reader would have to change.
const FORMAT: u32 = 1;

#[derive(Serialize)]
pub struct Document {
    format: u32,
    photo: String,
    corners: Option<[(f64, f64); 4]>,
    light: Light,
    patch: Option<Patch>,
    rows: Vec<usize>,
    beads: Vec<Bead>,
    left_out: Vec<String>,
    kept: Vec<String>,
    renewed: Vec<Renewed>,
    saved: Option<String>,
    picture: Option<String>,
    warnings: Vec<String>,
}

#[derive(Serialize)]
struct Light {
    tint: String,
    kelvins: Option<f64>,
    brightness: f64,
    dim: bool,
    unevenness: f64,
}

#[derive(Serialize)]
struct Patch {
    place: [f64; 2],
    lab: [f64; 3],
}

#[derive(Serialize)]
struct Bead {
    number: usize,
    name: Option<String>,
    place: [f64; 2],
    radius: f64,
    lies: &'static str,
    shown: String,
    hex: Option<String>,
    lab: Option<[f64; 3]>,
    uncertainty: Option<f64>,
    unreadable: Option<&'static str>,
    doubts: Vec<&'static str>,
}

#[derive(Serialize)]
struct Renewed {
    name: String,
    was: [f64; 3],
    is: [f64; 3],
    apart: f64,
    within: bool,
}

impl Document {
    pub fn of(answer: &Answer, warnings: &[Warning]) -> Self {
        let seen = answer.seen;
        let path = |path: Option<&std::path::Path>| path.map(|path| path.display().to_string());
        let light = &seen.light;
        let own = answer.own;
        Self {
            format: FORMAT,
            photo: answer.photo.display().to_string(),
            corners: seen.corners.map(|corners| corners.points()),
            light: Light {
                tint: light.tint().to_string(),
                kelvins: light.kelvins.map(f64::round),
                brightness: rounded(light.brightness),
                dim: light.is_dim(),
                unevenness: rounded(light.unevenness),
            },
            patch: seen.patch.map(|patch| Patch { place: place(patch.place), lab: lab(patch.lab) }),
            rows: seen.rows.clone(),
            beads: seen.beads.iter().enumerate().map(|(at, bead)| of_bead(at, bead, answer.names)).collect(),
            left_out: own
                .map_or_else(Vec::new, |own| own.left_out.iter().map(|(name, _)| name.clone()).collect()),
            kept: own.map_or_else(Vec::new, |own| own.kept.clone()),
            renewed: own.map_or_else(Vec::new, |own| {
                let renewed = own.renewed.iter().map(|bead| Renewed {
                    name: bead.name.clone(),
                    was: lab(bead.was),
                    is: lab(bead.is),
                    apart: rounded(bead.apart.0),
                    within: bead.is_within,
                });
                renewed.collect()
            }),
            saved: path(answer.saved),
            picture: path(answer.picture),
            warnings: warnings.iter().map(ToString::to_string).collect(),
        }
    }
}

fn of_bead(at: usize, bead: &SeenBead, names: &[String]) -> Bead {
    let colour = bead.colour.ok();
    Bead {
        number: at + 1,
        name: names.get(at).cloned(),
        place: place(bead.place),
        radius: tenths(bead.radius),
        lies: match bead.pose {
            Pose::Upright => "upright",
            Pose::Lying => "lying",
        },
        shown: bead.shown.to_string(),
        hex: colour.map(|colour| colour.lab.srgb().to_string()),
        lab: colour.map(|colour| lab(colour.lab)),
        uncertainty: colour.map(|colour| rounded(colour.uncertainty.0)),
        unreadable: bead.colour.err().map(|why| why.word()),
        doubts: bead.doubts.iter().map(|doubt: &Doubt| doubt.word()).collect(),
    }
}

fn place((x, y): (f64, f64)) -> [f64; 2] {
    [tenths(x), tenths(y)]
}

fn tenths(v: f64) -> f64 {
    (v * 10.0).round() / 10.0
}
