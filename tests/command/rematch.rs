//! `smallcast rematch` and the ledger of things, as a person types them.

use std::collections::{BTreeMap, BTreeSet};
use std::fs;
use std::path::{Path, PathBuf};

use snapbox::cmd::OutputAssert;

use crate::typing::{err, json, out, smallcast};

fn street() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("demo/early-street")
}

/// The cast with the drafts of its figures, which no hand has settled.
fn drafts() -> tempfile::TempDir {
    let folder = tempfile::tempdir().unwrap();
    let files = [street(), street().join("drafts")].into_iter().flat_map(|from| fs::read_dir(from).unwrap());
    for file in files.map(|entry| entry.unwrap().path()) {
        let name = file.file_name().unwrap().to_string_lossy().into_owned();
        // Drafts come later and take the finished figures' places.
        if name.ends_with(".toml") || name.ends_with(".csv") {
            fs::copy(&file, folder.path().join(name)).unwrap();
        }
    }
    folder
}

fn typed(folder: &Path, words: &[&str]) -> OutputAssert {
    smallcast().current_dir(folder).args(words).assert()
}

/// Every file with its bytes.
fn files(folder: &Path) -> BTreeMap<String, Vec<u8>> {
    let entries = fs::read_dir(folder).unwrap().map(|entry| entry.unwrap().path());
    let entries = entries.filter(|path| path.is_file());
    entries
        .map(|file| (file.file_name().unwrap().to_string_lossy().into_owned(), fs::read(&file).unwrap()))
        .collect()
}

fn tray_with(folder: &Path, change: impl Fn(&str) -> Option<String>, more: &str) {
    let tray = fs::read_to_string(folder.join("tray.csv")).unwrap();
    let lines: Vec<String> = tray.lines().filter_map(change).collect();
    fs::write(folder.join("changed.csv"), format!("{}\n{more}", lines.join("\n"))).unwrap();
}

/// Figure, old bead and new bead of every change.
fn changes(document: &serde_json::Value) -> BTreeSet<(String, String, String)> {
    let text = |value: &serde_json::Value| value.as_str().unwrap().to_owned();
    let mut found = BTreeSet::new();
    for figure in document["figures"].as_array().unwrap() {
        let changes =
            figure["colours"].as_array().unwrap().iter().filter(|colour| colour["fate"] == "changes");
        found
            .extend(changes.map(|colour| {
                (text(&figure["name"]), text(&colour["bead"]), text(&colour["other"]["bead"]))
            }));
    }
    found
}

#[test]
fn of_a_dearer_a_vanished_and_a_nearer_bead_exactly_the_last_two_change_colours() {
    let folder = drafts();
    let same = json(&typed(folder.path(), &["rematch", ".", "--json"]).success());
    assert!(
        changes(&same).is_empty(),
        "the tray they were drafted with has nothing nearer: {:?}",
        changes(&same)
    );
    let dearer = |line: &str| Some(line.replace(",3.90,", ",9.90,"));
    tray_with(folder.path(), dearer, "");
    let words = ["rematch", ".", "--tray", "changed.csv", "--json"];
    assert!(changes(&json(&typed(folder.path(), &words).success())).is_empty(), "a price is no colour");
    let all = |line: &str| (!line.starts_with("teal,")).then(|| line.replace(",3.90,", ",9.90,"));
    tray_with(folder.path(), all, "lagoon,0b82b0,500,250,1.60,\n");
    let document = json(&typed(folder.path(), &words).success());
    let found: Vec<(String, String, String)> = changes(&document).into_iter().collect();
    insta::assert_debug_snapshot!(found);
    for colour in
        document["figures"].as_array().unwrap().iter().flat_map(|f| f["colours"].as_array().unwrap())
    {
        assert_eq!(colour["gone"], colour["bead"] == "teal");
        if colour["fate"] == "changes" {
            assert!(colour["gone"] == true || colour["other"]["bead"] == "lagoon", "{colour}");
        }
    }
}

#[test]
fn the_report_of_a_changed_tray_is_plain_and_eighty_columns_wide() {
    let folder = drafts();
    let answer = typed(folder.path(), &["rematch", ".", "--tray", "tray-new.csv"]).success();
    insta::assert_snapshot!(out(&answer));
    assert!(out(&answer).lines().all(|line| line.chars().count() <= 80));
    assert!(
        err(&answer).ends_with("next: smallcast rematch . --tray tray-new.csv --apply\n"),
        "{}",
        err(&answer)
    );
}

