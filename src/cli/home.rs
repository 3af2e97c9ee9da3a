//! What every command asks for: the tray, classes, guide, pitch and board that serve, from the cast the figures are in.

use std::collections::{BTreeSet, HashMap};
use std::path::{Path, PathBuf};
use std::sync::{Mutex, PoisonError};

use smallcast::cast::{Cast, CastFolder, scale_of, stem};
use smallcast::error::{Error, Result, Warning};
use smallcast::figure::{Figure, history_file, last_tray};
use smallcast::plan::{Board, Classes, Guide, Look};
use smallcast::rules::Member;
use smallcast::tray::Tray;
use smallcast::units::Millimetres;

use super::figures::ENDING;
use super::{references, report};

/// A tray as it was typed; says which of its columns mean nothing here.
///
/// # Errors
/// As [`Tray::open`].
pub fn opened(file: &Path) -> Result<Tray> {
    Tray::open(file).inspect(|tray| say_own_columns(&file.display().to_string(), tray))
}

/// Says once of each file which columns of a tray mean nothing here.
fn say_own_columns(file: &str, tray: &Tray) {
    static SAID: Mutex<Vec<String>> = Mutex::new(Vec::new());
    let columns = tray.own_columns();
    let mut said = SAID.lock().unwrap_or_else(PoisonError::into_inner);
    if !columns.is_empty() && !said.iter().any(|known| known == file) {
        report::of_file("columns not used", file, &columns.join(", "));
        said.push(file.into());
    }
}

/// What serves the paths of one command: what was typed, else what their cast says, else what is embedded.
pub struct Home {
    /// The beads that serve.
    pub tray: Tray,
    /// The tray as it was typed.
    typed: Option<PathBuf>,
    /// The tray that served these figures last, where neither the maker nor a cast names one.
    last: Option<PathBuf>,
    cast: Option<CastFolder>,
    classes: Classes,
    /// Every figure of a group, with its look.
    looks: HashMap<String, Look>,
    warnings: Vec<Warning>,
}

impl Home {
    /// What serves these figures, pictures and folders, which need not be there yet; `tray` is the one that was typed.
    /// Of two casts none serves, and the tray must be typed.
    ///
    /// # Errors
    /// [`Error::BadValue`] where they are of two casts and no tray was typed; as [`CastFolder::open`] and
    /// [`Tray::open`].
    pub fn of(paths: &[impl AsRef<Path>], tray: Option<&Path>) -> Result<Self> {
        let files: Vec<Option<PathBuf>> = found_for(paths);
        let mut named = files.iter().flatten();
        let Some(file) = named.next() else { return Self::with(None, tray) };
        if let Some(other) = named.find(|other| !is_same(other, file)) {
            return match tray {
                Some(_) => Self::with(None, tray),
                None => Err(of_two_casts(file, other)),
            };
        }
        let mut home = Self::with(Some(CastFolder::open(file)?), tray)?;
        home.warnings = home.noticed(paths, &files);
        Ok(home)
    }

    /// What serves the first of these paths that is in a cast: each later one speaks only where those before do not.
    ///
    /// # Errors
    /// As [`CastFolder::open`] and [`Tray::open`].
    pub fn of_first(paths: &[impl AsRef<Path>], tray: Option<&Path>) -> Result<Self> {
        let file = paths.iter().find_map(|path| CastFolder::file_for(path.as_ref()));
        Self::with(file.map(|file| CastFolder::open(&file)).transpose()?, tray)
    }

    /// As [`Self::of`], for figures that were worked on: where neither the maker nor a cast names a tray, the one that
    /// served them last.
    ///
    /// # Errors
    /// As [`Self::of`].
    pub fn of_figures(paths: &[impl AsRef<Path>], tray: Option<&Path>) -> Result<Self> {
        let home = Self::of(paths, tray)?;
        if tray.is_some() || home.cast.is_some() {
            return Ok(home);
        }
        match last_of(paths) {
            Some(last) => Ok(Self { tray: opened(&last)?, last: Some(last), ..home }),
            None => Ok(home),
        }
    }

