//! What is no plain file, what a terminal would obey, and what others say in words of their own.
#![cfg(unix)]

use std::ffi::OsStr;
use std::fs;
use std::os::unix::ffi::OsStrExt;
use std::os::unix::fs::{PermissionsExt, symlink};
use std::path::Path;

use snapbox::cmd::OutputAssert;

use crate::typing::{err, out, smallcast};

const ANNA: &str = "format = 1\nname = \"Anna\"\n\n[[legend]]\nmark = \"k\"\nbead = \"coal\"\nby = \"hand\"\n\n\
                    [[part]]\nname = \"body\"\nat = [0, 0]\nbeads = \"\"\"\nkk\nkk\n\"\"\"\n";

fn house(files: &[(&str, &[u8])]) -> tempfile::TempDir {
    let folder = tempfile::tempdir().unwrap();
    for (name, bytes) in files {
        fs::write(folder.path().join(name), bytes).unwrap();
    }
    folder
}

fn typed(folder: &Path, words: &[&str]) -> OutputAssert {
    smallcast().current_dir(folder).args(words).assert()
}

/// Refused as every bad input is: two lines of plain words on standard error, exit 2, nothing written.
fn refused(folder: &Path, words: &[&str]) -> String {
    let before = fs::read_dir(folder).unwrap().count();
    let assert = typed(folder, words).code(2);
    let said = err(&assert);
    assert_eq!(out(&assert), "", "{words:?}");
    assert_eq!(said.lines().count(), 2, "{words:?}: {said}");
    assert!(!said.contains(|c: char| c != '\n' && smallcast::error::is_unprintable(c)), "{said:?}");
    for foreign in ["os error", "invalid", "expected", "ChunkType", "Zlib", "i64", "UTF-8 was"] {
        assert!(!said.contains(foreign), "{words:?}: {said}");
    }
    assert_eq!(fs::read_dir(folder).unwrap().count(), before, "{words:?}");
    said
}

#[test]
fn pipes_and_devices_are_neither_read_nor_written_over() {
    let folder = house(&[("anna.figure.toml", ANNA.as_bytes())]);
    let at = |name: &str| folder.path().join(name);
    for pipe in ["p.figure.toml", "p.csv", "p.png", "p.svg"] {
        assert!(std::process::Command::new("mkfifo").arg(at(pipe)).status().unwrap().success());
    }
    symlink("/dev/zero", at("zero.figure.toml")).unwrap();
    symlink("/dev/full", at("full.svg")).unwrap();
    symlink(at("nowhere.svg"), at("lost.svg")).unwrap();
    for words in [
        &["show", "p.figure.toml"][..],
        &["show", "zero.figure.toml"],
        &["check", "p.figure.toml"],
        &["count", "zero.figure.toml"],
        &["edit", "p.figure.toml", "--history"],
        &["tray", "p.csv"],
        &["show", "anna.figure.toml", "--tray", "p.csv"],
        &["draft", "p.png"],
        &["compare", "p.png", "--area", "0,0,5,5"],
        &["show", "anna.figure.toml", "--save", "p.svg", "--replace"],
        &["show", "anna.figure.toml", "--save", "full.svg", "--replace"],
    ] {
        assert!(refused(folder.path(), words).contains("a pipe or a device"), "{words:?}");
    }
    let lost = refused(folder.path(), &["show", "anna.figure.toml", "--save", "lost.svg", "--replace"]);
    assert!(lost.contains("a broken link"), "{lost}");
}

#[test]
fn a_link_to_a_plain_file_is_written_through() {
    let folder = house(&[("anna.figure.toml", ANNA.as_bytes()), ("real.svg", b"old")]);
    symlink(folder.path().join("real.svg"), folder.path().join("link.svg")).unwrap();
    typed(folder.path(), &["show", "anna.figure.toml", "--save", "link.svg", "--replace"]).success();
    assert!(fs::symlink_metadata(folder.path().join("link.svg")).unwrap().is_symlink());
    assert!(fs::read_to_string(folder.path().join("real.svg")).unwrap().starts_with("<svg"));
}

#[test]
fn names_that_print_alike_are_two_figures_with_two_histories() {
    let folder = tempfile::tempdir().unwrap();
    let names = [&b"a\xff.figure.toml"[..], b"a\xfe.figure.toml"].map(OsStr::from_bytes);
    for name in names {
        fs::write(folder.path().join(name), ANNA).unwrap();
    }
    let edit = |name: &OsStr, words: &[&str]| {
        smallcast().current_dir(folder.path()).arg("edit").arg(name).args(words).assert()
    };
    edit(names[0], &["--do", "lift 1,1"]).success();
    edit(names[1], &["--undo"]).code(2);
    edit(names[1], &["--do", "lift 2,2"]).success();
    edit(names[0], &["--undo"]).success();
    let text = |name: &OsStr| fs::read_to_string(folder.path().join(name)).unwrap();
    assert_eq!(text(names[0]), ANNA);
    assert!(text(names[1]).contains("kk\nk."), "{}", text(names[1]));
}

#[test]
fn what_was_saved_is_said_when_standard_output_is_full() {
    let folder = house(&[("anna.figure.toml", ANNA.as_bytes())]);
    let full = fs::File::options().write(true).open("/dev/full").unwrap();
    let run = std::process::Command::new(snapbox::cmd::cargo_bin!("smallcast"))
        .args(["count", "anna.figure.toml", "--save", "anna.csv"])
        .current_dir(folder.path())
        .stdout(full)
        .output()
        .unwrap();
    let said = String::from_utf8(run.stderr).unwrap();
    assert_eq!(run.status.code(), Some(2));
    assert!(
        said.contains("standard output: the disk is full") && said.contains("saved in anna.csv"),
        "{said}"
    );
    assert!(folder.path().join("anna.csv").exists());
}

