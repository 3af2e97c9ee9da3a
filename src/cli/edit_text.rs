//! What `smallcast edit` says without the page.

use std::fmt::Write as _;

use smallcast::figure::Workbench;
use smallcast::tray::Tray;

use super::edit::Outcome;
use super::figure_text::of_figure;
use super::output::Paint;
use super::report::plain;
use super::table::wrapped;

/// What was done, the figure as it is now, and where it is saved; in the colours and columns given.
pub fn report(bench: &Workbench, outcome: &Outcome, tray: &Tray, (paint, width): (Paint, usize)) -> String {
    let name = bench.figure().name();
    let mut text = String::new();
    // Writing to a String does not fail.
    for (_, edited) in &outcome.made {
        let _ = writeln!(text, "{}", wrapped(&format!("{name}: {}.", plain(&edited.said)), width));
    }
    for line in &outcome.undone {
        let _ = writeln!(text, "{}", wrapped(&format!("{name}: undone: {}.", plain(line)), width));
    }
    for line in &outcome.redone {
        let _ = writeln!(text, "{}", wrapped(&format!("{name}: redone: {}.", plain(line)), width));
    }
    if let Some(figure) = &outcome.figure {
        let _ = writeln!(text, "\n{}", of_figure(figure, tray, paint, width));
    }
    if let Some(saved) = &outcome.saved {
        let _ = writeln!(text, "Saved in {}.", plain(&saved.display().to_string()));
    }
    if let steps @ 2.. = outcome.made.len() {
        let _ = writeln!(text, "{steps} steps; undo them with --undo {steps}.");
    }
    text
}

/// The steps, oldest first, then those undone.
pub fn history(bench: &Workbench, width: usize) -> String {
    let name = bench.figure().name();
    let (done, undone) = (bench.history().done(), bench.history().undone());
    if done.is_empty() && undone.is_empty() {
        return format!("{name}: no changes by hand yet.\n");
    }
    let mut text = format!("{}\n", wrapped(&format!("{name}: changes by hand, oldest first."), width));
    for (number, step) in (1..).zip(done) {
        let _ = writeln!(text, "{}", numbered(number, step.line(), width));
    }
    if !undone.is_empty() {
        let _ = writeln!(text, "{}", wrapped("Undone; --redo restores, oldest first:", width));
    }
    for (number, step) in (done.len() + 1..).zip(undone) {
        let _ = writeln!(text, "{}", numbered(number, step.line(), width));
    }
    text
}

/// A line of the history with its number.
fn numbered(number: usize, line: &str, width: usize) -> String {
    const NUMBER: usize = 7;
    let line = wrapped(&plain(line), width - NUMBER).replace('\n', &format!("\n{}", " ".repeat(NUMBER)));
    format!("{number:>5}  {line}")
}
