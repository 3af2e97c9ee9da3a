//! Names that come from the page or from a figure file, kept inside the maker's one folder.

use std::path::{Component, Path, PathBuf};

use hyper::StatusCode;

use super::answer::Refusal;
use crate::error::{Error, Result, is_unprintable};

/// What a figure file's name ends in, where a folder is looked through for figures.
pub const FIGURE: &str = crate::figure::ENDING;

/// What the name of a figure ends in at least where the maker names it to begin with.
pub const NAMED_FIGURE: &str = ".toml";

/// A folder no name leads out of.
#[derive(Clone, Debug)]
pub struct Folder {
    root: PathBuf,
    /// The one figure that may end in [`NAMED_FIGURE`] only: the maker named it.
    named: Option<String>,
}

impl Folder {
    /// The folder at a path.
    ///
    /// # Errors
    /// [`Error::Unreadable`] if there is none.
    pub fn new(path: &Path) -> Result<Self> {
        let unreadable = |why: String| Error::Unreadable { file: path.display().to_string(), why };
        let root = path.canonicalize().map_err(|e| unreadable(e.to_string()))?;
        if root.is_dir() {
            Ok(Self { root, named: None })
        } else {
            Err(unreadable(
                "it is not a \
        folder"
                    .into(),
            ))
        }
    }

    /// The same folder, with a figure of it that the maker named.
    pub fn naming(self, figure: &str) -> Self {
        Self { named: Some(figure.into()), ..self }
    }

    /// Where it is.
    pub fn root(&self) -> &Path {
        &self.root
    }

    /// A figure file that is there.
    ///
    /// # Errors
    /// The refusal to answer with.
    pub fn figure_file(&self, name: &str) -> std::result::Result<PathBuf, Refusal> {
        let file = self.inside(name)?;
        // A link's own name says nothing of where it leads.
        let is =
            |path: &Path| path.file_name().and_then(|name| name.to_str()).is_some_and(|n| self.is_figure(n));
        if is(Path::new(name)) && is(&file) { Ok(file) } else { Err(no_figure(name)) }
    }

    /// A picture that is there.
    ///
    /// # Errors
    /// The refusal to answer with.
    pub fn picture(&self, name: &str) -> std::result::Result<PathBuf, Refusal> {
        let file = self.inside(name)?;
        if file.to_string_lossy().ends_with(NAMED_FIGURE) { Err(outside(name)) } else { Ok(file) }
    }

    /// The picture that a figure of this folder names as its reference, wherever that lies: the maker's own file says
    /// so. None where no plain file is there, or a figure.
    pub fn reference(&self, figure: &str, picture: &str) -> Option<PathBuf> {
        let beside = self.root.join(figure);
        let file = beside.parent()?.join(picture).canonicalize().ok()?;
        let is_picture = file.is_file() && !file.to_string_lossy().ends_with(NAMED_FIGURE);
        is_picture.then_some(file)
    }

    /// The pictures of this folder by name, as far as their endings tell; none where it cannot be looked through.
    pub fn pictures(&self) -> Vec<String> {
        self.names(|name| is_picture(name) && self.picture(name).is_ok()).unwrap_or_default()
    }

    /// Where a new figure of this folder is to be saved.
    ///
    /// # Errors
    /// The refusal to answer with.
    pub fn new_figure(&self, name: &str) -> std::result::Result<PathBuf, Refusal> {
        let mut parts = Path::new(name).components();
        match (parts.next(), parts.next()) {
            (Some(Component::Normal(only)), None)
                if name.ends_with(FIGURE) && only.len() > FIGURE.len() && is_plain(name) =>
            {
                Ok(self.root.join(only))
            }
            _ => Err(Refusal::new(
                StatusCode::UNPROCESSABLE_ENTITY,
                format!("'{name}' cannot be the name of a figure here"),
                format!("choose a name without a folder that ends in {FIGURE}"),
            )),
        }
    }

    /// The figures of this folder, by name.
    ///
    /// # Errors
    /// [`Error::Unreadable`].
    pub fn figures(&self) -> Result<Vec<String>> {
        self.names(|name| self.figure_file(name).is_ok())
    }

    /// Names of this folder, sorted.
    fn names(&self, is: impl Fn(&str) -> bool) -> Result<Vec<String>> {
        let unreadable = |e: std::io::Error| Error::Unreadable {
            file: self.root.display().to_string(),
            why: e.to_string(),
        };
        let mut names = Vec::new();
        for entry in std::fs::read_dir(&self.root).map_err(unreadable)? {
            // A name that is no text cannot be sent to the page.
            let name = entry.map_err(unreadable)?.file_name().into_string();
            names.extend(name.ok().filter(|name| is(name)));
        }
        names.sort();
        Ok(names)
    }

    fn is_figure(&self, name: &str) -> bool {
        name.ends_with(FIGURE) || self.named.as_deref() == Some(name)
    }

    /// A plain file inside the folder, whatever links lie on the way.
    fn inside(&self, name: &str) -> std::result::Result<PathBuf, Refusal> {
        let stays = Path::new(name).components().all(|part| matches!(part, Component::Normal(_)));
        if name.is_empty() || !stays || !is_plain(name) {
            return Err(outside(name));
        }
        let missing = || {
            Refusal::new(
                StatusCode::NOT_FOUND,
                format!("there is no file '{name}' in this folder"),
                "check whether it was moved or renamed",
            )
        };
        let file = self.root.join(name).canonicalize().map_err(|_| missing())?;
        if !file.starts_with(&self.root) {
            return Err(outside(name));
        }
        // A pipe would keep whoever opens it waiting.
        if file.is_file() { Ok(file) } else { Err(missing()) }
    }
}

/// Whether a name ends as those of pictures do that can be drafted from.
fn is_picture(name: &str) -> bool {
    let ending = Path::new(name).extension().map(|ending| ending.to_string_lossy().to_lowercase());
    let format = ending.and_then(image::ImageFormat::from_extension);
    format.is_some_and(|format| format.reading_enabled())
}

/// No control characters, and no backslash, which is a folder's sign elsewhere.
fn is_plain(name: &str) -> bool {
    !name.chars().any(|c| is_unprintable(c) || c == '\\')
}

fn outside(name: &str) -> Refusal {
    Refusal::new(
        StatusCode::FORBIDDEN,
        format!("'{name}' is not a file of this folder"),
        "start smallcast edit on the folder it lies in",
    )
}

fn no_figure(name: &str) -> Refusal {
    Refusal::new(
        StatusCode::FORBIDDEN,
        format!("'{name}' is not a figure"),
        format!("figures end in {FIGURE}"),
    )
}
