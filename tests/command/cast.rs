//! A cast's folder as a maker uses it: begun, and read by every command on a figure in it.

use std::fs;
use std::process::Output;

use smallcast::figure::Figure;

use crate::draft::{Bench, refusal, text};

const FIGURE: &str = r#"format = 1
name = "Rosa"
[rows]
head = 1
torso = 1
legs = 1
[[legend]]
mark = "r"
bead = "rosso"
by = "hand"
[[part]]
name = "body"
beads = """
rr
rr
rr
"""
"#;

const CAST: &str = r#"format = 1
name = "The Early Street"
tray = "tray.csv"
guide = "guide.figure.toml"
pitch = "2.6mm"

[[class]]
name = "tiny"
rows = { head = 3, torso = 5, legs = 3, feet = 1 }

[check]
skip = []
"#;

/// A cast of two beads of the maker's own, with a figure made of them, a class of its own and a drawing.
fn street() -> Bench {
    let bench = Bench::new();
    done(&bench.run(&["start", "street", "--name", "The Early Street"]));
    fs::write(bench.path("street/tray.csv"), "name,hex,count\nrosso,da2a2c,4\nnero,1f2023,900\n").unwrap();
    fs::write(bench.path("street/guide.figure.toml"), FIGURE.replace("Rosa", "Guide")).unwrap();
    fs::write(bench.path("street/rosa.figure.toml"), FIGURE).unwrap();
    fs::rename(bench.path("walker.png"), bench.path("street/walker.png")).unwrap();
    fs::write(bench.path("street/cast.toml"), CAST).unwrap();
    bench
}

/// Changes the street's cast file.
fn said(bench: &Bench, instead_of: &str, put: &str) {
    assert!(CAST.contains(instead_of), "{instead_of}");
    fs::write(bench.path("street/cast.toml"), CAST.replacen(instead_of, put, 1)).unwrap();
}

fn done(output: &Output) -> String {
    assert!(output.status.success(), "{}", text(&output.stderr));
    text(&output.stderr)
}

fn document(bench: &Bench, arguments: &[&str]) -> serde_json::Value {
    serde_json::from_slice(&bench.run(arguments).stdout).expect("one JSON document")
}

#[test]
fn a_new_cast_is_laid_out_checked_and_left_alone() {
    let bench = Bench::new();
    let output = bench.run(&["start", "early-street"]);
    let next = done(&output);
    assert_eq!(next, "next: smallcast draft PICTURE --save early-street/NAME.figure.toml\n");
    insta::assert_snapshot!(text(&output.stdout));
    assert!(fs::read_to_string(bench.path("early-street/cast.toml")).unwrap().contains("\"Early street\""));
    let checked = bench.run(&["check", "early-street"]);
    assert_eq!((text(&checked.stdout).as_str(), checked.status.code()), ("Nothing found: Guide\n", Some(0)));
    // Never over anything, and all or nothing.
    let before = fs::read(bench.path("early-street/cast.toml")).unwrap();
    let text = refusal(&bench.run(&["start", "early-street", "--name", "Other"]));
    assert!(text.contains("early-street/cast.toml already exists"), "{text}");
    assert_eq!(fs::read(bench.path("early-street/cast.toml")).unwrap(), before);
    fs::create_dir(bench.path("half")).unwrap();
    fs::write(bench.path("half/tray.csv"), "name,hex\n").unwrap();
    let text = refusal(&bench.run(&["start", "half"]));
    assert!(text.contains("half/tray.csv already exists"), "{text}");
    assert_eq!(fs::read_dir(bench.path("half")).unwrap().count(), 1);
    refusal(&bench.run(&["start", "walker.png"]));
    refusal(&bench.run(&["start", "no/such/folder"]));
    refusal(&bench.run(&["start", "bell", "--name", "a\u{7}b"]));
    assert_eq!(bench.files(), ["early-street", "half", "walker.png"]);
}

