//! The demo's cast: finished figures that hold, made again from their drafts, and a walk that can be typed.

use std::fs;
use std::path::{Path, PathBuf};

use smallcast::figure::{AtHand, Edit, Figure, NoOthers};
use smallcast::tray::Tray;
use smallcast::units::{Column, Row};
use snapbox::cmd::{Command, cargo_bin};

use crate::typing::{err, json, smallcast};

/// The folder that the walk is taken in.
fn demo() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("demo")
}

fn street() -> PathBuf {
    demo().join("early-street")
}

/// Names of the finished figures, the guide among them.
fn names(folder: &Path) -> Vec<String> {
    let entries = fs::read_dir(folder).unwrap().map(|entry| entry.unwrap().file_name());
    let mut names: Vec<String> = entries
        .filter_map(|name| name.to_string_lossy().strip_suffix(".figure.toml").map(str::to_owned))
        .collect();
    names.sort();
    names
}

/// A folder with all it holds.
pub fn copy_folder(from: &Path, to: &Path) {
    fs::create_dir_all(to).unwrap();
    for entry in fs::read_dir(from).unwrap() {
        let path = entry.unwrap().path();
        let copy = to.join(path.file_name().unwrap());
        if path.is_dir() {
            copy_folder(&path, &copy);
        } else {
            fs::copy(&path, &copy).unwrap();
        }
    }
}

/// Blocks of a page that are to be typed.
fn blocks(page: &str) -> Vec<String> {
    page.split("```sh\n").skip(1).map(|rest| rest.split("```").next().unwrap().to_owned()).collect()
}

/// Files that a block of commands promises.
fn promised(block: &str) -> Vec<String> {
    let words: Vec<&str> = block.split_whitespace().collect();
    let makes = |pair: &[&str]| matches!(pair[0], "--save" | "--picture").then(|| pair[1].to_owned());
    words.windows(2).filter_map(makes).collect()
}

#[test]
fn the_walk_can_be_typed() {
    let folder = tempfile::tempdir().unwrap();
    copy_folder(&street(), &folder.path().join("early-street"));
    let page = fs::read_to_string(demo().join("README.md")).unwrap();
    let program = cargo_bin!("smallcast");
    let path = std::env::var_os("PATH").unwrap_or_default();
    let folders = std::iter::once(program.parent().unwrap().to_owned()).chain(std::env::split_paths(&path));
    let path = std::env::join_paths(folders).unwrap();
    let (first, rest) = blocks(&page).split_first().map(|(one, rest)| (one.clone(), rest.to_vec())).unwrap();
    assert!(rest.len() >= 5, "the walk has {} steps", rest.len());
    let run = |block: &str, at: &Path| {
        let shell = Command::new("sh").current_dir(at).env("PATH", &path).env("NO_COLOR", "1");
        shell.args(["-e", "-c", block]).assert().success();
    };
    run(&first, folder.path());
    let street = folder.path().join("early-street");
    for block in &rest {
        run(block, &street);
        for file in promised(block) {
            let made =
                fs::metadata(street.join(&file)).unwrap_or_else(|_| panic!("{file} was not made: {block}"));
            assert!(made.len() > 0, "{file} is empty");
        }
    }
    // What the walk shows is there to be seen.
    for picture in page.split("](").skip(1).filter_map(|rest| rest.split(')').next()) {
        assert!(demo().join(picture).exists(), "no {picture}");
    }
}

#[test]
fn nothing_is_found_and_every_note_meets_a_finding() {
    let answer = smallcast().current_dir(demo()).args(["check", "early-street", "--json"]).assert().success();
    let found = json(&answer);
    let figures = found["figures"].as_array().unwrap();
    assert!(figures.len() >= 13, "twelve and the guide");
    assert!(figures.iter().all(|figure| figure["findings"].as_array().unwrap().is_empty()));
    assert!(!err(&answer).contains("warning"), "{}", err(&answer));
}

/// The beads that show, by name.
fn beads(figure: &Figure) -> Vec<((usize, usize), String)> {
    let grid = figure.beads();
    let pegs = (0..grid.rows()).flat_map(|row| (0..grid.columns()).map(move |column| (row, column)));
    let named = |(row, column)| {
        let placed = grid[(Row(row), Column(column))]?;
        Some(((row, column), figure.entry(placed.mark)?.bead.clone()))
    };
    pegs.filter_map(named).collect()
}

#[test]
fn every_figure_is_its_draft_and_the_changes_made_by_hand() {
    let (street, tray) = (street(), Tray::embedded());
    let names = names(&street.join("drafts"));
    assert!(names.len() >= 12);
    for name in names {
        let mut figure = Figure::open(&street.join(format!("drafts/{name}.figure.toml"))).unwrap();
        let lines = fs::read_to_string(street.join(format!("drafts/{name}.lines"))).unwrap();
        for line in lines.lines() {
            let edit = Edit::parse(line).unwrap_or_else(|e| panic!("{name}: {e}"));
            let at_hand = AtHand::new(&tray, &NoOthers);
            figure = figure.edited(&edit, &at_hand).unwrap_or_else(|e| panic!("{name}: {e}")).figure;
        }
        let finished = Figure::open(&street.join(format!("{name}.figure.toml"))).unwrap();
        assert_eq!(beads(&figure), beads(&finished), "{name}");
        assert_eq!((figure.name(), figure.rows()), (finished.name(), finished.rows()));
    }
}
