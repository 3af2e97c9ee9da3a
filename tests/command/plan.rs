//! `plan` as a maker types it.

use std::fs;
use std::path::Path;

use serde_json::{Value, json};
use smallcast::figure::Figure;
use smallcast::plan::Zone;
use tempfile::TempDir;

use crate::typing::{err, json as document, out, smallcast};

/// A cast of its own scale: a guide of 30 rows for 180 cm, a class, a group.
fn cast() -> TempDir {
    let folder = TempDir::new().unwrap();
    let file = |name: &str, text: &str| fs::write(folder.path().join(name), text).unwrap();
    file(
        "cast.toml",
        r#"format = 1
name = "The Upper Street"
guide = "guide.figure.toml"

[[class]]
name = "lanky"
rows = { head = 5, neck = 1, torso = 8, legs = 12, feet = 1 }

[[group]]
name = "bakers"
figures = []
facing = "forward"
legs = "solid with a line"
arms = 7
"#,
    );
    let beads = (0..30).map(|_| "c\n").collect::<String>();
    file(
        "guide.figure.toml",
        &format!(
            "format = 1\nname = \"Our Jo\"\nstature_cm = 180\n\n[rows]\nhead = 6\nneck = 1\ntorso = 10\nlegs = 12\nfeet = 1\n\n\
             [[legend]]\nmark = \"c\"\nbead = \"coal\"\nby = \"hand\"\n\n[[part]]\nname = \"torso\"\nbeads = \"\"\"\n{beads}\"\"\"\n"
        ),
    );
    folder
}

fn plan(folder: &Path, arguments: &[&str]) -> snapbox::cmd::OutputAssert {
    smallcast().current_dir(folder).arg("plan").args(arguments).assert()
}

fn nowhere() -> TempDir {
    TempDir::new().unwrap()
}

#[test]
fn all_classes_are_one_table() {
    let said = plan(nowhere().path(), &[]).success();
    insta::assert_snapshot!(out(&said));
    assert!(err(&said).contains("next: smallcast plan --stands 165cm"), "{}", err(&said));
}

#[test]
fn one_height_is_shown_with_its_reasons_and_its_body() {
    let said = plan(nowhere().path(), &["--class", "shorter"]).success();
    insta::assert_snapshot!(out(&said));
    assert!(err(&said).contains("next: smallcast plan --class shorter --save NAME.figure.toml"));
}

#[test]
fn sources_that_disagree_are_told_what_it_matters() {
    let folder = nowhere();
    // Lines break between words.
    let told = |heights: &str| out(&plan(folder.path(), &["--stands", heights]).success()).replace('\n', " ");
    let said = told("178cm,185cm");
    assert!(said.contains("less than a row of 7.4 cm, with a border between: 24 rows or 25"), "{said}");
    let said = told("174cm, 5ft11in");
    assert!(said.contains("that changes no row"), "{said}");
    let found = document(&plan(folder.path(), &["--stands", "160cm,1.9m", "--json"]).success());
    let sources = &found["planned"]["sources"];
    assert_eq!(sources["changes_a_row"], true);
    assert_eq!(sources["each"][0]["rows"], 22);
    assert_eq!(sources["each"][1], json!({"stature_cm": 190.0, "share": 25.78, "rows": 26}));
    assert_eq!(sources["middle"]["stature_cm"], 175.0);
    assert_eq!(found["planned"]["rows"], 24);
}

/// CDC growth charts 2000 (Kuczmarski et al., Vital Health Stat 11(246), 2002): boys of ten, median 138.62 cm.
#[test]
fn an_age_is_a_check_and_no_judgement() {
    let folder = nowhere();
    let said = out(&plan(folder.path(), &["--age", "10"]).success());
    assert!(said.contains("not a judgement of a child"), "{said}");
    assert!(said.contains("10 years: 19 rows, class older-child"), "{said}");
    let found = document(&plan(folder.path(), &["--age", "10", "--sex", "male", "--json"]).success());
    let age = &found["planned"]["age"];
    assert_eq!(age["heights"][0]["median"], json!({"stature_cm": 138.62, "share": 18.81, "rows": 19}));
    assert_eq!(
        (&age["heights"].as_array().unwrap().len(), &age["halfway_between_years"]),
        (&1, &json!(false))
    );
    let half = out(&plan(folder.path(), &["--age", "7.5", "--sex", "female"]).success());
    assert!(half.contains("7.5 years, halfway between two whole years"), "{half}");
}

