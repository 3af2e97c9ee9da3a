//! Which part each bead of a figure belongs to. All figures are invented.

use std::fmt::Write;

use proptest::prelude::*;
use smallcast::figure::{Anatomy, ChosenBy, Description, Figure, LegendEntry, Mark, Part, Placed, read};
use smallcast::grid::Grid;
use smallcast::plan::{BodyPart, ZoneRows};
use smallcast::units::{Column, Row};

/// A letter a part: Hat, h`A`ir ... as the snapshots show them.
fn letter(part: Option<BodyPart>) -> char {
    match part {
        None => '.',
        Some(BodyPart::Head) => 'h',
        Some(BodyPart::Hair) => 'H',
        Some(BodyPart::Hat) => 'A',
        Some(BodyPart::Torso) => 't',
        Some(BodyPart::LeftArm) => 'l',
        Some(BodyPart::RightArm) => 'r',
        Some(BodyPart::Legs) => 'g',
        Some(BodyPart::Feet) => 'f',
        Some(BodyPart::Props) => 'p',
    }
}

/// Beads and parts beside each other.
fn shown(figure: &Figure) -> String {
    let (beads, anatomy) = (figure.beads(), Anatomy::of(figure));
    let mut text = String::new();
    for row in 0..beads.rows() {
        let marks: String = (0..beads.columns())
            .map(|c| beads[(Row(row), Column(c))].map_or('.', |placed| placed.mark.get()))
            .collect();
        let parts: String = (0..beads.columns()).map(|c| letter(anatomy.part(Row(row), Column(c)))).collect();
        let _ = writeln!(text, "{marks}  {parts}");
    }
    text
}

fn figure(path: &str) -> Figure {
    let text = std::fs::read_to_string(path).unwrap();
    read(path, &text).unwrap()
}

#[test]
fn a_maker_would_call_the_parts_so() {
    // Bald with an apron and an axe, a raised arm; a flute; hair over the shoulders and a wreath; a basket at the back
    // and a crossing arm; a sack behind a hat; a braid to the hip and a basket; a coat with a lantern.
    for name in ["butcher", "flute-boy", "harvest-dancer", "peddler", "rain-girl", "washerwoman"] {
        insta::assert_snapshot!(name, shown(&figure(&format!("src/trial/figures/{name}.figure.toml"))));
    }
    for name in ["coal-carter.1", "ferry-woman.1", "bridge-warden.1"] {
        insta::assert_snapshot!(name, shown(&figure(&format!("src/trial/sketches/{name}.figure.toml"))));
    }
    // Without zones.
    let mended = figure("src/trial/sketches/mended/rope-dancer.2.figure.toml");
    insta::assert_snapshot!("rope-dancer without zones", shown(&mended));
}

/// Prints every figure that is shipped, for the eye: `cargo test --test engine every_figure -- --ignored --nocapture`.
#[test]
#[ignore = "it prints figures to look at and asserts nothing; run it by name after a change to the anatomy"]
fn every_figure_for_the_eye() {
    let folders = [
        "src/trial/figures",
        "src/trial/sketches",
        "src/trial/sketches/mended",
        "demo/early-street",
        "fixtures/pairs",
    ];
    for folder in folders {
        let Ok(files) = std::fs::read_dir(folder) else { continue };
        let mut paths: Vec<_> = files.map(|file| file.unwrap().path()).collect();
        paths.sort();
        for path in paths.iter().filter(|path| path.to_string_lossy().ends_with(".figure.toml")) {
            println!("{}\n{}", path.display(), shown(&figure(&path.to_string_lossy())));
        }
    }
}

#[test]
fn parts_that_are_named_decide() {
    let text = "format = 1\nname = \"Two\"\n\n[[legend]]\nmark = \"a\"\nbead = \"oat\"\nby = \"hand\"\n\n\
        [[part]]\nname = \"props\"\nat = [0, 0]\nbeads = \"\"\"\naa\naa\n\"\"\"\n\n\
        [[part]]\nname = \"hat\"\nat = [0, 1]\nbeads = \"\"\"\na\n\"\"\"\n";
    let two = read("two.figure.toml", text).unwrap();
    assert_eq!(shown(&two), "aa  pA\naa  pp\n");
}

