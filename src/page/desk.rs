//! The files of the figures that are worked on: read, changed, and never written over unseen.

use std::collections::{BTreeMap, VecDeque};
use std::path::{Path, PathBuf};
use std::sync::{Arc, Mutex, MutexGuard};

use serde::Serialize;

use super::answer::Refusal;
use super::folder::Folder;
use super::readings::held;
use super::session::Told;
use super::shared::Shared;
use super::table::Standing;
use crate::error::{Error, Result};
use crate::figure::{AtHand, Edit, Edited, Figure, HistoryStep, NOTHING_CHANGES, Others, Workbench, write};
use crate::saving::save_all;
use crate::units::{Column, Row};

/// States that are remembered, so that a page whose figure was changed elsewhere can be told what differs.
const REMEMBERED: usize = 64;

/// Steps of the history that the page shows, and as many of those undone: an afternoon's work.
const SHOWN_STEPS: usize = 200;

/// A figure as it is on disk.
#[derive(Clone, Debug)]
pub struct Opened {
    /// The figure.
    pub figure: Figure,
    /// Where it stands.
    pub standing: Standing,
}

/// Why a change was not made.
pub enum Unmade {
    /// It cannot be made.
    Refused(Refusal),
    /// The figure on disk is not the one the page shows: here it is, and where the two differ.
    Changed(Box<Opened>, Vec<Difference>),
}

impl From<Refusal> for Unmade {
    fn from(refusal: Refusal) -> Self {
        Self::Refused(refusal)
    }
}

/// A peg where the page's figure and the one on disk differ: marks, each of its own figure's legend.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Difference {
    row: usize,
    column: usize,
    here: Option<char>,
    there: Option<char>,
    here_bead: Option<String>,
    there_bead: Option<String>,
}

/// What is to be done to a figure.
pub enum Change<'a> {
    /// Lines of changes, all or none.
    Lines(&'a [String]),
    /// This many steps back.
    Undo(usize),
    /// This many steps forward again.
    Redo(usize),
}

/// Which state of which file: the file, and the digest of its bytes.
type State = (PathBuf, String);

/// The figures that were opened since the page was started.
#[derive(Default)]
pub struct Desk {
    benches: Mutex<BTreeMap<PathBuf, Arc<Mutex<Workbench>>>>,
    remembered: Mutex<VecDeque<(State, Figure)>>,
    /// The last steps that pages of this program made: of which file, from which state to which.
    made_here: Mutex<VecDeque<(PathBuf, String, String)>>,
    /// The tray that the maker named, to be remembered with each figure that is changed.
    tray: Option<PathBuf>,
}

/// The state of a figure on disk.
#[derive(Debug, Serialize)]
pub struct OnDisk {
    version: String,
    /// Whether pages of this program made it of the state that is shown: a window may go on from it without a question.
    made_here: bool,
}

impl Desk {
    /// A desk on which figures are changed with a tray that the maker named.
    pub fn with_tray(tray: Option<PathBuf>) -> Self {
        Self { tray: tray.and_then(|file| file.canonicalize().ok()), ..Self::default() }
    }

    /// The tray as it is found from beside a figure, where it lies in the figure's folder, and else from everywhere.
    fn tray_beside(&self, figure: &Path) -> Option<String> {
        let tray = self.tray.as_deref()?;
        let inside = figure.parent().and_then(|folder| tray.strip_prefix(folder.canonicalize().ok()?).ok());
        inside.unwrap_or(tray).to_str().map(str::to_owned)
    }

    /// Reads a figure and what was done to it, as they are on disk now. `name` is how the page calls it.
    ///
    /// # Errors
    /// The refusal to answer with.
    pub fn open(&self, path: &Path, name: &str) -> Told<Opened> {
        let bench = self.bench(path).map_err(|e| Refusal::of(e, path, name))?;
        let mut bench = held(&bench);
        bench.reload().map_err(|e| Refusal::of(e, path, name))?;
        Ok(self.opened(&bench, path, name))
    }