#[test]
fn a_new_casts_document_says_where_everything_is() {
    let bench = Bench::new();
    fs::create_dir(bench.path("there")).unwrap();
    let document = document(&bench, &["start", "there", "--name", "Jeanne's \"quay\"", "--json"]);
    assert_eq!((&document["format"], &document["name"]), (&1.into(), &"Jeanne's \"quay\"".into()));
    for key in ["cast", "tray", "guide"] {
        assert!(bench.path(document[key].as_str().unwrap()).is_file(), "{key}");
    }
}

#[test]
fn every_command_takes_its_tray_from_the_cast_and_a_typed_one_wins() {
    let bench = street();
    let rosa = "street/rosa.figure.toml";
    for arguments in [["check", rosa, "--json"], ["count", rosa, "--json"]] {
        assert_eq!(document(&bench, &arguments)["tray"], "street/tray.csv", "{arguments:?}");
    }
    // Six rosso, and four owned; the embedded tray has none of that name.
    let count = document(&bench, &["count", rosa, "--json"]);
    assert!(count.to_string().contains("\"owned\":4"), "{count}");
    let checked = |more: &[&str]| {
        let checked = bench.run(&[&["check", rosa, "--only", "not-in-tray"], more].concat());
        (checked.status.code(), text(&checked.stderr))
    };
    assert_eq!(checked(&[]), (Some(0), format!("next: smallcast count {rosa}\n")));
    fs::write(bench.path("other.csv"), "name,hex\nverde,00ff00\n").unwrap();
    assert_eq!(checked(&["--tray", "other.csv"]).0, Some(1));
    assert_eq!(document(&bench, &["check", rosa, "--tray", "other.csv", "--json"])["tray"], "other.csv");
    let shown = text(&bench.run(&["tray", "street"]).stdout);
    assert!(shown.contains("rosso") && shown.contains("nero") && !shown.contains("moss"), "{shown}");
    done(&bench.run(&["show", "street", "--save", "cast.png"]));
    let red = image::open(bench.path("cast.png")).unwrap().to_rgb8();
    assert!(red.pixels().any(|pixel| pixel.0 == [0xda, 0x2a, 0x2c]), "a bead of the cast's own tray");
    let edit = bench.run(&["edit", rosa, "--do", "swap rosso nero", "--save", "street/rosa-2.figure.toml"]);
    done(&edit);
    let tray = refusal(&bench.run(&["count", rosa, "--save", "street/tray.csv", "--replace"]));
    assert!(tray.contains("does not end in .csv") || tray.contains("never overwritten"), "{tray}");
}

#[test]
fn a_draft_takes_tray_and_classes_from_the_folder_it_is_saved_in() {
    let bench = street();
    fs::create_dir(bench.path("street/references")).unwrap();
    fs::rename(bench.path("street/walker.png"), bench.path("street/references/walker.png")).unwrap();
    let picture = "street/references/walker.png";
    let drafted = bench.run(&["draft", picture, "--class", "tiny"]);
    let next = done(&drafted);
    assert!(next.contains(&format!("{picture} --class tiny --save street/walker.figure.toml")), "{next}");
    assert!(text(&drafted.stdout).contains("12 rows, class tiny"), "{}", text(&drafted.stdout));
    done(&bench.run(&["draft", picture, "--class", "tiny", "--save", "street/walker.figure.toml"]));
    let figure = Figure::open(&bench.path("street/walker.figure.toml")).unwrap();
    assert_eq!(figure.class(), Some("tiny"));
    assert_eq!(figure.source().unwrap().picture, "references/walker.png");
    let named = document(&bench, &["draft", picture, "--class", "tiny", "--json"]);
    assert_eq!(named["tray"], "street/tray.csv");
    assert!(figure.legend().iter().all(|entry| ["rosso", "nero"].contains(&entry.bead.as_str())));
    // A picture elsewhere, the figure in the cast.
    fs::copy(bench.path(picture), bench.path("walker.png")).unwrap();
    done(&bench.run(&["draft", "walker.png", "--class", "tiny", "--save", "street/other.figure.toml"]));
    let other = Figure::open(&bench.path("street/other.figure.toml")).unwrap();
    assert_eq!(other.source().unwrap().picture, "../walker.png");
    // Both pictures are found from where the maker stands.
    for (figure, shown) in [("walker", "walker.show.png"), ("other", "other.show.png")] {
        let figure = format!("street/{figure}.figure.toml");
        let said = done(&bench.run(&["show", &figure, "--beside", "--save", shown]));
        assert!(!said.contains("warning"), "{said}");
    }
    let seen = ["compare", "walker.png", "--area", "40,40,20,20", "--json"];
    assert_eq!(document(&bench, &seen)["tray"], "embedded");
    let seen = [&seen[..], &["--tray", "street/tray.csv"]].concat();
    assert_eq!(document(&bench, &seen)["tray"], "street/tray.csv");
    let unknown = refusal(&bench.run(&["draft", "walker.png", "--class", "tiny"]));
    assert!(unknown.contains("choose one of very-tall"), "{unknown}");
    let likely = refusal(&bench.run(&["draft", picture, "--class", "tinny"]));
    assert!(likely.contains("did you mean tiny?"), "{likely}");
}