#[test]
fn nothing_is_written_until_it_is_applied_and_undoing_gives_the_same_bytes() {
    let folder = drafts();
    let before = files(folder.path());
    let words = ["rematch", ".", "--tray", "tray-new.csv"];
    typed(folder.path(), &words).success();
    assert_eq!(files(folder.path()), before);
    let applied = [&words[..], &["--apply", "--json"]].concat();
    let document = json(&typed(folder.path(), &applied).success());
    assert_eq!(document["applied"], true);
    let after = files(folder.path());
    let mut undone = 0;
    for figure in document["figures"].as_array().unwrap() {
        let file = figure["file"].as_str().unwrap().trim_start_matches("./").to_owned();
        assert_eq!(figure["edit"].is_null(), after[&file] == before[&file], "{file}");
        if figure["edit"].is_null() {
            continue;
        }
        typed(folder.path(), &["edit", &file, "--undo"]).success();
        undone += 1;
    }
    assert!(undone >= 3, "{undone} figures changed");
    let mut back = files(folder.path());
    back.retain(|name, _| before.contains_key(name));
    assert_eq!(back, before);
    // All of a figure's colours were one step.
    let history = typed(folder.path(), &["edit", "tea-seller.figure.toml", "--history"]).success();
    assert_eq!(out(&history).matches("rematch ").count(), 1, "{}", out(&history));
}

#[test]
fn finished_figures_are_left_and_named_and_change_by_hand_s_leave_only() {
    let left = typed(&street(), &["rematch", ".", "--tray", "tray-new.csv", "--json"]).success();
    assert!(changes(&json(&left)).is_empty(), "every peg was settled by hand");
    let said = out(&typed(&street(), &["rematch", ".", "--tray", "tray-new.csv"]).success());
    assert!(said.contains("Tea seller: mauve (12 beads), by hand"), "{said}");
    let taken =
        typed(&street(), &["rematch", ".", "--tray", "tray-new.csv", "--by-hand", "--json"]).success();
    let taken = changes(&json(&taken));
    // Bread is one thing: honey becomes crust in all three, or in none.
    let bread: Vec<&str> =
        taken.iter().filter(|change| change.2 == "crust").map(|change| change.0.as_str()).collect();
    assert!(["Baker", "Baker's boy", "Girl with a bun"].iter().all(|name| bread.contains(name)), "{taken:?}");
    // The red hair was chosen by hand in two of three.
    assert!(taken.iter().all(|change| change.1 != "rust"), "{taken:?}");
}

#[test]
fn a_thing_of_several_figures_is_not_changed_in_one_of_them() {
    let words = ["rematch", "baker.figure.toml", "--tray", "tray-new.csv", "--by-hand"];
    let document = json(&typed(&street(), &[&words[..], &["--json"]].concat()).success());
    let colours = document["figures"][0]["colours"].as_array().unwrap();
    let honey = colours.iter().find(|colour| colour["bead"] == "honey").unwrap();
    assert_eq!((&honey["fate"], &honey["held"]["why"]), (&"together".into(), &"not-chosen".into()));
    assert!(out(&typed(&street(), &words).success()).contains("which is not looked at"));
}

#[test]
fn some_figures_or_beads_alone_are_looked_at() {
    let folder = drafts();
    let only = |names: &str| {
        let words = ["rematch", ".", "--tray", "tray-new.csv", "--only", names, "--json"];
        json(&typed(folder.path(), &words).success())
    };
    let all = json(&typed(folder.path(), &["rematch", ".", "--tray", "tray-new.csv", "--json"]).success());
    let of_figure = changes(&only("lamplighter"));
    assert_eq!(of_figure, changes(&all).into_iter().filter(|change| change.0 == "Lamplighter").collect());
    assert!(
        changes(&only("slate,Tea-seller"))
            .iter()
            .all(|change| change.1 == "slate" || change.0 == "Tea-seller")
    );
}

#[test]
fn the_picture_has_each_figure_before_and_after() {
    let folder = drafts();
    let words = ["rematch", ".", "--tray", "tray-new.csv", "--picture", "new.png"];
    typed(folder.path(), &words).success();
    let picture = image::open(folder.path().join("new.png")).unwrap();
    assert!(picture.width() > 600 && picture.height() > 400);
    // What is there is not written over.
    typed(folder.path(), &words).code(2);
    typed(folder.path(), &[&words[..], &["--replace"]].concat()).success();
}

#[test]
fn three_to_buy_are_named_with_where_they_help_and_what_they_cost() {
    let words = ["rematch", ".", "--suggest", "3", "--from", "tray-new.csv", "--by-hand"];
    let answer = typed(&street(), &words).success();
    insta::assert_snapshot!(out(&answer));
    assert!(out(&answer).lines().all(|line| line.chars().count() <= 80));
    let document = json(&typed(&street(), &[&words[..], &["--json"]].concat()).success());
    assert_eq!(document["drop"], document["at_most"]);
    let beads = document["beads"].as_array().unwrap();
    assert_eq!(beads.len(), 3);
    // Each alone brings no more than what the best alone brings.
    let alone = |n: &str| {
        let words = ["rematch", ".", "--suggest", n, "--from", "tray-new.csv", "--by-hand", "--json"];
        json(&typed(&street(), &words).success())["drop"].as_f64().unwrap()
    };
    assert!(alone("1") <= alone("2") && alone("2") <= document["drop"].as_f64().unwrap());
}

