//! What `smallcast reuse --json` prints of a new figure. Rows and columns are counted from 1, as in lines of changes.

use std::path::Path;

use serde::Serialize;
use smallcast::figure::Edited;

use super::Made;

/// The layout of the document; grows when a reader would have to change.
const FORMAT: u32 = 1;

/// The document of a new figure.
#[derive(Serialize)]
pub struct Document {
    format: u32,
    /// The beads that serve: the tray's file, or `embedded`.
    tray: String,
    /// The older figure's file.
    old: String,
    /// The new one's.
    saved: String,
    name: String,
    class: Option<String>,
    /// Rows from the first bead to the last.
    rows: usize,
    changes: Vec<ChangeJson>,
    /// Beads that lie otherwise than in the older figure, of those that lie in either.
    apart: ApartJson,
    notes: Vec<String>,
    warnings: Vec<WarningJson>,
}

#[derive(Serialize)]
struct ChangeJson {
    #[serde(rename = "do")]
    line: String,
    said: String,
    kept_by_hand: usize,
}

#[derive(Serialize)]
struct ApartJson {
    beads: usize,
    of: usize,
}

#[derive(Serialize)]
struct WarningJson {
    name: &'static str,
    text: String,
}

/// The document of what was made of `old`.
pub fn document(old: String, target: &Path, made: &Made, tray: String) -> Document {
    let change = |(line, edited): &(String, Edited)| ChangeJson {
        line: line.clone(),
        said: edited.said.clone(),
        kept_by_hand: edited.kept_by_hand,
    };
    let warnings = made.warnings.iter();
    Document {
        format: FORMAT,
        tray,
        old,
        saved: target.display().to_string(),
        name: made.new.name().into(),
        class: made.new.class().map(str::to_owned),
        rows: made.new.beads().rows(),
        changes: made.changes.iter().map(change).collect(),
        apart: ApartJson { beads: made.apart.0, of: made.apart.1 },
        notes: made.notes.clone(),
        warnings: warnings.map(|w| WarningJson { name: w.name(), text: w.to_string() }).collect(),
    }
}