#[test]
fn nothing_of_a_file_or_its_name_gives_the_terminal_orders() {
    let turned = ANNA.replace("Anna", "An\u{202e}na");
    let by_number = ANNA.replace("coal", "co\\u001bal");
    let folder = house(&[
        ("a\u{1b}[31m.figure.toml", ANNA.as_bytes()),
        ("turned.figure.toml", turned.as_bytes()),
        ("number.figure.toml", by_number.as_bytes()),
    ]);
    for file in ["turned.figure.toml", "number.figure.toml"] {
        let said = refused(folder.path(), &["show", file]);
        assert!(said.contains("a control character"), "{said}");
    }
    for words in [
        &["show", "a\u{1b}[31m.figure.toml"][..],
        &["edit", "a\u{1b}[31m.figure.toml", "--do", "call body ri\u{202e}ght"],
        &["edit", "a\u{1b}[31m.figure.toml", "--do", "lift 1,1"],
        &["edit", "a\u{1b}[31m.figure.toml", "--history"],
        &["edit", "a\u{1b}[31m.figure.toml", "--history", "--json"],
    ] {
        let assert = typed(folder.path(), words);
        let said = out(&assert) + &err(&assert);
        assert!(
            !said.contains(|c: char| c != '\n' && smallcast::error::is_unprintable(c)),
            "{words:?}: {said:?}"
        );
    }
}

#[test]
fn faults_are_in_plain_words() {
    let cut = &ANNA.as_bytes()[..40];
    let wrong = ANNA.replace("at = [0, 0]", "at = \"here\"");
    let twice = ANNA.replace("name = \"Anna\"", "name = \"Anna\"\nname = \"Anna\"");
    let long = format!("name,hex\n{},#102030\n", "x".repeat(900_000));
    let mut png = Vec::new();
    image::RgbImage::from_fn(64, 64, |x, y| image::Rgb([x as u8 * 3, y as u8 * 3, 90]))
        .write_to(&mut std::io::Cursor::new(&mut png), image::ImageFormat::Png)
        .unwrap();
    let middle = png.len() / 2;
    png[middle..middle + 40].fill(0x5A);
    let folder = house(&[
        ("empty.figure.toml", b""),
        ("empty.png", b""),
        ("cut.figure.toml", cut),
        ("wrong.figure.toml", wrong.as_bytes()),
        ("twice.figure.toml", twice.as_bytes()),
        ("binary.figure.toml", b"\x00\xff\xfe"),
        ("long.csv", long.as_bytes()),
        ("broken.png", &png),
        ("anna.figure.toml", ANNA.as_bytes()),
    ]);
    for (words, says) in [
        (&["show", "empty.figure.toml"][..], "the file is empty"),
        (&["draft", "empty.png"], "the file is empty"),
        (&["show", "cut.figure.toml"], "it is cut off"),
        (&["show", "wrong.figure.toml"], "line 11: found the text \"here\", not a list"),
        (&["show", "twice.figure.toml"], "line 3: this key appears twice"),
        (&["show", "binary.figure.toml"], "not a text file"),
        (&["draft", "broken.png"], "damaged"),
        (&["tray", "long.csv"], "long.csv"),
        (&["draft", "broken.png", "--rows", "2x"], "'2x' for '--rows <N>': it is not a whole number"),
        (&["draft", "broken.png", "--rows", "99999999999999999999999"], "the number is too large"),
        (&["show", "missing.figure.toml"], "there is no such file"),
        (&["show", "anna.figure.toml", "--steps", "--save", "a.gif", "--bead", "400"], "anna.figure.toml"),
    ] {
        let said = refused(folder.path(), words);
        assert!(said.contains(says), "{words:?}: {said}");
        assert!(said.len() < 1000, "{words:?}: {} bytes", said.len());
    }
}

#[test]
fn a_figure_set_read_only_is_not_changed() {
    let folder = house(&[("anna.figure.toml", ANNA.as_bytes())]);
    let file = folder.path().join("anna.figure.toml");
    fs::set_permissions(&file, fs::Permissions::from_mode(0o444)).unwrap();
    let said = refused(folder.path(), &["edit", "anna.figure.toml", "--do", "lift 1,1"]);
    assert!(said.contains("read-only"), "{said}");
    assert_eq!(fs::read_to_string(&file).unwrap(), ANNA);
}

#[test]
fn the_next_save_sweeps_what_a_killed_one_left() {
    let folder = house(&[("anna.figure.toml", ANNA.as_bytes())]);
    let hidden = || {
        let names = fs::read_dir(folder.path()).unwrap().map(|entry| entry.unwrap().file_name());
        names.filter(|name| name.as_bytes().starts_with(b".")).collect::<Vec<_>>()
    };
    // Watched while it is written, a save shows how its waiting file is called; a kill then leaves it.
    let left = || {
        for _ in 0..400 {
            let mut child = std::process::Command::new(snapbox::cmd::cargo_bin!("smallcast"))
                .args(["edit", "anna.figure.toml", "--do", "lift 1,1", "--do", "place 1,1 coal"])
                .current_dir(folder.path())
                .stdout(std::process::Stdio::null())
                .spawn()
                .unwrap();
            while child.try_wait().unwrap().is_none() {
                if !hidden().iter().all(|name| name.as_bytes().ends_with(b".lock")) {
                    let _ = child.kill();
                }
            }
            if !hidden().is_empty() {
                return true;
            }
        }
        false
    };
    assert!(left(), "no kill of four hundred left a file");
    typed(folder.path(), &["edit", "anna.figure.toml", "--do", "lift 2,2"]).success();
    assert_eq!(hidden(), Vec::<std::ffi::OsString>::new());
}
