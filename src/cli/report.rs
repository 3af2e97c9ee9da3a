//! What is said on standard error: errors with their hints, warnings, and the next command.
//!
//! Nothing here may fail: if standard error is closed, there is nobody left to tell.

use std::io::{IsTerminal, Write};
use std::path::{Path, PathBuf};

pub use smallcast::error::printable as plain;
use smallcast::error::{Error, Warning, likely};

use super::figures::ENDING;
use super::output;
use super::table::wrapped;

/// Prints a cause and what to do about it.
pub fn error(error: &Error) {
    say(&format!("smallcast: {error}"));
    match error {
        Error::Unreadable { file, .. } => match near(Path::new(file)) {
            Some(other) => say(&format!("  try: did you mean {}?", typed(&other))),
            None => say(&format!("  try: {}", error.hint())),
        },
        _ => say(&format!("  try: {}", error.hint())),
    }
}

/// A file of the same folder whose name is most like that of one that is not there.
fn near(file: &Path) -> Option<PathBuf> {
    let name = file.file_name().filter(|_| !file.exists())?.to_string_lossy();
    let folder = file.parent().filter(|folder| !folder.as_os_str().is_empty());
    let entries = folder.unwrap_or(Path::new(".")).read_dir().ok()?.flatten();
    let mut names: Vec<String> = entries.map(|entry| entry.file_name().to_string_lossy().into()).collect();
    // Folders list their files in any order.
    names.sort();
    let is_bare = Path::new(&*name).extension().is_none();
    let figures = names.iter().filter_map(|name| name.strip_suffix(ENDING)).filter(|_| is_bare);
    if let Some(figure) = likely(&name, figures) {
        return Some(folder.unwrap_or(Path::new("")).join(format!("{figure}{ENDING}")));
    }
    likely(&name, names.iter().map(String::as_str)).map(|name| folder.unwrap_or(Path::new("")).join(name))
}

/// Prints what is wrong with the words of a command, and what to do about it.
pub fn wrong_use(why: &str, right: &str) {
    say(&format!("smallcast: {why}"));
    say(&format!("  try: {right}"));
}

/// Prints a warning of the command line's own.
pub fn warning_in_words(text: &str) {
    say(&format!("smallcast: warning: {text}"));
}

/// Prints something the maker should know about a result that stands.
pub fn warning(warning: &Warning) {
    say_wrapped(&format!("smallcast: warning: {warning}"));
}

/// The same, of one of several files.
pub fn warning_of(file: &str, warning: &Warning) {
    say_wrapped(&format!("smallcast: warning: {file}: {warning}"));
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

/// Prints running text, in lines that fit where a person reads it. Commands are not broken: they are there to be copied.
fn say_wrapped(text: &str) {
    let is_read = std::io::stderr().is_terminal();
    if is_read { wrapped(text, output::width()).lines().for_each(say) } else { say(text) }
}

fn say(text: &str) {
    let _ = writeln!(std::io::stderr().lock(), "{}", plain(text));
}
