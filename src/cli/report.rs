//! What is said on standard error: errors with their hints, warnings, and the next command.
//!
//! Nothing here may fail: if standard error is closed, there is nobody left to tell.

use std::io::Write;
use std::path::Path;

pub use smallcast::error::printable as plain;
use smallcast::error::{Error, Warning};

/// Prints a cause and what to do about it.
pub fn error(error: &Error) {
    say(&format!("smallcast: {error}"));
    say(&format!("  try: {}", error.hint()));
}

/// Prints what is wrong with the words of a command.
pub fn wrong_use(why: &str) {
    say(&format!("smallcast: {why}"));
    say("  try: smallcast --help, or smallcast COMMAND --help");
}

/// Prints something the maker should know about a result that stands.
pub fn warning(warning: &Warning) {
    say(&format!("smallcast: warning: {warning}"));
}

/// The same, of one of several files.
pub fn warning_of(file: &str, warning: &Warning) {
    say(&format!("smallcast: warning: {file}: {warning}"));
}

/// Prints what became of one of several files, and why.
pub fn of_file(what: &str, file: &str, why: &str) {
    say(&format!("smallcast: {what}: {file}: {why}"));
}

/// Says how things stand.
pub fn note(text: &str) {
    say(&format!("smallcast: {text}"));
}

/// Prints lines as they are.
pub fn short(text: &str) {
    text.lines().for_each(say);
}

/// Names the sensible next command.
pub fn next(command: &str) {
    say(&format!("next: {command}"));
}

/// A file's name as it can be typed into a shell.
pub fn typed(file: &Path) -> String {
    let name = file.display().to_string();
    let is_plain = |c: char| c.is_alphanumeric() || "/._-+:,@%=".contains(c);
    if !name.is_empty() && name.chars().all(is_plain) {
        name
    } else {
        format!("'{}'", name.replace('\'', r"'\''"))
    }
}

fn say(text: &str) {
    let _ = writeln!(std::io::stderr().lock(), "{}", plain(text));
}
