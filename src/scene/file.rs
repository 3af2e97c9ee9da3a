//! `NAME.scene.toml`: plain text beside the figures.

use std::collections::{BTreeMap, BTreeSet};
use std::path::{Path, PathBuf};

use rayon::prelude::*;

use super::laying::not_there;
use super::said::Named;
use super::text::{SCENE, read};
use super::{Said, Scene};
use crate::cast::{CastFolder, FIGURE, stem, text_of};
use crate::error::{Result, likely};
use crate::figure::Figure;

/// What a scene file's name ends in.
pub const ENDING: &str = ".scene.toml";

/// A scene and the files it was read from.
#[derive(Clone, Debug)]
pub struct Opened {
    /// The scene.
    pub scene: Scene,
    /// The file of each figure, by its name in the scene file.
    pub figures: BTreeMap<String, PathBuf>,
}

impl Scene {
    /// Reads a scene file and the figures it names: by their files in its own folder or else its cast's, or by a path from
    /// there. Told from time to time is how many of how many are read.
    ///
    /// # Errors
    /// [`crate::error::Error::Unreadable`]; [`crate::error::Error::SceneFile`], also where a figure is not there;
    /// [`crate::error::Error::FigureFile`] of a figure.
    pub fn open(path: &Path, tell: impl Fn(usize, usize) + Sync) -> Result<Opened> {
        let file = path.display().to_string();
        let said = read(&file, &text_of(path, &SCENE)?)?;
        let figures = files_of(path, &file, &said)?;
        let done = std::sync::atomic::AtomicUsize::new(0);
        // Read on all cores; the first fault by name is the one that is told.
        let read: Vec<Result<Figure>> = figures
            .par_iter()
            .map(|(_, file)| {
                let figure = Figure::open(file);
                tell(done.fetch_add(1, std::sync::atomic::Ordering::Relaxed) + 1, figures.len());
                figure
            })
            .collect();
        let named = figures.keys().cloned().zip(read);
        let opened = named.map(|(name, figure)| Ok((name, figure?))).collect::<Result<_>>()?;
        Ok(Opened { scene: Self::laid(&file, &said, &opened)?, figures })
    }
}

/// The file of each figure that is named.
fn files_of(path: &Path, file: &str, said: &Said) -> Result<BTreeMap<String, PathBuf>> {
    let beside = path.parent().map(Path::to_owned).unwrap_or_default();
    let cast = CastFolder::file_for(path).and_then(|cast| cast.parent().map(Path::to_owned));
    let folders: Vec<PathBuf> = std::iter::once(beside).chain(cast).collect();
    let mut files = BTreeMap::new();
    for named in said.figures() {
        if !files.contains_key(&named.name) {
            files.insert(named.name.clone(), file_of(&folders, file, named)?);
        }
    }
    Ok(files)
}

fn file_of(folders: &[PathBuf], scene: &str, named: &Named) -> Result<PathBuf> {
    let stem = named.name.strip_suffix(FIGURE).unwrap_or(&named.name);
    let found = folders.iter().map(|folder| folder.join(format!("{stem}{FIGURE}")));
    found.clone().find(|file| file.is_file()).ok_or_else(|| {
        let known: BTreeSet<String> = found.flat_map(|file| names_beside(&file)).collect();
        not_there(scene, named, likely(stem, known.iter().map(String::as_str)))
    })
}

/// The names of the figures in a file's folder; none where it cannot be read.
fn names_beside(file: &Path) -> Vec<String> {
    let folder = file.parent().filter(|folder| *folder != Path::new("")).unwrap_or(Path::new("."));
    let entries = std::fs::read_dir(folder).into_iter().flatten().flatten();
    let files = entries.map(|entry| entry.path()).filter(|file| file.to_string_lossy().ends_with(FIGURE));
    files.map(|file| stem(&file)).collect()
}
