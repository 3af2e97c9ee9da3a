//! The older figures that parts are taken from, by whatever name the maker calls them.

use std::collections::BTreeMap;
use std::path::{Path, PathBuf};

use smallcast::error::{Error, Result};
use smallcast::figure::{Edit, Figure, Others};

use super::super::figures::{ENDING, by_name};
use super::super::references::beside;
use super::one_figure;

/// Figures by the names that the new figure's lines have for them.
pub struct Older(BTreeMap<String, Figure>);

impl Older {
    /// Opens what the lines take parts from: one of the figures named on the command line, by its path, its file's name
    /// with or without the ending, or its own name; else any figure's path. The lines then name each as it is found from
    /// beside the new figure, as its history keeps it.
    ///
    /// # Errors
    /// As [`Figure::open`]; [`Error::BadValue`] for a folder, and for a figure that no line takes from.
    pub fn of(named: &[PathBuf], lines: &mut [Edit], target: &Path) -> Result<Self> {
        let figures = named.iter().map(|path| Figure::open(path)).collect::<Result<Vec<_>>>()?;
        let mut used = vec![false; named.len()];
        let mut by_name = BTreeMap::new();
        for line in lines {
            let Edit::Take { from, .. } = line else { continue };
            let calls = |at: &usize| is_called(&named[*at], &figures[*at], from);
            let (file, figure) = match (0..named.len()).find(calls) {
                Some(at) => {
                    used[at] = true;
                    (named[at].clone(), figures[at].clone())
                }
                None => elsewhere(from, &named[0])?,
            };
            *from = beside(&file, target);
            by_name.insert(from.clone(), figure);
        }
        match (1..named.len()).find(|at| !used[*at]) {
            None => Ok(Self(by_name)),
            Some(idle) => Err(Error::BadValue {
                option: "MORE",
                value: named[idle].display().to_string(),
                why: "no part is taken from this figure".into(),
                right: format!(
                    "say what, as in --do 'take head from {}', or leave it out",
                    called(&named[idle])
                ),
            }),
        }
    }
}

impl Others for Older {
    fn figure(&self, file: &str) -> Result<Figure> {
        self.0
            .get(file)
            .cloned()
            .ok_or_else(|| Error::Unreadable { file: file.into(), why: "it was not opened".into() })
    }
}

/// A figure that was not named on the command line: as typed, else beside the older figure.
fn elsewhere(from: &str, older: &Path) -> Result<(PathBuf, Figure)> {
    let typed = by_name(PathBuf::from(from));
    let near = by_name(older.parent().unwrap_or(Path::new("")).join(from));
    let file = if !typed.exists() && near.exists() { near } else { typed };
    one_figure(&file)?;
    let figure = Figure::open(&file)?;
    Ok((file, figure))
}

fn is_called(path: &Path, figure: &Figure, name: &str) -> bool {
    let file = path.file_name().unwrap_or_default().to_string_lossy();
    Path::new(name) == path || file == name || called(path) == name || figure.name() == name
}

/// A figure's file without folder and ending.
fn called(path: &Path) -> String {
    let file = path.file_name().unwrap_or_default().to_string_lossy();
    file.strip_suffix(ENDING).unwrap_or(&file).to_owned()
}
