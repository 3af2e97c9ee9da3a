//! Finds the cast that a file belongs to, and reads what it names.

use std::collections::{BTreeSet, HashMap};
use std::path::{Component, Path, PathBuf};

use crate::cast::file::{self, Written};
use crate::cast::{Cast, FILE};
use crate::error::{Error, Result, Warning, likely};
use crate::figure::{ENDING, Figure, MOST_BYTES};
use crate::files;
use crate::rules::RULES;
use crate::tray::Tray;

/// A cast as its folder has it.
#[derive(Clone, Debug)]
pub struct CastFolder {
    file: PathBuf,
    written: Written,
    guide: Option<Figure>,
}

impl CastFolder {
    /// The `cast.toml` that speaks for a path, which need not be there yet: of a folder the one in it, of a file the one
    /// beside it; else the one in the folder above, so that references and drafts may have folders of their own.
    pub fn file_for(path: &Path) -> Option<PathBuf> {
        let folder = match path.is_dir() {
            true => path,
            false => path.parent()?,
        };
        let folder = if folder == Path::new("") { Path::new(".") } else { folder };
        let found = |folder: &Path| Some(folder.join(FILE)).filter(|file| file.is_file());
        found(folder).or_else(|| found(&above(folder)?))
    }

    /// Reads a `cast.toml`, and the guide figure it names.
    ///
    /// # Errors
    /// [`Error::Unreadable`]; [`Error::CastFile`], also where the guide is not there; [`Error::FigureFile`] of the
    /// guide.
    pub fn open(file: &Path) -> Result<Self> {
        let mut opened = Self { file: file.into(), written: file::open(file)?, guide: None };
        if let Some(guide) = opened.guide_file() {
            let line = opened.written.guide;
            opened.guide = Some(Figure::open(&guide).map_err(|e| opened.lacking(e, "guide", line))?);
        }
        Ok(opened)
    }

    /// The figure of a folder, other than the one at `target`, that has a name already: in a cast a name is one
    /// character's. A file that cannot be read is told of where it is read.
    pub fn named(folder: &Path, name: &str, target: &Path) -> Option<PathBuf> {
        let real = |path: &Path| path.canonicalize().ok();
        let own = real(target);
        let is_other = |file: &PathBuf| file.as_path() != target && (own.is_none() || real(file) != own);
        let files = std::fs::read_dir(folder).into_iter().flatten().flatten().map(|entry| entry.path());
        let figures = files.filter(|file| file.to_string_lossy().ends_with(ENDING)).filter(is_other);
        figures.filter(|file| Figure::open(file).is_ok_and(|figure| figure.name() == name)).min()
    }

    /// What the figures share.
    pub fn cast(&self) -> &Cast {
        &self.written.cast
    }

    /// The `cast.toml`.
    pub fn file(&self) -> &Path {
        &self.file
    }

    /// The folder.
    pub fn folder(&self) -> &Path {
        self.file.parent().filter(|folder| *folder != Path::new("")).unwrap_or(Path::new("."))
    }

    /// The tray's file, as it is found from where the maker stands.
    pub fn tray_file(&self) -> Option<PathBuf> {
        self.cast().tray.as_ref().map(|tray| self.beside(tray))
    }

    /// The guide's file, as it is found from where the maker stands.
    pub fn guide_file(&self) -> Option<PathBuf> {
        self.cast().guide.as_ref().map(|guide| self.beside(guide))
    }

    /// The maker's own guide figure, where the cast names one.
    pub fn guide(&self) -> Option<&Figure> {
        self.guide.as_ref()
    }

    /// Reads the tray; the embedded one where the cast names none.
    ///
    /// # Errors
    /// [`Error::CastFile`] where it is not there; as [`Tray::open`].
    pub fn tray(&self) -> Result<Tray> {
        match self.tray_file() {
            Some(tray) => Tray::open(&tray).map_err(|e| self.lacking(e, "tray", self.written.tray)),
            None => Ok(Tray::embedded()),
        }
    }

    /// What the cast names and is not there: figures that are not among these, beads that are not in the tray, rules.
    pub fn missing(&self, figures: &BTreeSet<String>, tray: &Tray) -> Vec<Warning> {
        let known = figures.iter().map(String::as_str).collect();
        let beads = tray.iter().map(|(_, bead)| bead.name.as_str()).collect();
        let rules = RULES.iter().map(|rule| rule.name).collect();
        let Written { figures, beads: bead_names, skip, .. } = &self.written;
        let all = [("figure", figures, known), ("bead", bead_names, beads), ("rule", skip, rules)];
        all.into_iter().flat_map(|(kind, named, known)| self.missing_of(kind, named, &known)).collect()
    }

    fn missing_of(
        &self,
        kind: &'static str,
        named: &[(String, usize)],
        known: &BTreeSet<&str>,
    ) -> Vec<Warning> {
        /// More than a few are one slip, such as a folder's name.
        const FEW: usize = 5;
        // A name may stand in several places: the first line tells.
        let mut said = BTreeSet::new();
        let missing = named.iter().filter(|(name, _)| !known.contains(name.as_str()) && said.insert(name));
        let missing: Vec<&(String, usize)> = missing.collect();
        let few = missing.iter().take(FEW).enumerate();
        few.map(|(at, (name, line))| Warning::NotThere {
            file: self.file.display().to_string(),
            line: *line,
            kind,
            name: name.clone(),
            likely: likely(name, known.iter().copied()).map(str::to_owned),
            more: if at + 1 == FEW { missing.len() - FEW } else { 0 },
        })
        .collect()
    }

    fn beside(&self, name: &str) -> PathBuf {
        match self.file.parent() {
            Some(folder) => folder.join(name),
            None => name.into(),
        }
    }

    /// What could not be read because it is not there is the cast file's fault; all else is the file's own.
    fn lacking(&self, error: Error, field: &str, line: usize) -> Error {
        match error {
            Error::Unreadable { file, why } => Error::CastFile {
                file: self.file.display().to_string(),
                line,
                field: field.into(),
                why: format!("cannot read {file}: {why}"),
                right: format!(
                    "name a {field} that exists, or leave the line out to use the embedded {field}"
                ),
            },
            other => other,
        }
    }
}

/// The folder above, as it is named from where the maker stands.
fn above(folder: &Path) -> Option<PathBuf> {
    match folder.components().next_back()? {
        Component::Normal(_) => Some(match folder.parent()? {
            empty if empty == Path::new("") => ".".into(),
            parent => parent.into(),
        }),
        Component::CurDir | Component::ParentDir => Some(folder.join("..")),
        Component::RootDir | Component::Prefix(_) => None,
    }
}

/// Refuses two figures of one name: in a cast a name is one character's.
///
/// # Errors
/// [`Error::FigureFile`] of the second, with the line of its name.
pub fn unique_names<'a>(figures: impl IntoIterator<Item = (&'a Path, &'a str)>) -> Result<()> {
    let mut seen: HashMap<&str, &Path> = HashMap::new();
    for (file, name) in figures {
        let Some(before) = seen.insert(name, file) else { continue };
        // The text was read a moment ago; a line that cannot be found is the first.
        let text = files::read(file, MOST_BYTES, "a figure").unwrap_or_default();
        let text = String::from_utf8_lossy(&text);
        let line = 1 + text.lines().position(|line| line.trim_start().starts_with("name")).unwrap_or(0);
        return Err(Error::FigureFile {
            file: file.display().to_string(),
            why: format!(
                "line {line}, name: '{}' is also the name of {}",
                name.escape_debug(),
                before.display()
            ),
            right: "give each figure of a cast its own name".into(),
        });
    }
    Ok(())
}
