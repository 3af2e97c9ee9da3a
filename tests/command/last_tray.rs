//! The tray that served a figure last, for commands that are typed without one.

use std::fs;
use std::path::Path;

use snapbox::cmd::OutputAssert;

use crate::typing::{err, json, out, smallcast};

const ANNA: &str = "format = 1\nname = \"Anna\"\n\n[[legend]]\nmark = \"k\"\nbead = \"coal\"\nby = \"hand\"\n\n\
                    [[part]]\nname = \"body\"\nat = [0, 0]\nbeads = \"\"\"\nkk\nkk\n\"\"\"\n";

const MINE: &str = "name,hex,count\ncoal,1f2023,9\nbone,e8dfc8,1\n";

fn house() -> tempfile::TempDir {
    let folder = tempfile::tempdir().unwrap();
    fs::write(folder.path().join("anna.figure.toml"), ANNA).unwrap();
    fs::create_dir(folder.path().join("trays")).unwrap();
    fs::write(folder.path().join("trays/mine.csv"), MINE).unwrap();
    folder
}

fn typed(folder: &Path, words: &[&str]) -> OutputAssert {
    smallcast().current_dir(folder).args(words).assert().success()
}

#[test]
fn counting_against_beads_that_are_nobodys_is_said() {
    let folder = house();
    let first = typed(folder.path(), &["count", "anna.figure.toml"]);
    assert!(err(&first).contains("no tray given: counted against the embedded tray"), "{}", err(&first));
    let named = typed(folder.path(), &["count", "anna.figure.toml", "--tray", "trays/mine.csv"]);
    assert!(!err(&named).contains("no tray given"), "{}", err(&named));
}

#[test]
fn a_tray_typed_with_a_change_serves_until_another_is_named() {
    let folder = house();
    let tray = ["--tray", "trays/mine.csv"];
    typed(folder.path(), &[&["edit", "anna.figure.toml", "--do", "place 1,1 bone"], &tray[..]].concat());
    for words in [["count", "anna.figure.toml"], ["count", "."]] {
        let counted = typed(folder.path(), &words);
        assert!(err(&counted).contains("mine.csv, as last time"), "{}", err(&counted));
        assert!(out(&counted).contains("9  enough"), "{}", out(&counted));
    }
    let document = json(&typed(folder.path(), &["count", "anna.figure.toml", "--json"]));
    assert!(document["tray"].as_str().unwrap().ends_with("mine.csv"), "{document}");
    let shown = typed(folder.path(), &["show", "anna.figure.toml"]);
    assert!(err(&shown).contains("mine.csv, as last time"), "{}", err(&shown));
    // It stays with changes that name none, and goes with a copy to another folder.
    typed(folder.path(), &["edit", "anna.figure.toml", "--do", "place 1,2 bone"]);
    fs::create_dir(folder.path().join("copies")).unwrap();
    let copy = "copies/anna.figure.toml";
    typed(folder.path(), &["edit", "anna.figure.toml", "--do", "lift 2,2", "--save", copy]);
    assert!(err(&typed(folder.path(), &["count", copy])).contains("mine.csv, as last time"));
    // A cast's word goes before.
    fs::write(folder.path().join("cast.toml"), "format = 1\nname = \"Street\"\n").unwrap();
    let cast = typed(folder.path(), &["count", "anna.figure.toml"]);
    assert!(!err(&cast).contains("as last time"), "{}", err(&cast));
}

#[test]
fn a_tray_typed_for_a_draft_serves_the_figure_it_saved() {
    let folder = house();
    let at = |name: &str| folder.path().join(name);
    let colour = |x: u32, y: u32| match (x, y) {
        (4..12, 4..20) => image::Rgba([31, 32, 35, 255]),
        _ => image::Rgba([255, 255, 255, 0]),
    };
    image::RgbaImage::from_fn(16, 24, colour).save(at("square.png")).unwrap();
    let draft = ["draft", "square.png", "--rows", "4", "--save", "square.figure.toml"];
    typed(folder.path(), &[&draft[..], &["--tray", "trays/mine.csv"]].concat());
    let history = fs::read_to_string(at("square.history.toml")).unwrap();
    assert!(history.contains("tray = \"trays/mine.csv\""), "{history}");
    let counted = typed(folder.path(), &["count", "square.figure.toml"]);
    assert!(err(&counted).contains("mine.csv, as last time"), "{}", err(&counted));
    // There is nothing to undo yet.
    smallcast().current_dir(folder.path()).args(["edit", "square.figure.toml", "--undo"]).assert().code(2);
}
