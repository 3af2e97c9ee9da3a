//! The shelf: every figure of a folder at a glance.

use std::collections::{BTreeMap, BTreeSet};
use std::path::Path;

use serde::Serialize;

use super::decisions;
use super::folder::Folder;
use super::shared::Shared;
use super::table::{ShortLine, counted, hex, pegs, settled};
use crate::cast::stem;
use crate::error::Result;
use crate::figure::{Figure, MOST_ASKED};
use crate::sheet::figure_colours;

/// The figures of a folder, by name.
#[derive(Debug, Serialize)]
pub struct Shelf {
    figures: Vec<OnShelf>,
    /// Pictures of the folder that no figure names as its reference: new figures may be drafted from them.
    pictures: Vec<String>,
}

/// A figure on the shelf, or a file that is none and why: one broken file must not hide the others.
#[derive(Debug, Serialize)]
#[serde(untagged)]
enum OnShelf {
    Read {
        file: String,
        name: String,
        class: Option<String>,
        rows: usize,
        columns: usize,
        doubts: usize,
        settled: usize,
        findings: usize,
        /// Beads that the tray lacks for it.
        short: u64,
        #[serde(skip)]
        reference: Option<String>,
        /// Its rows in marks, `.` an empty peg.
        look: Vec<String>,
        /// The colour of each mark.
        colours: BTreeMap<char, String>,
    },
    Unread {
        file: String,
        why: String,
    },
}

impl Shelf {
    /// Reads a folder.
    ///
    /// # Errors
    /// [`crate::error::Error::Unreadable`].
    pub fn of(folder: &Folder, shared: &Shared) -> Result<Self> {
        let files = folder.figures()?.into_iter();
        let figures: Vec<OnShelf> =
            files.map(|file| on_shelf(&folder.root().join(&file), file, shared)).collect();
        let named: BTreeSet<&str> = figures
            .iter()
            .filter_map(|figure| match figure {
                OnShelf::Read { reference, .. } => reference.as_deref(),
                OnShelf::Unread { .. } => None,
            })
            .collect();
        let stems: Vec<String> = figures.iter().map(|figure| stem(Path::new(figure.file()))).collect();
        let is_free = |name: &String| !named.contains(name.as_str()) && !is_made(name, &stems);
        let pictures = folder.pictures().into_iter().filter(is_free).collect();
        Ok(Self { figures, pictures })
    }
}

impl OnShelf {
    fn file(&self) -> &str {
        match self {
            Self::Read { file, .. } | Self::Unread { file, .. } => file,
        }
    }
}

/// Whether a picture is called as those are that are made of figures: `anna.draft.png` and `anna.steps-2.png` beside
/// `anna.figure.toml`, and the line-up.
fn is_made(name: &str, stems: &[String]) -> bool {
    let begins = |stem: &str| name.strip_prefix(stem).and_then(|rest| rest.strip_prefix('.'));
    begins("lineup").is_some() || stems.iter().any(|stem| begins(stem).is_some_and(|rest| rest.contains('.')))
}

fn on_shelf(path: &Path, file: String, shared: &Shared) -> OnShelf {
    let figure = match Figure::open(path) {
        Ok(figure) => figure,
        Err(error) => {
            // Where the folder lies is nobody's business in a page.
            let why = error.to_string().replace(&path.display().to_string(), &file);
            return OnShelf::Unread { file, why };
        }
    };
    let pegs = pegs(&figure);
    let tray = &shared.tray;
    let mut look = vec![String::new(); pegs.rows()];
    let mut colours = BTreeMap::new();
    for ((row, _, peg), (.., colour)) in pegs.iter().zip(figure_colours(&figure, tray).iter()) {
        let mark = peg.map_or('.', |(bead, _)| bead.mark.get());
        look[row.0].push(mark);
        colours.extend(colour.map(|colour| (mark, hex(colour))));
    }
    OnShelf::Read {
        name: figure.name().into(),
        class: figure.class().map(str::to_owned),
        short: counted(&figure, tray).short.iter().map(ShortLine::missing).sum(),
        reference: figure.source().map(|source| source.picture.clone()),
        rows: pegs.rows(),
        columns: pegs.columns(),
        doubts: decisions::count(&figure, tray).min(MOST_ASKED),
        settled: settled(&figure, &pegs),
        findings: shared.findings(&file, &figure).iter().filter(|(_, why)| why.is_none()).count(),
        look,
        colours,
        file,
    }
}
