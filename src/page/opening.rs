//! Opening the page in the maker's browser, the secret kept out of every process's arguments.

use std::io::Write;
use std::path::Path;
use std::process::{Child, Command, Stdio};
use std::time::{Duration, Instant};

use tempfile::TempDir;

use crate::error::{Error, Result};

/// A private file that leads a browser to the page; gone when this is dropped.
pub struct Opening {
    folder: TempDir,
}

impl Opening {
    /// Writes the file: readable by the maker alone, in a folder of the maker's alone.
    ///
    /// # Errors
    /// [`Error::Unwritable`].
    pub fn new(address: &str) -> Result<Self> {
        let refused = |e: std::io::Error| Error::Unwritable {
            file: "a file to open the page by".into(),
            why: e.to_string(),
        };
        let mut private = tempfile::Builder::new();
        private.prefix("smallcast-");
        #[cfg(unix)]
        private.permissions(std::os::unix::fs::PermissionsExt::from_mode(0o700));
        let folder = private.tempdir().map_err(refused)?;
        let mut options = std::fs::OpenOptions::new();
        options.write(true).create_new(true);
        #[cfg(unix)]
        std::os::unix::fs::OpenOptionsExt::mode(&mut options, 0o600);
        let mut file = options.open(folder.path().join(NAME)).map_err(refused)?;
        file.write_all(text(address).as_bytes()).map_err(refused)?;
        Ok(Self { folder })
    }

    /// The file.
    pub fn file(&self) -> std::path::PathBuf {
        self.folder.path().join(NAME)
    }

    /// Asks the system to open it in the browser; whether it would. What opens files may start and find no browser: it is
    /// given this long to say so.
    pub fn open(&self, patience: Duration) -> bool {
        let mut command = opener(&self.file());
        command.stdin(Stdio::null()).stdout(Stdio::null()).stderr(Stdio::null());
        match command.spawn() {
            Ok(mut child) => {
                if has_failed(&mut child, patience) {
                    return false;
                }
                // Somebody must ask how it ended, or it stays in the system's list.
                std::thread::spawn(move || child.wait());
                true
            }
            Err(_) => false,
        }
    }
}

/// Whether an opener ends in time and says that it could not. One that goes on may be the browser itself.
fn has_failed(child: &mut Child, patience: Duration) -> bool {
    /// Between two looks: no person notices it.
    const LOOK: Duration = Duration::from_millis(20);
    // There the opener says 1 of what it has opened, too.
    if cfg!(target_os = "windows") {
        return false;
    }
    let start = Instant::now();
    while start.elapsed() < patience {
        match child.try_wait() {
            Ok(Some(status)) => return !status.success(),
            Ok(None) => std::thread::sleep(LOOK),
            Err(_) => return false,
        }
    }
    false
}

const NAME: &str = "open.html";

/// An address of our own making has letters, digits and `:/#.` alone: nothing to escape.
fn text(address: &str) -> String {
    format!(
        "<!doctype html>\n<meta charset=\"utf-8\">\n<title>smallcast</title>\n\
         <meta name=\"referrer\" content=\"no-referrer\">\n\
         <meta http-equiv=\"refresh\" content=\"0;url={address}\">\n<p><a href=\"{address}\">Open the page</a></p>\n"
    )
}

/// What opens a file as its owner would by a double click.
fn opener(file: &Path) -> Command {
    if cfg!(target_os = "windows") {
        let mut command = Command::new("explorer");
        command.arg(file);
        return command;
    }
    let mut command = Command::new(if cfg!(target_os = "macos") { "open" } else { "xdg-open" });
    command.arg(file);
    command
}