#[test]
fn rows_that_come_and_go_are_named_by_the_casts_own_classes() {
    let bench = street();
    let tall = "rows = { head = 1, torso = 1, legs = 2 }\n[[class]]\nname = \"squat\"\nrows = { head = 1, torso = 1, legs = 1 }";
    said(&bench, "rows = { head = 3, torso = 5, legs = 3, feet = 1 }", tall);
    let rosa = "street/rosa.figure.toml";
    let edit = |line: &str| {
        let output = bench.run(&["edit", rosa, "--do", line]);
        done(&output);
        // Lines are broken for the terminal's width.
        text(&output.stdout).split_whitespace().collect::<Vec<_>>().join(" ")
    };
    edit("class squat");
    let longer = edit("add-row legs");
    assert!(longer.contains("the height class is now tiny"), "{longer}");
    assert_eq!(Figure::open(&bench.path(rosa)).unwrap().class(), Some("tiny"));
    let longest = edit("add-row legs");
    assert!(longest.contains("no height class has these rows"), "{longest}");
}

#[test]
fn a_new_cast_measures_statures_without_more() {
    let bench = Bench::new();
    done(&bench.run(&["start", "quay"]));
    let guide = Figure::open(&bench.path("quay/guide.figure.toml")).unwrap();
    assert_eq!(guide.stature().map(|stature| stature.0), Some(176.85));
    let planned = document(&bench, &["plan", "quay", "--stands", "165cm", "--json"]);
    assert_eq!((&planned["guide"]["stature_said"], &planned["planned"]["rows"]), (&true.into(), &22.into()));
}

#[test]
fn a_guide_is_a_measure_and_is_pegged_where_it_is_named_or_in_a_group() {
    let bench = street();
    let counted = |paths: &[&str]| {
        let output = bench.run(&[&["count"], paths, &["--json"]].concat());
        let counted: serde_json::Value = serde_json::from_slice(&output.stdout).unwrap();
        let figures = counted["figures"].as_array().unwrap().iter();
        let names: Vec<String> = figures.map(|figure| figure["name"].as_str().unwrap().into()).collect();
        (names, done(&output))
    };
    let (names, left_out) = counted(&["street"]);
    assert_eq!(names, ["Rosa"]);
    assert!(left_out.contains("left out: street/guide.figure.toml: it is the guide"), "{left_out}");
    assert_eq!(counted(&["street", "street/guide.figure.toml"]).0, ["Rosa", "Guide"]);
    said(&bench, "[check]", "[[group]]\nname = \"all\"\nfigures = [\"guide\", \"rosa\"]\n[check]");
    assert_eq!(counted(&["street"]), (vec!["Guide".into(), "Rosa".into()], String::new()));
    // A cast that has no more yet.
    done(&bench.run(&["start", "quay"]));
    assert_eq!(counted(&["quay"]).0, ["Guide"]);
}

