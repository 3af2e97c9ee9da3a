//! Plain files, read with a bound. A pipe or a device under a file's name may never end, or never begin.

use std::fs::{self, File, FileType};
use std::io::{ErrorKind, Read};
use std::path::Path;

use crate::error::{self, Error, Result};

/// A plain file, opened, and how long it says it is. Links are followed.
///
/// # Errors
/// [`Error::Unreadable`], also for a folder, a pipe or a device.
pub fn open(path: &Path) -> Result<(File, u64)> {
    let refused = |why: String| Error::Unreadable { file: path.display().to_string(), why };
    let io = |e: std::io::Error| refused(reason(&e));
    // Asked by name first: opening a pipe waits for its writer.
    plain(fs::metadata(path).map_err(io)?.file_type()).map_err(&refused)?;
    let file = File::open(path).map_err(io)?;
    let told = file.metadata().map_err(io)?;
    plain(told.file_type()).map_err(&refused)?;
    Ok((file, told.len()))
}

/// All bytes of a plain file of at most `most`; `what` is its kind in errors: "a tray".
///
/// # Errors
/// As [`open`]; [`Error::Unreadable`] for a file that is larger, or grows beyond it while it is read.
pub fn read(path: &Path, most: u64, what: &str) -> Result<Vec<u8>> {
    let refused = |why: String| Error::Unreadable { file: path.display().to_string(), why };
    let (file, long) = open(path)?;
    let mut bytes = Vec::new();
    if long <= most {
        // One byte beyond the bound tells a full file from one that goes on.
        file.take(most + 1).read_to_end(&mut bytes).map_err(|e| refused(reason(&e)))?;
    }
    match long.max(bytes.len() as u64) > most {
        true => Err(refused(format!("it has more than {most} bytes, too many for {what}"))),
        false => Ok(bytes),
    }
}

/// What stands under a name and may be written over: nothing yet, or a plain file; else what it is.
///
/// # Errors
/// What stands there in words.
pub fn is_writable(path: &Path) -> std::result::Result<(), String> {
    let Ok(itself) = fs::symlink_metadata(path) else { return Ok(()) };
    match fs::metadata(path) {
        Ok(told) => plain(told.file_type()),
        Err(_) if itself.file_type().is_symlink() => Err("it is a broken link".into()),
        Err(e) => Err(reason(&e)),
    }
}

fn plain(kind: FileType) -> std::result::Result<(), String> {
    match kind.is_file() {
        true => Ok(()),
        false if kind.is_dir() => Err(error::IS_FOLDER.into()),
        false => Err(error::NO_FILE.into()),
    }
}

/// The system's refusal in plain words.
pub fn reason(refusal: &std::io::Error) -> String {
    match refusal.kind() {
        ErrorKind::NotFound => "there is no such file".into(),
        ErrorKind::NotADirectory => "part of the name is a file, not a folder".into(),
        ErrorKind::PermissionDenied => "you are not allowed to open it".into(),
        ErrorKind::IsADirectory => error::IS_FOLDER.into(),
        ErrorKind::InvalidFilename => "the name is too long".into(),
        ErrorKind::StorageFull => error::DISK_FULL.into(),
        ErrorKind::ReadOnlyFilesystem => error::READ_ONLY.into(),
        ErrorKind::QuotaExceeded => error::QUOTA_USED.into(),
        ErrorKind::FileTooLarge => "the file would be larger than is allowed here".into(),
        ErrorKind::OutOfMemory => "there is not enough memory".into(),
        kind => kind.to_string(),
    }
}
