//! Every command with a table, in a terminal of 40 columns and in a pipe: nothing runs over, nothing of a heading is cut.

use std::fs;
use std::path::Path;

use unicode_width::UnicodeWidthStr;

use crate::typing::{err, out, smallcast};

/// The demo's cast, to be worked on.
fn street() -> tempfile::TempDir {
    let folder = tempfile::tempdir().unwrap();
    let demo = Path::new(env!("CARGO_MANIFEST_DIR")).join("demo/early-street");
    for part in ["", "drafts", "props"] {
        fs::create_dir_all(folder.path().join(part)).unwrap();
        for entry in fs::read_dir(demo.join(part)).unwrap() {
            let path = entry.unwrap().path();
            if path.is_file() {
                fs::copy(&path, folder.path().join(part).join(path.file_name().unwrap())).unwrap();
            }
        }
    }
    folder
}

/// A line that is as short as it can be: one word, whatever stands before it that sets it in; or a command, which is kept
/// whole so that it can be copied.
fn is_one_piece(line: &str) -> bool {
    let is_command = line.trim_start().starts_with("smallcast ") && line.starts_with(' ');
    is_command || line.split_whitespace().filter(|word| word.width() > 2).count() <= 1
}

/// Commands as they are typed in the demo's folder; those that draft come last.
const TYPED: &[&str] = &[
    "tray tray.csv",
    "tray --alike",
    "tray --near #a0522d",
    "plan",
    "plan . --stands 165cm",
    "plan . --stands 178cm,185cm --group night-train",
    "plan . --age 12",
    "check .",
    "check drafts",
    "check --rules",
    "count .",
    "count dawn.scene.toml",
    "count . --spare 5%",
    "lineup .",
    "lineup . --by group",
    "scene dawn.scene.toml",
    "check dawn.scene.toml",
    "show .",
    "compare . --thing hair",
    "compare baker.png baker-boy.png --area 40,40,30,30",
    "compare --figure drafts/baker.figure.toml --mark k",
    "rematch . --tray tray-new.csv",
    "rematch . --tray tray-new.csv --by-hand",
    "rematch . --suggest 3 --from tray-new.csv --by-hand",
    "edit drafts/bun-girl.figure.toml --do 'keep 4,6' --do 'doubt 4,6'",
    "edit drafts/bun-girl.figure.toml --history",
    "edit drafts/bun-girl.figure.toml --undo",
    "reuse baker-boy.figure.toml --save grocer-boy.figure.toml --class older-child --build stout",
    "reuse . --like baker-boy.png --class older-child",
    "draft bun-girl.png --class small-child",
    "draft milk-carter.png milk-carter.draft.png",
    "draft newspaper-girl.png --class older-child --choices 3",
    "draft family.png --each",
    #[cfg(feature = "trial")]
    "measure --figure butcher --manner shapes --manner marker",
    #[cfg(feature = "trial")]
    "measure --figure butcher --manner shapes --baseline",
];

fn words(line: &str) -> Vec<String> {
    let quoted = line.split('\'').enumerate();
    let words = quoted.flat_map(|(at, piece)| match at % 2 {
        0 => piece.split_whitespace().map(str::to_owned).collect(),
        _ => vec![piece.to_owned()],
    });
    words.collect()
}

#[test]
fn forty_columns_break_no_table() {
    let folder = street();
    let mut over = Vec::new();
    for typed in TYPED {
        let answer = smallcast().current_dir(folder.path()).env("COLUMNS", "40").args(words(typed)).assert();
        assert!(answer.get_output().status.code().is_some_and(|code| code < 2), "{typed}: {}", err(&answer));
        let text = out(&answer);
        assert!(!text.is_empty(), "{typed}");
        let wide = text.lines().filter(|line| line.width() > 40 && !is_one_piece(line));
        over.extend(wide.map(|line| format!("{typed}: {line}")));
    }
    assert!(over.is_empty(), "{}", over.join("\n"));
}

#[test]
fn in_a_pipe_headings_are_whole_however_long_the_names_are() {
    let folder = tempfile::tempdir().unwrap();
    let name = "The woman who sells oranges and lemons at the corner of the market square by the old bridge on Sundays";
    let text = format!(
        "format = 1\nname = \"{name}\"\n[[legend]]\nmark = \"c\"\nbead = \"coal\"\nby = \"hand\"\n[[part]]\nname = \"body\"\nbeads = \"\"\"\nc.\n.c\n\"\"\"\n"
    );
    fs::write(folder.path().join("a.figure.toml"), text).unwrap();
    for command in [&["check", "a.figure.toml"][..], &["show", "a.figure.toml"]] {
        let answer = smallcast().current_dir(folder.path()).args(command).assert();
        let text = out(&answer);
        assert!(text.lines().all(|line| line.width() <= 80), "{text}");
        assert!(text.replace('\n', " ").contains(name), "{command:?}: {text}");
    }
}
