//! The order of rooms: a module names only what stands to its left.

use std::fs;
use std::path::{Path, PathBuf};

/// The rooms in order; a room may name those before it and itself. Rooms in one inner list may name
/// one another.
const ORDER: &[&[&str]] = &[
    &["units", "grid"],
    &["colour"],
    &["error"],
    &["files"],
    &["saving"],
    &["tray", "plan"],
    &["reference"],
    &["seen_beads"],
    &["sample"],
    &["matching"],
    &["figure"],
    &["draft"],
    &["score"],
    &["cast", "rules", "trial"],
    &["rematch"],
    &["scene", "count"],
    &["sheet"],
    &["help"],
    &["page"],
    &["cli", "main"],
];

/// The rooms that may touch files, the clock or the terminal.
const OUTSIDE: &[&str] = &["src/files.rs", "src/main.rs"];

fn place(room: &str) -> Option<usize> {
    ORDER.iter().position(|rooms| rooms.contains(&room))
}

fn sources(folder: &Path, found: &mut Vec<PathBuf>) {
    for entry in fs::read_dir(folder).unwrap() {
        let path = entry.unwrap().path();
        if path.is_dir() {
            sources(&path, found);
        } else if path.extension().is_some_and(|e| e == "rs") {
            found.push(path);
        }
    }
}

/// The room a file belongs to: its folder, or its own name.
fn room_of(path: &Path) -> String {
    let inside = path.strip_prefix("src").unwrap();
    let first = inside.components().next().unwrap().as_os_str().to_string_lossy().into_owned();
    first.trim_end_matches(".rs").to_owned()
}

/// The rooms a text names by `crate::` or `smallcast::`, comments left out.
fn named_rooms(text: &str) -> Vec<String> {
    let code: String =
        text.lines().map(|line| line.split("//").next().unwrap_or("")).collect::<Vec<_>>().join("\n");
    let mut rooms = Vec::new();
    for start in ["crate::", "smallcast::"] {
        for (at, _) in code.match_indices(start) {
            let rest = &code[at + start.len()..];
            match rest.strip_prefix('{') {
                Some(list) => {
                    let inner = &list[..list.find("};").unwrap_or(list.len())];
                    rooms.extend(inner.split(',').map(|part| first_word(part.trim())));
                }
                None => rooms.push(first_word(rest)),
            }
        }
    }
    rooms.retain(|room| place(room).is_some());
    rooms
}

fn first_word(text: &str) -> String {
    text.chars().take_while(|c| c.is_alphanumeric() || *c == '_').collect()
}

fn steps_back(path: &Path, text: &str) -> Vec<String> {
    let room = room_of(path);
    if room == "lib" {
        return Vec::new();
    }
    let own = place(&room).unwrap_or_else(|| panic!("{} is in no room of the order", path.display()));
    named_rooms(text)
        .into_iter()
        .filter(|named| place(named).unwrap() > own)
        .map(|named| format!("{}: {room} names {named}", path.display()))
        .collect()
}

#[test]
fn no_room_names_one_to_its_right() {
    let mut files = Vec::new();
    sources(Path::new("src"), &mut files);
    assert!(files.len() > 20, "the sources were not found");
    let steps: Vec<String> =
        files.iter().flat_map(|path| steps_back(path, &fs::read_to_string(path).unwrap())).collect();
    assert!(steps.is_empty(), "steps against the order of rooms:\n{}", steps.join("\n"));
}

#[test]
fn a_planted_step_back_is_found() {
    let planted = "use crate::units::Row;\nuse crate::figure::Figure;\n";
    assert_eq!(steps_back(Path::new("src/tray/mod.rs"), planted), ["src/tray/mod.rs: tray names figure"]);
    let in_a_list = "use crate::{colour::Lab, draft::Draft};\n";
    assert_eq!(steps_back(Path::new("src/sample/mod.rs"), in_a_list).len(), 1);
}

#[test]
fn the_engine_touches_no_file_clock_or_terminal() {
    let mut files = Vec::new();
    sources(Path::new("src"), &mut files);
    let outside = |path: &Path| {
        let name = path.to_string_lossy().replace('\\', "/");
        OUTSIDE.contains(&name.as_str())
            || name.starts_with("src/cli/")
            || name.starts_with("src/page/")
            || name.starts_with("src/saving/")
            || name.ends_with("/file.rs")
    };
    let forbidden =
        ["std::fs", "std::net", "std::env", "println!", "SystemTime", "Instant::now", "std::process"];
    for path in files.iter().filter(|p| !outside(p)) {
        let text = fs::read_to_string(path).unwrap();
        let code: Vec<&str> = text.lines().map(|line| line.split("//").next().unwrap_or("")).collect();
        for word in forbidden {
            let hit = code.iter().position(|line| line.contains(word));
            assert!(hit.is_none(), "{}:{}: the engine uses {word}", path.display(), hit.unwrap() + 1);
        }
    }
}