#[test]
fn a_sheet_has_the_casts_pitch_and_its_figures_share_a_board() {
    let bench = street();
    fs::write(bench.path("street/zoe.figure.toml"), FIGURE.replace("Rosa", "Zoe")).unwrap();
    let pages = |more: &[&str]| {
        let file = format!("a{}.svg", more.len());
        let arguments: Vec<&str> = [&["sheet", "street", "--save", &file], more].concat();
        done(&bench.run(&arguments));
        fs::read_to_string(bench.path(&file)).unwrap()
    };
    // 2.6 mm between beads: a bead's radius is under 1.3 mm, with 5 mm none is.
    let (own, asked) = (pages(&[]), pages(&["--pitch", "5mm"]));
    assert_ne!(own, asked);
    assert!(own.len() < pages(&["--apart", "--pitch", "2.6mm", "--board", "29x29"]).len());
}

#[test]
fn figures_of_two_casts_ask_for_a_tray_and_a_guest_is_named() {
    let bench = street();
    done(&bench.run(&["start", "quay"]));
    let both = ["count", "street/rosa.figure.toml", "quay/guide.figure.toml"];
    let text = refusal(&bench.run(&both));
    assert!(
        text.contains("street/cast.toml: some figures belong to this cast, and some to quay/cast.toml"),
        "{text}"
    );
    assert!(text.contains("--tray FILE"), "{text}");
    done(&bench.run(&[&both[..], &["--tray", "street/tray.csv"]].concat()));
    fs::write(bench.path("guest.figure.toml"), FIGURE.replace("Rosa", "Guest")).unwrap();
    let said = done(&bench.run(&["count", "street/rosa.figure.toml", "guest.figure.toml"]));
    assert!(said.contains("guest.figure.toml belongs to no cast: street/cast.toml is used for it"), "{said}");
}

#[test]
fn what_a_cast_leaves_out_is_left_out_unless_it_is_asked_for_by_name() {
    let bench = street();
    let checked =
        |more: &[&str]| bench.run(&[&["check", "street/rosa.figure.toml"], more].concat()).status.code();
    assert_eq!(checked(&[]), Some(1));
    said(&bench, "skip = []", "skip = [\"too-few\"]");
    assert_eq!((checked(&[]), checked(&["--only", "too-few"])), (Some(0), Some(1)));
}

#[test]
fn what_a_cast_names_and_is_not_there_is_a_warning_where_the_folder_is_looked_at() {
    let bench = street();
    let group = "[[group]]\nname = \"all\"\nfigures = [\"rosa\", \"roza\"]\n";
    let thing = "[[thing]]\nname = \"her coat\"\nbead = \"rossa\"\nfigures = [\"rosa\"]\n";
    said(&bench, "skip = []", &format!("skip = [\"to-few\"]\n{group}{thing}\n"));
    let said = text(&bench.run(&["check", "street", "--skip", "too-few"]).stderr);
    for warned in [
        "no figure 'roza': did you mean rosa?",
        "no bead 'rossa': did you mean rosso?",
        "no rule 'to-few': did you mean too-few?",
    ] {
        assert!(said.contains(warned), "{said}");
    }
    assert!(said.contains("smallcast: warning: street/cast.toml, line "), "{said}");
    assert!(!text(&bench.run(&["check", "street/rosa.figure.toml"]).stderr).contains("roza"));
}

