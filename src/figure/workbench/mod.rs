//! A figure and its history on disk, as the command line and the page work on them.

mod file;
mod served;

use std::path::{Path, PathBuf};

use super::{Figure, Others};
use crate::error::Result;

pub use file::{Change, ENDING, Workbench, history_file};
pub use served::{last_tray, served_with};

/// Figures that lie beside one.
#[derive(Clone, Debug)]
pub struct Beside {
    folder: PathBuf,
}

impl Beside {
    /// Those beside a figure's file.
    pub fn of(figure: &Path) -> Self {
        Self { folder: figure.parent().unwrap_or(Path::new("")).into() }
    }
}

impl Others for Beside {
    /// Also a path that leads out of the folder is followed, as from the figure.
    fn figure(&self, file: &str) -> Result<Figure> {
        Figure::open(&self.folder.join(file))
    }
}
