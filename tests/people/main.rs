//! Pictures by other hands: whole people from open sets of drawings, drafted as they come. No draft fails, none is
//! empty, none loses a limb. The drawings and their licences: fixtures/people/README.md.

mod detectors;
#[path = "../left_out/mod.rs"]
mod left_out;
mod look;
mod silhouette;
mod verdict;

use std::collections::HashSet;
use std::path::{Path, PathBuf};
use std::sync::OnceLock;

use image::{Rgba, RgbaImage};
use rayon::prelude::*;
use smallcast::draft::{Draft, DraftOptions, Size, draft};
use smallcast::error::Result;
use smallcast::plan::{Classes, HeightClass, Zone};
use smallcast::reference::Picture;
use smallcast::reference::open::{Limits, open};
use smallcast::tray::Tray;

use silhouette::Silhouette;
use verdict::{Verdict, loose_pieces, windows};

/// A line of the list.
struct Drawing {
    name: String,
    set: String,
    class: HeightClass,
    on_white: bool,
    /// Who is shown doing what, and the colour of their skin.
    shows: String,
    skin: String,
}

fn list() -> Vec<Drawing> {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("fixtures/people/list.csv");
    let mut lines = csv::Reader::from_path(path).expect("the list is there");
    let part = |line: &csv::StringRecord, part: usize| {
        line[4].split(';').nth(part).unwrap_or_default().trim().to_owned()
    };
    let drawing = |line: csv::StringRecord| Drawing {
        name: line[0].to_owned(),
        set: line[1].to_owned(),
        class: Classes::trade().named(&line[2]).expect("a class of the plan"),
        on_white: &line[3] == "white",
        shows: part(&line, 0),
        skin: part(&line, 1),
    };
    lines.records().map(|line| drawing(line.expect("a whole line"))).collect()
}

/// Where the drawings were fetched to; without them a test is left out.
fn fetched() -> Option<PathBuf> {
    let target =
        Path::new(env!("CARGO_TARGET_TMPDIR")).parent().expect("cargo's folder lies in the target folder");
    let people = target.join("people");
    if people.join("stamp").exists() {
        return Some(people);
    }
    left_out::left_out("drawings by other hands", "run node tests/people/fetch.mjs (once, with the network)");
    None
}

/// The picture on white paper.
fn on_white(pixels: &RgbaImage) -> RgbaImage {
    let mut paper = RgbaImage::from_pixel(pixels.width(), pixels.height(), Rgba([255; 4]));
    image::imageops::overlay(&mut paper, pixels, 0, 0);
    paper
}

/// A drawing's own outline, and its draft with nothing said but its class.
fn drafted(drawing: &Drawing, folder: &Path, tray: &Tray) -> (Silhouette, Result<Draft>) {
    let path = folder.join(&drawing.set).join(format!("{}.png", drawing.name));
    let clear = open(&path, &Limits::default()).expect("a fetched drawing opens");
    let outline = Silhouette::of(clear.pixels());
    let pixels = if drawing.on_white { on_white(clear.pixels()) } else { clear.into_pixels() };
    let picture = Picture::of(pixels);
    let options = DraftOptions { size: Size::Class(drawing.class.clone()), ..DraftOptions::default() };
    (outline, draft(&drawing.name, &picture, &options, tray))
}

fn looked_at(drawing: &Drawing, folder: &Path, tray: &Tray) -> (Verdict, usize) {
    let (outline, draft) = drafted(drawing, folder, tray);
    match draft {
        Ok(draft) => {
            let verdict = Verdict::of(&outline, draft.samples.lattice().rows(), &windows(&draft));
            (verdict, loose_pieces(&outline, &draft))
        }
        Err(error) => (Verdict { limbs: 0, faults: vec![format!("no draft: {error}")] }, 0),
    }
}

/// All drawings, each with what is wrong with its draft and how many of its pieces are loose; drafted once. None where
/// the drawings are not there.
fn all_looked_at() -> Option<&'static [(Drawing, Verdict, usize)]> {
    static ALL: OnceLock<Vec<(Drawing, Verdict, usize)>> = OnceLock::new();
    let (folder, tray) = (fetched()?, Tray::embedded());
    Some(ALL.get_or_init(|| {
        let one = |drawing: Drawing| {
            let (verdict, loose) = looked_at(&drawing, &folder, &tray);
            (drawing, verdict, loose)
        };
        list().into_par_iter().map(one).collect()
    }))
}

#[test]
fn no_draft_of_a_person_fails_is_empty_or_loses_a_limb() {
    /// Fewer tell little: even a person seen from the side has a head and two legs.
    const LEAST_LIMBS: usize = 3;
    let mut faults = Vec::new();
    let Some(all) = all_looked_at() else { return };
    for (drawing, verdict, _) in all {
        let who = format!("{}/{}", drawing.set, drawing.name);
        faults.extend(verdict.faults.iter().map(|fault| format!("{who}: {fault}")));
        if verdict.limbs < LEAST_LIMBS {
            faults.push(format!("{who}: only {} limbs were looked at", verdict.limbs));
        }
    }
    assert!(faults.is_empty(), "{} faults\n{}", faults.len(), faults.join("\n"));
}

/// Beads hold where they touch side to side (common practice, no source).
#[test]
fn what_a_drawing_joins_holds_together() {
    /// So many pieces of all drafts together hang by a corner or by nothing; hundreds would if rows were only laid one
    /// by one.
    const MOST: usize = 12;
    let Some(all) = all_looked_at() else { return };
    let found = all.iter().filter(|(.., loose)| *loose > 0);
    let names: Vec<String> =
        found.map(|(drawing, _, loose)| format!("{}/{}: {loose}", drawing.set, drawing.name)).collect();
    let sum: usize = all.iter().map(|(.., loose)| loose).sum();
    assert!(sum <= MOST, "{sum} pieces are loose\n{}", names.join("\n"));
}

/// Skin of any colour stays skin: brown made stronger is red.
#[test]
fn faces_have_beads_that_are_skin() {
    /// A face has at least so many beads beside eyes and hair.
    const LEAST: usize = 3;
    let Some(folder) = fetched() else { return };
    let tray = Tray::embedded();
    // The yellow of these sets is nobody's skin.
    let drawings = list().into_iter().filter(|d| d.shows.ends_with("standing") && d.skin != "yellow skin");
    for drawing in drawings {
        let (_, draft) = drafted(&drawing, &folder, &tray);
        let draft = draft.expect("it drafts");
        let head = draft.zones.and_then(|zones| zones.spans().find(|(zone, ..)| *zone == Zone::Head));
        let (_, first, rows) = head.expect("a head");
        let is_skin = |note: &Option<String>| note.as_deref().is_some_and(|note| note.starts_with("skin"));
        let beads = draft.matched.beads().iter();
        let skin = beads.filter(|(row, _, bead)| {
            let bead = bead.as_ref().map(|bead| tray.bead(bead.bead));
            (first..first + rows).contains(&row.0) && bead.is_some_and(|bead| is_skin(&bead.note))
        });
        assert!(skin.count() >= LEAST, "{}/{}: {}", drawing.set, drawing.name, drawing.skin);
    }
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
