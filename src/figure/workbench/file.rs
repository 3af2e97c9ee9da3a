//! Opens a figure with its history, and saves each change so that nothing of it, and nothing of anybody
//! else's, is lost.

use std::fs::{self, File, TryLockError};
use std::path::{Path, PathBuf};
use std::time::Duration;

use crate::error::{Error, Result};
use crate::figure::{
    AtHand, Edit, Edited, Figure, History, Others, digest, leads_back, read, saved, saved_from, write,
};
use crate::saving::save_all;

/// What a figure file's name ends in.
pub const ENDING: &str = ".figure.toml";

/// What a history's name ends in.
const HISTORY: &str = ".history.toml";

/// Most bytes of a file that is read here.
const MOST_BYTES: u64 = 16 << 20;

/// How often, and after what pause, a file that another program is saving is tried again: three seconds in all.
const TRIES: usize = 150;
const PAUSE: Duration = Duration::from_millis(20);

/// How the step is called that a new figure begins with, before the name of the older one.
const BEGUN: &str = "begun with";

/// What one call has changed on disk.
#[derive(Clone, Debug, PartialEq)]
pub struct Change {
    /// The changes, in order.
    pub edits: Vec<Edited>,
}

/// A figure file, the figure as it was read, and its history. Every change is on disk before it is answered.
#[derive(Clone, Debug)]
pub struct Workbench {
    /// The file as the maker named it.
    named: String,
    /// The file that is written: a link stays a link.
    file: PathBuf,
    text: String,
    figure: Figure,
    history: History,
    /// The history file as it was last read or written; none where there is none.
    history_text: Option<String>,
    /// The tray that serves, where it is to be remembered.
    tray: Option<String>,
}

impl Workbench {
    /// Opens a figure and what was done to it. A figure without a history has none yet.
    ///
    /// # Errors
    /// As [`Figure::open`]; [`Error::HistoryFile`].
    pub fn open(path: &Path) -> Result<Self> {
        let named = path.display().to_string();
        // Figure::open has the messages for what is no figure file.
        let figure = Figure::open(path)?;
        let file = fs::canonicalize(path).unwrap_or_else(|_| path.into());
        let text = write(&figure);
        let history = History::new(&figure);
        let mut bench = Self { named, file, text, figure, history, history_text: None, tray: None };
        bench.reload()?;
        Ok(bench)
    }

    /// Reads figure and history again, as they are on disk now.
    ///
    /// # Errors
    /// As [`Self::open`].
    pub fn reload(&mut self) -> Result<()> {
        let text = self.text_on_disk()?;
        let figure = read(&self.named, &text)?;
        (self.text, self.figure) = (text, figure);
        self.catch_up()
    }

    /// The figure.
    pub fn figure(&self) -> &Figure {
        &self.figure
    }

    /// What was done to it.
    pub fn history(&self) -> &History {
        &self.history
    }

    /// The digest of the file's bytes as they were read or written last.
    pub fn version(&self) -> String {
        digest(self.text.as_bytes())
    }

    /// The digest of the file's bytes as they are on disk now.
    ///
    /// # Errors
    /// [`Error::Unreadable`].
    pub fn version_on_disk(&self) -> Result<String> {
        Ok(digest(self.text_on_disk()?.as_bytes()))
    }

    /// Makes changes, all or none, and saves figure and history.
    ///
    /// # Errors
    /// As [`Figure::edited`]; [`Error::ChangedElsewhere`] if the figure on disk is no longer the one that was
    /// read; [`Error::InUse`]; [`Error::Unwritable`]. Nothing is changed then.
    pub fn apply(&mut self, edits: &[Edit], at_hand: &AtHand) -> Result<Change> {
        let _lock = self.lock()?;
        self.check_unchanged()?;
        let Made { change, figure, text, history } =
            made((&self.figure, &self.text), edits, at_hand, self.history.clone())?;
        self.save(figure, text, history)?;
        Ok(change)
    }

    /// Takes the last steps back, as many as there are of `times`; says their lines, the last one first.
    ///
    /// # Errors
    /// As [`Self::apply`]; [`Error::NoStep`] if there is none at all.
    pub fn undo(&mut self, times: usize) -> Result<Vec<String>> {
        self.walk(times, History::undo)
    }

    /// Does undone steps again; says their lines, in the order they are done.
    ///
    /// # Errors
    /// As [`Self::undo`].
    pub fn redo(&mut self, times: usize) -> Result<Vec<String>> {
        self.walk(times, History::redo)
    }

    /// Makes changes and saves the result as another figure, with a history that leads back to this one, which
    /// stays as it is. `picture` is the reference as it is found from there.
    ///
    /// # Errors
    /// As [`Figure::edited`] and [`save_all`]; [`Error::InUse`] while another program saves the figure that is to be
    /// replaced.
    pub fn apply_to(
        &self,
        target: &Path,
        edits: &[Edit],
        at_hand: &AtHand,
        picture: Option<String>,
        replace: bool,
    ) -> Result<Change> {
        let start = match picture {
            Some(picture) => self.figure.clone().with_picture(&picture),
            None => self.figure.clone(),
        };
        let text = saved(&self.text, &start);
        let Made { change, text, history, .. } = made((&start, &text), edits, at_hand, History::new(&start))?;
        save_to(target, text, &history, &[], replace)?;
        Ok(change)
    }