#[test]
fn a_body_to_dress_is_saved_and_never_written_over() {
    let folder = nowhere();
    let save =
        ["--stands", "165cm", "--build", "stout", "--save", "anna.figure.toml", "--picture", "anna.png"];
    let said = plan(folder.path(), &save).success();
    assert!(err(&said).contains("next: smallcast edit anna.figure.toml"), "{}", err(&said));
    let file = folder.path().join("anna.figure.toml");
    let figure = Figure::open(&file).unwrap();
    assert_eq!((figure.name(), figure.rows().unwrap().total()), ("anna", 22));
    assert_eq!(figure.stature().unwrap().0, 165.0);
    let names: Vec<&str> = figure.parts().iter().map(|part| part.name.as_str()).collect();
    assert_eq!(names, ["legs", "feet", "torso", "right-arm", "left-arm", "head", "hair"]);
    let torso = &figure.parts()[2];
    assert_eq!((torso.beads.rows(), torso.beads.columns()), (figure.rows().unwrap().get(Zone::Torso), 7));
    assert!(image::open(folder.path().join("anna.png")).unwrap().height() > 200);
    // A second time both stay as they are.
    fs::write(folder.path().join("anna.png"), "mine").unwrap();
    let before = fs::read_to_string(&file).unwrap();
    let said = plan(folder.path(), &save).code(2);
    assert!(err(&said).contains("already exists and was not changed"), "{}", err(&said));
    assert_eq!(fs::read_to_string(&file).unwrap(), before);
    assert_eq!(fs::read_to_string(folder.path().join("anna.png")).unwrap(), "mine");
    plan(folder.path(), &[&save[..], &["--replace"]].concat()).success();
    smallcast().current_dir(folder.path()).args(["check", "anna.figure.toml"]).assert().success();
}

#[test]
fn a_cast_plans_by_its_own_guide_classes_and_groups() {
    let (folder, beside) = (cast(), nowhere());
    let street = folder.path().to_str().unwrap();
    let found = document(&plan(beside.path(), &[street, "--json"]).success());
    let guide = json!({
        "name": "Our Jo", "stature_cm": 180.0, "stature_said": true, "row_cm": 6.0, "rows": 30,
        "zones": {"headwear": 0, "head": 6, "neck": 1, "torso": 10, "legs": 12, "feet": 1},
    });
    assert_eq!(found["guide"], guide);
    let names: Vec<&Value> =
        found["classes"].as_array().unwrap().iter().map(|class| &class["name"]).collect();
    assert!(names.contains(&&json!("lanky")) && names.contains(&&json!("the cast's guide")), "{names:?}");
    let found = document(&plan(beside.path(), &[street, "--stands", "174cm", "--json"]).success());
    assert_eq!(found["planned"]["zones"]["torso"], 9);
    let found = document(
        &plan(beside.path(), &[street, "--class", "lanky", "--group", "bakers", "--json"]).success(),
    );
    let look =
        json!({"facing": "forward", "legs": "solid with a line", "limbs": 2, "arms": 7, "head": "round"});
    assert_eq!(found["planned"]["look"], look);
    assert!(found["planned"]["beads"][15].as_str().unwrap().contains("llill"));
    let said = plan(beside.path(), &[street, "--class", "lanky"]).success();
    assert!(out(&said).contains("Beside the cast's guide, Our Jo: 30 rows for 180 cm"), "{}", out(&said));
    assert!(
        err(&said).contains(&format!(
            "next: smallcast plan {street} --class lanky --save {street}/NAME.figure.toml"
        )),
        "{}",
        err(&said)
    );
    // The guide is read from, and stays.
    let own = folder.path().join("guide.figure.toml");
    let said = plan(folder.path(), &["--save", "guide.figure.toml", "--replace"]).code(2);
    assert!(err(&said).contains("never overwritten"), "{}", err(&said));
    assert!(fs::read_to_string(own).unwrap().contains("Our Jo"));
}

#[test]
fn what_cannot_be_planned_is_one_line_and_what_to_do() {
    let folder = nowhere();
    let cases: &[(&[&str], &str)] = &[
        (&["--stands", "9cm"], "--stands 9cm: a figure stands 40 to 400 cm tall"),
        (&["--stands", "170cm,tall"], "--stands tall: this is not a height"),
        (&["--stands", ""], "--stands (nothing)"),
        (&["--age", "40"], "--age 40: the charts go from 2 to 20 years"),
        (&["--age", "seven"], "--age seven: this is not an age"),
        (&["--age", "7", "--sex", "girl"], "--sex girl: the charts have only male and female"),
        (&["--sex", "male"], "--age"),
        (&["--age", "7", "--stands", "120cm"], "cannot be used with"),
        (
            &["--class", "shortr"],
            "--class shortr: there is no height class of that name (did you mean shorter?)",
        ),
        (&["--zones", "head=5,knee=2"], "there is no zone 'knee'"),
        (&["--build", "fat"], "--build fat: there is no build of that name"),
        (&["--group", "bakers"], "--group bakers: there is no group of that name"),
        (&["--save", "body.toml"], "does not end in .figure.toml"),
        (&["--picture", "body.jpg"], "does not end in .png"),
        (&["no-such-folder"], "cannot read no-such-folder"),
    ];
    for (arguments, why) in cases {
        let said = plan(folder.path(), arguments).code(2);
        let said = err(&said);
        assert!(said.contains(why), "{arguments:?}: {said}");
        assert_eq!(said.lines().count(), 2, "{said}");
        assert!(said.lines().nth(1).unwrap().starts_with("  try: "), "{said}");
    }
    assert_eq!(fs::read_dir(folder.path()).unwrap().count(), 0, "nothing is written");
    let cast = cast();
    let said = err(&plan(cast.path(), &["--group", "smiths"]).code(2));
    assert!(said.contains("choose one of bakers"), "{said}");
}
