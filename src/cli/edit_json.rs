//! What `smallcast edit --json` prints. Rows and columns are counted from 1, as in the lines of changes.

use std::sync::Arc;

use serde::Serialize;
use smallcast::figure::{Edited, HistoryStep, Workbench};

use super::edit::Outcome;

/// The layout of the document; grows when a reader would have to change.
const FORMAT: u32 = 1;

/// The document of a call.
#[derive(Serialize)]
pub struct Document {
    format: u32,
    file: String,
    saved: Option<String>,
    changes: Vec<ChangeJson>,
    undone: Vec<String>,
    redone: Vec<String>,
    history: HistoryJson,
    warnings: Vec<WarningJson>,
}

#[derive(Serialize)]
struct ChangeJson {
    #[serde(rename = "do")]
    line: String,
    said: String,
    kept_by_hand: usize,
    /// Row and column of each bead that shows otherwise than before.
    beads: Vec<[usize; 2]>,
}

#[derive(Serialize)]
struct HistoryJson {
    done: Vec<String>,
    undone: Vec<String>,
}

#[derive(Serialize)]
struct WarningJson {
    name: &'static str,
    text: String,
}

/// The document of what was done to `file`. The history is that of the figure that was opened.
pub fn document(file: String, bench: &Workbench, outcome: &Outcome) -> Document {
    let lines = |steps: &[Arc<HistoryStep>]| steps.iter().map(|step| step.line().to_owned()).collect();
    let history = bench.history();
    Document {
        format: FORMAT,
        file,
        saved: outcome.saved.as_ref().map(|saved| saved.display().to_string()),
        changes: outcome.made.iter().map(|(line, edited)| change(line, edited)).collect(),
        undone: outcome.undone.clone(),
        redone: outcome.redone.clone(),
        history: HistoryJson { done: lines(history.done()), undone: lines(history.undone()) },
        warnings: outcome
            .warnings
            .iter()
            .map(|warning| WarningJson { name: warning.name(), text: warning.to_string() })
            .collect(),
    }
}

fn change(line: &str, edited: &Edited) -> ChangeJson {
    ChangeJson {
        line: line.into(),
        said: edited.said.clone(),
        kept_by_hand: edited.kept_by_hand,
        beads: edited.changed.iter().map(|(row, column)| [row.0 + 1, column.0 + 1]).collect(),
    }
}
