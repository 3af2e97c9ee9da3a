//! The figures a command is given: files, and folders of them.

use std::path::{Path, PathBuf};
use std::sync::atomic::{AtomicUsize, Ordering};

use rayon::prelude::*;
use smallcast::cast::{FIGURE, FILE, unique_names};
use smallcast::error::{Error, Result};
use smallcast::figure::Figure;

/// What a figure file's name ends in.
pub const ENDING: &str = FIGURE;

/// What is being done while figures are read.
pub const READING: &str = "reading the figures";

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
/// [`Error::Unreadable`], [`Error::FigureFile`], also for two figures of one name in the folder of a cast; [`Error::BadValue`]
/// for a folder without figures.
pub fn open(named: &[PathBuf]) -> Result<Vec<Opened>> {
    open_telling(named, |_, _| {})
}

/// The same; told from time to time is how many of how many are read.
///
/// # Errors
/// As [`open`].
pub fn open_telling(named: &[PathBuf], tell: impl Fn(usize, usize) + Sync) -> Result<Vec<Opened>> {
    /// Told of so many at a time: saying it takes longer than reading one.
    const AT_A_TIME: usize = 64;
    let mut opened = Vec::new();
    let done = AtomicUsize::new(0);
    for path in named {
        let files = if path.is_dir() { of_folder(path)? } else { vec![path.clone()] };
        let before = opened.len();
        // Read on all cores; the first fault by name is the one that is told, as it would be one after the other.
        let read: Vec<Result<Figure>> = files
            .par_iter()
            .map(|file| {
                let figure = Figure::open(file);
                let done = done.fetch_add(1, Ordering::Relaxed) + 1;
                if done.is_multiple_of(AT_A_TIME) {
                    tell(done, files.len());
                }
                figure
            })
            .collect();
        for (file, figure) in files.into_iter().zip(read) {
            opened.push(Opened { file, figure: figure? });
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
