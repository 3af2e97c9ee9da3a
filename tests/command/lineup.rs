//! `smallcast lineup` as a maker types it, with pipes.

use std::fs;
use std::path::PathBuf;

use crate::typing::{err, json, out, smallcast};

const TRIAL: &str = "src/trial/figures";

/// A cast of four in two groups: two of them are one figure but for a button.
struct Street(tempfile::TempDir);

impl Street {
    fn new() -> Self {
        let street = Self(tempfile::tempdir().unwrap());
        for (name, from) in [("miller", "miller"), ("toddler", "ball-toddler"), ("butcher", "butcher")] {
            let text = fs::read_to_string(format!("{TRIAL}/{from}.figure.toml")).unwrap();
            street.write(&format!("{name}.figure.toml"), &text);
        }
        let twin = fs::read_to_string(format!("{TRIAL}/butcher.figure.toml")).unwrap();
        let mark = twin.split("mark = \"").nth(1).unwrap().chars().next().unwrap();
        let button = format!("\n[[part]]\nname = \"button\"\nat = [12, 6]\nbeads = \"\"\"\n{mark}\n\"\"\"\n");
        let twin = twin.replacen("name = \"Butcher\"", "name = \"Butcher's brother\"", 1) + &button;
        street.write("brother.figure.toml", &twin);
        let guide = fs::read_to_string(format!("{TRIAL}/lock-keeper.figure.toml")).unwrap();
        street.write("guide.figure.toml", &guide);
        street.write(
            "cast.toml",
            "format = 1\nname = \"A short street\"\nguide = \"guide.figure.toml\"\n\
             [[group]]\nname = \"shop\"\nfigures = [\"butcher\", \"brother\"]\n\
             [[group]]\nname = \"mill\"\nfigures = [\"miller\"]\n",
        );
        street
    }

    fn write(&self, name: &str, text: &str) {
        fs::write(self.path(name), text).unwrap();
    }

    fn path(&self, name: &str) -> PathBuf {
        self.0.path().join(name)
    }

    fn folder(&self) -> &str {
        self.0.path().to_str().unwrap()
    }

    fn names(&self) -> Vec<String> {
        let entries = fs::read_dir(self.0.path()).unwrap();
        let mut names: Vec<String> =
            entries.map(|entry| entry.unwrap().file_name().to_string_lossy().into_owned()).collect();
        names.sort();
        names
    }
}

fn names(document: &serde_json::Value) -> Vec<&str> {
    document["figures"].as_array().unwrap().iter().map(|one| one["name"].as_str().unwrap()).collect()
}

#[test]
fn a_cast_stands_by_its_groups_beside_its_own_guide() {
    let street = Street::new();
    let document = json(&smallcast().args(["lineup", street.folder(), "--json"]).assert().code(0));
    assert_eq!(document["format"], 1);
    assert_eq!((&document["cast"], &document["by"]), (&"A short street".into(), &"group".into()));
    assert!(document["guide"]["file"].as_str().unwrap().ends_with("guide.figure.toml"), "{document}");
    // The guide stands beside them and is none of them; who is in no group comes last.
    assert_eq!(names(&document), ["Butcher", "Butcher's brother", "Miller", "Toddler with a ball"]);
    let places: Vec<_> = document["figures"].as_array().unwrap().iter().map(|one| &one["place"]).collect();
    assert_eq!(places, [1, 2, 3, 4]);
    let groups: Vec<_> = document["figures"].as_array().unwrap().iter().map(|one| &one["group"]).collect();
    assert_eq!(groups, ["shop".into(), "shop".into(), "mill".into(), serde_json::Value::Null].each_ref());
    let alike = document["too_alike"].as_array().unwrap();
    assert_eq!(alike.len(), 1);
    assert_eq!(alike[0]["places"], serde_json::json!([1, 2]));
    let difference = alike[0]["difference"].as_f64().unwrap();
    assert!(difference > 0.0 && difference <= document["alike_up_to"].as_f64().unwrap());
}

#[test]
fn the_order_is_the_one_asked_for() {
    let street = Street::new();
    let by = |order: &str| {
        json(&smallcast().args(["lineup", street.folder(), "--json", "--by", order]).assert().code(0))
    };
    assert_eq!(names(&by("name")), ["Butcher", "Butcher's brother", "Miller", "Toddler with a ball"]);
    let tall = by("height");
    let rows: Vec<u64> =
        tall["figures"].as_array().unwrap().iter().map(|one| one["rows"].as_u64().unwrap()).collect();
    assert_eq!(names(&tall).last(), Some(&"Toddler with a ball"), "{rows:?}");
    // Single files are no cast: by height, beside the trade's guide.
    let files = [format!("{TRIAL}/ball-toddler.figure.toml"), format!("{TRIAL}/miller.figure.toml")];
    let document = json(&smallcast().arg("lineup").args(&files).arg("--json").assert().code(0));
    assert_eq!((&document["by"], &document["cast"]), (&"height".into(), &serde_json::Value::Null));
    assert_eq!(document["guide"], serde_json::json!({"name": "the guide", "file": null, "rows": 24}));
    assert_eq!(names(&document)[0], "Miller");
}