    /// Begins a new figure with this one's beads, and makes changes: the history leads back to this figure without its
    /// reference, which is not the new one's; nor are the comments of its file. This figure stays as it is. Other
    /// files go to disk with it, all or none.
    ///
    /// # Errors
    /// As [`Self::apply_to`].
    pub fn begin_at(
        &self,
        target: &Path,
        edits: &[Edit],
        at_hand: &AtHand,
        with: &[(&Path, Vec<u8>)],
        replace: bool,
    ) -> Result<Change> {
        let start = self.figure.clone().without_picture();
        let Made { change, text, history, .. } =
            made((&start, &write(&start)), edits, at_hand, History::new(&start))?;
        save_to(target, text, &history, with, replace)?;
        Ok(change)
    }

    /// The same in one step: of changes that nobody typed one by one.
    ///
    /// # Errors
    /// As [`Self::begin_at`].
    pub fn begin_in_one_step(&self, target: &Path, edits: &[Edit], at_hand: &AtHand) -> Result<()> {
        let start = self.figure.clone().without_picture();
        let before = write(&start);
        let Made { figure, text, mut history, .. } =
            made((&start, &before), edits, at_hand, History::new(&start))?;
        if edits.len() > 1 {
            history = History::new(&start);
            history.record(&format!("{BEGUN} {}", start.name()), &figure);
        }
        save_to(target, text, &history, &[], false)
    }

    /// Keeps with the next change which tray served: its file, as it is found from beside the figure.
    pub fn serve_with(&mut self, tray: Option<&str>) {
        self.tray = tray.map(str::to_owned);
    }

    fn walk(
        &mut self,
        times: usize,
        step: impl Fn(&mut History, &str, &Figure) -> Result<crate::figure::Taken>,
    ) -> Result<Vec<String>> {
        let _lock = self.lock()?;
        self.check_unchanged()?;
        let (mut figure, mut history) = (self.figure.clone(), self.history.clone());
        let mut text = self.text.clone();
        let mut lines = Vec::new();
        for _ in 0..times {
            match step(&mut history, &self.named, &figure) {
                Ok(taken) => {
                    // Step by step, as the file was written: what one step keeps lies on what the last one left.
                    let words = taken.with_words(&text);
                    text = words.unwrap_or_else(|| saved_from((&text, &figure), &taken.figure));
                    figure = taken.figure;
                    lines.push(taken.line);
                }
                Err(Error::NoStep { .. }) if !lines.is_empty() => break,
                Err(error) => return Err(error),
            }
        }
        self.save(figure, text, history)?;
        Ok(lines)
    }

    /// The history goes first: where the program ends between the two, the history is ahead of the figure by
    /// steps that nobody was told were done, and [`History::catch_up`] finds its place again.
    fn save(&mut self, figure: Figure, text: String, mut history: History) -> Result<()> {
        if let Some(tray) = &self.tray {
            history.serve_with(tray);
        }
        let steps = history.write();
        // What could not be opened again is not saved.
        read(&self.named, &text)?;
        let beside = history_file(&self.file);
        let files = [
            (beside.as_path(), steps.clone().into_bytes()),
            (self.file.as_path(), text.clone().into_bytes()),
        ];
        save_all(&files, true).map_err(|error| self.as_named(error))?;
        (self.text, self.figure, self.history) = (text, figure, history);
        self.history_text = Some(steps);
        Ok(())
    }

    /// A refusal names the file as the maker did.
    fn as_named(&self, error: Error) -> Error {
        match error {
            Error::Unwritable { file, why } if file == self.file.display().to_string() => {
                Error::Unwritable { file: self.named.clone(), why }
            }
            other => other,
        }
    }

    /// Another text of the same figure is taken as it is; another figure is never written over.
    fn check_unchanged(&mut self) -> Result<()> {
        let text = self.text_on_disk()?;
        if text != self.text {
            match read(&self.named, &text) {
                Ok(figure) if figure == self.figure => self.text = text,
                _ => return Err(Error::ChangedElsewhere { file: self.named.clone() }),
            }
        }
        self.catch_up()
    }

    fn catch_up(&mut self) -> Result<()> {
        let beside = history_file(&self.file);
        let text = match beside.exists() {
            true => Some(text_of(&beside, &beside.display().to_string())?),
            false => None,
        };
        if text.is_none() || text != self.history_text {
            let name = beside.file_name().unwrap_or_default().to_string_lossy();
            self.history = match &text {
                Some(text) => History::read(&name, text)?,
                None => History::new(&self.figure),
            };
            self.history_text = text;
        }
        self.history.catch_up(&self.figure);
        Ok(())
    }

