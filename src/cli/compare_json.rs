//! The JSON document of `smallcast compare`.

use serde::Serialize;
use smallcast::colour::Lab;
use smallcast::matching::{Agreement, SeenColour};
use smallcast::reference::Picture;
use smallcast::tray::Tray;

use super::compare::AreaColours;
use super::home::Home;

/// The document's layout; grows when a reader would have to change.
const FORMAT: u32 = 1;

#[derive(Serialize)]
pub struct Document<'a> {
    format: u32,
    /// The beads that serve: the tray's file, or `embedded`.
    tray: String,
    pictures: Vec<OnePicture<'a>>,
    /// The largest CIEDE2000 between the main colours of any two pictures.
    apart: f64,
    in_words: &'static str,
    serve_all: Vec<Serving<'a>>,
}

#[derive(Serialize)]
struct OnePicture<'a> {
    picture: &'a str,
    place: &'a str,
    colours: Vec<Colour<'a>>,
    /// Stable names of what was odd about the file.
    warnings: Vec<&'static str>,
}

#[derive(Serialize)]
struct Colour<'a> {
    lab: [f64; 3],
    hex: String,
    share: f64,
    beads: Vec<Near<'a>>,
}

#[derive(Serialize)]
struct Near<'a> {
    bead: &'a str,
    difference: f64,
    confidence: f64,
}

#[derive(Serialize)]
struct Serving<'a> {
    bead: &'a str,
    worst: f64,
    mean: f64,
    /// CIEDE2000 from each picture's main colour, in the order of the pictures.
    each: Vec<f64>,
    /// Whether it is near enough to all.
    serves: bool,
}

/// Everything a script may want of a comparison.
pub fn document<'a>(
    seen: &'a [AreaColours],
    opened: &[(String, Picture)],
    agreement: &Agreement,
    home: &'a Home,
) -> Document<'a> {
    let tray = &home.tray;
    let pictures = seen
        .iter()
        .zip(opened)
        .map(|(s, (_, picture))| OnePicture {
            picture: &s.file,
            place: &s.place,
            colours: s.sighting.colours().iter().map(|c| colour(c, tray)).collect(),
            warnings: picture.warnings.iter().map(|warning| warning.name()).collect(),
        })
        .collect();
    let serving = agreement.serve_all.iter().map(|served| Serving {
        bead: &tray.bead(served.bead).name,
        worst: served.worst.0,
        mean: served.mean.0,
        each: served.each.iter().map(|apart| apart.0).collect(),
        serves: served.serves_all(),
    });
    Document {
        format: FORMAT,
        tray: home.tray_name(),
        pictures,
        apart: agreement.apart.0,
        in_words: agreement.in_words(),
        serve_all: serving.collect(),
    }
}

fn colour<'a>(seen: &SeenColour, tray: &'a Tray) -> Colour<'a> {
    let Lab { l, a, b } = seen.cluster.colour;
    let near = seen.beads.iter().map(|(candidate, confidence)| Near {
        bead: &tray.bead(candidate.bead).name,
        difference: candidate.difference.0,
        confidence: confidence.get(),
    });
    Colour {
        lab: [l, a, b],
        hex: seen.cluster.colour.srgb().to_string(),
        share: seen.share,
        beads: near.collect(),
    }
}
