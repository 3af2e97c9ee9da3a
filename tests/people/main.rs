//! Pictures by other hands: whole people from open sets of drawings, drafted as they come. No draft fails, none is
//! empty, none loses a limb. The drawings and their licences: fixtures/people/README.md.

mod silhouette;

use std::path::{Path, PathBuf};

use image::{Rgba, RgbaImage};
use rayon::prelude::*;
use smallcast::draft::{Draft, DraftOptions, Size, draft};
use smallcast::plan::HeightClass;
use smallcast::reference::Picture;
use smallcast::reference::open::{Limits, open};
use smallcast::tray::Tray;
use smallcast::units::{Column, Row};

use silhouette::{Limb, Point, Silhouette};

/// A limb stands out by at least so many beads; less is a fold, a curl or a finger.
const LIMB: f64 = 1.5;

/// A limb must be kept where a disc of this diameter, in beads, fits into it: a stick or a club is thinner, and a
/// maker lays it by hand.
const THICK: f64 = 0.8;

/// A limb ends no farther than this from its last bead, in beads.
const NEAR: f64 = 1.0;

/// The limb covers at least this share of the window of a bead that is called its own.
const OWN: f64 = 0.2;

/// A draft has at least and at most so many times the beads that its outline has room for at even rows: a plan
/// stretches heads and legs, but it does not make a figure half or twice as large.
const ROOM: [f64; 2] = [0.5, 2.0];

/// A line of the list.
struct Drawing {
    name: String,
    set: String,
    class: HeightClass,
    on_white: bool,
}

fn list() -> Vec<Drawing> {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("fixtures/people/list.csv");
    let mut lines = csv::Reader::from_path(path).expect("the list is there");
    let drawing = |line: csv::StringRecord| Drawing {
        name: line[0].to_owned(),
        set: line[1].to_owned(),
        class: HeightClass::named(&line[2]).expect("a class of the plan"),
        on_white: &line[3] == "white",
    };
    lines.records().map(|line| drawing(line.expect("a whole line"))).collect()
}

/// Where the drawings were fetched to.
fn fetched() -> PathBuf {
    let target = Path::new(env!("CARGO_TARGET_TMPDIR")).parent().expect("cargo's folder lies in the target folder");
    let people = target.join("people");
    let script = "node tests/people/fetch.mjs";
    assert!(people.join("stamp").exists(), "the drawings are not there: run {script} (once, with the network)");
    people
}

/// The picture on white paper.
fn on_white(pixels: &RgbaImage) -> RgbaImage {
    let mut paper = RgbaImage::from_pixel(pixels.width(), pixels.height(), Rgba([255; 4]));
    image::imageops::overlay(&mut paper, pixels, 0, 0);
    paper
}

/// A bead's window in pixels of the picture: left, top, right, bottom.
#[derive(Clone, Copy)]
struct Window([f64; 4]);

impl Window {
    /// How far a point lies outside the window, in beads of its own size.
    fn distance(&self, (x, y): Point) -> f64 {
        let [left, top, right, bottom] = self.0;
        let across = (left - x).max(x - right).max(0.0) / (right - left);
        let down = (top - y).max(y - bottom).max(0.0) / (bottom - top);
        across.hypot(down)
    }
}

/// The windows that hold a bead, with their rows.
fn windows(draft: &Draft) -> Vec<(Row, Window)> {
    let lattice = draft.samples.lattice();
    let beads = draft.matched.beads().iter().filter(|(.., bead)| bead.is_some());
    let window = |row: Row, column: Column| {
        let area = lattice.window(row, column);
        let (left, top) = draft.reference.picture_place(area.x, area.y);
        let (right, bottom) = draft.reference.picture_place(area.x + area.width, area.y + area.height);
        Window([left, top, right, bottom])
    };
    beads.map(|(row, column, _)| (row, window(row, column))).collect()
}

/// What is wrong with a drawing's draft, and how many limbs were looked at.
struct Verdict {
    limbs: usize,
    room: f64,
    faults: Vec<String>,
}

/// A place in hundredths of the picture, as a person would point at it.
fn place((x, y): Point, pixels: &RgbaImage) -> String {
    let share = |at: f64, size: u32| at / f64::from(size) * 100.0;
    format!("{:.0} % across, {:.0} % down", share(x, pixels.width()), share(y, pixels.height()))
}