#[test]
fn the_ledger_says_which_bead_a_thing_has_where() {
    let answer = typed(&street(), &["compare", ".", "--thing", "hair"]).success();
    insta::assert_snapshot!(out(&answer));
    let all = json(&typed(&street(), &["compare", ".", "--thing", "--json"]).success());
    assert!(all["things"].as_array().unwrap().len() >= 5);
    assert!(all["things"].as_array().unwrap().iter().all(|thing| thing["disagrees"] == false));
}

#[test]
fn what_cannot_be_is_said_in_one_line_and_nothing_is_written() {
    let folder = drafts();
    let path = folder.path();
    fs::write(path.join("no-prices.csv"), "name,hex\ncrust,c98a3c\n").unwrap();
    fs::write(path.join("broken.csv"), "name,hex\ncrust,nothing\n").unwrap();
    fs::create_dir(path.join("handmade")).unwrap();
    fs::copy(path.join("guide.figure.toml"), path.join("handmade/guide.figure.toml")).unwrap();
    let before = files(path);
    let faults: &[(&[&str], &str)] = &[
        (&["rematch", "handmade", "--apply"], "no reference colours are stored"),
        (&["rematch", "nobody.figure.toml", "--apply"], "nobody.figure.toml"),
        (&["rematch", "baker.figure.toml", "./baker.figure.toml", "--apply"], "named twice"),
        (&["rematch", ".", "--only", "baker,nobody", "--apply"], "'nobody'"),
        (&["rematch", ".", "--only", "baker,baker", "--apply"], "named twice"),
        (&["rematch", ".", "--tray", "broken.csv", "--apply"], "line 2"),
        (&["rematch", ".", "--tray", "missing.csv", "--apply"], "missing.csv"),
        (&["rematch", ".", "--suggest", "0", "--from", "tray-new.csv"], "--suggest 0"),
        (&["rematch", ".", "--suggest", "99", "--from", "tray-new.csv"], "--suggest 99"),
        (&["rematch", ".", "--suggest", "3", "--from", "no-prices.csv"], "no bead in it has a price"),
        (&["rematch", ".", "--suggest", "3"], "--from"),
        (&["rematch", ".", "--picture", "new.gif"], ".png"),
        (&["compare", ".", "--thing", "moustache"], "no thing of that name"),
    ];
    for (words, said) in faults {
        let answer = typed(path, words).code(2);
        let error = err(&answer);
        assert!(error.contains(said), "{words:?}: {error}");
        assert_eq!(
            error.lines().filter(|line| !line.starts_with("  try:") && !line.contains("left out:")).count(),
            1,
            "{words:?}: {error}"
        );
        assert!(out(&answer).is_empty());
        assert_eq!(files(path), before, "{words:?}");
    }
}

#[test]
fn a_narrow_ledger_still_says_who_has_a_bead_by_hand() {
    let words = ["compare", ".", "--thing", "hair"];
    let narrow = smallcast().env("COLUMNS", "40").current_dir(street()).args(words).assert().success();
    for name in ["Baker's boy", "Baker", "Girl with a bun", "Signal woman", "Sleepy child"] {
        assert!(out(&narrow).contains(&format!("  {name}: by hand")), "{name}: {}", out(&narrow));
    }
}

#[test]
fn where_a_thing_has_another_bead_no_swap_of_everything_is_offered() {
    let folder = drafts();
    let cast = fs::read_to_string(folder.path().join("cast.toml")).unwrap();
    let other = cast.replacen("bead = \"rust\"", "bead = \"coal\"", 1);
    assert_ne!(cast, other);
    fs::write(folder.path().join("cast.toml"), other).unwrap();
    let answer = typed(folder.path(), &["compare", ".", "--thing", "red hair"]).success();
    assert!(out(&answer).contains("Another bead in"), "{}", out(&answer));
    assert!(!err(&answer).contains("swap"), "{}", err(&answer));
}

#[test]
fn a_cast_without_things_is_told_how_one_is_written() {
    let folder = drafts();
    fs::write(folder.path().join("cast.toml"), "format = 1\nname = \"Street\"\n").unwrap();
    let answer = typed(folder.path(), &["compare", ".", "--thing"]).code(2);
    let said = err(&answer);
    assert!(said.contains("the cast has no named thing") && said.contains("bead = \"navy\""), "{said}");
}

#[test]
fn a_tray_typed_for_this_once_is_named_with_the_line_that_keeps_it() {
    let folder = drafts();
    let words = ["rematch", ".", "--tray", "tray-new.csv", "--apply"];
    let said = err(&typed(folder.path(), &words).success());
    assert!(said.contains("write tray = \"tray-new.csv\" in ./cast.toml"), "{said}");
}

#[test]
fn a_mark_is_one_character_and_a_bead_is_told_its_own() {
    let words = ["compare", "--figure", "drafts/baker.figure.toml", "--mark", "honey"];
    let said = err(&typed(&street(), &words).code(2));
    assert!(said.contains("a mark is one character") && said.contains("for honey: --mark "), "{said}");
}
