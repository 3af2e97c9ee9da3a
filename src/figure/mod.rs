//! The figure: what is saved, shown and, later, edited.

mod anatomy;
mod decisions;
mod digest;
mod edit;
mod file;
mod grids;
mod history;
mod meant;
mod parts;
mod saved;
mod text;
mod whereabouts;
mod workbench;

pub use anatomy::Anatomy;
pub use decisions::{Asks, Decision, EVEN, Instead, MOST_ASKED, Question, Questions, SURE, decisions};
pub use digest::digest;
pub(crate) use edit::NOTHING_CHANGES;
pub use edit::{AtHand, ColumnIn, Edit, Edited, NoOthers, Others, RowIn, Side, Spot, Way};
pub use file::{MOST_BYTES, read};
pub use history::{ELSEWHERE, History, MOST_STEP_BYTES, MOST_STEPS, Step as HistoryStep, Taken};
pub use meant::Meant;
pub use parts::{Part, Placed, Second, Step, Sure};
pub use saved::saved;
use saved::{leads_back, saved_from};
pub use text::write;
pub use whereabouts::Whereabouts;
pub use workbench::{Beside, Change, ENDING, Workbench, history_file, last_tray, served_with};

use std::collections::{BTreeMap, BTreeSet};

use crate::colour::Lab;
use crate::error::{Error, Result, is_unprintable};
use crate::grid::Grid;
use crate::plan::{MOST_COLUMNS, MOST_ROWS, ZoneRows};
use crate::reference::Corners;
use crate::units::{Centimetres, Column, Confidence, Row};

/// The one part of a figure that is in no parts, as a draft calls it.
const FIRST_PART: &str = "body";

/// The printable character that stands for a bead in a figure file.
///
/// Never `.` (an empty peg) or a space, and none of `"`, `'` and `\`, which the file's own text uses.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Mark(char);

impl Mark {
    /// Marks handed out to legends, in this order; letters first, since they read best.
    pub const ORDER: &'static str =
        "abcdefghijklmnopqrstuvwxyzABCDEFGHIJKLMNOPQRSTUVWXYZ0123456789+*#%&@=?$<>^~:;/|!-_";

    /// A mark from a character, if it can be one: one column wide, printable, and not kept for the file.
    pub fn new(c: char) -> Option<Self> {
        const KEPT: [char; 4] = ['.', '"', '\'', '\\'];
        let is_printable = !is_unprintable(c) && !c.is_whitespace() && !KEPT.contains(&c);
        (is_printable && unicode_width::UnicodeWidthChar::width(c) == Some(1)).then_some(Self(c))
    }

    /// The first of [`Self::ORDER`].
    pub const fn first() -> Self {
        Self('a')
    }

    /// The character.
    pub fn get(self) -> char {
        self.0
    }

    /// The first mark not taken among a bead's own letters, small and large, then among all marks.
    pub fn free_for(bead: &str, taken: &BTreeSet<Self>) -> Self {
        let letters = || bead.chars().filter(char::is_ascii_alphabetic);
        let small = letters().map(|c| c.to_ascii_lowercase());
        let large = letters().map(|c| c.to_ascii_uppercase());
        let others = Self::ORDER.chars();
        // A figure has far fewer beads than there are marks; past them, letters of other scripts serve.
        let further = ('\u{00C0}'..='\u{024F}').chain('\u{0391}'..='\u{03C9}');
        let mut candidates = small.chain(large).chain(others).chain(further).filter_map(Self::new);
        candidates.find(|mark| !taken.contains(mark)).unwrap_or(Self::first())
    }
}

/// Who chose a bead.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum ChosenBy {
    /// The tool, from a picture.
    Match,
    /// The maker.
    Hand,
}

/// What one mark stands for.
#[derive(Clone, Debug, PartialEq)]
pub struct LegendEntry {
    /// The mark.
    pub mark: Mark,
    /// The bead's name in the tray.
    pub bead: String,
    /// The colour the reference asked for, before matching; kept to a hundredth.
    pub aim: Option<Lab>,
    /// How likely the maker keeps this bead for this colour; kept to a hundredth.
    pub confidence: Option<Confidence>,
    /// Who chose it.
    pub by: ChosenBy,
}

/// The picture a figure was drafted from.
#[derive(Clone, Debug, PartialEq)]
pub struct Source {
    /// The file, as it is found from beside the figure file.
    pub picture: String,
    /// The used part in pixels of the upright picture: x, y, width, height.
    pub crop: Option<[u32; 4]>,
    /// The corners of the sheet it was drawn on, where one was found or given.
    pub corners: Option<Corners>,
}

