//! `smallcast scene` as a maker types it, with pipes.

use std::fs;
use std::path::PathBuf;

use crate::typing::{err, json, out, smallcast};

const DAWN: &str = "format = 1\nname = \"Dawn\"\nboards = { across = 2, down = 1 }\n\
    [[line]]\nrow = 27\nfigures = [\"butcher\", \"miller\"]\ncolumns = [4, 24]\n\
    [[place]]\nfigure = \"props/crate\"\nat = [23, 8]\nover = \"butcher\"\n\
    [[place]]\nfigure = \"props/crate\"\nat = [2, 50]\n";

/// Two people and a crate, and a scene of them.
struct Street(tempfile::TempDir);

impl Street {
    fn new() -> Self {
        let street = Self(tempfile::tempdir().unwrap());
        for name in ["miller", "butcher"] {
            let text = fs::read_to_string(format!("src/trial/figures/{name}.figure.toml")).unwrap();
            street.write(&format!("{name}.figure.toml"), &text);
        }
        fs::create_dir(street.path("props")).unwrap();
        street.write(
            "props/crate.figure.toml",
            "format = 1\nname = \"Crate\"\n[[legend]]\nmark = \"c\"\nbead = \"coal\"\nby = \"hand\"\n\
             [[part]]\nname = \"body\"\nbeads = \"\"\"\nccc\nccc\nccc\n\"\"\"\n",
        );
        street.write("tray.csv", "name,hex,count\ncoal,1f2023,4\nchalk,f7f7f4,1000\n");
        street.write("dawn.scene.toml", DAWN);
        street
    }

    fn write(&self, name: &str, text: &str) {
        fs::write(self.path(name), text).unwrap();
    }

    fn path(&self, name: &str) -> PathBuf {
        self.0.path().join(name)
    }

    /// Types words in the street.
    fn typed(&self, words: &[&str]) -> snapbox::cmd::OutputAssert {
        smallcast().current_dir(self.0.path()).args(words).assert()
    }
}

#[test]
fn a_scene_says_who_stands_where_who_is_hidden_and_what_is_short() {
    let street = Street::new();
    let answer = street.typed(&["scene", "dawn.scene.toml", "--tray", "tray.csv"]).code(0);
    let said = out(&answer);
    assert!(said.starts_with("Dawn: 4 figures on 2 boards of 29 x 29 pegs\n"), "{said}");
    assert!(said.contains("│  1   │  2   │"), "{said}");
    assert!(said.contains("Hidden\n  butcher: ") && said.contains("by crate 1 ("), "{said}");
    assert!(said.contains("Over a seam\n  miller: ") && said.contains("between columns 29 and 30"), "{said}");
    assert!(
        said.contains("It falls into ") && said.contains("9 beads of crate 2, rows 2 to 4, columns 50 to 52")
    );
    assert!(said.contains("are short:") && said.contains("No figure was changed."), "{said}");
    assert!(said.lines().all(|line| line.chars().count() <= 80), "{said}");
    assert!(err(&answer).contains("next: smallcast scene dawn.scene.toml --tray tray.csv --picture"));
}

#[test]
fn the_document_counts_from_one_and_adds_up() {
    let street = Street::new();
    let document = json(&street.typed(&["scene", "dawn.scene.toml", "--json"]).code(0));
    assert_eq!((&document["format"], &document["name"]), (&1.into(), &"Dawn".into()));
    let each = document["boards"]["each"].as_array().unwrap();
    let beads: u64 = each.iter().map(|board| board["beads"].as_u64().unwrap()).sum();
    assert_eq!(document["beads"], beads);
    let needed: u64 =
        document["needs"].as_array().unwrap().iter().map(|need| need["needed"].as_u64().unwrap()).sum();
    assert_eq!(document["beads"], needed);
    let crate_2 =
        document["figures"].as_array().unwrap().iter().find(|one| one["name"] == "crate 2").unwrap();
    assert_eq!(crate_2["figure"], "props/crate");
    assert!(crate_2["file"].as_str().unwrap().ends_with("crate.figure.toml"));
    assert_eq!(
        (&crate_2["rows"], &crate_2["columns"]),
        (&serde_json::json!([2, 4]), &serde_json::json!([50, 52]))
    );
    assert_eq!(document["over_seams"][0]["seams"], serde_json::json!([{ "columns": [29, 30] }]));
}

