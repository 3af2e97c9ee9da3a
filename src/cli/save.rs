//! Saving files: whole or not at all, and never over another without being asked.

use std::fs;
use std::io::Write;
use std::path::{Path, PathBuf};

use smallcast::error::{Error, Result};

/// Writes a file in one step: readers see the old bytes or the new, never a part.
///
/// # Errors
/// [`Error::Exists`] if the file is there and `replace` was not asked for; [`Error::Unwritable`].
pub fn save(target: &Path, bytes: &[u8], replace: bool) -> Result<()> {
    let name = || target.display().to_string();
    let unwritable = |e: std::io::Error| Error::Unwritable { file: name(), why: e.to_string() };
    if !replace && fs::symlink_metadata(target).is_ok() {
        return Err(Error::Exists { file: name() });
    }
    // A link stays a link: the file it points to is what is written.
    let real: PathBuf = fs::canonicalize(target).unwrap_or_else(|_| target.into());
    if real.is_dir() {
        return Err(Error::Unwritable { file: name(), why: "it is a folder".into() });
    }
    let folder = match real.parent() {
        Some(folder) if folder != Path::new("") => folder,
        _ => Path::new("."),
    };
    let mut builder = tempfile::Builder::new();
    builder.prefix(".smallcast-");
    #[cfg(unix)]
    builder.permissions(permissions(&real));
    let mut file = builder.tempfile_in(folder).map_err(unwritable)?;
    file.write_all(bytes).and_then(|()| file.as_file().sync_all()).map_err(unwritable)?;
    let persisted = if replace { file.persist(&real) } else { file.persist_noclobber(&real) };
    match persisted {
        Ok(_) => Ok(()),
        Err(e) if e.error.kind() == std::io::ErrorKind::AlreadyExists => Err(Error::Exists { file: name() }),
        Err(e) => Err(unwritable(e.error)),
    }?;
    // The name must outlast a power cut as well as the bytes; where a folder cannot be synced, the
    // file is written all the same.
    #[cfg(unix)]
    let _ = fs::File::open(folder).and_then(|folder| folder.sync_all());
    Ok(())
}

/// The old file's permissions, or what a new file has by the maker's own mask.
#[cfg(unix)]
fn permissions(target: &Path) -> fs::Permissions {
    use std::os::unix::fs::PermissionsExt;
    /// Read and write for all, less the mask.
    const NEW: u32 = 0o666;
    fs::metadata(target).map_or_else(|_| fs::Permissions::from_mode(NEW), |old| old.permissions())
}