    /// The state of a figure on disk, for a page that shows the state `shown`.
    ///
    /// # Errors
    /// The refusal to answer with.
    pub fn version(&self, path: &Path, name: &str, shown: &str) -> Told<OnDisk> {
        let version = self.bench(path).and_then(|bench| held(&bench).version_on_disk());
        let version = version.map_err(|e| Refusal::of(e, path, name))?;
        let made = held(&self.made_here);
        let steps = made.iter().filter(|(file, ..)| file == path);
        let leads_to = steps.fold(shown, |at, (_, from, to)| if from == at { to } else { at });
        let made_here = leads_to == version && shown != version;
        Ok(OnDisk { version, made_here })
    }

    /// Changes a figure of which the page shows the state `version`. It is on disk when this returns.
    ///
    /// # Errors
    /// Why it was not made; nothing is changed then.
    pub fn change(
        &self,
        (path, name): (&Path, &str),
        version: &str,
        change: &Change,
        at_hand: &AtHand,
    ) -> std::result::Result<Opened, Unmade> {
        let refused = |e: Error| Refusal::of(e, path, name);
        let bench = self.bench(path).map_err(refused)?;
        let mut bench = held(&bench);
        if bench.version() != version {
            bench.reload().map_err(refused)?;
            if !self.is_same(&bench, path, version) {
                return Err(self.changed(&bench, (path, name), version));
            }
        }
        let from = bench.version();
        match made(&mut bench, change, at_hand) {
            Ok((said, kept_by_hand, gaps)) => {
                self.made(path, from, bench.version());
                let mut opened = self.opened(&bench, path, name);
                opened.standing.note = (gaps > 0).then(|| sentence(&said));
                opened.standing.said = Some(said);
                opened.standing.kept_by_hand = kept_by_hand;
                Ok(opened)
            }
            // What leaves the figure as it is makes no step, and is no fault.
            Err(Error::Edit { why, .. }) if why == NOTHING_CHANGES => {
                let mut opened = self.opened(&bench, path, name);
                opened.standing.note = Some("That changes nothing.".into());
                Ok(opened)
            }
            Err(Error::ChangedElsewhere { .. }) => {
                bench.reload().map_err(refused)?;
                Err(self.changed(&bench, (path, name), version))
            }
            Err(error) => Err(refused(error).into()),
        }
    }

    fn bench(&self, path: &Path) -> Result<Arc<Mutex<Workbench>>> {
        let mut benches = held(&self.benches);
        if let Some(bench) = benches.get(path) {
            return Ok(Arc::clone(bench));
        }
        let mut bench = Workbench::open(path)?;
        bench.serve_with(self.tray_beside(path).as_deref());
        let bench = Arc::new(Mutex::new(bench));
        benches.insert(path.to_owned(), Arc::clone(&bench));
        Ok(bench)
    }

    fn opened(&self, bench: &MutexGuard<Workbench>, path: &Path, name: &str) -> Opened {
        let (figure, history, version) = (bench.figure().clone(), bench.history(), bench.version());
        self.remember((path.to_owned(), version.clone()), &figure);
        let lines = |step: &Arc<HistoryStep>| step.line().to_owned();
        let (done, undone) = (history.done(), history.undone());
        let standing = Standing {
            file: name.into(),
            version,
            undo: done.last().map(lines),
            redo: undone.first().map(lines),
            history: done[done.len().saturating_sub(SHOWN_STEPS)..].iter().map(lines).collect(),
            undone: undone.iter().take(SHOWN_STEPS).map(lines).collect(),
            ..Standing::default()
        };
        Opened { figure, standing }
    }

    fn remember(&self, state: State, figure: &Figure) {
        let mut remembered = held(&self.remembered);
        if remembered.iter().any(|(known, _)| *known == state) {
            return;
        }
        if remembered.len() >= REMEMBERED {
            remembered.pop_front();
        }
        remembered.push_back((state, figure.clone()));
    }

    fn made(&self, path: &Path, from: String, to: String) {
        let mut made = held(&self.made_here);
        if made.len() >= REMEMBERED {
            made.pop_front();
        }
        made.push_back((path.to_owned(), from, to));
    }

    fn remembered(&self, path: &Path, version: &str) -> Option<Figure> {
        let remembered = held(&self.remembered);
        let state = remembered.iter().find(|((file, known), _)| file == path && known == version);
        state.map(|(_, figure)| figure.clone())
    }

