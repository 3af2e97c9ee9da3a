//! The tray that served a figure last: its history keeps it, so that it need not be named again.

use std::fs;
use std::path::{Path, PathBuf};

use super::file::{HISTORIES, HISTORY, history_file, text_of};
use crate::error::Result;
use crate::figure::{Figure, History};
use crate::saving::save_all;

/// Notes in the history of a saved figure which tray served: its file, as it is found from beside the figure. Steps that
/// are there stay; a history that cannot be read is left as it is.
///
/// # Errors
/// As [`Figure::open`] and [`save_all`].
pub fn served_with(figure: &Path, tray: &str) -> Result<()> {
    // As when it is opened: the history lies beside the file, not beside a link to it.
    let real = fs::canonicalize(figure);
    let beside = history_file(real.as_deref().unwrap_or(figure));
    let mut history = match beside.exists() {
        false => History::new(&Figure::open(figure)?),
        true => match text_of(&beside, "", HISTORIES).and_then(|text| History::read("", &text)) {
            Ok(history) => history,
            // Whoever opens the figure is told what is wrong with it.
            Err(_) => return Ok(()),
        },
    };
    history.serve_with(tray);
    save_all(&[(beside.as_path(), history.write().into_bytes())], true)
}

/// The tray that served a figure last, as its history has it; of a folder the one of the history that was written last.
pub fn last_tray(named: &Path) -> Option<PathBuf> {
    let folder = if named.is_dir() { named } else { named.parent()? };
    let own = history_file(named);
    let histories: Vec<PathBuf> = match own.is_file() && !named.is_dir() {
        true => vec![own],
        false => {
            let entries = fs::read_dir(if folder == Path::new("") { Path::new(".") } else { folder });
            let files = entries.into_iter().flatten().flatten().map(|entry| entry.path());
            files.filter(|file| file.to_string_lossy().ends_with(HISTORY)).collect()
        }
    };
    let served = histories.iter().filter_map(|file| {
        let history = History::read("", &text_of(file, "", HISTORIES).ok()?).ok()?;
        let tray = folder.join(history.tray()?);
        let written = fs::metadata(file).and_then(|data| data.modified()).ok()?;
        tray.is_file().then_some((written, tray))
    });
    served.max().map(|(_, tray)| tray)
}