    fn text_on_disk(&self) -> Result<String> {
        text_of(&self.file, &self.named)
    }

    fn lock(&self) -> Result<Lock> {
        Lock::of(&self.file, &self.named)
    }
}

/// What changes made of a figure.
struct Made {
    change: Change,
    figure: Figure,
    text: String,
    history: History,
}

/// Makes changes one after another, on a figure and its file's text, and notes each.
fn made(
    (start, text): (&Figure, &str),
    edits: &[Edit],
    at_hand: &AtHand,
    mut history: History,
) -> Result<Made> {
    let (mut figure, mut text) = (start.clone(), text.to_owned());
    let mut made = Vec::new();
    for edit in edits {
        let edited = figure.edited(edit, at_hand)?;
        history.record(&edit.to_string(), &edited.figure);
        let after = saved_from((&text, &figure), &edited.figure);
        if !leads_back((&after, &edited.figure), (&text, &figure)) {
            history.keep_words(&text, &after);
        }
        (figure, text) = (edited.figure.clone(), after);
        made.push(edited);
    }
    Ok(Made { change: Change { edits: made }, figure, text, history })
}

/// Saves a figure's text and its history as another file, and what goes with it.
fn save_to(
    target: &Path,
    text: String,
    history: &History,
    with: &[(&Path, Vec<u8>)],
    replace: bool,
) -> Result<()> {
    let there = fs::canonicalize(target).ok();
    // As when it is opened: the history lies beside the file, not beside a link to it.
    let beside = history_file(there.as_deref().unwrap_or(target));
    // Only a figure that is there can be at work elsewhere.
    let there = there.filter(|_| replace);
    let _lock = there.map(|file| Lock::of(&file, &target.display().to_string())).transpose()?;
    let mut files = vec![(beside.as_path(), history.write().into_bytes()), (target, text.into_bytes())];
    files.extend(with.iter().cloned());
    save_all(&files, replace)
}

fn text_of(file: &Path, named: &str) -> Result<String> {
    let unreadable = |why: String| Error::Unreadable { file: named.into(), why };
    let size = fs::metadata(file).map_err(|e| unreadable(e.to_string()))?.len();
    if size > MOST_BYTES {
        return Err(unreadable(format!("it has {size} bytes, too many")));
    }
    fs::read_to_string(file).map_err(|e| unreadable(e.to_string()))
}

/// Where the history of a figure lies: beside it, `anna.history.toml` for `anna.figure.toml`.
pub fn history_file(figure: &Path) -> PathBuf {
    let name = figure.file_name().unwrap_or_default().to_string_lossy();
    let stem = name.strip_suffix(ENDING).unwrap_or(&name);
    figure.with_file_name(format!("{stem}{HISTORY}"))
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
        let history = History::read("", &text_of(file, "").ok()?).ok()?;
        let tray = folder.join(history.tray()?);
        let written = fs::metadata(file).and_then(|data| data.modified()).ok()?;
        tray.is_file().then_some((written, tray))
    });
    served.max().map(|(_, tray)| tray)
}

/// The right to save a figure, held as long as that takes. The file goes when it ends.
struct Lock {
    file: File,
    path: PathBuf,
}

impl Lock {
    /// The lock of a figure's file, which is not a link.
    fn of(file: &Path, named: &str) -> Result<Self> {
        let name = file.file_name().unwrap_or_default().to_string_lossy();
        Self::take(file.with_file_name(format!(".{name}.lock")), named)
    }

    fn take(path: PathBuf, named: &str) -> Result<Self> {
        let refused = |e: std::io::Error| Error::Unwritable { file: named.into(), why: e.kind().to_string() };
        for _ in 0..TRIES {
            let file =
                File::options().create(true).truncate(false).write(true).open(&path).map_err(refused)?;
            match file.try_lock() {
                // The one who had it may have removed the file in the meantime: then it is nobody's lock.
                Ok(()) if is_the_file(&file, &path) => return Ok(Self { file, path }),
                Ok(()) => {}
                Err(TryLockError::WouldBlock) => std::thread::sleep(PAUSE),
                Err(TryLockError::Error(e)) => return Err(refused(e)),
            }
        }
        Err(Error::InUse { file: named.into() })
    }
}

impl Drop for Lock {
    fn drop(&mut self) {
        // Only where a removed file can be told from a new one of its name.
        #[cfg(unix)]
        let _ = fs::remove_file(&self.path);
        let _ = (self.file.unlock(), &self.path);
    }
}

#[cfg(unix)]
fn is_the_file(file: &File, path: &Path) -> bool {
    use std::os::unix::fs::MetadataExt;
    let number = |data: &fs::Metadata| (data.dev(), data.ino());
    matches!((file.metadata(), fs::metadata(path)), (Ok(one), Ok(other)) if number(&one) == number(&other))
}

#[cfg(not(unix))]
fn is_the_file(_: &File, _: &Path) -> bool {
    true
}

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