#[test]
fn bad_casts_are_one_line_with_file_line_and_field_and_nothing_is_written() {
    let long = "x".repeat(2 << 20);
    let cases: [(&str, &str, &[&str]); 8] = [
        ("pitch =", "pich =", &["street/cast.toml, line ", "pich: there is no key", "did you mean pitch?"]),
        (
            "guide.figure.toml",
            "guid.figure.toml",
            &[", guide: cannot read street/guid.figure.toml", "name a guide"],
        ),
        ("tray.csv", "trai.csv", &[", tray: cannot read street/trai.csv", "name a tray that exists"]),
        ("legs = 3,", "leg = 3,", &["leg: there is no zone", "did you mean legs?"]),
        ("head = 3, torso = 5, legs = 3, feet = 1", "", &["rows: the rows add up to 0"]),
        ("format = 1", "format = 2", &["line 1, format: this is a cast file of format 2", "newer smallcast"]),
        (
            "[check]",
            "[[group]]\nname = 'a'\nlike = 'a'\n[check]",
            &["like: these groups take their look", "circle"],
        ),
        ("[check]", &long, &["it has ", "too many for a cast file"]),
    ];
    for (instead_of, put, wanted) in cases {
        let bench = street();
        said(&bench, instead_of, put);
        let before = fs::read_dir(bench.path("street")).unwrap().count();
        let commands: [&[&str]; 7] = [
            &["check", "street"],
            &["count", "street/rosa.figure.toml", "--save", "count.csv"],
            &["sheet", "street", "--save", "a.pdf"],
            &["draft", "street/walker.png", "--save", "street/w.figure.toml"],
            &["lineup", "street", "--save", "a.png"],
            &["plan", "street", "--save", "street/b.figure.toml"],
            &["reuse", "street/rosa.figure.toml", "--save", "street/n.figure.toml"],
        ];
        for command in commands {
            let text = refusal(&bench.run(command));
            assert!(wanted.iter().all(|wanted| text.contains(wanted)), "{text}");
        }
        assert_eq!(bench.files(), ["street"]);
        assert_eq!(fs::read_dir(bench.path("street")).unwrap().count(), before);
        // A tray that was typed serves where the cast's is not there.
        if instead_of == "tray.csv" {
            fs::write(bench.path("t.csv"), "name,hex\nrosso,da2a2c\n").unwrap();
            done(&bench.run(&["count", "street/rosa.figure.toml", "--tray", "t.csv"]));
        }
    }
}

#[test]
fn two_figures_of_one_name_in_a_cast_are_refused_where_the_folder_is_looked_at() {
    let bench = street();
    fs::write(bench.path("street/zoe.figure.toml"), FIGURE).unwrap();
    let text = refusal(&bench.run(&["count", "street"]));
    assert!(
        text.contains("street/zoe.figure.toml: line 2, name: 'Rosa' is also the name of street/rosa"),
        "{text}"
    );
    assert!(text.contains("its own name"), "{text}");
    done(&bench.run(&["count", "street/zoe.figure.toml"]));
    // A figure of a newer format says so, with its line.
    fs::write(bench.path("street/zoe.figure.toml"), "format = 2\n").unwrap();
    let text = refusal(&bench.run(&["check", "street"]));
    assert!(text.contains("zoe.figure.toml: line 1: this is a figure file of format 2"), "{text}");
}

#[test]
fn no_command_gives_a_name_that_another_figure_of_the_cast_has() {
    let bench = street();
    let rosa = "street/rosa.figure.toml";
    let taken = [
        &["reuse", rosa, "--save", "street/ada.figure.toml", "--name", "Rosa"][..],
        &["edit", rosa, "--do", "name Guide"],
        &["edit", rosa, "--do", "name Guide", "--save", "street/ada.figure.toml"],
    ];
    for arguments in taken {
        let said = refusal(&bench.run(arguments));
        assert!(said.contains("already has this name"), "{said}");
        assert!(!bench.path("street/ada.figure.toml").exists());
    }
    assert_eq!(Figure::open(&bench.path(rosa)).unwrap().name(), "Rosa");
    // Its own name is no other's, and elsewhere it is free.
    done(&bench.run(&["edit", rosa, "--do", "name \"Rosa Bell\"", "--do", "name Rosa"]));
    done(&bench.run(&["reuse", rosa, "--save", "rosa.figure.toml", "--name", "Rosa"]));
}
