//! What was done to a figure by hand, step by step, so that yesterday's step can be undone.
//!
//! A step is its line and the lines of the figure's text that it changed, as a person would compare two files:
//! undoing puts the old lines back. The history also holds the figure's text after the last step that is done; so
//! a change made outside is noticed, and becomes a step of its own.

mod difference;
mod text;

use std::sync::Arc;

use difference::Hunk;

use super::{Figure, read, write};
use crate::error::{Error, Result};

/// Most steps that are kept; the oldest goes first. Weeks of work on one figure.
pub const MOST_STEPS: usize = 10_000;

/// Most bytes that the lines and changes of all steps may have, and with them the file: as many steps of the usual kind,
/// on a figure of two dozen rows, take a third of it.
pub const MOST_STEP_BYTES: usize = 8 << 20;

/// The line of a step that was made outside, in an editor or by another program.
pub const ELSEWHERE: &str = "changed elsewhere";

/// One step.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Step {
    line: String,
    change: Vec<Hunk>,
    /// From the figure's file after the step to the file before it, where a maker's comment or order went with the step.
    words: Vec<Hunk>,
}

impl Step {
    /// The line of its change, as [`super::Edit`] writes it, or [`ELSEWHERE`].
    pub fn line(&self) -> &str {
        &self.line
    }
}

/// A step taken back or done again.
#[derive(Clone, Debug, PartialEq)]
pub struct Taken {
    /// The figure after it.
    pub figure: Figure,
    /// The step's line.
    pub line: String,
    words: Vec<Hunk>,
}

impl Taken {
    /// The text of a figure's file that the step was taken back from, as the maker had it before the step; nothing
    /// where no comment went with it, or where the file was written in since.
    pub(super) fn with_words(&self, text: &str) -> Option<String> {
        let before = difference::applied(text, &self.words, true).filter(|_| !self.words.is_empty())?;
        Some(before).filter(|before| read("", before).is_ok_and(|figure| figure == self.figure))
    }
}

/// The steps of a figure: those done and, after them, those undone.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct History {
    /// A change keeps what was before it until it is on disk: steps are shared, not copied.
    steps: Vec<Arc<Step>>,
    done: usize,
    now: String,
    /// The tray that served last: its file, as it is found from beside the figure.
    tray: Option<String>,
}

impl History {
    /// No steps yet.
    pub fn new(figure: &Figure) -> Self {
        Self { steps: Vec::new(), done: 0, now: write(figure), tray: None }
    }

    /// Reads a history; `file` is its name in errors.
    ///
    /// # Errors
    /// [`Error::HistoryFile`].
    pub fn read(file: &str, text: &str) -> Result<Self> {
        text::read(text).map_err(|why| Error::HistoryFile { file: file.into(), why })
    }

    /// Writes it as its file has it; [`Self::read`] gives the same history back.
    pub fn write(&self) -> String {
        text::write(self)
    }

    /// The tray that served last, as it is found from beside the figure; none where nobody named one.
    pub fn tray(&self) -> Option<&str> {
        self.tray.as_deref()
    }

    /// Remembers the tray that serves.
    pub(super) fn serve_with(&mut self, tray: &str) {
        self.tray = Some(tray.into());
    }

    /// The steps that are done, oldest first.
    pub fn done(&self) -> &[Arc<Step>] {
        &self.steps[..self.done]
    }

    /// The steps that were undone and can be done again, the next one first.
    pub fn undone(&self) -> &[Arc<Step>] {
        &self.steps[self.done..]
    }

    /// Adds a step that led from the figure as it stands to `after`. Steps that were undone are gone with it.
    pub fn record(&mut self, line: &str, after: &Figure) {
        let after = write(after);
        self.steps.truncate(self.done);
        let change = difference::between(&self.now, &after);
        self.steps.push(Arc::new(Step { line: line.into(), change, words: Vec::new() }));
        self.now = after;
        self.done += 1;
        self.forget();
    }