fn verdict(drawing: &Drawing, folder: &Path, tray: &Tray) -> Verdict {
    let path = folder.join(&drawing.set).join(&drawing.name).with_extension("png");
    let clear = open(&path, &Limits::default()).expect("a fetched drawing opens");
    let outline = Silhouette::of(&clear.pixels);
    let pixels = if drawing.on_white { on_white(&clear.pixels) } else { clear.pixels };
    let picture = Picture { pixels, warnings: Vec::new() };
    let options = DraftOptions { size: Size::Class(drawing.class), ..DraftOptions::default() };
    match draft(&drawing.name, &picture, &options, tray) {
        Ok(draft) => judged(&draft, &outline, drawing.class, &picture.pixels),
        Err(error) => Verdict { limbs: 0, room: 0.0, faults: vec![format!("fails: {error}")] },
    }
}

fn judged(draft: &Draft, outline: &Silhouette, class: HeightClass, pixels: &RgbaImage) -> Verdict {
    let windows = windows(draft);
    let [_, top, _, bottom] = outline.extent();
    let bead = (bottom - top) / class.rows.total() as f64;
    let mut faults = Vec::new();
    let room = windows.len() as f64 / (outline.area() / bead.powi(2));
    if room < ROOM[0] || room > ROOM[1] {
        faults.push(format!("has {} beads, {room:.2} of its room", windows.len()));
    }
    if !windows.iter().any(|(row, _)| row.0 + 1 == class.rows.total()) {
        faults.push("its lowest row is empty".into());
    }
    let limbs: Vec<Limb> = outline.limbs(LIMB * bead);
    // A pointed end is lost to any bead: a limb ends where it is still thick, no more than a bead from its tip.
    let is_thick = |limb: &Limb, at: Point| outline.is_thick(limb, at, THICK * bead / 2.0, bead / 2.0);
    let end_of = |limb: &Limb| {
        let near = |at: &Point| (at.0 - limb.tip.0).hypot(at.1 - limb.tip.1) <= bead;
        limb.way.iter().copied().take_while(near).find(|&at| is_thick(limb, at))
    };
    let kept: Vec<(&Limb, Point)> = limbs.iter().filter_map(|limb| Some((limb, end_of(limb)?))).collect();
    for (limb, end) in &kept {
        let own: Vec<Window> =
            windows.iter().map(|w| w.1).filter(|window| outline.share_of(limb, window.0) >= OWN).collect();
        let far = |at: Point| own.iter().map(|window| window.distance(at)).fold(f64::INFINITY, f64::min);
        let length = limb.length / bead;
        if far(*end) > NEAR {
            let at = place(*end, pixels);
            faults.push(format!("a limb {length:.1} beads long ends {:.2} beads from its last bead: {at}", far(*end)));
        } else if let Some(&gap) = limb.way.iter().find(|&&at| is_thick(limb, at) && far(at) > NEAR) {
            faults.push(format!("a limb {length:.1} beads long is broken on its way: {}", place(gap, pixels)));
        }
    }
    for (left, right) in outline.footing(bead / 2.0, THICK * bead) {
        let foot = [left, bottom - bead, right, bottom];
        let meets = |Window([l, t, r, b]): Window| l < foot[2] && r > foot[0] && t < foot[3] && b > foot[1];
        let lowest = |row: Row| row.0 + 2 >= class.rows.total();
        if !windows.iter().any(|&(row, window)| lowest(row) && meets(window)) {
            faults.push(format!("a foot has no bead: {}", place(((left + right) / 2.0, bottom), pixels)));
        }
    }
    Verdict { limbs: kept.len(), room, faults }
}

#[test]
fn no_draft_of_a_person_fails_is_empty_or_loses_a_limb() {
    let (drawings, folder, tray) = (list(), fetched(), Tray::embedded());
    let verdicts: Vec<Verdict> = drawings.par_iter().map(|drawing| verdict(drawing, &folder, &tray)).collect();
    let mut report = String::new();
    for (drawing, verdict) in drawings.iter().zip(&verdicts) {
        for fault in &verdict.faults {
            report += &format!("{}/{} {fault}\n", drawing.set, drawing.name);
        }
        if std::env::var_os("SHOW").is_some() { println!("room {:.2} {}/{} {} limbs", verdict.room, drawing.set, drawing.name, verdict.limbs); }
    }
    assert!(report.is_empty(), "\n{report}");
}

#[test]
fn the_list_shows_enough_people_in_enough_ways() {
    let drawings = list();
    assert!(drawings.len() >= 100);
}
