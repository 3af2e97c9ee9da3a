//! The files of the figures that are worked on.

use std::io::{ErrorKind, Write};
use std::path::Path;

use super::answer::Refusal;
use super::session::Told;
use super::table::Standing;
use crate::error::Error;
use crate::figure::{self, Figure};

/// A figure as it is on disk.
#[derive(Clone, Debug)]
pub struct Opened {
    /// The figure.
    pub figure: Figure,
    /// Where it stands.
    pub standing: Standing,
}

/// Reads a figure and what was done to it. `name` is how the page calls it.
///
/// # Errors
/// The refusal to answer with.
pub fn open(path: &Path, name: &str) -> Told<Opened> {
    let figure = Figure::open(path).map_err(|e| Refusal::of(e, path, name))?;
    let standing = Standing { file: name.into(), version: "0".into(), ..Standing::default() };
    Ok(Opened { figure, standing })
}

/// Saves a new figure, whole or not at all; never over a file that is there.
///
/// # Errors
/// The refusal to answer with.
pub fn create(path: &Path, name: &str, figure: &Figure) -> Told<()> {
    let refused = |e: std::io::Error| {
        let file = name.to_owned();
        Refusal::from(match e.kind() {
            ErrorKind::AlreadyExists => Error::Exists { file },
            _ => Error::Unwritable { file, why: e.to_string() },
        })
    };
    let folder = path.parent().unwrap_or(Path::new("."));
    let mut waiting = tempfile::Builder::new();
    waiting.prefix(".smallcast-");
    #[cfg(unix)]
    {
        /// Read and write for all, less the maker's own mask.
        const NEW: u32 = 0o666;
        waiting.permissions(std::os::unix::fs::PermissionsExt::from_mode(NEW));
    }
    let mut file = waiting.tempfile_in(folder).map_err(refused)?;
    let text = figure::write(figure);
    file.write_all(text.as_bytes()).and_then(|()| file.as_file().sync_all()).map_err(refused)?;
    file.persist_noclobber(path).map_err(|e| refused(e.error))?;
    // The name must outlast a power cut as well as the bytes, where the system can see to it.
    #[cfg(unix)]
    let _ = std::fs::File::open(folder).and_then(|folder| folder.sync_all());
    Ok(())
}