    /// Keeps with the last step how the figure's file was before it, where what is read of `after` does not tell.
    pub(super) fn keep_words(&mut self, before: &str, after: &str) {
        if let Some(step) = self.steps.last_mut() {
            Arc::make_mut(step).words = difference::between(after, before);
        }
    }

    fn forget(&mut self) {
        let weight = |step: &Step| {
            step.line.len() + step.change.iter().chain(&step.words).map(Hunk::bytes).sum::<usize>()
        };
        let (mut steps, mut bytes) = (0, 0);
        let keeps = |step: &&Arc<Step>| {
            (steps, bytes) = (steps + 1, bytes + weight(step));
            // The last step stays whatever it weighs.
            steps == 1 || (steps <= MOST_STEPS && bytes <= MOST_STEP_BYTES)
        };
        let kept = self.steps.iter().rev().take_while(keeps).count();
        let gone = self.steps.len() - kept;
        self.steps.drain(..gone);
        self.done -= gone;
    }

    /// Takes the last step back. `file` is the figure's, in errors.
    ///
    /// # Errors
    /// [`Error::NoStep`]; [`Error::ChangedElsewhere`] if `figure` is not the one the history ends at, see
    /// [`Self::catch_up`]; [`Error::HistoryFile`] if the history does not fit.
    pub fn undo(&mut self, file: &str, figure: &Figure) -> Result<Taken> {
        let at = self.done.checked_sub(1).ok_or(Error::NoStep { file: file.into(), what: "undo" })?;
        let taken = self.walk(file, figure, at, false)?;
        self.done = at;
        Ok(taken)
    }

    /// Does the next undone step again.
    ///
    /// # Errors
    /// As [`Self::undo`].
    pub fn redo(&mut self, file: &str, figure: &Figure) -> Result<Taken> {
        if self.done == self.steps.len() {
            return Err(Error::NoStep { file: file.into(), what: "redo" });
        }
        let taken = self.walk(file, figure, self.done, true)?;
        self.done += 1;
        Ok(taken)
    }

    fn walk(&mut self, file: &str, figure: &Figure, at: usize, forward: bool) -> Result<Taken> {
        if write(figure) != self.now {
            return Err(Error::ChangedElsewhere { file: file.into() });
        }
        let step = &self.steps[at];
        let unfit = || Error::HistoryFile {
            file: file.into(),
            why: format!("its history does not fit at the step '{}'", step.line),
        };
        let text = difference::applied(&self.now, &step.change, forward).ok_or_else(unfit)?;
        let figure = read(file, &text).map_err(|_| unfit())?;
        let words = if forward { Vec::new() } else { step.words.clone() };
        let taken = Taken { figure, line: step.line.clone(), words };
        self.now = text;
        Ok(taken)
    }

    /// Brings the history to a figure that was changed outside. Where it is the figure of an earlier step, or
    /// of one undone, the history stands there (a program that ended between its two files leaves it so);
    /// else the change becomes a step of its own. Says whether it had to.
    pub fn catch_up(&mut self, figure: &Figure) -> bool {
        let text = write(figure);
        if text == self.now {
            return false;
        }
        match self.standing_at(&text, false).or_else(|| self.standing_at(&text, true)) {
            Some(done) => (self.done, self.now) = (done, text),
            None => self.record(ELSEWHERE, figure),
        }
        true
    }

    /// How many steps are done where the figure's text is this one, looked for backward or forward.
    fn standing_at(&self, text: &str, forward: bool) -> Option<usize> {
        let (mut done, mut now) = (self.done, self.now.clone());
        loop {
            let at =
                if forward { Some(done).filter(|at| *at < self.steps.len()) } else { done.checked_sub(1) };
            now = difference::applied(&now, &self.steps[at?].change, forward)?;
            done = if forward { done + 1 } else { done - 1 };
            if now == text {
                return Some(done);
            }
        }
    }
}
