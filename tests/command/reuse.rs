//! `smallcast reuse` as a person types it.

use std::fs;
use std::path::Path;

use smallcast::figure::{Figure, read, write};
use snapbox::cmd::OutputAssert;

use crate::typing::{err, json, out, smallcast};

fn fixture(name: &str) -> String {
    format!("{}/fixtures/pairs/{name}.figure.toml", env!("CARGO_MANIFEST_DIR"))
}

/// A folder with `pilot`, `seller` and `boy`, and a picture of the conductor that was made of the pilot.
fn folder() -> tempfile::TempDir {
    let folder = tempfile::tempdir().unwrap();
    for (name, of) in [("pilot", "conductor.old"), ("seller", "apple-seller.old"), ("boy", "hoop-boy.old")] {
        fs::copy(fixture(of), folder.path().join(format!("{name}.figure.toml"))).unwrap();
    }
    folder
}

fn typed(folder: &Path, words: &[&str]) -> OutputAssert {
    smallcast().current_dir(folder).arg("reuse").args(words).assert()
}

fn names(folder: &Path) -> Vec<String> {
    let entries = fs::read_dir(folder).unwrap();
    let mut names: Vec<String> =
        entries.map(|entry| entry.unwrap().file_name().to_string_lossy().into_owned()).collect();
    names.sort();
    names
}

const NEW: [&str; 12] = [
    "pilot.figure.toml",
    "--save",
    "guard.figure.toml",
    "--name",
    "Night Guard",
    "--class",
    "shorter",
    "--do",
    "swap navy wine",
    "--do",
    "swap yolk chalk",
    "--replace",
];

#[test]
fn a_new_figure_is_made_of_an_older_one_line_by_line() {
    let folder = folder();
    let before = fs::read(folder.path().join("pilot.figure.toml")).unwrap();
    let made = typed(folder.path(), &NEW).success();
    insta::assert_snapshot!(out(&made));
    assert_eq!(err(&made), "next: smallcast check guard.figure.toml, or smallcast edit guard.figure.toml\n");
    assert_eq!(
        fs::read(folder.path().join("pilot.figure.toml")).unwrap(),
        before,
        "the older one is untouched"
    );
    let guard = Figure::open(&folder.path().join("guard.figure.toml")).unwrap();
    assert_eq!((guard.name(), guard.class()), ("Night Guard", Some("shorter")));
    // The last line is undone by the command for that, down to the first.
    let edit =
        |words: &[&str]| smallcast().current_dir(folder.path()).arg("edit").args(words).assert().success();
    edit(&["guard.figure.toml", "--undo", "9"]);
    let start = fs::read_to_string(folder.path().join("guard.figure.toml")).unwrap();
    assert_eq!(start, write(&read("pilot", &String::from_utf8(before).unwrap()).unwrap()));
}

/// The folder with every bead of the pilot settled by hand.
fn cleaned() -> tempfile::TempDir {
    let folder = folder();
    let pilot = Figure::open(&folder.path().join("pilot.figure.toml")).unwrap();
    let all = format!("keep 1-{},1-{}", pilot.beads().rows(), pilot.beads().columns());
    let edit =
        smallcast().current_dir(folder.path()).args(["edit", "pilot.figure.toml", "--do", &all]).assert();
    edit.success();
    folder
}

#[test]
fn rows_that_only_a_hand_may_drop_are_said_as_lines_to_give() {
    let folder = cleaned();
    let words = ["pilot.figure.toml", "--save", "boy2.figure.toml"];
    let refused = typed(folder.path(), &[&words[..], &["--class", "older-child"]].concat()).code(2);
    let said = err(&refused);
    insta::assert_snapshot!(said);
    // What stands between the quotation marks, as a shell would take it.
    let lines = said.split("--do '").skip(1).filter_map(|line| line.split('\'').next());
    let given: Vec<&str> = lines.flat_map(|line| ["--do", line]).collect();
    typed(folder.path(), &[&words[..], &given].concat()).success();
    let boy = Figure::open(&folder.path().join("boy2.figure.toml")).unwrap();
    let class = smallcast::plan::Classes::trade().named("older-child").unwrap();
    assert_eq!((boy.rows().unwrap(), boy.class()), (&class.rows, Some("older-child")));
}

#[test]
fn a_swap_changes_what_lies_by_hand_too() {
    let folder = cleaned();
    let words = ["pilot.figure.toml", "--save", "new.figure.toml", "--do", "swap navy wine", "--json"];
    let document = json(&typed(folder.path(), &words).success());
    assert_eq!(
        (&document["changes"][0]["do"], &document["changes"][0]["kept_by_hand"]),
        (&"swap navy wine by-hand".into(), &0.into())
    );
    let new = Figure::open(&folder.path().join("new.figure.toml")).unwrap();
    assert!(new.legend().iter().all(|entry| entry.bead != "navy"));
}

#[test]
fn parts_come_from_others_by_whatever_name() {
    let folder = folder();
    for from in ["seller", "seller.figure.toml", "Fishwife"] {
        let line = format!("take props from {from}");
        let words = [
            "pilot.figure.toml",
            "seller.figure.toml",
            "--save",
            "new.figure.toml",
            "--do",
            &line,
            "--replace",
            "--json",
        ];
        let document = json(&typed(folder.path(), &words).success());
        assert_eq!(document["changes"][0]["do"], "take props from seller.figure.toml", "{document}");
    }
    // Also where it was not named on the command line, as scenes and casts name figures.
    let line = "take props from seller";
    let words = ["pilot", "--save", "newer.figure.toml", "--do", line, "--json"];
    let document = json(&typed(folder.path(), &words).success());
    assert_eq!(document["changes"][0]["do"], "take props from seller.figure.toml", "{document}");
    let idle =
        typed(folder.path(), &["pilot.figure.toml", "seller.figure.toml", "--save", "other.figure.toml"]);
    assert!(err(&idle.code(2)).contains("take head from seller"));
}