#[test]
fn in_a_pipe_it_is_marks_no_wider_than_eighty_columns() {
    let street = Street::new();
    let answer = smallcast().args(["lineup", street.folder()]).assert().code(0);
    let said = out(&answer);
    assert!(said.lines().all(|line| line.chars().count() <= 80), "{said}");
    assert!(!said.contains('\u{1b}'));
    let shown = said.replace(street.folder(), "STREET");
    insta::assert_snapshot!("a_line_up_in_a_pipe", shown);
    let next = err(&answer);
    assert!(next.contains("next: smallcast lineup ") && next.contains("--save lineup.pdf"), "{next}");
}

#[test]
fn where_there_are_colours_a_letter_holds_two_beads() {
    let street = Street::new();
    let coloured = smallcast()
        .args(["lineup", street.folder()])
        .env("CLICOLOR_FORCE", "1")
        .env("COLORTERM", "truecolor")
        .assert()
        .code(0);
    let said = out(&coloured);
    assert!(said.contains('▀') && said.contains('▄') && said.contains("\u{1b}["));
    let plain = out(&smallcast().args(["lineup", street.folder()]).assert());
    assert!(said.lines().count() < plain.lines().count());
}

#[test]
fn it_is_saved_as_picture_and_page_and_never_over_a_file() {
    let street = Street::new();
    for (ending, start) in [("png", &b"\x89PNG"[..]), ("svg", b"<svg"), ("pdf", b"%PDF")] {
        let target = street.path(&format!("line.{ending}"));
        let target = target.to_str().unwrap();
        let save = || smallcast().args(["lineup", street.folder(), "--save", target]).assert();
        let next = err(&save().code(0));
        assert!(next.contains("next: smallcast check "), "{next}");
        let bytes = fs::read(target).unwrap();
        assert!(bytes.windows(start.len()).take(200).any(|some| some == start), "{ending}");
        assert!(err(&save().code(2)).contains("already exists"));
        smallcast().args(["lineup", street.folder(), "--save", target, "--replace"]).assert().code(0);
        assert_eq!(bytes, fs::read(target).unwrap(), "the same bytes each time");
    }
}

#[test]
fn wrong_words_are_refused_and_nothing_is_written() {
    let street = Street::new();
    let before = street.names();
    let line = street.path("line.jpg");
    let own = street.path("miller.figure.toml");
    let cases: [(&[&str], &str); 6] = [
        (&[street.folder(), "--save", line.to_str().unwrap()], "end the name in .png, .svg or .pdf"),
        (&[street.folder(), "--save", own.to_str().unwrap(), "--replace"], "end the name in .png"),
        (&[street.folder(), "--by", "age"], "height, group, name"),
        (&["no-such-folder"], "no-such-folder"),
        (&["tests/command"], "no figure is in it"),
        (&[street.folder(), "--guide", "no-such.figure.toml"], "no-such.figure.toml"),
    ];
    for (arguments, advice) in cases {
        let answer = smallcast().arg("lineup").args(arguments).assert().code(2).stdout_eq("");
        let said = err(&answer);
        assert!(said.contains(advice), "{arguments:?}: {said}");
    }
    street.write("miller.figure.toml", "format = 1\nname = \"Miller\"\nheight = 3\n");
    let said = err(&smallcast().args(["lineup", street.folder()]).assert().code(2).stdout_eq(""));
    assert!(said.contains("miller.figure.toml") && said.lines().count() == 2, "{said}");
    assert_eq!(before, street.names());
}

#[test]
fn without_groups_a_cast_stands_by_height_and_it_is_said() {
    let street = Street::new();
    street.write("cast.toml", "format = 1\nname = \"A short street\"\n");
    let folder = street.path(".");
    let typed = |by: &str| smallcast().args(["lineup", "--by", by]).arg(&folder).assert().success();
    let (group, height) = (typed("group"), typed("height"));
    assert!(err(&group).contains("there are no groups here"), "{}", err(&group));
    assert_eq!(out(&group), out(&height));
}

#[test]
fn lines_of_height_classes_stay_in_a_narrow_terminal() {
    let folder = Street::new().0;
    let narrow = smallcast().env("COLUMNS", "40").arg("lineup").arg(folder.path()).assert().success();
    assert!(out(&narrow).lines().any(|line| line.ends_with(" guide")), "{}", out(&narrow));
    assert!(out(&narrow).lines().all(|line| line.chars().count() <= 40), "{}", out(&narrow));
}

#[test]
fn options_of_other_names_are_named() {
    let said = err(&smallcast().args(["show", "x.figure.toml", "--picture", "x.png"]).assert().code(2));
    assert!(said.contains("--save FILE.png"), "{said}");
    let said = err(&smallcast().args(["draft", "x.png", "--age", "12"]).assert().code(2));
    assert!(said.contains("smallcast plan --age"), "{said}");
}
