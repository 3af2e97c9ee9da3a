//! Files are written whole or not at all, and never over another without being asked.

use std::fs;
use std::hash::{DefaultHasher, Hash, Hasher};
use std::io::{ErrorKind, Write};
use std::path::{Path, PathBuf};

use crate::error::{Error, Result};
use crate::files;

/// A file written beside its target, waiting to take its name.
struct Ready {
    target: PathBuf,
    real: PathBuf,
    file: tempfile::NamedTempFile,
}

/// Writes files so that readers see the old bytes or the new, never a part; all are written before the
/// first takes its name, so that a full disk or a missing folder leaves nothing behind.
///
/// # Errors
/// [`Error::Exists`] if a file is there and `replace` was not asked for; [`Error::Unwritable`].
pub fn save_all(files: &[(&Path, Vec<u8>)], replace: bool) -> Result<()> {
    let ready: Vec<Ready> =
        files.iter().map(|(target, bytes)| prepare(target, bytes, replace)).collect::<Result<_>>()?;
    ready.into_iter().try_for_each(|ready| finish(ready, replace))
}

fn prepare(target: &Path, bytes: &[u8], replace: bool) -> Result<Ready> {
    if !replace && fs::symlink_metadata(target).is_ok() {
        return Err(Error::Exists { file: target.display().to_string() });
    }
    // A link stays a link: the file it points to is what is written.
    let real = fs::canonicalize(target).unwrap_or_else(|_| target.into());
    files::is_writable(target)
        .map_err(|why| Error::Unwritable { file: target.display().to_string(), why })?;
    let waiting = waiting_name(&real);
    sweep(folder_of(&real), &waiting);
    let mut builder = tempfile::Builder::new();
    builder.prefix(&waiting);
    #[cfg(unix)]
    builder.permissions(permissions(&real));
    let refused = |e: std::io::Error| unwritable(target, &e);
    let mut file = builder.tempfile_in(folder_of(&real)).map_err(refused)?;
    // Held as long as it waits, so that nobody sweeps it; some disks know no locks.
    let _ = file.as_file().try_lock();
    file.write_all(bytes).and_then(|()| file.as_file().sync_all()).map_err(refused)?;
    Ok(Ready { target: target.into(), real, file })
}

fn finish(ready: Ready, replace: bool) -> Result<()> {
    let Ready { target, real, file } = ready;
    let persisted = if replace { file.persist(&real) } else { file.persist_noclobber(&real) };
    persisted.map_err(|e| match e.error.kind() {
        ErrorKind::AlreadyExists => Error::Exists { file: target.display().to_string() },
        _ => unwritable(&target, &e.error),
    })?;
    // The name must outlast a power cut as well as the bytes; where a folder cannot be synced, the
    // file is written all the same.
    #[cfg(unix)]
    let _ = fs::File::open(folder_of(&real)).and_then(|folder| folder.sync_all());
    Ok(())
}

fn folder_of(file: &Path) -> &Path {
    match file.parent() {
        Some(folder) if folder != Path::new("") => folder,
        _ => Path::new("."),
    }
}

/// How the names of files begin that wait to become `real`: each target has its own, as long as any other.
fn waiting_name(real: &Path) -> String {
    let mut hasher = DefaultHasher::new();
    real.file_name().hash(&mut hasher);
    format!(".smallcast-{:016x}-", hasher.finish())
}

/// Removes what saves of the same file left behind that were killed; what one still holds stays.
fn sweep(folder: &Path, waiting: &str) {
    let begins = |name: &std::ffi::OsStr| name.as_encoded_bytes().starts_with(waiting.as_bytes());
    let entries = fs::read_dir(folder).into_iter().flatten().flatten();
    for entry in entries.filter(|entry| begins(&entry.file_name())) {
        let is_file = entry.file_type().is_ok_and(|kind| kind.is_file());
        let is_left = is_file && fs::File::open(entry.path()).is_ok_and(|file| file.try_lock().is_ok());
        if is_left {
            // Another may sweep too.
            let _ = fs::remove_file(entry.path());
        }
    }
}

/// The system's refusal in plain words, without the waiting file's own name.
fn unwritable(target: &Path, error: &std::io::Error) -> Error {
    let why = match error.kind() {
        ErrorKind::NotFound => "there is no such folder".into(),
        ErrorKind::PermissionDenied => "you are not allowed to write there".into(),
        _ => files::reason(error),
    };
    Error::Unwritable { file: target.display().to_string(), why }
}

/// The old file's permissions, or what a new file has by the maker's own mask.
#[cfg(unix)]
fn permissions(target: &Path) -> fs::Permissions {
    use std::os::unix::fs::PermissionsExt;
    /// Read and write for all, less the mask.
    const NEW: u32 = 0o666;
    fs::metadata(target).map_or_else(|_| fs::Permissions::from_mode(NEW), |old| old.permissions())
}
