//! The program as a maker types it, and what it answers.

use snapbox::cmd::{Command, OutputAssert, cargo_bin};

/// The program, deaf to what the reader's own terminal says.
pub fn smallcast() -> Command {
    ["COLUMNS", "NO_COLOR", "CLICOLOR_FORCE", "FORCE_COLOR", "COLORTERM", "CLICOLOR"]
        .into_iter()
        .fold(Command::new(cargo_bin!("smallcast")), Command::env_remove)
        .env("TERM", "xterm-256color")
}

/// What it printed.
pub fn out(assert: &OutputAssert) -> String {
    String::from_utf8(assert.get_output().stdout.clone()).expect("UTF-8")
}

/// What it warned of.
pub fn err(assert: &OutputAssert) -> String {
    String::from_utf8(assert.get_output().stderr.clone()).expect("UTF-8")
}

/// What it printed, as a JSON document.
pub fn json(assert: &OutputAssert) -> serde_json::Value {
    serde_json::from_str(&out(assert)).expect("one JSON document and nothing else")
}
