//! What is being done, while it takes time: shown on a terminal, silent in a pipe.

use std::borrow::Cow;
use std::time::Duration;

use indicatif::{ProgressBar, ProgressStyle};

/// How often the sign of life moves.
const BEAT: Duration = Duration::from_millis(120);

/// A line on standard error that says what is being done and vanishes when it is done.
pub struct Progress(ProgressBar);

impl Progress {
    /// Shows the first step.
    pub fn start(step: &'static str) -> Self {
        let bar = ProgressBar::new_spinner();
        if let Ok(style) = ProgressStyle::with_template("{spinner} {msg}") {
            bar.set_style(style.tick_chars("·oOo "));
        }
        bar.set_message(step);
        bar.enable_steady_tick(BEAT);
        Self(bar)
    }

    /// Shows the next step.
    pub fn next(&self, step: impl Into<Cow<'static, str>>) {
        self.0.set_message(step);
    }

    /// Takes the line away.
    pub fn done(self) {
        self.0.finish_and_clear();
    }
}

impl Drop for Progress {
    /// An error takes the line away as well.
    fn drop(&mut self) {
        self.0.finish_and_clear();
    }
}
