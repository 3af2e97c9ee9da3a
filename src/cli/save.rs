//! Where results may go.

use std::fs;
use std::path::{Path, PathBuf};

use smallcast::error::{Error, Result};

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
        let why = format!("{} is read from and is never written over", file.display());
        return refused(why, "choose another name".into());
    }
    if !replace && fs::symlink_metadata(target).is_ok() {
        return Err(Error::Exists { file: target.display().to_string() });
    }
    Ok(())
}

/// A file's name with a number before its ending: `street-2.png`.
pub fn numbered(file: &Path, number: usize) -> PathBuf {
    let stem = file.file_stem().map(|stem| stem.to_string_lossy().into_owned()).unwrap_or_default();
    let ending = file.extension().map(|ending| format!(".{}", ending.to_string_lossy())).unwrap_or_default();
    file.with_file_name(format!("{stem}-{number}{ending}"))
}
