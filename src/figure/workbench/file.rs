//! Opens a figure with its history, and saves each change so that nothing of it, and nothing of anybody
//! else's, is lost.

use std::fs;
use std::path::{Path, PathBuf};

use crate::error::{Error, Result};
use crate::figure::{
    AtHand, Edit, Edited, Figure, History, MOST_BYTES, MOST_STEP_BYTES, NOTHING_CHANGES, digest, leads_back,
    read, saved, saved_from, write,
};
use crate::files;
use crate::saving::{Lock, save_all};

/// What a figure file's name ends in.
pub const ENDING: &str = ".figure.toml";

/// What a history's name ends in.
pub(super) const HISTORY: &str = "history.toml";

/// Most bytes of a history that is read, and what it is called: twice what its steps may have, for the quotes around
/// each line, and the figure at its end.
pub(super) const HISTORIES: (u64, &str) = (2 * MOST_STEP_BYTES as u64 + MOST_BYTES, "a history");

/// How the step is called that a new figure begins with, before the name of the older one.
const BEGUN: &str = "begun with";

/// What one call has changed on disk.
#[derive(Clone, Debug, PartialEq)]
pub struct Change {
    /// The changes, in order.
    pub edits: Vec<Edited>,
    /// Places in the list given of those that would have changed nothing, and were left out.
    pub idle: Vec<usize>,
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

    /// Makes one change on each of several figures, all or none, and saves them together; no file may stand twice.
    ///
    /// # Errors
    /// As [`Self::apply`].
    pub fn apply_together(benches: &mut [Self], edits: &[Edit], at_hand: &AtHand) -> Result<Vec<Change>> {
        let _locks = benches.iter().map(Self::lock).collect::<Result<Vec<Lock>>>()?;
        benches.iter_mut().try_for_each(Self::check_unchanged)?;
        let (mut all, mut files) = (Vec::new(), Vec::new());
        for (bench, edit) in benches.iter().zip(edits) {
            let own = (&bench.figure, bench.text.as_str());
            let made = made(own, std::slice::from_ref(edit), at_hand, bench.history.clone())?;
            let steps = made.history.write();
            files.extend(bench.files(&made.text, &steps)?);
            all.push((made, steps));
        }
        let files: Vec<(&Path, Vec<u8>)> =
            files.iter().map(|(path, bytes)| (path.as_path(), bytes.clone())).collect();
        save_all(&files, true)?;
        let done = benches.iter_mut().zip(all).map(|(bench, (made, steps))| {
            bench.history_text = Some(steps);
            (bench.text, bench.figure, bench.history) = (made.text, made.figure, made.history);
            made.change
        });
        Ok(done.collect())
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
        let mut begun = History::new(&start);
        self.tray.iter().for_each(|tray| begun.serve_with(tray));
        let Made { change, text, history, .. } = made((&start, &text), edits, at_hand, begun)?;
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
        let files = self.files(&text, &steps)?;
        let files = files.each_ref().map(|(path, bytes)| (path.as_path(), bytes.clone()));
        save_all(&files, true).map_err(|error| self.as_named(error))?;
        self.history_text = Some(steps);
        (self.text, self.figure, self.history) = (text, figure, history);
        Ok(())
    }

    /// What is saved, the history first.
    fn files(&self, text: &str, steps: &str) -> Result<[(PathBuf, Vec<u8>); 2]> {
        check_opens(&self.named, text)?;
        let beside = (history_file(&self.file), steps.as_bytes().to_vec());
        Ok([beside, (self.file.clone(), text.as_bytes().to_vec())])
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
            true => Some(text_of(&beside, &beside.display().to_string(), HISTORIES)?),
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
        text_of(&self.file, &self.named, (MOST_BYTES, "a figure"))
    }

    fn lock(&self) -> Result<Lock> {
        if fs::metadata(&self.file).is_ok_and(|told| told.permissions().readonly()) {
            let why = "it is set read-only: allow writing to it, or save as another with --save".into();
            return Err(Error::Unwritable { file: self.named.clone(), why });
        }
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

/// Makes changes one after another, on a figure and its file's text, and notes each. Of several, those that would change
/// nothing are left out, unless all would.
fn made(
    (start, text): (&Figure, &str),
    edits: &[Edit],
    at_hand: &AtHand,
    mut history: History,
) -> Result<Made> {
    let (mut figure, mut text) = (start.clone(), text.to_owned());
    let (mut made, mut idle) = (Vec::new(), Vec::new());
    for (at, edit) in edits.iter().enumerate() {
        let edited = match figure.edited(edit, at_hand) {
            Err(Error::Edit { why, .. }) if why == NOTHING_CHANGES && idle.len() + 1 < edits.len() => {
                idle.push(at);
                continue;
            }
            edited => edited?,
        };
        history.record(&edit.to_string(), &edited.figure);
        let after = saved_from((&text, &figure), &edited.figure);
        if !leads_back((&after, &edited.figure), (&text, &figure)) {
            history.keep_words(&text, &after);
        }
        (figure, text) = (edited.figure.clone(), after);
        made.push(edited);
    }
    Ok(Made { change: Change { edits: made, idle }, figure, text, history })
}

/// What could not be opened again is not saved.
fn check_opens(file: &str, text: &str) -> Result<()> {
    if text.len() as u64 > MOST_BYTES {
        let why =
            format!("the figure would have more than {MOST_BYTES} bytes, and could not be opened again");
        return Err(Error::Unwritable { file: file.into(), why });
    }
    read(file, text).map(drop)
}

/// Saves a figure's text and its history as another file, and what goes with it.
fn save_to(
    target: &Path,
    text: String,
    history: &History,
    with: &[(&Path, Vec<u8>)],
    replace: bool,
) -> Result<()> {
    check_opens(&target.display().to_string(), &text)?;
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

pub(super) fn text_of(file: &Path, named: &str, (most, what): (u64, &str)) -> Result<String> {
    let as_named = |error| match error {
        Error::Unreadable { why, .. } => Error::Unreadable { file: named.into(), why },
        other => other,
    };
    let bytes = files::read(file, most, what).map_err(as_named)?;
    let not_text = |_| Error::Unreadable { file: named.into(), why: "it is not a text file".into() };
    String::from_utf8(bytes).map_err(not_text)
}

/// Where the history of a figure lies: beside it, `anna.history.toml` for `anna.figure.toml`.
pub fn history_file(figure: &Path) -> PathBuf {
    // Names are the system's bytes: two that look alike in print are still two.
    let stem = Path::new(figure.file_stem().unwrap_or_default());
    let is_figure = figure.extension().is_some_and(|end| end == "toml")
        && stem.extension().is_some_and(|end| end == "figure");
    if is_figure {
        return figure.with_file_name(stem).with_extension(HISTORY);
    }
    let mut name = figure.file_name().unwrap_or_default().to_owned();
    name.push(".");
    name.push(HISTORY);
    figure.with_file_name(name)
}
