//! One program at a time saves a file.

use std::ffi::OsString;
use std::fs::{self, File, TryLockError};
use std::path::{Path, PathBuf};
use std::time::Duration;

use crate::error::{Error, Result};
use crate::files;

/// How often, and after what pause, a file that another program is saving is tried again: three seconds in all.
const TRIES: usize = 150;
const PAUSE: Duration = Duration::from_millis(20);

/// The right to save a file, held as long as that takes. The lock's own file goes when it ends.
pub(crate) struct Lock {
    file: File,
    path: PathBuf,
}

impl Lock {
    /// The lock of a file, which is not a link; `named` is its name in errors.
    ///
    /// # Errors
    /// [`Error::InUse`] where another program does not let go of it; [`Error::Unwritable`].
    pub(crate) fn of(file: &Path, named: &str) -> Result<Self> {
        let mut name = OsString::from(".");
        name.push(file.file_name().unwrap_or_default());
        name.push(".lock");
        Self::take(file.with_file_name(name), named)
    }

    fn take(path: PathBuf, named: &str) -> Result<Self> {
        let refused = |e: std::io::Error| Error::Unwritable { file: named.into(), why: files::reason(&e) };
        for _ in 0..TRIES {
            let file =
                File::options().create(true).truncate(false).write(true).open(&path).map_err(refused)?;
            match file.try_lock() {
                // The one who had it may have removed the file in the meantime: then it is nobody's lock.
                Ok(()) if is_the_file(&file, &path) => return Ok(Self { file, path }),
                Ok(()) => {}
                Err(TryLockError::WouldBlock) => std::thread::sleep(PAUSE),
                Err(TryLockError::Error(e)) => return Err(refused(e)),
            }
        }
        Err(Error::InUse { file: named.into() })
    }
}

impl Drop for Lock {
    fn drop(&mut self) {
        // Only where a removed file can be told from a new one of its name.
        #[cfg(unix)]
        let _ = fs::remove_file(&self.path);
        let _ = (self.file.unlock(), &self.path);
    }
}

#[cfg(unix)]
fn is_the_file(file: &File, path: &Path) -> bool {
    use std::os::unix::fs::MetadataExt;
    let number = |data: &fs::Metadata| (data.dev(), data.ino());
    matches!((file.metadata(), fs::metadata(path)), (Ok(one), Ok(other)) if number(&one) == number(&other))
}

#[cfg(not(unix))]
fn is_the_file(_: &File, _: &Path) -> bool {
    true
}
