//! `smallcast sheet` as a person types it.

use std::fs;
use std::path::Path;
use std::process::{Command, Output};

use super::tools::{Desk, are_there, run as tool};

const CARTER: &str = concat!(env!("CARGO_MANIFEST_DIR"), "/demo/early-street/milk-carter.figure.toml");
const WATCH: &str = concat!(env!("CARGO_MANIFEST_DIR"), "/demo/early-street/night-watch.figure.toml");
const BUTCHER: &str = concat!(env!("CARGO_MANIFEST_DIR"), "/src/trial/figures/butcher.figure.toml");

fn sheet(desk: &Desk, arguments: &[&str]) -> Output {
    Command::new(env!("CARGO_BIN_EXE_smallcast"))
        .arg("sheet")
        .args(arguments)
        .current_dir(desk.path(""))
        .output()
        .unwrap()
}

fn said(output: &Output) -> String {
    String::from_utf8(output.stderr.clone()).unwrap()
}

fn done(output: &Output) -> String {
    assert!(output.status.success(), "{}", said(output));
    saved(output);
    said(output)
}

/// What standard output says: only where the result is.
fn saved(output: &Output) -> String {
    let text = String::from_utf8(output.stdout.clone()).unwrap();
    assert!(text.starts_with("Saved in ") && text.lines().count() == 1, "results are in the file: {text}");
    text
}

fn refused(output: &Output) -> String {
    let text = said(output);
    assert_eq!(output.status.code(), Some(2), "{text}");
    assert_eq!(text.lines().count(), 2, "{text}");
    text
}

fn names(desk: &Desk) -> Vec<String> {
    let entries = fs::read_dir(desk.path("")).unwrap();
    let mut names: Vec<String> =
        entries.map(|entry| entry.unwrap().file_name().to_string_lossy().into_owned()).collect();
    names.sort();
    names
}

#[test]
fn a_figure_becomes_each_of_the_three_and_names_the_next_step() {
    let desk = Desk::new();
    let next = done(&sheet(&desk, &[CARTER, "--save", "a.pdf"]));
    assert_eq!(next, "next: smallcast sheet --test-page --save test-page.pdf\n");
    done(&sheet(&desk, &[CARTER, "--save", "a.svg"]));
    done(&sheet(&desk, &[CARTER, "--save", "a.png"]));
    assert_eq!(names(&desk), ["a.pdf", "a.png", "a.svg"]);
    assert!(fs::read(desk.path("a.pdf")).unwrap().starts_with(b"%PDF-1.7"));
    let svg = fs::read_to_string(desk.path("a.svg")).unwrap();
    assert!(svg.starts_with("<svg") && svg.contains("width=\"210mm\" height=\"297mm\""));
    // A4 at 300 to the inch, and the file says so: 300 / 0.0254 = 11 811 to the metre.
    let decoder = png::Decoder::new(std::io::BufReader::new(fs::File::open(desk.path("a.png")).unwrap()));
    let reader = decoder.read_info().unwrap();
    assert_eq!((reader.info().width, reader.info().height), (2480, 3508));
    assert_eq!(reader.info().pixel_dims.unwrap().xppu, 11_811);
}

#[test]
fn several_pages_of_a_picture_format_are_numbered() {
    let desk = Desk::new();
    done(&sheet(&desk, &[CARTER, BUTCHER, "--save", "a.svg", "--apart"]));
    assert_eq!(names(&desk), ["a-1.svg", "a-2.svg"]);
    let text = refused(&sheet(&desk, &[BUTCHER, CARTER, "--save", "a.svg", "--apart"]));
    assert!(text.contains("a-1.svg already exists"), "{text}");
    done(&sheet(&desk, &[BUTCHER, CARTER, "--save", "a.svg", "--apart", "--replace"]));
}

#[test]
fn the_reference_is_found_beside_the_figure_and_its_lack_is_said() {
    if !are_there(&["pdftotext"]) {
        return;
    }
    let desk = Desk::new();
    let plain = done(&sheet(&desk, &[CARTER, "--save", "a.pdf", "--printer-scale", "0.985"]));
    assert_eq!(plain, "");
    done(&sheet(&desk, &[CARTER, "--save", "b.pdf", "--reference", "--paper", "letter"]));
    let found = tool("pdftotext", &[desk.path("b.pdf").to_str().unwrap(), "-"]);
    assert!(found.contains("reference"), "{found}");
    let lacking = done(&sheet(&desk, &[BUTCHER, "--save", "c.pdf", "--reference"]));
    assert!(lacking.contains("warning: Butcher names no reference picture"), "{lacking}");
    fs::copy(CARTER, desk.path("alone.figure.toml")).unwrap();
    let text = refused(&sheet(&desk, &["alone.figure.toml", "--save", "d.pdf", "--reference"]));
    assert!(text.contains("cannot read milk-carter.png"), "{text}");
    assert!(!Path::new(&desk.path("d.pdf")).exists());
    // A reference is read, and never written over.
    let picture = concat!(env!("CARGO_MANIFEST_DIR"), "/demo/early-street/milk-carter.png");
    fs::copy(picture, desk.path("milk-carter.png")).unwrap();
    let text = refused(&sheet(&desk, &["alone.figure.toml", "--save", "milk-carter.png", "--replace"]));
    assert!(text.contains("is one of the inputs, which are never overwritten"), "{text}");
}

