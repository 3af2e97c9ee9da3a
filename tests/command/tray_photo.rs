//! `smallcast tray --photo` as a maker types it, with pipes, on a small photograph that the tests drew.

use std::fs;
use std::path::{Path, PathBuf};

use crate::typing::{err, json, out, smallcast};

fn fixture(name: &str) -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("fixtures/laid-beads").join(name)
}

fn names() -> Vec<String> {
    fs::read_to_string(fixture("names.txt")).expect("a fixture").lines().map(String::from).collect()
}

fn photo() -> snapbox::cmd::Command {
    smallcast().arg("tray").arg("--photo").arg(fixture("beads.jpg"))
}

#[test]
fn a_tray_and_a_picture_are_saved_and_the_tray_is_listed() {
    let folder = tempfile::tempdir().expect("a folder");
    let (tray, picture) = (folder.path().join("own.csv"), folder.path().join("check.png"));
    let read = photo()
        .arg("--names")
        .arg(fixture("names.txt"))
        .arg("--save")
        .arg(&tray)
        .arg("--picture")
        .arg(&picture)
        .assert()
        .success();
    let text = out(&read);
    assert!(text.contains("24 beads in 3 rows"), "{text}");
    assert!(text.contains("white by the grey patch") && text.contains("neutral"), "{text}");
    assert!(text.lines().all(|line| line.chars().count() <= 80 || line.starts_with("saved")), "{text}");
    assert!(fs::read(&picture).expect("a picture").starts_with(b"\x89PNG"));
    let listed = out(&smallcast().arg("tray").arg(&tray).assert().success());
    assert!(names().iter().all(|name| listed.contains(name.as_str())) && listed.contains('±'), "{listed}");
    let again = photo().arg("--names").arg(fixture("names.txt")).arg("--save").arg(&tray);
    again.assert().code(2);
}

#[test]
fn one_document_tells_beads_light_and_what_moved() {
    let folder = tempfile::tempdir().expect("a folder");
    let older = folder.path().join("old.csv");
    fs::write(&older, "name,L,a,b,count\nlemon,81,-1,77,40\nlilac,20,0,0,3\nfar,50,0,0,9\n").expect("room");
    let read = photo().arg("--names").arg(fixture("names.txt")).arg("--renew").arg(&older).arg("--json");
    let document = json(&read.assert().success());
    assert_eq!(document["format"], 1);
    assert_eq!(document["rows"], serde_json::json!([8, 8, 8]));
    assert_eq!(document["light"]["tint"], "neutral");
    assert_eq!(document["beads"][23]["name"], "milk");
    assert!(document["beads"][23]["uncertainty"].as_f64().is_some_and(|within| within > 0.5));
    let moved = |name: &str| {
        let renewed = document["renewed"].as_array().expect("a list");
        renewed.iter().find(|bead| bead["name"] == name).map(|bead| bead["within"].clone())
    };
    assert_eq!((moved("lemon"), moved("lilac")), (Some(true.into()), Some(false.into())));
    assert_eq!(document["kept"], serde_json::json!(["far"]));
}

#[test]
fn nothing_is_written_where_names_and_beads_are_not_as_many_or_names_are_faulty() {
    let folder = tempfile::tempdir().expect("a folder");
    let (tray, list) = (folder.path().join("own.csv"), folder.path().join("names.txt"));
    let (names, all) = (names(), names().join("\n"));
    for (text, why) in [
        (names[..23].join("\n"), "23 names for 24 beads seen in the photograph, in 3 rows of 8, 8 and 8"),
        (format!("{all}\nspare"), "25 names for 24 beads"),
        (format!("{all}\nmilk"), "milk is on line 24 and again on line 25"),
        ("\n \n".into(), "there is no name in it"),
    ] {
        fs::write(&list, text).expect("room");
        let answer = photo().arg("--names").arg(&list).arg("--save").arg(&tray).assert().code(2);
        let said = err(&answer);
        assert!(said.contains(why), "{said}");
        assert!(!tray.exists());
    }
    let other = smallcast().arg("tray").arg("--photo").arg(fixture("names.txt")).assert().code(2);
    assert!(err(&other).contains("not a picture"), "{}", err(&other));
}