#[test]
fn the_document_says_what_was_done_and_how_far_they_are_apart() {
    let folder = folder();
    let words: Vec<&str> = NEW.iter().copied().chain(["--json", "--picture", "guard.png"]).collect();
    let made = typed(folder.path(), &words).success();
    assert_eq!(err(&made), "");
    insta::assert_snapshot!(out(&made));
    let picture = image::open(folder.path().join("guard.png")).unwrap();
    assert!(picture.width() > 400 && picture.height() > 400);
}

#[test]
fn what_the_tray_lacks_is_said() {
    let folder = folder();
    fs::write(folder.path().join("small.csv"), "name,hex,count\nnavy,22315e,10\nchalk,f7f7f4,100\n").unwrap();
    let words = ["pilot.figure.toml", "--save", "new.figure.toml", "--tray", "small.csv"];
    let made = typed(folder.path(), &words).success();
    let said = err(&made);
    assert!(said.contains("61 navy beads are needed and 10 are owned"), "{said}");
    assert!(said.contains("not in the tray"), "{said}");
    assert!(said.contains("next: smallcast check new.figure.toml --tray small.csv"), "{said}");
}

#[test]
fn bad_input_is_one_line_and_writes_nothing() {
    let folder = folder();
    fs::create_dir(folder.path().join("empty")).unwrap();
    let before = names(folder.path());
    let save = ["--save", "new.figure.toml"];
    for (words, said) in [
        (vec!["nobody.figure.toml", save[0], save[1]], "cannot read nobody.figure.toml"),
        (vec!["pilot.figure.toml", save[0], "seller.figure.toml"], "already exists"),
        (vec!["pilot.figure.toml", save[0], "pilot.figure.toml", "--replace"], "never overwritten"),
        (vec!["pilot.figure.toml", save[0], "new.toml"], "does not end in .figure.toml"),
        (vec!["pilott", save[0], save[1]], "did you mean pilot.figure.toml?"),
        (vec!["pilot.figure.toml", save[0], save[1], "--class", "giant"], "no height class of that name"),
        (vec!["pilot.figure.toml", save[0], save[1], "--build", "wide"], "no build of that name"),
        (vec!["pilot.figure.toml", save[0], save[1], "--stands", "tall"], "not a height"),
        (vec!["pilot.figure.toml", save[0], save[1], "--do", "swap navi wine"], "did you mean navy?"),
        (
            vec!["pilot.figure.toml", save[0], save[1], "--do", "take wings from seller.figure.toml"],
            "no part wings",
        ),
        (vec!["pilot.figure.toml", save[0], save[1], "--do", "take head from nobody"], "cannot read nobody"),
        (vec!["pilot.figure.toml", save[0], save[1], "--picture", "new.gif"], "does not end in .png"),
        (vec!["pilot.figure.toml", save[0], save[1], "--picture", "gone/new.png"], "gone/new.png"),
        (vec![".", save[0], save[1]], "this is a folder"),
        (vec!["empty", "--like", "pilot.figure.toml"], "no"),
        (vec![".", "--like", "gone.png"], "cannot read gone.png"),
        (vec![".", "--like", "gone.png", "--most", "0"], "lists nothing"),
    ] {
        let refused = typed(folder.path(), &words).code(2);
        let text = err(&refused);
        assert!(text.contains(said), "{words:?}: {text}");
        assert!(text.lines().count() <= 2, "{words:?}: {text}");
        assert_eq!(out(&refused), "", "{words:?}");
        assert_eq!(names(folder.path()), before, "{words:?}");
    }
    assert_eq!(err(&typed(folder.path(), &["pilot.figure.toml"]).code(2)).lines().count(), 2);
}

#[test]
fn a_folder_is_ranked_for_a_picture() {
    let folder = folder();
    let picture =
        smallcast().current_dir(folder.path()).args(["show", &fixture("conductor.new"), "--save", "new.png"]);
    picture.assert().success();
    let ranked = typed(folder.path(), &[".", "--like", "new.png", "--class", "guide"]).success();
    insta::assert_snapshot!(out(&ranked));
    let said = err(&ranked);
    assert!(said.contains("next: smallcast "), "{said}");
    let words = [".", "--like", "new.png", "--class", "guide", "--most", "1", "--json"];
    let document = json(&typed(folder.path(), &words).success());
    assert_eq!(document["best"].as_array().unwrap().len(), 1);
    assert_eq!(document["best"][0]["file"], "./pilot.figure.toml");
    assert_eq!(document["figures"], 3);
    let text = fs::read_dir(folder.path().join(".")).unwrap().count();
    assert_eq!(text, 4, "ranking writes nothing");
    fs::create_dir(folder.path().join("empty")).unwrap();
    let none = typed(folder.path(), &["empty", "--like", "new.png"]).code(2);
    assert!(err(&none).contains("no figure is in it"), "{}", err(&none));
}