    fn with(cast: Option<CastFolder>, typed: Option<&Path>) -> Result<Self> {
        let tray = match (typed, &cast) {
            (Some(file), _) => opened(file)?,
            (None, Some(cast)) => cast.tray().inspect(|tray| {
                let file = cast.tray_file().unwrap_or_default();
                say_own_columns(&file.display().to_string(), tray);
            })?,
            (None, None) => Tray::embedded(),
        };
        let groups = cast.iter().flat_map(|cast| &cast.cast().groups);
        let looks = groups.flat_map(|group| group.figures.iter().map(|figure| (figure.clone(), group.look)));
        Ok(Self {
            tray,
            typed: typed.map(Path::to_owned),
            last: None,
            looks: looks.collect(),
            classes: cast.as_ref().map_or_else(Classes::trade, |cast| cast.cast().classes.clone()),
            cast,
            warnings: Vec::new(),
        })
    }

    /// The cast, where the paths are of one.
    pub fn cast(&self) -> Option<&Cast> {
        self.cast.as_ref().map(CastFolder::cast)
    }

    /// The cast's folder, where the paths are of one.
    pub fn cast_folder(&self) -> Option<&CastFolder> {
        self.cast.as_ref()
    }

    /// The height classes.
    pub fn classes(&self) -> &Classes {
        &self.classes
    }

    /// The maker's own guide figure, where the cast names one.
    pub fn guide(&self) -> Option<&Figure> {
        self.cast.as_ref().and_then(CastFolder::guide)
    }

    /// What standing heights are measured against: the cast's guide, or the trade's.
    ///
    /// # Errors
    /// [`Error::FigureFile`] where the cast's guide does not say its rows by zone.
    pub fn scale(&self) -> Result<Guide> {
        let Some(guide) = self.guide() else { return Ok(Guide::TRADE) };
        scale_of(guide).ok_or_else(|| Error::FigureFile {
            file: self
                .cast
                .as_ref()
                .and_then(CastFolder::guide_file)
                .unwrap_or_default()
                .display()
                .to_string(),
            why: "this guide does not say which of its rows are head, neck, torso, legs and feet".into(),
            right: "give it [rows], as smallcast plan --save writes them".into(),
        })
    }

    /// From bead to bead, where the cast says it.
    pub fn pitch(&self) -> Option<Millimetres> {
        self.cast().and_then(|cast| cast.pitch)
    }

    /// The pegs of a board, where the cast says it.
    pub fn board(&self) -> Option<Board> {
        self.cast().and_then(|cast| cast.board)
    }

    /// The look of a figure, by its file.
    pub fn look(&self, figure: &Path) -> Look {
        let usual = || self.cast().map_or(Look::USUAL, Cast::usual_look);
        self.looks.get(&stem(figure)).copied().unwrap_or_else(usual)
    }

    /// The place in the cast of a figure, by its file and name; none of one that is not in the cast's folder.
    pub fn member<'a>(&'a self, file: &Path, name: &'a str) -> Option<Member<'a>> {
        let cast = self.cast.as_ref()?;
        let its_own = CastFolder::file_for(file).is_some_and(|own| is_same(&own, cast.file()));
        its_own.then(|| Member { cast: cast.cast(), name, guide: cast.guide() })
    }

    /// Rules that `check` leaves out.
    pub fn skip(&self) -> &[String] {
        self.cast().map_or(&[], |cast| &cast.skip)
    }

    /// The tray as documents name it: its file, or `embedded`.
    pub fn tray_name(&self) -> String {
        self.tray_file().map_or("embedded".into(), |file| file.display().to_string())
    }

    /// The tray as a sentence has it, and why it is that one.
    pub fn tray_in_words(&self) -> String {
        match (self.tray_file(), &self.cast) {
            (Some(file), _) => file.display().to_string(),
            (None, Some(_)) => "the embedded one, because the cast names none".into(),
            (None, None) => {
                "the embedded one, because there is no cast.toml beside the figure; --tray FILE names \
                yours"
                    .into()
            }
        }
    }

