//! `smallcast draft --each` as a person types it: several people on one page.

use std::fs;
use std::path::Path;

use image::{Rgba, RgbaImage};
use smallcast::figure;
use snapbox::cmd::OutputAssert;

use crate::typing::{err, json, out, smallcast};

/// Twelve rows: cap, face, coat with hands, legs with a gap.
const WALKER: [&str; 12] = [
    "..rrr..", "..sss..", "..sss..", "...s...", ".bbbbb.", ".bbbbb.", "sbbbbbs", "..bbb..", "..n.n..",
    "..n.n..", "..n.n..", ".nn.nn.",
];

/// A page with walkers, each standing on one line from some column on, so many pixels a bead.
fn page(walkers: &[(u32, u32)]) -> RgbaImage {
    let (width, ground) = (walkers.iter().map(|(x, bead)| x + 9 * bead).max().unwrap(), 300);
    RgbaImage::from_fn(width, ground + 40, |x, y| {
        let mark = walkers.iter().find_map(|&(left, bead)| {
            let row = (y + 12 * bead).checked_sub(ground)? / bead;
            let column = x.checked_sub(left)? / bead;
            let mark = *WALKER.get(row as usize)?.as_bytes().get(column as usize)?;
            (mark != b'.').then_some(mark)
        });
        Rgba(match mark {
            Some(b'r') => [150, 40, 40, 255],
            Some(b's') => [240, 195, 165, 255],
            Some(b'b') => [60, 108, 176, 255],
            Some(_) => [40, 34, 32, 255],
            None => [250, 250, 248, 255],
        })
    })
}

/// A folder with `two.png`: a child of three quarters of the grown walker on the right.
fn folder() -> tempfile::TempDir {
    let folder = tempfile::tempdir().unwrap();
    page(&[(30, 15), (180, 20)]).save(folder.path().join("two.png")).unwrap();
    page(&[(40, 20)]).save(folder.path().join("one.png")).unwrap();
    page(&[(30, 20), (190, 20)]).save(folder.path().join("twins.png")).unwrap();
    folder
}

fn typed(folder: &Path, words: &str) -> OutputAssert {
    smallcast().current_dir(folder).args(words.split_whitespace()).assert()
}

fn rows_saved(file: &Path) -> usize {
    figure::read("saved", &fs::read_to_string(file).unwrap()).unwrap().beads().rows()
}

#[test]
fn all_are_drafted_to_one_scale_and_saved_under_numbers() {
    let folder = folder();
    let at = |name: &str| folder.path().join(name);
    let words = "draft two.png --rows 16 --each --save girl.figure.toml --picture cast.png";
    let said = typed(folder.path(), words).success();
    assert!(out(&said).contains("2 people, drafted to one scale"), "{}", out(&said));
    assert!(
        out(&said).contains("Number 2 sets the scale with 16 rows; 1 75 % of that, 12 rows."),
        "{}",
        out(&said)
    );
    assert!(out(&said).lines().all(|line| line.chars().count() <= 80));
    assert_eq!((rows_saved(&at("girl-1.figure.toml")), rows_saved(&at("girl-2.figure.toml"))), (12, 16));
    assert!(at("cast-1.png").exists() && at("cast-2.png").exists() && !at("girl.figure.toml").exists());
    assert!(err(&said).contains("next: smallcast edit girl-1.figure.toml"), "{}", err(&said));

    // The one that is named has the rows.
    let words = "draft two.png --rows 12 --each --guide 1 --save girl.figure.toml";
    typed(folder.path(), &format!("{words} --replace")).success();
    assert_eq!((rows_saved(&at("girl-1.figure.toml")), rows_saved(&at("girl-2.figure.toml"))), (12, 16));

    // All or nothing: the second already exists.
    fs::remove_file(at("girl-1.figure.toml")).unwrap();
    let refused = typed(folder.path(), words).code(2);
    assert!(err(&refused).contains("girl-2.figure.toml"), "{}", err(&refused));
    assert!(!at("girl-1.figure.toml").exists());
}

#[test]
fn a_child_has_proportions_of_its_own_beside_a_guide_with_a_class() {
    let folder = folder();
    typed(folder.path(), "draft two.png --each --save girl.figure.toml").success();
    let text = fs::read_to_string(folder.path().join("girl-1.figure.toml")).unwrap();
    let child = figure::read("girl", &text).unwrap();
    assert_eq!(
        child.rows().map(|rows| rows.to_string()).as_deref(),
        Some("head=5,neck=1,torso=5,legs=6,feet=1")
    );
}

#[test]
fn a_draft_of_one_of_several_names_the_others_ready_to_paste() {
    let folder = folder();
    let rows = |document: &serde_json::Value| -> Vec<u64> {
        document["people"].as_array().unwrap().iter().map(|p| p["rows"].as_u64().unwrap()).collect()
    };
    assert_eq!(rows(&json(&typed(folder.path(), "draft two.png --rows 16 --json").success())), [12, 16]);
    let twins = json(&typed(folder.path(), "draft twins.png --rows 12 --json").success());
    let said = err(&typed(folder.path(), "draft twins.png --rows 12").success());
    let each = json(&typed(folder.path(), "draft twins.png --rows 12 --each --json").success());
    for (at, person) in twins["people"].as_array().unwrap().iter().enumerate() {
        let crop: Vec<String> = person["crop"].as_array().unwrap().iter().map(|v| v.to_string()).collect();
        let crop = format!("--crop {}", crop.join(","));
        assert!(said.contains(&crop), "{crop} in {said}");
        let alone =
            json(&typed(folder.path(), &format!("draft twins.png --rows 12 {crop} --json")).success());
        assert_eq!(each["drafts"][at]["rows"], alone["rows"]);
        assert_eq!(rows(&alone), [12]);
    }
}

#[test]
fn one_on_a_page_is_drafted_as_ever() {
    let folder = folder();
    let plain = json(&typed(folder.path(), "draft one.png --rows 12 --json").success());
    let each = json(&typed(folder.path(), "draft one.png --rows 12 --each --json").success());
    assert_eq!(each["guide"], 1);
    assert_eq!(each["drafts"].as_array().unwrap().len(), 1);
    assert_eq!(each["drafts"][0]["rows"], plain["rows"]);
    assert_eq!(plain["people"].as_array().unwrap().len(), 1);
}

#[test]
fn what_cannot_be_is_refused_in_one_line() {
    let folder = folder();
    for (words, expected) in [
        ("draft two.png --each --guide 0", "people are counted from 1"),
        ("draft two.png --each --guide 3", "the page shows 2 people"),
        ("draft one.png --each --guide 2", "the page shows one person"),
        ("draft two.png --guide 1", "--each"),
        ("draft two.png --each --choices 3", "cannot be used with"),
        ("draft two.png --each --marks chin=20", "cannot be used with"),
        ("draft two.png one.png --each", "there is another picture"),
        ("draft two.png --each --save girl.txt", "end the name in .figure.toml"),
    ] {
        let said = err(&typed(folder.path(), words).code(2));
        assert!(said.contains(expected), "{words}: {said}");
        assert_eq!(said.lines().count(), 2, "{words}: {said}");
    }
}
