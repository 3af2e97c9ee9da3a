//! As a maker types it.

use std::fs;

use snapbox::cmd::{Command, cargo_bin};

use crate::common::WALKER;

fn run(folder: &tempfile::TempDir, arguments: &[&str]) -> (i32, String, String) {
    let done = Command::new(cargo_bin!("smallcast"))
        .current_dir(folder.path())
        .env("NO_COLOR", "1")
        .args(["edit", "walker.figure.toml"])
        .args(arguments)
        .assert();
    let output = done.get_output();
    let text = |bytes: &[u8]| String::from_utf8(bytes.to_vec()).unwrap();
    (output.status.code().unwrap_or(-1), text(&output.stdout), text(&output.stderr))
}

fn desk() -> tempfile::TempDir {
    let folder = tempfile::tempdir().unwrap();
    fs::write(folder.path().join("walker.figure.toml"), WALKER).unwrap();
    folder
}

fn text(folder: &tempfile::TempDir, file: &str) -> String {
    fs::read_to_string(folder.path().join(file)).unwrap()
}

#[test]
fn changes_undo_redo_and_history() {
    let folder = desk();
    let (code, out, err) = run(&folder, &["--do", "swap navy moss", "--do", "keep 1,2 1,3"]);
    assert_eq!(code, 0, "{err}");
    assert!(out.contains("1") && out.contains("by hand"), "the one by hand is told of: {out}");
    assert!(err.contains("smallcast check walker.figure.toml"), "what comes next: {err}");
    let changed = text(&folder, "walker.figure.toml");
    let (_, out, _) = run(&folder, &["--history"]);
    assert!(out.contains("swap navy moss") && out.contains("keep 1,2 1,3"), "{out}");
    assert_eq!(run(&folder, &["--undo", "2"]).0, 0);
    assert_eq!(text(&folder, "walker.figure.toml"), WALKER);
    assert_eq!(run(&folder, &["--redo", "2"]).0, 0);
    assert_eq!(text(&folder, "walker.figure.toml"), changed);
}

#[test]
fn of_several_changes_all_or_none_are_made() {
    let folder = desk();
    let (code, out, err) = run(&folder, &["--do", "swap navy moss", "--do", "mirror cap"]);
    assert_eq!((code, out.as_str()), (2, ""));
    assert!(err.contains("cape"), "{err}");
    assert_eq!(text(&folder, "walker.figure.toml"), WALKER);
    assert!(!folder.path().join("walker.history.toml").exists());
}

#[test]
fn saved_elsewhere_the_figure_stays() {
    let folder = desk();
    let save = ["--do", "swap navy moss", "--save", "runner.figure.toml"];
    assert_eq!(run(&folder, &save).0, 0);
    assert_eq!(text(&folder, "walker.figure.toml"), WALKER);
    assert!(text(&folder, "runner.figure.toml").contains("moss"));
    let (code, _, err) = run(&folder, &save);
    assert_eq!(code, 2, "it is not written over");
    assert!(err.contains("--replace"), "{err}");
}

#[test]
fn a_script_gets_one_document() {
    let folder = desk();
    let (_, out, _) = run(&folder, &["--do", "place 4,2 coal", "--json"]);
    let document: serde_json::Value = serde_json::from_str(&out).unwrap();
    assert_eq!(document["format"], 1);
    assert_eq!(document["changes"][0]["do"], "place 4,2 coal");
    assert_eq!(document["changes"][0]["beads"], serde_json::json!([[4, 2]]));
    assert_eq!(document["history"]["done"], serde_json::json!(["place 4,2 coal"]));
}

#[test]
fn the_figure_is_printed_as_it_is_now() {
    let folder = desk();
    let (_, out, _) = run(&folder, &["--do", "place 5-7,2-3 coal", "--do", "swap hazel moss"]);
    insta::assert_snapshot!(out);
    let (_, undone, _) = run(&folder, &["--undo", "2"]);
    assert!(undone.contains("  3 n n n n"), "{undone}");
}

#[test]
fn a_note_on_nothing_is_told_of_at_once() {
    let folder = desk();
    let (code, _, err) = run(&folder, &["--do", "meant loose 1,2 \"it hangs\""]);
    assert_eq!(code, 0, "it is the maker's to decide");
    assert!(
        err.contains("loose at row 1, column 2 matches no finding") && err.contains("not-meant"),
        "{err}"
    );
    let (_, out, err) = run(&folder, &["--do", "not-meant loose 1,2"]);
    assert!(
        out.contains("no longer meant so: loose at row 1, column 2") && !err.contains("warning"),
        "{out}{err}"
    );
    assert_eq!(text(&folder, "walker.figure.toml"), WALKER);
}

#[test]
fn of_several_changes_one_that_changes_nothing_is_left_out_and_said() {
    let folder = desk();
    let (code, out, err) =
        run(&folder, &["--do", "swap navy moss", "--do", "name Walker", "--do", "place 4,2 coal"]);
    assert_eq!(code, 0, "{err}");
    assert!(err.contains("'name Walker' was left out: nothing would change"), "{err}");
    assert!(out.contains("2 steps; undo them with --undo 2."), "{out}");
    assert_eq!(run(&folder, &["--undo", "2"]).0, 0);
    assert_eq!(text(&folder, "walker.figure.toml"), WALKER);
    let (code, _, err) = run(&folder, &["--do", "name Walker", "--do", "name Walker"]);
    assert_eq!(code, 2, "all would change nothing");
    assert!(err.contains("nothing would change"), "{err}");
}

#[test]
fn a_folder_is_no_figure_to_change() {
    let folder = desk();
    let typed = Command::new(cargo_bin!("smallcast")).current_dir(folder.path());
    let done = typed.args(["edit", ".", "--do", "name X"]).assert().code(2);
    let said = String::from_utf8(done.get_output().stderr.clone()).unwrap();
    assert!(said.contains("this is a folder") && said.contains("smallcast edit . alone"), "{said}");
}

#[test]
fn a_bead_that_is_not_in_the_tray_is_not_blamed_on_the_tray() {
    let folder = desk();
    fs::write(folder.path().join("own.csv"), "name,hex\nslate,404850\n").unwrap();
    let (code, _, err) = run(&folder, &["--do", "place 4,2 slat", "--tray", "own.csv"]);
    assert_eq!(code, 2);
    assert!(err.contains("did you mean slate?") && !err.contains("--tray"), "{err}");
}
