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
        let _ = writeln!(text, "{name}: undone: {}.", plain(line));
    }
    for line in &outcome.redone {
        let _ = writeln!(text, "{name}: redone: {}.", plain(line));
    }
    if let Some(figure) = &outcome.figure {
        let _ = writeln!(text, "\n{}", of_figure(figure, tray, paint, width));
    }
    if let Some(saved) = &outcome.saved {
        let _ = writeln!(text, "Saved in {}.", plain(&saved.display().to_string()));
    }
    text
}

/// The steps, oldest first, then those undone.
pub fn history(bench: &Workbench) -> String {
    let name = bench.figure().name();
    let (done, undone) = (bench.history().done(), bench.history().undone());
    if done.is_empty() && undone.is_empty() {
        return format!("{name}: no changes by hand yet.\n");
    }
    let mut text = format!("{name}: changes by hand, oldest first.\n");
    for (number, step) in (1..).zip(done) {
        let _ = writeln!(text, "{number:>5}  {}", plain(step.line()));
    }
    if !undone.is_empty() {
        let _ = writeln!(text, "Undone; --redo restores, oldest first:");
    }
    for (number, step) in (done.len() + 1..).zip(undone) {
        let _ = writeln!(text, "{number:>5}  {}", plain(step.line()));
    }
    text
}
