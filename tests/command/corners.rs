//! A sheet's corners as a person types them, and a sheet with nothing on it.

use std::fs;

use image::{Rgba, RgbaImage};

use crate::draft::{Bench, text, walker};

/// The walker's picture on a dark table, which shows about it by so many pixels.
fn on_a_table(bench: &Bench, margin: u32) {
    let sheet = walker(28, [250, 250, 248, 255]);
    let (width, height) = (sheet.width() + 2 * margin, sheet.height() + 2 * margin);
    let mut photo = RgbaImage::from_pixel(width, height, Rgba([96, 66, 44, 255]));
    image::imageops::replace(&mut photo, &sheet, margin.into(), margin.into());
    photo.save(bench.path("photo.png")).unwrap();
}

#[test]
fn corners_typed_are_used_said_kept_and_shown() {
    let bench = Bench::new();
    on_a_table(&bench, 60);
    // 308 x 448 pixels of paper behind 60 of table.
    let corners = "368,60,60,60,368,508,60,508";
    let draft = ["draft", "photo.png", "--rows", "12", "--corners", corners];
    let output = bench.run(&[&draft[..], &["--save", "w.figure.toml", "--picture", "w.png"]].concat());
    let said = text(&output.stdout);
    assert!(said.contains("straightened the sheet by the given corners"), "{said}{}", text(&output.stderr));
    let figure = fs::read_to_string(bench.path("w.figure.toml")).unwrap();
    assert!(figure.contains("corners = [60, 60, 368, 60, 368, 508, 60, 508]"), "{figure}");
    let next = text(&bench.run(&draft).stderr);
    assert!(next.contains(&format!("--corners {corners}")), "{next}");
    let json = bench.run(&[&draft[..], &["--json"]].concat());
    let document: serde_json::Value = serde_json::from_slice(&json.stdout).unwrap();
    let sheet = &document["sheet"];
    assert_eq!(
        (&document["found"], &sheet["given"], &sheet["confidence"]),
        (&"sheet".into(), &true.into(), &1.0.into())
    );
    assert_eq!(
        sheet["corners"],
        serde_json::json!([[60.0, 60.0], [368.0, 60.0], [368.0, 508.0], [60.0, 508.0]])
    );
    // The photograph stands before the three panels that a picture without a sheet has.
    let plain =
        ["draft", "photo.png", "--rows", "12", "--as-taken", "--crop", "70,70,290,430", "--picture", "p.png"];
    assert!(bench.run(&plain).status.success());
    let width = |name: &str| image::open(bench.path(name)).unwrap().width();
    assert!(width("w.png") > width("p.png") + 200, "{} {}", width("w.png"), width("p.png"));
    // The figure is read again from the same sheet.
    let compared = bench.run(&["compare", "--figure", "w.figure.toml", "--mark", "d"]);
    assert!(compared.status.success(), "{}", text(&compared.stderr));
}

#[test]
fn a_sheet_that_was_found_is_named_as_it_could_be_typed() {
    let bench = Bench::new();
    on_a_table(&bench, 60);
    let said = text(&bench.run(&["draft", "photo.png", "--rows", "12"]).stdout);
    let line =
        said.lines().find_map(|line| line.strip_prefix("--corners ")).unwrap_or_else(|| panic!("{said}"));
    assert_eq!(line.split(',').count(), 8, "{line}");
    assert!(bench.run(&["draft", "photo.png", "--rows", "12", "--corners", line]).status.success());
    let plain = bench.run(&["draft", "walker.png", "--rows", "12", "--json"]);
    let document: serde_json::Value = serde_json::from_slice(&plain.stdout).unwrap();
    assert!(document["sheet"].is_null());
}

#[test]
fn corners_that_are_none_are_refused_in_one_line() {
    let bench = Bench::new();
    let refused = |more: &[&str], said: &str| {
        let output = bench.run(&[&["draft", "walker.png", "--rows", "12"], more].concat());
        let told = text(&output.stderr);
        assert_eq!(output.status.code(), Some(2), "{told}");
        assert!(told.contains(said) && told.lines().count() == 2, "{told}");
    };
    refused(&["--corners", "1,2,3,4"], "not four corners");
    refused(&["--corners", "0,0,100,0,100,100,70,30"], "between the other three");
    refused(&["--corners", "0,0,100,0,50,2,0,100"], "nearly on one line");
    refused(
        &["--corners", "-5,0,100,0,100,100,0,100"],
        "-5,0 lies outside the picture, which has 154 x 224 pixels",
    );
    refused(&["--corners", "0,0,100,0,100,225,0,225"], "100,225 lies outside the picture");
    refused(&["--corners", "0,0,100,0,100,100,0,100", "--as-taken"], "--as-taken");
    assert_eq!(bench.files(), ["walker.png"]);
}

#[test]
fn a_sheet_with_nothing_on_it_is_refused_in_one_line() {
    let bench = Bench::new();
    let blank = RgbaImage::from_fn(400, 400, |x, y| {
        let on_it = (120..260).contains(&x) && (100..300).contains(&y);
        Rgba(if on_it { [238, 232, 218, 255] } else { [74, 92, 130, 255] })
    });
    blank.save(bench.path("blank.png")).unwrap();
    let output = bench.run(&["draft", "blank.png", "--save", "b.figure.toml"]);
    let told = text(&output.stderr);
    assert_eq!(output.status.code(), Some(2), "{told}");
    assert!(
        told.contains("nothing on it") && told.contains("--crop") && told.contains("--corners"),
        "{told}"
    );
    assert_eq!((told.lines().count(), bench.files().len()), (2, 2), "{told}");
    assert!(bench.run(&["draft", "blank.png", "--crop", "80,60,220,280"]).status.success());
}
