//! What is being done, once it takes time: shown on a terminal, silent in a pipe.

use std::borrow::Cow;
use std::sync::mpsc::{Sender, channel};
use std::time::Duration;

use indicatif::{ProgressBar, ProgressDrawTarget, ProgressStyle};

/// What is done sooner is not spoken of.
const PATIENCE: Duration = Duration::from_secs(2);

/// How often the sign of life moves.
const BEAT: Duration = Duration::from_millis(120);

/// A line on standard error that says what is being done. It comes when that takes longer than a moment and vanishes when
/// it is done.
pub struct Progress {
    bar: ProgressBar,
    /// Closed when all is done: nobody waits on to show the line.
    _done: Sender<()>,
}

impl Progress {
    /// Begins with a step.
    pub fn start(step: &'static str) -> Self {
        let bar = ProgressBar::with_draw_target(None, ProgressDrawTarget::hidden());
        if let Ok(style) = ProgressStyle::with_template("{spinner} {msg}") {
            bar.set_style(style.tick_chars("·oOo "));
        }
        bar.set_message(step);
        let (done, wait) = channel();
        let shown = bar.clone();
        // Without a thread to spare nothing is shown, and the work is done all the same.
        let _ = std::thread::Builder::new().spawn(move || {
            if wait.recv_timeout(PATIENCE) == Err(std::sync::mpsc::RecvTimeoutError::Timeout) {
                shown.set_draw_target(ProgressDrawTarget::stderr());
                shown.enable_steady_tick(BEAT);
            }
        });
        Self { bar, _done: done }
    }

    /// Shows the next step.
    pub fn next(&self, step: impl Into<Cow<'static, str>>) {
        self.bar.set_message(step);
    }

    /// Says of a step of many how far it is.
    pub fn counts(&self, step: &'static str) -> impl Fn(usize, usize) + Sync {
        let bar = self.bar.clone();
        move |done, all| bar.set_message(format!("{step}, {done} of {all}"))
    }

    /// Takes the line away.
    pub fn done(self) {
        self.bar.finish_and_clear();
    }
}

impl Drop for Progress {
    /// An error takes the line away as well.
    fn drop(&mut self) {
        self.bar.finish_and_clear();
    }
}