    /// The tray's file, which is read and never written over.
    pub fn tray_file(&self) -> Option<PathBuf> {
        self.typed.clone().or_else(|| self.last.clone()).or_else(|| self.cast.as_ref()?.tray_file())
    }

    /// Whether the embedded tray serves because nobody named another.
    pub fn has_no_tray(&self) -> bool {
        self.cast.is_none() && self.tray_file().is_none()
    }

    /// The tray that a figure's history is to keep, as it is found from beside its file: in a cast the cast has it.
    pub fn tray_to_keep(&self, figure: &Path) -> Option<String> {
        let free = self.typed.as_deref().or(self.last.as_deref()).filter(|_| self.cast.is_none());
        free.map(|tray| references::beside(tray, figure))
    }

    /// A file for a new figure: in the cast's folder, or where the maker stands.
    pub fn figure_file(&self, stem: &str) -> PathBuf {
        let name = PathBuf::from(format!("{stem}{ENDING}"));
        match self.cast_folder().map(CastFolder::folder) {
            Some(folder) if folder != Path::new(".") => folder.join(name),
            _ => name,
        }
    }

    /// The same under the first name that is not taken: `baker`, else `baker-2` and so on.
    pub fn free_figure_file(&self, stem: &str) -> PathBuf {
        let first = self.figure_file(stem);
        let further = (2..).map(|number: usize| self.figure_file(&format!("{stem}-{number}")));
        std::iter::once(first.clone()).chain(further).find(|file| !file.exists()).unwrap_or(first)
    }

    /// Refuses a name that another figure of the cast has where `target` is saved: in a cast a name is one character's.
    ///
    /// # Errors
    /// [`Error::BadValue`] with the file that has the name.
    pub fn check_name(&self, option: &'static str, name: &str, target: &Path) -> Result<()> {
        let Some(folder) = self.cast_folder().map(CastFolder::folder) else { return Ok(()) };
        let own = target.parent().filter(|own| !own.as_os_str().is_empty()).unwrap_or(Path::new("."));
        if !is_same(own, folder) {
            return Ok(());
        }
        match CastFolder::named(folder, name, target) {
            None => Ok(()),
            Some(file) => Err(Error::BadValue {
                option,
                value: name.into(),
                why: format!("{} already has this name", file.display()),
                right: "give each figure of a cast its own name".into(),
            }),
        }
    }

    /// Every file that was read for this, none of which is ever written over.
    pub fn read(&self) -> Vec<PathBuf> {
        let cast = self.cast.iter().flat_map(|cast| [Some(cast.file().to_owned()), cast.guide_file()]);
        cast.flatten().chain(self.tray_file()).collect()
    }

    /// ` --tray FILE` for the next command, where it was typed for this one: a cast's tray need not be.
    pub fn tray_option(&self) -> String {
        self.typed.as_deref().map(|file| format!(" --tray {}", report::typed(file))).unwrap_or_default()
    }

    /// The cast's file and the line in it that would name the tray that was typed, where the cast has another.
    pub fn line_for_typed_tray(&self) -> Option<(PathBuf, String)> {
        let (typed, cast) = (self.typed.as_deref()?, self.cast.as_ref()?);
        if cast.tray_file().is_some_and(|own| is_same(&own, typed)) {
            return None;
        }
        let from_there = super::references::beside(typed, cast.file());
        Some((cast.file().to_owned(), format!("tray = {}", toml::Value::String(from_there))))
    }

    /// The same for the page.
    #[cfg(feature = "page")]
    pub fn into_shared(self) -> smallcast::page::Shared {
        let (pitch, board, guide) = (self.pitch(), self.board(), self.guide().cloned());
        let cast = self.cast().cloned();
        let tray_file = self.typed.or(self.last).filter(|_| cast.is_none());
        smallcast::page::Shared {
            tray: self.tray,
            classes: self.classes,
            guide,
            pitch,
            board,
            cast,
            tray_file,
        }
    }

