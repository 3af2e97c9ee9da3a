//! The figures a command is given: files, and folders of them.

use std::path::{Path, PathBuf};

use smallcast::cast::{FIGURE, FILE, unique_names};
use smallcast::error::{Error, Result};
use smallcast::figure::Figure;

/// What a figure file's name ends in.
pub const ENDING: &str = FIGURE;

/// A figure and the file it is from.
pub struct Opened {
    /// The file, as the maker named it or found in the named folder.
    pub file: PathBuf,
    /// The figure.
    pub figure: Figure,
}

/// Reads figures in the order given; a folder stands for its `*.figure.toml`, by name.
///
/// # Errors
/// [`Error::Unreadable`], [`Error::FigureFile`], also for two figures of one name in the folder of a cast; [`Error::BadValue`] for a folder without figures.
pub fn open(named: &[PathBuf]) -> Result<Vec<Opened>> {
    let mut opened = Vec::new();
    for path in named {
        let files = if path.is_dir() { of_folder(path)? } else { vec![path.clone()] };
        let before = opened.len();
        for file in files {
            let figure = Figure::open(&file)?;
            opened.push(Opened { file, figure });
        }
        if path.is_dir() && path.join(FILE).is_file() {
            let named = opened[before..].iter().map(|opened| (opened.file.as_path(), opened.figure.name()));
            unique_names(named)?;
        }
    }
    Ok(opened)
}

/// The files they are from.
pub fn files(opened: &[Opened]) -> impl Iterator<Item = &Path> {
    opened.iter().map(|opened| opened.file.as_path())
}

fn of_folder(folder: &Path) -> Result<Vec<PathBuf>> {
    let unreadable =
        |e: std::io::Error| Error::Unreadable { file: folder.display().to_string(), why: e.to_string() };
    let mut files = Vec::new();
    for entry in std::fs::read_dir(folder).map_err(unreadable)? {
        let path = entry.map_err(unreadable)?.path();
        if path.to_string_lossy().ends_with(ENDING) && path.is_file() {
            files.push(path);
        }
    }
    if files.is_empty() {
        return Err(Error::BadValue {
            option: "FOLDER",
            value: folder.display().to_string(),
            why: "no figure is in it".into(),
            right: format!("name a folder with files that end in {ENDING}, or the figures themselves"),
        });
    }
    files.sort();
    Ok(files)
}

/// A figure's name from its file's: `anna.figure.toml` is Anna.
pub fn name_of(file: &Path) -> String {
    let name = file.file_name().map_or("figure".into(), |name| name.to_string_lossy());
    let stem = name.strip_suffix(".toml").unwrap_or(&name);
    let stem = stem.strip_suffix(".figure").unwrap_or(stem);
    let mut letters = stem.chars();
    letters.next().map_or("Figure".into(), |first| first.to_uppercase().chain(letters).collect())
}