#[test]
fn the_files_and_their_pages_are_said_and_those_of_an_older_sheet_named() {
    let desk = Desk::new();
    let apart = sheet(&desk, &[CARTER, BUTCHER, WATCH, "--save", "a.svg", "--apart"]);
    assert_eq!(saved(&apart), "Saved in a-1.svg to a-3.svg (3 pages).\n");
    let pdf = sheet(&desk, &[CARTER, BUTCHER, "--save", "a.pdf", "--apart"]);
    assert_eq!(saved(&pdf), "Saved in a.pdf (2 pages).\n");
    let fewer = done(&sheet(&desk, &[CARTER, BUTCHER, "--save", "a.svg", "--apart", "--replace"]));
    assert!(fewer.contains("warning: a-3.svg is of an older sheet"), "{fewer}");
    let one = sheet(&desk, &[CARTER, "--save", "a.svg", "--replace"]);
    assert_eq!(saved(&one), "Saved in a.svg (1 page).\n");
    assert!(done(&one).contains("warning: a-1.svg to a-3.svg are of an older sheet"), "{}", said(&one));
    assert_eq!(names(&desk), ["a-1.svg", "a-2.svg", "a-3.svg", "a.pdf", "a.svg"], "nothing is deleted");
    let again = done(&sheet(&desk, &[CARTER, BUTCHER, WATCH, "--save", "a.svg", "--apart", "--replace"]));
    assert!(!again.contains("older sheet"), "{again}");
}

#[test]
fn values_are_taken_as_people_write_them() {
    let desk = Desk::new();
    let page = |name: &str, more: &[&str]| {
        done(&sheet(&desk, &[&[CARTER, "--save", name], more].concat()));
        fs::read(desk.path(name)).unwrap()
    };
    assert_eq!(page("a.svg", &["--paper", "A4"]), page("b.svg", &["--paper", "a4"]));
    assert_eq!(page("c.svg", &["--paper", "Letter"]), page("d.svg", &["--paper", "letter"]));
    assert_eq!(page("e.pdf", &["--pitch", "2,6mm"]), page("f.pdf", &["--pitch", "2.6"]));
    let percent = page("g.svg", &["--printer-scale", "98.5%,99%"]);
    assert_eq!(percent, page("h.svg", &["--printer-scale", "0.985,0.99"]));
}

#[test]
fn what_a_scene_settles_itself_is_refused_by_name() {
    let desk = Desk::new();
    let text = "format = 1\nname = \"Dawn\"\nboards = { across = 1, down = 1 }\n";
    desk.keep("dawn.scene.toml", text.as_bytes());
    for option in [&["--apart"][..], &["--reference"], &["--board", "13x13"]] {
        let typed = [&["dawn.scene.toml", "--save", "a.pdf"], option].concat();
        let text = refused(&sheet(&desk, &typed));
        assert!(text.starts_with(&format!("smallcast: {}", option[0])), "{text}");
        assert!(text.contains("a scene "), "{text}");
    }
    assert_eq!(names(&desk), ["dawn.scene.toml"]);
}

#[test]
fn what_cannot_be_written_says_what_to_do() {
    let desk = Desk::new();
    let text = refused(&sheet(&desk, &[CARTER]));
    assert!(text.ends_with("  try: smallcast sheet --help\n"), "{text}");
    fs::copy(CARTER, desk.path("own.figure.toml")).unwrap();
    let text = refused(&sheet(&desk, &["own.figure.toml", "--save", "own.figure.toml", "--replace"]));
    assert!(text.contains("this is the figure itself, which is never overwritten"), "{text}");
    fs::create_dir(desk.path("folder.pdf")).unwrap();
    let text = refused(&sheet(&desk, &[CARTER, "--save", "folder.pdf", "--replace"]));
    assert!(text.ends_with("  try: name a file in it\n"), "{text}");
}

#[test]
fn the_test_page_needs_no_figure() {
    if !are_there(&["pdftotext"]) {
        return;
    }
    let desk = Desk::new();
    let next = done(&sheet(&desk, &["--test-page", "--save", "t.pdf"]));
    assert!(next.starts_with("next: "), "{next}");
    let found = tool("pdftotext", &[desk.path("t.pdf").to_str().unwrap(), "-"]);
    assert!(found.contains("Test page") && found.contains("29 × 29 pegs, 5 mm"), "{found}");
}

#[test]
fn wrong_words_are_refused_with_what_would_be_right() {
    let desk = Desk::new();
    let cases: [(&[&str], &str); 9] = [
        (&[CARTER, "--save", "a.doc"], ".pdf, .svg or .png"),
        (&[CARTER, "--save", "a.pdf", "--pitch", "0"], "5mm"),
        (&[CARTER, "--save", "a.pdf", "--pitch", "nan"], "5mm"),
        (&[CARTER, "--save", "a.pdf", "--board", "29"], "29x29"),
        (&[CARTER, "--save", "a.pdf", "--printer-scale", "2"], "--test-page"),
        (&[CARTER, "--save", "a.pdf", "--printer-scale", "inf,1"], "--test-page"),
        (&["--save", "a.pdf"], "--help"),
        (&[CARTER, "--save", "a.pdf", "--steps", "diagonal"], "--help"),
        (&["nobody.figure.toml", "--save", "a.pdf"], "check the name"),
    ];
    for (arguments, advice) in cases {
        let text = refused(&sheet(&desk, arguments));
        assert!(text.contains(advice), "{arguments:?}: {text}");
    }
    assert_eq!(names(&desk), [""; 0]);
}