    /// Says what the maker should know of the cast, and of a tray that nobody named this time.
    pub fn warn(&self) {
        if let Some(last) = &self.last {
            let tray = report::typed(last);
            report::note(&format!("the tray is {tray}, as last time; --tray names another"));
        }
        self.warnings.iter().for_each(report::warning);
    }

    /// Figures of no cast among those of this one; and, where the whole folder is looked at, what its file names and is
    /// not there.
    fn noticed(&self, paths: &[impl AsRef<Path>], files: &[Option<PathBuf>]) -> Vec<Warning> {
        let Some(cast) = &self.cast else { return Vec::new() };
        let named = cast.file().display().to_string();
        let guest = |(path, file): (_, &Option<PathBuf>)| {
            let path: &Path = AsRef::as_ref(path);
            let guest = Warning::Guest { figure: path.display().to_string(), cast: named.clone() };
            file.is_none().then_some(guest)
        };
        let guests = paths.iter().zip(files).filter_map(guest);
        let whole = paths.iter().any(|path| is_same(path.as_ref(), cast.folder()));
        let missing = whole.then(|| cast.missing(&stems_in(cast.folder()), &self.tray));
        guests.chain(missing.into_iter().flatten()).collect()
    }
}

/// The cast file of each path; each folder is looked into once.
fn found_for(paths: &[impl AsRef<Path>]) -> Vec<Option<PathBuf>> {
    let mut known: HashMap<PathBuf, Option<PathBuf>> = HashMap::new();
    let of = |path: &Path| {
        let key = if path.is_dir() { path } else { path.parent().unwrap_or(path) };
        known.entry(key.to_owned()).or_insert_with(|| CastFolder::file_for(path)).clone()
    };
    paths.iter().map(AsRef::as_ref).map(of).collect()
}

/// The tray that served figures last; none where they were served by several. Each folder is looked into once.
fn last_of(paths: &[impl AsRef<Path>]) -> Option<PathBuf> {
    let key = |path: &Path| match path.is_dir() || history_file(path).is_file() {
        true => path.to_owned(),
        false => path.parent().unwrap_or(Path::new("")).join("."),
    };
    let keys: BTreeSet<PathBuf> = paths.iter().map(|path| key(path.as_ref())).collect();
    let mut trays = keys.iter().filter_map(|key| last_tray(key));
    let first = trays.next()?;
    trays.all(|other| is_same(&other, &first)).then_some(first)
}

/// Whether two paths lead to one file.
pub fn is_same(one: &Path, other: &Path) -> bool {
    let real = |path: &Path| path.canonicalize().ok();
    one == other || real(one).is_some_and(|one| Some(one) == real(other))
}

/// A file that many others are compared with.
pub struct OneFile {
    named: PathBuf,
    real: Option<PathBuf>,
}

impl OneFile {
    /// The file at a path.
    pub fn at(path: &Path) -> Self {
        Self { named: path.to_owned(), real: path.canonicalize().ok() }
    }

    /// Whether another path leads to it.
    pub fn is(&self, other: &Path) -> bool {
        other == self.named || (self.real.is_some() && other.canonicalize().ok() == self.real)
    }
}

/// The names of the figures in a folder; none where it cannot be read, which the command itself will say.
pub fn stems_in(folder: &Path) -> BTreeSet<String> {
    let entries = std::fs::read_dir(folder).into_iter().flatten().flatten();
    let files = entries.map(|entry| entry.path());
    files.filter(|file| file.to_string_lossy().ends_with(ENDING)).map(|file| stem(&file)).collect()
}

fn of_two_casts(one: &Path, other: &Path) -> Error {
    Error::BadValue {
        option: "FIGURE",
        value: one.display().to_string(),
        why: format!("some figures belong to this cast, and some to {}", other.display()),
        right: "name figures of one cast, or give one tray for all of them with --tray FILE".into(),
    }
}
