//! The figures a command is given: files, and folders of them.

use std::path::{Path, PathBuf};
use std::sync::atomic::{AtomicUsize, Ordering};

use rayon::prelude::*;
use smallcast::cast::{CastFolder, FIGURE, FILE, stem, unique_names};
use smallcast::error::{Error, Result};
use smallcast::figure::Figure;

use super::home::{Home, OneFile};
use super::report;

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

/// Reads figures in the order given; a folder stands for its `*.figure.toml`, by name. Told from time to time is how many
/// of how many are read.
///
/// # Errors
/// [`Error::Unreadable`], [`Error::FigureFile`], also for two figures of one name in the folder of a cast; [`Error::BadValue`]
/// for a folder without figures.
pub fn open(named: &[PathBuf], tell: impl Fn(usize, usize) + Sync) -> Result<Vec<Opened>> {
    open_but(named, None, tell)
}

/// The same of figures that are to be pegged or shown: a folder does not stand for its cast's guide, which is a measure,
/// unless the guide is all there is or a group has it among its figures. Says so.
///
/// # Errors
/// As [`open`].
pub fn open_without_guide(
    named: &[PathBuf],
    home: &Home,
    tell: impl Fn(usize, usize) + Sync,
) -> Result<Vec<Opened>> {
    let guide = home.cast_folder().and_then(CastFolder::guide_file);
    let is_listed = |guide: &Path| home.cast().is_some_and(|cast| cast.group_of(&stem(guide)).is_some());
    open_but(named, guide.filter(|guide| !is_listed(guide)).as_deref(), tell)
}

fn open_but(
    named: &[PathBuf],
    guide: Option<&Path>,
    tell: impl Fn(usize, usize) + Sync,
) -> Result<Vec<Opened>> {
    /// Progress is reported after each such number of figures: reporting takes longer than reading one.
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
        if let Some(guide) = guide.filter(|_| path.is_dir() && opened.len() > before + 1) {
            let guide = OneFile::at(guide);
            let at = (before..opened.len()).into_par_iter().find_first(|at| guide.is(&opened[*at].file));
            if let Some(left_out) = at.map(|at| opened.remove(at)) {
                let file = left_out.file.display().to_string();
                report::of_file("left out", &file, "it is the guide; name its file to include it");
            }
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

/// A figure's file as scenes and casts name it: without its ending, where there is no file of the name alone.
pub fn by_name(path: PathBuf) -> PathBuf {
    let mut whole = path.clone().into_os_string();
    whole.push(ENDING);
    let whole = PathBuf::from(whole);
    if !path.exists() && whole.is_file() { whole } else { path }
}