/// All there is to say of a figure, before it is checked.
#[derive(Clone, Debug, PartialEq)]
pub struct Description {
    /// Its name.
    pub name: String,
    /// Standing height.
    pub stature: Option<Centimetres>,
    /// Height class; absent when drafted as drawn.
    pub class: Option<String>,
    /// Where it came from.
    pub source: Option<Source>,
    /// Rows by zone; absent when drafted as drawn.
    pub rows: Option<ZoneRows>,
    /// What each mark stands for.
    pub legend: Vec<LegendEntry>,
    /// The detectors that set beads, each by the mark that stands for it ([`Placed::why`]). A name that is not known
    /// here is kept.
    pub why: BTreeMap<Mark, String>,
    /// The layers, lowest first.
    pub parts: Vec<Part>,
    /// What a rule would report and the maker means so.
    pub meant: Vec<Meant>,
}

/// A figure of beads: parts over one another, the last wins.
///
/// Its marks are unique, every bead's mark is in the legend, and its rows by zone, where it has them, add
/// up to the rows its parts span.
#[derive(Clone, Debug, PartialEq)]
pub struct Figure(Description);

impl Description {
    /// A character of its words that a terminal would obey, or that turns the direction of writing. A reason may have
    /// several lines.
    fn unprintable(&self) -> Option<char> {
        let picture = self.source.as_ref().map(|source| &source.picture);
        let named = [Some(&self.name), self.class.as_ref(), picture].into_iter().flatten();
        let words = named
            .chain(self.legend.iter().map(|entry| &entry.bead))
            .chain(self.why.values())
            .chain(self.parts.iter().flat_map(|part| [Some(&part.name), part.from.as_ref()]).flatten())
            .chain(self.meant.iter().map(|meant| &meant.rule));
        let reasons = self.meant.iter().flat_map(|meant| meant.why.split(['\n', '\r', '\t']));
        let mut letters = words.flat_map(|text| text.chars()).chain(reasons.flat_map(str::chars));
        letters.find(|c| is_unprintable(*c))
    }
}

/// What is wrong with a text that has such a character, and what would be right.
fn control_character(odd: char) -> String {
    format!("there is a control character in a text ({})", odd.escape_unicode())
}
const TYPE_ANEW: &str = "type that text again with visible characters only";

impl Figure {
    /// A figure of what was described. `file` is its name in errors.
    ///
    /// # Errors
    /// [`Error::FigureFile`] that names what does not fit.
    pub fn new(file: &str, mut description: Description) -> Result<Self> {
        let fault =
            |why: String, right: &str| Err(Error::FigureFile { file: file.into(), why, right: right.into() });
        if let Some(odd) = description.unprintable() {
            return fault(control_character(odd), TYPE_ANEW);
        }
        let mut marks = BTreeSet::new();
        if let Some(twice) = description.legend.iter().find(|entry| !marks.insert(entry.mark)) {
            let why = format!("the mark '{}' appears twice in the legend", twice.mark.get());
            return fault(why, "give each line of the legend its own mark");
        }
        for part in &description.parts {
            let unknown = part.beads.iter().find_map(|(row, column, placed)| {
                placed.filter(|p| !marks.contains(&p.mark)).map(|p| (row, column, p.mark))
            });
            if let Some((row, column, mark)) = unknown {
                let place = format!("row {}, column {}", row.0 + 1, column.0 + 1);
                let why =
                    format!("part '{}', {place}: the mark '{}' is not in the legend", part.name, mark.get());
                return fault(why, "add it to the legend, or put '.' for an empty peg");
            }
            if let Some((why, right)) = unsaid(part, &marks, &description.why) {
                return fault(why, right);
            }
        }
        let (rows, columns) = spanned(&description.parts);
        if rows > MOST_ROWS || columns > MOST_COLUMNS {
            let right = format!("keep it to {MOST_ROWS} rows and {MOST_COLUMNS} columns at most");
            return fault(format!("the figure spans {rows} rows and {columns} columns"), &right);
        }
        if let Some(rows) = &description.rows {
            let spanned = spanned(&description.parts).0;
            if rows.total() != spanned {
                let why = format!("[rows] adds up to {}, and the parts span {spanned} rows", rows.total());
                return fault(why, "make the rows by zone add up to the grid's rows");
            }
        }
        description.legend.iter_mut().for_each(round_entry);
        description.parts.iter_mut().for_each(Part::fill_or);
        Ok(Self(description))
    }

    /// Its name.
    pub fn name(&self) -> &str {
        &self.0.name
    }

    /// Standing height.
    pub fn stature(&self) -> Option<Centimetres> {
        self.0.stature
    }

    /// Height class; absent when drafted as drawn.
    pub fn class(&self) -> Option<&str> {
        self.0.class.as_deref()
    }

    /// The picture it was drafted from.
    pub fn source(&self) -> Option<&Source> {
        self.0.source.as_ref()
    }

    /// The same figure with its reference found by another name; one without a reference stays without.
    pub fn with_picture(mut self, picture: &str) -> Self {
        self.0.source.iter_mut().for_each(|source| source.picture = picture.into());
        self
    }

    /// The same figure without its reference.
    pub fn without_picture(mut self) -> Self {
        self.0.source = None;
        self
    }