    /// Whether only what is no part of the figure, such as a comment, was changed.
    fn is_same(&self, bench: &MutexGuard<Workbench>, path: &Path, version: &str) -> bool {
        bench.version() == version
            || self.remembered(path, version).is_some_and(|figure| figure == *bench.figure())
    }

    fn changed(&self, bench: &MutexGuard<Workbench>, (path, name): (&Path, &str), version: &str) -> Unmade {
        let before = self.remembered(path, version);
        let differences = before.map_or_else(Vec::new, |before| differences(&before, bench.figure()));
        Unmade::Changed(Box::new(self.opened(bench, path, name)), differences)
    }
}

/// Words that were said as the beginning of a line, as a sentence.
fn sentence(said: &str) -> String {
    let mut letters = said.chars();
    letters.next().into_iter().flat_map(char::to_uppercase).chain(letters).chain(['.']).collect()
}

/// Makes a change; what was done in words, how many beads placed by hand stayed, and how many gaps it opened.
fn made(bench: &mut Workbench, change: &Change, at_hand: &AtHand) -> Result<(String, usize, usize)> {
    match change {
        Change::Lines(lines) => {
            let edits: Vec<Edit> = lines.iter().map(|line| Edit::parse(line)).collect::<Result<_>>()?;
            let made = bench.apply(&edits, at_hand)?.edits;
            let said: Vec<&str> = made.iter().map(|edited| edited.said.as_str()).collect();
            let sum = |of: fn(&Edited) -> usize| made.iter().map(of).sum();
            Ok((said.join(" "), sum(|edited| edited.kept_by_hand), sum(|edited| edited.gaps)))
        }
        Change::Undo(steps) => Ok((format!("Undone: {}", bench.undo(*steps)?.join(", ")), 0, 0)),
        Change::Redo(steps) => Ok((format!("Redone: {}", bench.redo(*steps)?.join(", ")), 0, 0)),
    }
}

/// The pegs where two figures show different beads.
fn differences(here: &Figure, there: &Figure) -> Vec<Difference> {
    let (one, other) = (here.beads(), there.beads());
    let (rows, columns) = (one.rows().max(other.rows()), one.columns().max(other.columns()));
    let mut found = Vec::new();
    for (row, column) in (0..rows).flat_map(|row| (0..columns).map(move |column| (row, column))) {
        let place = (Row(row), Column(column));
        let mark = |beads: &crate::grid::Grid<Option<crate::figure::Placed>>| {
            beads.get(place.0, place.1).copied().flatten().map(|placed| placed.mark)
        };
        let bead = |figure: &Figure, mark| figure.entry(mark).map(|entry| entry.bead.clone());
        let (here_mark, there_mark) = (mark(&one), mark(&other));
        let here_bead = here_mark.and_then(|mark| bead(here, mark));
        let there_bead = there_mark.and_then(|mark| bead(there, mark));
        if here_bead != there_bead {
            let (here, there) = (here_mark.map(|mark| mark.get()), there_mark.map(|mark| mark.get()));
            found.push(Difference { row, column, here, there, here_bead, there_bead });
        }
    }
    found
}

/// Saves a new figure, whole or not at all; never over a file that is there.
///
/// # Errors
/// The refusal to answer with.
pub fn create(path: &Path, name: &str, figure: &Figure) -> Told<()> {
    let saved = save_all(&[(path, write(figure).into_bytes())], false);
    saved.map_err(|error| Refusal::of_new(error, path, name))
}

/// Other figures of the maker's folder, and no others.
impl Others for Folder {
    fn figure(&self, file: &str) -> Result<Figure> {
        let refused = |refusal: Refusal| Error::Unreadable { file: file.into(), why: refusal.into_what() };
        let path = self.figure_file(file).map_err(refused)?;
        Figure::open(&path).map_err(|e| refused(Refusal::of(e, &path, file)))
    }
}

/// What lies at hand for changes in a folder.
pub fn at_hand<'a>(folder: &'a Folder, shared: &'a Shared) -> AtHand<'a> {
    AtHand::new(&shared.tray, folder).with_classes(&shared.classes)
}
