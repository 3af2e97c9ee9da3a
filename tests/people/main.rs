//! Pictures by other hands: whole people from open sets of drawings, drafted as they come. No draft fails, none is
//! empty, none loses a limb. The drawings and their licences: fixtures/people/README.md.

mod look;
mod silhouette;
mod verdict;

use std::collections::HashSet;
use std::path::{Path, PathBuf};

use image::{Rgba, RgbaImage};
use rayon::prelude::*;
use smallcast::draft::{DraftOptions, Size, draft};
use smallcast::plan::HeightClass;
use smallcast::reference::Picture;
use smallcast::reference::open::{Limits, open};
use smallcast::tray::Tray;

use silhouette::Silhouette;
use verdict::{Verdict, windows};

/// A line of the list.
struct Drawing {
    name: String,
    set: String,
    class: HeightClass,
    on_white: bool,
    /// Who is shown doing what, without the colour of their skin.
    shows: String,
}

fn list() -> Vec<Drawing> {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("fixtures/people/list.csv");
    let mut lines = csv::Reader::from_path(path).expect("the list is there");
    let drawing = |line: csv::StringRecord| Drawing {
        name: line[0].to_owned(),
        set: line[1].to_owned(),
        class: HeightClass::named(&line[2]).expect("a class of the plan"),
        on_white: &line[3] == "white",
        shows: line[4].split(';').next().unwrap_or_default().to_owned(),
    };
    lines.records().map(|line| drawing(line.expect("a whole line"))).collect()
}

/// Where the drawings were fetched to.
fn fetched() -> PathBuf {
    let target =
        Path::new(env!("CARGO_TARGET_TMPDIR")).parent().expect("cargo's folder lies in the target folder");
    let people = target.join("people");
    let script = "node tests/people/fetch.mjs";
    assert!(
        people.join("stamp").exists(),
        "the drawings are not there: run {script} (once, with the network)"
    );
    people
}

/// The picture on white paper.
fn on_white(pixels: &RgbaImage) -> RgbaImage {
    let mut paper = RgbaImage::from_pixel(pixels.width(), pixels.height(), Rgba([255; 4]));
    image::imageops::overlay(&mut paper, pixels, 0, 0);
    paper
}

/// Drafts a drawing with nothing said but its class, and looks at what came of it.
fn drafted(drawing: &Drawing, folder: &Path, tray: &Tray) -> Verdict {
    let path = folder.join(&drawing.set).join(format!("{}.png", drawing.name));
    let clear = open(&path, &Limits::default()).expect("a fetched drawing opens");
    let outline = Silhouette::of(&clear.pixels);
    let pixels = if drawing.on_white { on_white(&clear.pixels) } else { clear.pixels };
    let picture = Picture { pixels, warnings: Vec::new() };
    let options = DraftOptions { size: Size::Class(drawing.class), ..DraftOptions::default() };
    match draft(&drawing.name, &picture, &options, tray) {
        Ok(draft) => Verdict::of(&outline, options.rows(), &windows(&draft)),
        Err(error) => Verdict { limbs: 0, faults: vec![format!("no draft: {error}")] },
    }
}

#[test]
fn no_draft_of_a_person_fails_is_empty_or_loses_a_limb() {
    /// Fewer tell little: even a person seen from the side has a head and two legs.
    const LEAST_LIMBS: usize = 3;
    let (drawings, folder, tray) = (list(), fetched(), Tray::embedded());
    let verdicts: Vec<Verdict> =
        drawings.par_iter().map(|drawing| drafted(drawing, &folder, &tray)).collect();
    let mut faults = Vec::new();
    for (drawing, verdict) in drawings.iter().zip(&verdicts) {
        let who = format!("{}/{}", drawing.set, drawing.name);
        faults.extend(verdict.faults.iter().map(|fault| format!("{who}: {fault}")));
        if verdict.limbs < LEAST_LIMBS {
            faults.push(format!("{who}: only {} limbs were looked at", verdict.limbs));
        }
    }
    assert!(faults.is_empty(), "{} faults\n{}", faults.len(), faults.join("\n"));
}

#[test]
fn the_list_shows_many_people_in_many_ways() {
    let drawings = list();
    assert!(drawings.len() >= 100, "{} drawings", drawings.len());
    let names: HashSet<_> = drawings.iter().map(|d| (d.set.as_str(), d.name.as_str())).collect();
    assert_eq!(names.len(), drawings.len(), "each is listed once");
    let characters: HashSet<_> = drawings.iter().map(|d| (d.set.as_str(), d.shows.as_str())).collect();
    assert!(characters.len() >= 25, "{} characters", characters.len());
    let white = drawings.iter().filter(|drawing| drawing.on_white).count();
    assert!(white >= 50 && drawings.len() - white >= 50, "{white} on white paper");
}
