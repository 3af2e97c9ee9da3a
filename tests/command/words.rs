//! What a maker reads is plain English: turns that tripped readers do not come back. The list is our own, from reading
//! every message, option and page aloud; common practice, no source.

use std::fs;
use std::path::{Path, PathBuf};

use crate::typing::{err, smallcast};

/// Turns of phrase, each with what to write in its place.
const ODD: [(&str, &str); 20] = [
    ("which the tray has not", "not in the tray"),
    ("not told", "unknown, or no ... given"),
    ("heeded", "ignored, or used"),
    ("meets no", "matches no"),
    ("keep still", "skip"),
    ("stands here twice", "is listed twice"),
    ("stands twice", "appears twice"),
    ("told the figure from", "separated the figure from"),
    ("this is no ", "this is not a"),
    ("it is no ", "it is not a"),
    ("done again", "redone"),
    ("rightly", "correctly"),
    ("mend that", "correct that"),
    ("exists already", "already exists"),
    ("is there already", "already exists"),
    ("serves without one", "without it, ..."),
    ("again for more", "may be repeated"),
    ("rite over", "overwrite"),
    ("is of no cast", "belongs to no cast"),
    ("a grown figure", "an adult"),
];

fn files(folder: &Path, found: &mut Vec<PathBuf>) {
    for entry in fs::read_dir(folder).unwrap() {
        let path = entry.unwrap().path();
        let ending = path.extension().and_then(|ending| ending.to_str()).unwrap_or_default().to_owned();
        if path.is_dir() {
            files(&path, found);
        } else if ["rs", "js", "html", "md"].contains(&ending.as_str()) {
            found.push(path);
        }
    }
}

/// Whether a line of a source is shown to nobody: a remark, or documentation of what is not an option.
fn is_remark(path: &Path, line: &str) -> bool {
    let line = line.trim_start();
    let is_help = line.starts_with("///") && path.parent().is_some_and(|folder| folder.ends_with("cli"));
    line.starts_with("//") && !is_help
}

#[test]
fn no_odd_turn_is_shown() {
    let root = Path::new(env!("CARGO_MANIFEST_DIR"));
    let mut all = vec![root.join("README.md"), root.join("demo/README.md")];
    files(&root.join("src"), &mut all);
    assert!(all.len() > 100);
    let mut odd = Vec::new();
    for path in &all {
        let text = fs::read_to_string(path).unwrap();
        for (number, line) in (1..).zip(text.lines()).filter(|(_, line)| !is_remark(path, line)) {
            let found = ODD.iter().filter(|(turn, _)| line.contains(turn));
            odd.extend(
                found.map(|(turn, better)| format!("{}:{number}: '{turn}': {better}", path.display())),
            );
        }
    }
    assert!(odd.is_empty(), "{}", odd.join("\n"));
}

/// What is wrong with the words of a command names that command, and what was meant by a word of other programs.
#[test]
fn wrong_use_names_the_command_at_hand_and_what_was_meant() {
    for (words, said) in [
        (&["draft", "x.png", "--output", "a"][..], "(did you mean --save?)\n  try: smallcast draft --help\n"),
        (&["draft", "x.png", "--height", "9"], "(did you mean --stands or --rows?)"),
        (&["-v"], "(did you mean smallcast -V?)"),
        (&["man"], "try: smallcast help man\n"),
        (&["completions", "bash"], "try: smallcast help completions bash\n"),
        (&["help", "tutorial"], "Pages of help: commands, pictures"),
        (&["help", "pictrues"], "did you mean pictures?"),
        (&["help", "edit", "undo"], "write smallcast help edit;"),
    ] {
        let answer = err(&smallcast().args(words).assert().code(2).stdout_eq(""));
        assert!(answer.contains(said), "{words:?}: {answer}");
    }
}
