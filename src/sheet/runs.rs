//! The runs of a row, as a maker counts them aloud: '3 coal, 2 bone, gap 1'.

use super::kinds::{Kind, Kinds};
use super::layout::BOUND;
use crate::units::{Column, Row};

/// Equal pegs side by side.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Run {
    /// Where the bead stands among the figure's kinds; nothing for empty pegs.
    pub kind: Option<usize>,
    /// The first peg.
    pub from: Column,
    /// How many pegs; at least 1.
    pub count: usize,
}

/// The runs of a row, left to right; a row without beads has none.
pub(super) fn of_row(figure: &Kinds, row: Row) -> Vec<Run> {
    let mut runs: Vec<Run> = Vec::new();
    for column in (0..figure.beads.columns()).map(Column) {
        let kind = figure.beads[(row, column)];
        match runs.last_mut() {
            Some(run) if run.kind == kind => run.count += 1,
            _ => runs.push(Run { kind, from: column, count: 1 }),
        }
    }
    if runs.iter().all(|run| run.kind.is_none()) { Vec::new() } else { runs }
}

/// A row's runs in words, every gap named, so that they add up to the figure's columns. A count and its
/// bead are bound to one line.
pub(super) fn in_words(figure: &Kinds, row: Row) -> String {
    let one = |run: Run| match run.kind.and_then(|kind| figure.kinds.get(kind)) {
        Some(Kind { name, .. }) => format!("{}{BOUND}{name}", run.count),
        None => format!("gap{BOUND}{}", run.count),
    };
    let words: Vec<String> = of_row(figure, row).into_iter().map(one).collect();
    if words.is_empty() { "no beads".into() } else { words.join(", ") }
}
