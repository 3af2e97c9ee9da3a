//! Pictures that were read again, kept for as long as they and the figure's rows stay the same. Reading takes
//! its time on a thread of its own; nobody waits for it but who asks for the picture itself.

use std::path::{Path, PathBuf};
use std::sync::{Arc, Condvar, Mutex, MutexGuard, PoisonError};
use std::time::{Duration, SystemTime};

use super::reading::ReadAgain;
use crate::figure::Figure;
use crate::plan::ZoneRows;
use crate::reference::Corners;

/// Readings kept: those of a shelf's figures that a maker goes back and forth between.
const KEPT: usize = 8;

/// Longest wait for a picture: a large one on a slow machine takes seconds.
const PATIENCE: Duration = Duration::from_secs(60);

/// Which state of a file this is, as far as its folder tells.
#[derive(Clone, Debug, PartialEq)]
pub struct Stamp {
    file: PathBuf,
    bytes: u64,
    changed: Option<SystemTime>,
}

impl Stamp {
    /// The present state of a file.
    pub fn of(file: &Path) -> Option<Self> {
        let told = std::fs::metadata(file).ok()?;
        Some(Self { file: file.to_owned(), bytes: told.len(), changed: told.modified().ok() })
    }
}

/// All that a reading depends on.
#[derive(Clone, Debug, PartialEq)]
pub struct Key {
    picture: Stamp,
    crop: Option<[u32; 4]>,
    corners: Option<Corners>,
    zones: Option<ZoneRows>,
    rows: usize,
}

impl Key {
    /// The key of a figure's picture.
    pub fn of(figure: &Figure, picture: Stamp) -> Self {
        let crop = figure.source().and_then(|source| source.crop);
        let corners = figure.source().and_then(|source| source.corners);
        // A figure with rows by zone has no others.
        let rows = figure.rows().map_or_else(|| figure.beads().rows(), ZoneRows::total);
        Self { picture, crop, corners, zones: figure.rows().copied(), rows }
    }
}

/// What has become of a reading.
#[derive(Clone)]
pub enum State {
    /// It is being made.
    Pending,
    /// It was made.
    Done(Arc<ReadAgain>),
    /// There is no picture to show: why.
    Failed(String),
}

#[derive(Default)]
struct Shelf {
    kept: Mutex<Vec<(Key, State)>>,
    changed: Condvar,
    /// One at a time: each takes all processors.
    heavy: Mutex<()>,
}

/// The readings of this start of the page.
#[derive(Clone, Default)]
pub struct Readings(Arc<Shelf>);

impl Readings {
    /// What is known; begins to read where nothing is. `read` gives the reading, or why there is none.
    pub fn of(&self, key: &Key, read: impl FnOnce() -> Result<ReadAgain, String> + Send + 'static) -> State {
        let mut kept = held(&self.0.kept);
        if let Some((_, state)) = kept.iter().find(|(known, _)| known == key) {
            return state.clone();
        }
        if kept.len() >= KEPT {
            let oldest = kept.iter().position(|(_, state)| !matches!(state, State::Pending));
            oldest.map(|at| kept.remove(at));
        }
        kept.push((key.clone(), State::Pending));
        drop(kept);
        let (shelf, own) = (Arc::clone(&self.0), key.clone());
        let begun = std::thread::Builder::new().name("reading".into()).spawn(move || {
            let mut done = Settled { shelf: &shelf, key: &own, state: None };
            let _alone = held(&shelf.heavy);
            done.state = Some(read().map_or_else(State::Failed, |reading| State::Done(Arc::new(reading))));
        });
        match begun {
            Ok(_) => State::Pending,
            Err(why) => {
                let state = State::Failed(why.to_string());
                self.0.settle(key, state.clone());
                state
            }
        }
    }

    /// The same, once it is no longer pending.
    pub fn wait(&self, key: &Key) -> State {
        let kept = held(&self.0.kept);
        let state_of =
            |kept: &Vec<(Key, State)>| kept.iter().find(|(known, _)| known == key).map(|k| k.1.clone());
        let is_pending = |kept: &mut Vec<(Key, State)>| matches!(state_of(kept), Some(State::Pending));
        let waited = self.0.changed.wait_timeout_while(kept, PATIENCE, is_pending);
        let (kept, _) = waited.unwrap_or_else(PoisonError::into_inner);
        state_of(&kept).unwrap_or(State::Pending)
    }

    /// Keeps whoever holds it the only one at heavy work.
    pub fn alone(&self) -> MutexGuard<'_, ()> {
        held(&self.0.heavy)
    }
}

impl Shelf {
    fn settle(&self, key: &Key, state: State) {
        if let Some(line) = held(&self.kept).iter_mut().find(|(known, _)| known == key) {
            line.1 = state;
        }
        self.changed.notify_all();
    }
}

/// Settles a reading even where making it broke off.
struct Settled<'a> {
    shelf: &'a Shelf,
    key: &'a Key,
    state: Option<State>,
}

impl Drop for Settled<'_> {
    fn drop(&mut self) {
        let broken = || State::Failed("the picture could not be read".into());
        self.shelf.settle(self.key, self.state.take().unwrap_or_else(broken));
    }
}

/// What a lock keeps; what broke off while it was held left nothing half done here.
pub fn held<T>(lock: &Mutex<T>) -> MutexGuard<'_, T> {
    lock.lock().unwrap_or_else(PoisonError::into_inner)
}