/// A figure of a grid of letters, with or without zones.
fn of_grid(rows: &[Vec<u8>], zones: Option<ZoneRows>) -> Figure {
    let mark = |n: u8| Mark::new(char::from(b'a' + n - 1)).unwrap();
    let beads = Grid::from_fn(rows.len(), rows[0].len(), |row, column| {
        let n = rows[row.0][column.0];
        (n > 0).then(|| Placed::new(mark(n), None))
    });
    let legend = (1..=5).map(|n| LegendEntry {
        mark: mark(n),
        bead: format!("bead {n}"),
        aim: None,
        confidence: None,
        by: ChosenBy::Hand,
    });
    let part = Part {
        name: "body".into(),
        from: None,
        at: (Row(0), Column(0)),
        beads,
        bare: std::collections::BTreeSet::new(),
    };
    let description = Description {
        name: "any".into(),
        stature: None,
        class: None,
        source: None,
        rows: zones,
        legend: legend.collect(),
        why: std::collections::BTreeMap::new(),
        parts: vec![part],
        meant: Vec::new(),
    };
    Figure::new("any", description).unwrap()
}

fn mirrored(part: Option<BodyPart>) -> Option<BodyPart> {
    match part {
        Some(BodyPart::LeftArm) => Some(BodyPart::RightArm),
        Some(BodyPart::RightArm) => Some(BodyPart::LeftArm),
        other => other,
    }
}

fn obeys(rows: &[Vec<u8>], zones: Option<ZoneRows>) {
    let (plain, mut turned) = (of_grid(rows, zones), rows.to_vec());
    turned.iter_mut().for_each(|row| row.reverse());
    let (own, other) = (Anatomy::of(&plain), Anatomy::of(&of_grid(&turned, zones)));
    let parted = plain.in_body_parts().unwrap();
    assert_eq!(parted.beads(), plain.beads(), "the same beads show");
    let columns = rows[0].len();
    for (row, column, bead) in plain.beads().iter() {
        assert_eq!(own.part(row, column).is_some(), bead.is_some());
        let across = other.part(row, Column(columns - 1 - column.0));
        assert_eq!(own.part(row, column), mirrored(across), "row {}, column {}", row.0, column.0);
    }
}

fn zones_of(rows: usize, cuts: [usize; 5]) -> Option<ZoneRows> {
    let mut cuts = cuts.map(|cut| cut % (rows + 1));
    cuts.sort_unstable();
    let [a, b, c, d, e] = cuts;
    ZoneRows::new([a, b - a, c - b, d - c, e - d, rows - e]).ok()
}

proptest! {
    /// Every bead has one part, an empty peg none, and a mirrored figure the mirrored parts; in layers named so the same
    /// beads show; whatever the beads are.
    #[test]
    fn every_bead_has_one_part_and_a_mirror_turns_them(
        rows in (1..30_usize, 1..20_usize)
            .prop_flat_map(|(rows, columns)| prop::collection::vec(prop::collection::vec(0..6_u8, columns), rows)),
        cuts in any::<[usize; 5]>(),
        says in any::<bool>(),
    ) {
        let zones = if says { zones_of(rows.len(), cuts) } else { None };
        obeys(&rows, zones);
    }

    /// The same of shipped figures with a few beads changed, which are likelier to be people.
    #[test]
    fn people_with_beads_changed_obey_too(
        at in 0..24_usize,
        changes in prop::collection::vec((any::<usize>(), any::<usize>(), 0..6_u8), 0..12),
        says in any::<bool>(),
    ) {
        let mut paths: Vec<_> =
            std::fs::read_dir("src/trial/figures").unwrap().map(|file| file.unwrap().path()).collect();
        paths.sort();
        let whole = figure(&paths[at % paths.len()].to_string_lossy());
        let marks: Vec<Mark> = whole.legend().iter().map(|entry| entry.mark).collect();
        let beads = whole.beads();
        let number = |placed: &Option<Placed>| placed.map_or(0, |placed| {
            marks.iter().position(|mark| *mark == placed.mark).map_or(1, |n| n as u8 % 5 + 1)
        });
        let mut rows: Vec<Vec<u8>> = (0..beads.rows())
            .map(|row| (0..beads.columns()).map(|c| number(&beads[(Row(row), Column(c))])).collect())
            .collect();
        let (height, width) = (beads.rows(), beads.columns());
        for (row, column, n) in changes {
            rows[row % height][column % width] = n;
        }
        obeys(&rows, whole.rows().copied().filter(|_| says));
    }
}