#[test]
fn picture_and_sheet_are_written_together_and_never_over_anything() {
    let street = Street::new();
    let both = ["scene", "dawn.scene.toml", "--picture", "dawn.png", "--sheet", "dawn.pdf"];
    street.typed(&both).code(0);
    let picture = image::open(street.path("dawn.png")).unwrap();
    // Sixty pegs across and thirty-one down, the table around the boards among them.
    assert_eq!(picture.width() * 31, picture.height() * 60);
    assert!(fs::read(street.path("dawn.pdf")).unwrap().starts_with(b"%PDF"));
    let before = fs::read(street.path("dawn.png")).unwrap();
    fs::remove_file(street.path("dawn.pdf")).unwrap();
    assert!(err(&street.typed(&both).code(2)).contains("dawn.png already exists"));
    assert!(!street.path("dawn.pdf").exists(), "nothing is partly written");
    street.typed(&[&both[..], &["--replace"]].concat()).code(0);
    assert_eq!(fs::read(street.path("dawn.png")).unwrap(), before, "the same scene is the same picture");
    let over =
        street.typed(&["scene", "dawn.scene.toml", "--picture", "dawn.scene.toml", "--replace"]).code(2);
    assert!(err(&over).contains("does not end in .png"));
}

#[test]
fn a_figure_that_is_not_there_is_told_with_its_line() {
    let street = Street::new();
    street.write("dawn.scene.toml", &DAWN.replace("\"miller\"", "\"miler\""));
    let answer = street.typed(&["scene", "dawn.scene.toml", "--picture", "dawn.png"]).code(2);
    let said = err(&answer);
    assert!(said.contains("dawn.scene.toml, line 6, figure: there is no figure 'miler'"), "{said}");
    assert!(said.contains("did you mean miller?"), "{said}");
    assert!(!street.path("dawn.png").exists());
}

#[test]
fn sheet_count_and_check_take_a_scene() {
    let street = Street::new();
    street.typed(&["sheet", "dawn.scene.toml", "--save", "dawn.pdf"]).code(0);
    assert!(street.path("dawn.pdf").exists());
    let counted = json(&street.typed(&["count", "dawn.scene.toml", "--json"]).code(0));
    let scene = json(&street.typed(&["scene", "dawn.scene.toml", "--json"]).code(0));
    assert_eq!(counted["used"], scene["beads"]);
    let said = out(&street.typed(&["count", "dawn.scene.toml"]).code(0));
    assert!(said.contains("boards") && !said.contains("figures"), "{said}");
    // Two people side by side are two pieces.
    street.typed(&["check", "dawn.scene.toml"]).code(1);
    let both = street.typed(&["check", "dawn.scene.toml", "miller.figure.toml"]).code(2);
    assert!(err(&both).contains("a scene cannot be combined with figures here"));
    let ground = "[[ground]]\nbead = \"chalk\"\nrows = [28, 29]\n\
                  [[ground]]\nbead = \"chalk\"\nrows = [1, 29]\ncolumns = [50, 52]\n";
    street.write("dawn.scene.toml", &(DAWN.to_owned() + ground));
    let checked = street.typed(&["check", "dawn.scene.toml"]).code(0);
    assert!(out(&checked).contains("It holds together as one piece."), "{}", out(&checked));
}

#[test]
fn a_folder_is_no_scene_and_one_of_it_is_named() {
    let street = Street::new();
    let said = err(&street.typed(&["scene", "."]).code(2));
    assert!(
        said.contains("this is a folder") && said.contains("smallcast scene ./dawn.scene.toml"),
        "{said}"
    );
}

#[test]
fn what_was_saved_is_said() {
    let street = Street::new();
    let saved = street.typed(&["scene", "dawn.scene.toml", "--picture", "dawn.png"]).code(0);
    assert!(out(&saved).ends_with("Saved in dawn.png.\n"), "{}", out(&saved));
    let lineup = ["lineup", "miller.figure.toml", "--save", "row.png"];
    assert!(out(&street.typed(&lineup).code(0)).ends_with("Saved in row.png.\n"));
    let document = ["lineup", "miller.figure.toml", "--save", "other.png", "--json"];
    assert!(!out(&street.typed(&document).code(0)).contains("Saved"));
}