    /// Rows by zone; absent when drafted as drawn.
    pub fn rows(&self) -> Option<&ZoneRows> {
        self.0.rows.as_ref()
    }

    /// What each mark stands for.
    pub fn legend(&self) -> &[LegendEntry] {
        &self.0.legend
    }

    /// What one mark stands for.
    pub fn entry(&self, mark: Mark) -> Option<&LegendEntry> {
        self.0.legend.iter().find(|entry| entry.mark == mark)
    }

    /// The detectors that set beads, by the marks that stand for them.
    pub fn why(&self) -> &BTreeMap<Mark, String> {
        &self.0.why
    }

    /// The detector that set a bead; none where its window did, or a hand.
    pub fn set_by(&self, placed: Placed) -> Option<&str> {
        self.0.why.get(&placed.why?).map(String::as_str)
    }

    /// The layers, lowest first.
    pub fn parts(&self) -> &[Part] {
        &self.0.parts
    }

    /// What a rule would report and the maker means so.
    pub fn meant(&self) -> &[Meant] {
        &self.0.meant
    }

    /// The topmost part that has a bead at a place: the one that shows there.
    pub fn part_at(&self, row: Row, column: Column) -> Option<&Part> {
        let shows = |part: &&Part| {
            let inside = row.0.checked_sub(part.at.0.0).zip(column.0.checked_sub(part.at.1.0));
            inside.is_some_and(|(r, c)| part.beads.get(Row(r), Column(c)).is_some_and(Option::is_some))
        };
        self.0.parts.iter().rev().find(shows)
    }

    /// Whether the maker left a place empty on purpose: no bead shows there, and a part says so.
    pub fn is_bare(&self, row: Row, column: Column) -> bool {
        let says = |part: &Part| {
            let inside = row.0.checked_sub(part.at.0.0).zip(column.0.checked_sub(part.at.1.0));
            inside.is_some_and(|(r, c)| part.bare.contains(&(Row(r), Column(c))))
        };
        self.0.parts.iter().any(says) && self.part_at(row, column).is_none()
    }

    /// The beads that show: parts laid over one another, the last wins.
    pub fn beads(&self) -> Grid<Option<Placed>> {
        let (rows, columns) = spanned(&self.0.parts);
        let mut beads = Grid::from_fn(rows, columns, |_, _| None);
        for part in &self.0.parts {
            for (row, column, placed) in part.beads.iter().filter(|(_, _, placed)| placed.is_some()) {
                beads[(Row(part.at.0.0 + row.0), Column(part.at.1.0 + column.0))] = *placed;
            }
        }
        beads
    }

    /// How many beads show of each line of the legend, in its order.
    pub fn counts(&self) -> Vec<(&LegendEntry, usize)> {
        let beads = self.beads();
        let count = |mark: Mark| beads.iter().filter(|(_, _, b)| b.is_some_and(|b| b.mark == mark)).count();
        self.0.legend.iter().map(|entry| (entry, count(entry.mark))).collect()
    }
}

/// Rows and columns from the first peg to the end of the farthest part.
fn spanned(parts: &[Part]) -> (usize, usize) {
    let rows = parts.iter().map(|part| part.at.0.0 + part.beads.rows()).max().unwrap_or(0);
    let columns = parts.iter().map(|part| part.at.1.0 + part.beads.columns()).max().unwrap_or(0);
    (rows, columns)
}

/// A mark of a part's beads that stands for no detector, or for no other bead: why that is a fault, and what would be
/// right.
fn unsaid(
    part: &Part,
    legend: &BTreeSet<Mark>,
    detectors: &BTreeMap<Mark, String>,
) -> Option<(String, &'static str)> {
    part.beads.iter().find_map(|(row, column, placed)| {
        let placed = (*placed)?;
        let at = format!("part '{}', row {}, column {}", part.name, row.0 + 1, column.0 + 1);
        if let Some(mark) = placed.why.filter(|mark| !detectors.contains_key(mark)) {
            let why = format!("{at}: the mark '{}' of why is not in [why]", mark.get());
            return Some((why, "name the detector in [why], or put '.' where none set the bead"));
        }
        let Some(Second::Bead(mark)) = placed.or else { return None };
        let why = format!("{at}: the mark '{}' of or is not in the legend", mark.get());
        (!legend.contains(&mark)).then_some((why, "add it to the legend, or put the bead's own mark"))
    })
}

/// Brings numbers to the steps the file has, so that a figure read back is the figure written.
fn round_entry(entry: &mut LegendEntry) {
    let hundredths = |v: f64| {
        let rounded = (v * 100.0).round() / 100.0;
        // No minus before a nought.
        if rounded == 0.0 { 0.0 } else { rounded }
    };
    entry.aim = entry.aim.map(|Lab { l, a, b }| Lab::new(hundredths(l), hundredths(a), hundredths(b)));
    entry.confidence = entry.confidence.map(|c| Confidence::new(hundredths(c.get())));
}
