//! A process that may have little memory: the work is done, or refused in our own words.

use std::process::{Command, Output};

use image::{Rgb, RgbImage};
use snapbox::cmd::cargo_bin;

/// Runs the program in a shell that allows it so much memory, in MiB.
fn within(memory: u32, folder: &std::path::Path, words: &[&str]) -> Output {
    let bounded = format!("ulimit -v {} && exec \"$0\" \"$@\"", memory << 10);
    let mut shell = Command::new("sh");
    shell.args(["-c", &bounded]).arg(cargo_bin!("smallcast")).args(words).current_dir(folder);
    shell.env("NO_COLOR", "1").output().unwrap()
}

/// Draws a man of blocks, many pixels to a bead.
fn picture(side: u32) -> RgbImage {
    let is_ink =
        |x: u32, y: u32| (side / 3..side * 2 / 3).contains(&x) && (side / 8..side * 7 / 8).contains(&y);
    let colour = |x, y| {
        if is_ink(x, y) { Rgb([180, 30 + (y * 90 / side) as u8 / 30 * 30, 40]) } else { Rgb([250; 3]) }
    };
    RgbImage::from_fn(side, side, colour)
}

#[test]
fn a_draft_with_little_memory_is_made_or_refused_in_two_lines() {
    let folder = tempfile::tempdir().unwrap();
    picture(3000).save(folder.path().join("man.png")).unwrap();
    let words = ["draft", "man.png", "--rows", "20", "--json"];
    let whole = within(4096, folder.path(), &words);
    assert!(whole.status.success(), "{}", String::from_utf8_lossy(&whole.stderr));
    let mut refused = 0;
    for memory in [60, 80, 100, 120, 150, 200, 300, 400] {
        let output = within(memory, folder.path(), &words);
        if output.status.success() {
            assert_eq!(output.stdout, whole.stdout, "{memory} MiB: the same draft");
            continue;
        }
        refused += 1;
        let said = String::from_utf8_lossy(&output.stderr);
        assert_eq!((output.status.code(), said.lines().count()), (Some(2), 2), "{memory} MiB: {said}");
        // A decoder that is refused memory is heard in the work itself, which knows of no bound.
        let first = said.lines().next().unwrap_or_default();
        let bounded = format!("smallcast: memory ran out: a process may have {memory} MiB here");
        assert!(first == bounded || first == "smallcast: memory ran out", "{memory} MiB: {said}");
        assert!(said.contains("\n  try: ") && output.stdout.is_empty(), "{memory} MiB: {said}");
    }
    assert!(refused > 0, "no bound was little");
}

#[test]
fn a_bound_that_is_wide_enough_changes_nothing() {
    let folder = tempfile::tempdir().unwrap();
    for words in [&["tray"][..], &["show", "nobody.figure.toml"], &["--nonsense"], &["--version"]] {
        let (bounded, free) = (within(1024, folder.path(), words), Command::new(cargo_bin!("smallcast")));
        let mut free = free;
        let free = free.args(words).current_dir(folder.path()).env("NO_COLOR", "1").output().unwrap();
        let of = |output: &Output| (output.status.code(), output.stdout.clone(), output.stderr.clone());
        assert_eq!(of(&bounded), of(&free), "{words:?}");
    }
}
