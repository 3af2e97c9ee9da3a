//! Where results may go.

use std::fs;
use std::path::{Path, PathBuf};
use std::sync::{Mutex, PoisonError};

use smallcast::error::{Error, Result, printable as plain};
use smallcast::files;

use super::table::wrapped;

/// Refuses a target before any work is done: one that is there, that is also read from, or whose name does
/// not say what it will hold.
///
/// # Errors
/// [`Error::Exists`]; [`Error::BadValue`].
pub fn check_target(
    option: &'static str,
    target: &Path,
    ending: &str,
    read: &[&Path],
    replace: bool,
) -> Result<()> {
    let refused = |why: String, right: String| {
        Err(Error::BadValue { option, value: target.display().to_string(), why, right })
    };
    if !target.to_string_lossy().ends_with(ending) {
        return refused(format!("the name does not end in {ending}"), format!("end the name in {ending}"));
    }
    let same = |file: &&Path| match (fs::canonicalize(file), fs::canonicalize(target)) {
        (Ok(one), Ok(other)) => one == other,
        _ => *file == target,
    };
    if let Some(file) = read.iter().find(|file| same(file)) {
        let why = format!("{} is one of the inputs, which are never overwritten", file.display());
        return refused(why, "choose another name".into());
    }
    if !replace && fs::symlink_metadata(target).is_ok() {
        return Err(Error::Exists { file: target.display().to_string() });
    }
    let unwritable = |why| Error::Unwritable { file: target.display().to_string(), why };
    files::is_writable(target).map_err(unwritable)
}

/// What this run has saved, for the last word where standard output takes no more.
static SAVED: Mutex<Vec<PathBuf>> = Mutex::new(Vec::new());

/// Saves files as [`smallcast::saving::save_all`] does, and remembers that it did.
///
/// # Errors
/// As there.
pub fn save_all(files: &[(&Path, Vec<u8>)], replace: bool) -> Result<()> {
    smallcast::saving::save_all(files, replace)?;
    files.iter().for_each(|(file, _)| remember(file));
    Ok(())
}

/// Remembers a file that was saved otherwise.
pub fn remember(file: &Path) {
    SAVED.lock().unwrap_or_else(PoisonError::into_inner).push(file.into());
}

/// The files that this run has saved, in order.
pub fn saved() -> Vec<PathBuf> {
    SAVED.lock().unwrap_or_else(PoisonError::into_inner).clone()
}

/// The same in words, in lines of at most `width` columns; nothing where nothing was saved.
pub fn saved_in_words(width: usize) -> String {
    let files: Vec<String> = saved().iter().map(|file| plain(&file.display().to_string())).collect();
    match files.is_empty() {
        true => String::new(),
        false => format!("{}\n", wrapped(&format!("Saved in {}.", files.join(", ")), width)),
    }
}

/// What was saved, as a person is told: `Saved in a.pdf (2 pages).`
pub fn saved_in(files: &[PathBuf], pages: Option<usize>) -> String {
    let pages = match pages {
        None => String::new(),
        Some(1) => " (1 page)".into(),
        Some(pages) => format!(" ({pages} pages)"),
    };
    format!("Saved in {}{pages}.\n", first_to_last(files))
}

/// Files that are numbered one after the other: `a-1.png to a-4.png`.
pub fn first_to_last(files: &[PathBuf]) -> String {
    match files {
        [] => String::new(),
        [only] => only.display().to_string(),
        [first, .., last] => format!("{} to {}", first.display(), last.display()),
    }
}

/// Numbered files that an earlier, longer run has left beyond the first so many.
pub fn left_behind(file: &Path, kept: usize) -> Vec<PathBuf> {
    let beyond = (kept + 1..).map(|number| numbered(file, number));
    beyond.take_while(|file| fs::symlink_metadata(file).is_ok()).collect()
}

/// A file's name with a number before its ending: `street-2.png`.
pub fn numbered(file: &Path, number: usize) -> PathBuf {
    // A name is bytes of the system, whatever they print as.
    let mut name = file.file_stem().unwrap_or_default().to_owned();
    name.push(format!("-{number}"));
    if let Some(ending) = file.extension() {
        name.push(".");
        name.push(ending);
    }
    file.with_file_name(name)
}
