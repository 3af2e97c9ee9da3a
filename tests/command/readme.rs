//! The README as a maker takes it: its commands are typed one after another, and what it shows is what comes.

use std::fs;
use std::path::{Path, PathBuf};

use snapbox::cmd::{Command, cargo_bin};

use crate::demo::copy_folder;

fn root() -> PathBuf {
    PathBuf::from(env!("CARGO_MANIFEST_DIR"))
}

fn page() -> String {
    fs::read_to_string(root().join("README.md")).unwrap()
}

/// What stands between fences, in order: the language and the text.
fn fenced(page: &str) -> Vec<(String, String)> {
    let blocks = page.split("```").skip(1).step_by(2);
    let parts = blocks.map(|block| block.split_once('\n').unwrap());
    parts.map(|(language, text)| (language.to_owned(), text.to_owned())).collect()
}

/// A folder like that of the README's maker: the demo, a picture, a photograph of beads and their names.
fn maker(folder: &Path) {
    copy_folder(&root().join("demo"), &folder.join("demo"));
    fs::copy(root().join("demo/early-street/newspaper-girl.png"), folder.join("anna.jpg")).unwrap();
    for file in ["beads.jpg", "names.txt"] {
        fs::copy(root().join("fixtures/laid-beads").join(file), folder.join(file)).unwrap();
    }
}

/// What a block of commands prints on standard output.
fn typed(block: &str, folder: &Path) -> String {
    // Built from here it is `cargo run`; the tests have it built already.
    let block = block.replace("cargo run --release --", "smallcast");
    let program = cargo_bin!("smallcast");
    let path = std::env::var_os("PATH").unwrap_or_default();
    let folders = std::iter::once(program.parent().unwrap().to_owned()).chain(std::env::split_paths(&path));
    let path = std::env::join_paths(folders).unwrap();
    let shell =
        Command::new("sh").current_dir(folder).env("PATH", path).env("NO_COLOR", "1").env_remove("COLUMNS");
    let answer = shell.args(["-e", "-c", &block]).assert().success();
    String::from_utf8(answer.get_output().stdout.clone()).unwrap()
}

#[test]
fn every_block_runs_and_prints_what_it_shows() {
    let folder = tempfile::tempdir().unwrap();
    maker(folder.path());
    let mut printed = String::new();
    let mut typed_blocks = 0;
    for (language, text) in fenced(&page()) {
        match language.as_str() {
            // Every test, this one among them.
            "sh" if text == "bash tests/run\n" => {}
            "sh" => {
                printed = typed(&text, folder.path());
                typed_blocks += 1;
            }
            // In this order, with gaps where the README has dots.
            "text" => {
                let mut rest = printed.as_str();
                for line in text.lines().filter(|line| *line != "...") {
                    let at = rest.find(&format!("{line}\n"));
                    let at = at.unwrap_or_else(|| panic!("'{line}' is not printed in:\n{printed}"));
                    rest = &rest[at + line.len()..];
                }
            }
            "csv" => {
                fs::write(folder.path().join("shown.csv"), &text).unwrap();
                typed("smallcast tray shown.csv", folder.path());
            }
            other => panic!("a block of {other}"),
        }
    }
    assert!(typed_blocks >= 6, "the README types {typed_blocks} blocks");
}

#[test]
fn every_link_leads_somewhere() {
    let page = page();
    let links: Vec<&str> = page.split("](").skip(1).filter_map(|rest| rest.split(')').next()).collect();
    assert!(links.len() > 10);
    for link in links {
        assert!(root().join(link).exists(), "no {link}");
    }
}
