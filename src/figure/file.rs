//! Figure files, `NAME.figure.toml`: plain text, made for `git diff` and a person with an editor.

use std::path::Path;

use serde::Deserialize;
use toml::Spanned;

use super::{ChosenBy, Description, Figure, LegendEntry, Mark, Meant, Part, Placed, Source, Sure};
use crate::colour::Lab;
use crate::error::{Error, Result};
use crate::grid::Grid;
use crate::plan::ZoneRows;
use crate::reference::Corners;
use crate::units::{Centimetres, Column, Confidence, Row};

/// The format this house reads and writes.
pub(super) const FORMAT: i64 = 1;

/// Most bytes of a figure file: hundreds of times what a large figure takes.
const MOST_BYTES: u64 = 4 << 20;

/// Farthest row or column a part may begin at, and the most it may have.
const FARTHEST: usize = 1000;

impl Figure {
    /// Reads a figure file.
    ///
    /// # Errors
    /// [`Error::Unreadable`], and as [`read`].
    pub fn open(path: &Path) -> Result<Self> {
        let file = path.display().to_string();
        let unreadable = |why: String| Error::Unreadable { file: file.clone(), why };
        let size = std::fs::metadata(path).map_err(|e| unreadable(e.to_string()))?.len();
        if size > MOST_BYTES {
            return Err(unreadable(format!("it has {size} bytes, too many for a figure")));
        }
        let bytes = std::fs::read(path).map_err(|e| unreadable(e.to_string()))?;
        let text = String::from_utf8(bytes).map_err(|_| Error::FigureFile {
            file: file.clone(),
            why: "this is no text file".into(),
            right: "name a figure file, as --save of draft writes it".into(),
        })?;
        read(&file, &text)
    }
}

#[derive(Deserialize)]
struct FormatAlone {
    format: Option<i64>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct FileFigure {
    #[serde(rename = "format")]
    _format: i64,
    name: String,
    stature_cm: Option<f64>,
    class: Option<String>,
    reference: Option<FileSource>,
    rows: Option<Spanned<FileRows>>,
    #[serde(default)]
    legend: Vec<Spanned<FileEntry>>,
    #[serde(default)]
    part: Vec<FilePart>,
    #[serde(default)]
    meant: Vec<Spanned<FileMeant>>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct FileSource {
    picture: String,
    crop: Option<[u32; 4]>,
    corners: Option<Spanned<Vec<f64>>>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct FileRows {
    #[serde(default)]
    headwear: usize,
    #[serde(default)]
    head: usize,
    #[serde(default)]
    neck: usize,
    #[serde(default)]
    torso: usize,
    #[serde(default)]
    legs: usize,
    #[serde(default)]
    feet: usize,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct FileEntry {
    mark: String,
    bead: String,
    aim: Option<[f64; 3]>,
    confidence: Option<f64>,
    by: FileBy,
}

#[derive(Deserialize)]
#[serde(rename_all = "lowercase")]
enum FileBy {
    Match,
    Hand,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct FilePart {
    name: String,
    from: Option<String>,
    #[serde(default)]
    at: [usize; 2],
    beads: Spanned<String>,
    sure: Option<Spanned<String>>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct FileMeant {
    rule: String,
    row: Option<usize>,
    column: Option<usize>,
    why: String,
}

/// A text and its name, for saying where a fault lies.
struct Place<'a> {
    file: &'a str,
    text: &'a str,
}

impl Place<'_> {
    fn fault(&self, at: usize, why: &str, right: &str) -> Error {
        let line = 1 + self.text.bytes().take(at).filter(|b| *b == b'\n').count();
        self.fault_in_line(line, why, right)
    }

    fn fault_in_line(&self, line: usize, why: &str, right: &str) -> Error {
        Error::FigureFile { file: self.file.into(), why: format!("line {line}: {why}"), right: right.into() }
    }

    fn toml_fault(&self, error: &toml::de::Error) -> Error {
        let right =
            "mend that line; a figure file has format, name, [rows], [[legend]], [[part]] and [[meant]]";
        let why = error.message().lines().next().unwrap_or("this cannot be read").to_owned();
        self.fault(error.span().map_or(0, |span| span.start), &why, right)
    }

    /// The line of the file in which line `row` of a multi-line text stands.
    fn line_of(&self, field: &Spanned<String>, row: usize) -> usize {
        let written = &self.text[field.span()];
        let quotes = written.len() - written.trim_start_matches(['"', '\'']).len();
        let begins_below = written[quotes..].starts_with(['\n', '\r']);
        let first = 1 + self.text[..field.span().start].matches('\n').count();
        first + usize::from(begins_below) + row
    }
}

/// Reads a figure from its text; `file` is its name in errors.
///
/// # Errors
/// [`Error::FigureFile`] that names the line.
pub fn read(file: &str, text: &str) -> Result<Figure> {
    let place = Place { file, text };
    // The format is read alone and first: a newer file may hold anything else.
    let format: FormatAlone = toml::from_str(text).map_err(|e| place.toml_fault(&e))?;
    match format.format {
        Some(FORMAT) => {}
        Some(newer) => {
            let why = format!("this is a figure file of format {newer}, and only format {FORMAT} is known");
            return Err(place.fault(text.find("format").unwrap_or(0), &why, "use a newer smallcast for it"));
        }
        None => {
            let right = "begin the file with format = 1";
            return Err(place.fault(0, "the file does not say its format", right));
        }
    }
    let raw: FileFigure = toml::from_str(text).map_err(|e| place.toml_fault(&e))?;
    let legend = raw.legend.iter().map(|entry| entry_of(&place, entry)).collect::<Result<_>>()?;
    let parts = raw.part.iter().map(|part| part_of(&place, part)).collect::<Result<_>>()?;
    let meant = raw.meant.iter().map(|meant| meant_of(&place, meant)).collect::<Result<_>>()?;
    let rows = raw.rows.as_ref().map(|rows| rows_of(&place, rows)).transpose()?;
    let stature = match raw.stature_cm {
        Some(cm) if !(cm.is_finite() && cm > 0.0) => {
            let at = text.find("stature_cm").unwrap_or(0);
            return Err(place.fault(
                at,
                "this is no standing height",
                "write it in centimetres, such as 176",
            ));
        }
        cm => cm.map(Centimetres),
    };
    let source = raw.reference.map(|source| source_of(&place, source)).transpose()?;
    let (name, class) = (raw.name, raw.class);
    Figure::new(file, Description { name, stature, class, source, rows, legend, parts, meant })
}

fn source_of(place: &Place, source: FileSource) -> Result<Source> {
    let FileSource { picture, crop, corners } = source;
    let corners = corners.map(|corners| {
        let fault = |why: &str| place.fault(corners.span().start, &format!("corners: {why}"), Corners::RIGHT);
        let &[a, b, c, d, e, f, g, h] = corners.get_ref().as_slice() else {
            return Err(fault(&format!("there are {} numbers instead of eight", corners.get_ref().len())));
        };
        Corners::of([(a, b), (c, d), (e, f), (g, h)]).map_err(|why| fault(&why.to_string()))
    });
    Ok(Source { picture, crop, corners: corners.transpose()? })
}

fn rows_of(place: &Place, rows: &Spanned<FileRows>) -> Result<ZoneRows> {
    let FileRows { headwear, head, neck, torso, legs, feet } = *rows.get_ref();
    ZoneRows::new([headwear, head, neck, torso, legs, feet]).map_err(|e| {
        place.fault(
            rows.span().start,
            &format!("[rows]: {e}"),
            "the guide has head 5, neck 1, torso 8, legs 9, feet 1",
        )
    })
}

fn entry_of(place: &Place, entry: &Spanned<FileEntry>) -> Result<LegendEntry> {
    let raw = entry.get_ref();
    let fault = |why: &str, right: &str| place.fault(entry.span().start, why, right);
    let mut characters = raw.mark.chars();
    let mark = match (characters.next().and_then(Mark::new), characters.next()) {
        (Some(mark), None) => mark,
        _ => {
            let why = format!("'{}' cannot be a mark", raw.mark.escape_debug());
            return Err(fault(&why, "use one printable character, but '.', quotation marks or a backslash"));
        }
    };
    if raw.bead.trim().is_empty() || raw.bead.chars().any(char::is_control) {
        return Err(fault("the legend's line names no bead", "write a bead's name as the tray has it"));
    }
    let numbers = raw.aim.iter().flatten().chain(&raw.confidence);
    if numbers.into_iter().any(|v| !v.is_finite() || v.abs() > 1000.0) {
        return Err(fault("a number here is none that can be used", "aim is L, a, b; confidence 0 to 1"));
    }
    Ok(LegendEntry {
        mark,
        bead: raw.bead.clone(),
        aim: raw.aim.map(|[l, a, b]| Lab::new(l, a, b)),
        confidence: raw.confidence.map(Confidence::new),
        by: match raw.by {
            FileBy::Match => ChosenBy::Match,
            FileBy::Hand => ChosenBy::Hand,
        },
    })
}

fn meant_of(place: &Place, meant: &Spanned<FileMeant>) -> Result<Meant> {
    let raw = meant.get_ref();
    let fault = |why: &str, right: &str| Err(place.fault(meant.span().start, why, right));
    if raw.rule.trim().is_empty() || raw.why.trim().is_empty() {
        return fault(
            "[[meant]] needs a rule and the reason why",
            "name the rule as check does, and say why",
        );
    }
    // Counted from 1 in the file, as reports and sheets count; from 0 everywhere inside.
    let from_one = |n: Option<usize>| n.map(|n| n.checked_sub(1).filter(|n| *n < FARTHEST));
    let at = match (from_one(raw.row), from_one(raw.column)) {
        (None, None) => None,
        (Some(Some(row)), Some(Some(column))) => Some((Row(row), Column(column))),
        (None, _) | (_, None) => {
            return fault(
                "[[meant]] gives only one of row and column",
                "give both, or none for the whole figure",
            );
        }
        _ => return fault("[[meant]] names no bead", "count row and column from 1, as check prints them"),
    };
    Ok(Meant { rule: raw.rule.clone(), at, why: raw.why.clone() })
}

fn part_of(place: &Place, part: &FilePart) -> Result<Part> {
    let beads = lines(part.beads.get_ref());
    let sure = part.sure.as_ref().map(|sure| lines(sure.get_ref()));
    let columns = beads.iter().map(Vec::len).max().unwrap_or(0);
    let far = [part.at[0], part.at[1], beads.len(), columns].into_iter().any(|v| v > FARTHEST);
    if far || columns == 0 {
        let why = format!(
            "part '{}' is {} or too far out",
            part.name,
            if columns == 0 { "empty" } else { "too large" }
        );
        let right = format!("give it at least one bead, and at most {FARTHEST} rows and columns");
        return Err(place.fault(part.beads.span().start, &why, &right));
    }
    check_marks(place, part, &beads)?;
    if let (Some(field), Some(sure)) = (&part.sure, &sure) {
        check_sure(place, field, &beads, sure)?;
    }
    let at = |rows: &[Vec<char>], r: usize, c: usize| rows.get(r).and_then(|line| line.get(c)).copied();
    let grid = Grid::from_fn(beads.len(), columns, |row, column| {
        let mark = at(&beads, row.0, column.0).and_then(Mark::new)?;
        let character = sure.as_ref().and_then(|sure| at(sure, row.0, column.0));
        Some(Placed { mark, sure: character.and_then(Sure::from_character) })
    });
    let by_hand = Sure::ByHand.character();
    let bare = grid.iter().filter(|&(row, column, placed)| {
        placed.is_none() && sure.as_ref().and_then(|sure| at(sure, row.0, column.0)) == Some(by_hand)
    });
    let bare = bare.map(|(row, column, _)| (row, column)).collect();
    let [row, column] = part.at;
    let (name, from) = (part.name.clone(), part.from.clone());
    Ok(Part { name, from, at: (Row(row), Column(column)), beads: grid, bare })
}

/// The rows of a multi-line text; the line break before its closing quotes is not one more row.
fn lines(text: &str) -> Vec<Vec<char>> {
    text.lines().map(|line| line.trim_end().chars().collect()).collect()
}

fn check_marks(place: &Place, part: &FilePart, beads: &[Vec<char>]) -> Result<()> {
    for (row, line) in beads.iter().enumerate() {
        if let Some(c) = line.iter().find(|&&c| c != '.' && Mark::new(c).is_none()) {
            let why = format!("'{}' cannot stand for a bead", c.escape_debug());
            let right = "use the legend's marks, and '.' for an empty peg";
            return Err(place.fault_in_line(place.line_of(&part.beads, row), &why, right));
        }
    }
    Ok(())
}

fn check_sure(place: &Place, field: &Spanned<String>, beads: &[Vec<char>], sure: &[Vec<char>]) -> Result<()> {
    if sure.len() != beads.len() {
        let why = format!("sure has {} rows and beads has {}", sure.len(), beads.len());
        return Err(place.fault(field.span().start, &why, "give sure a character for every one of beads"));
    }
    for (row, (line, beads)) in sure.iter().zip(beads).enumerate() {
        let fault = |why: String| {
            let right = "0 to 8 are tenths, A to J hundredths from 0.90, ! is by hand, . where nobody said";
            Err(place.fault_in_line(place.line_of(field, row), &why, right))
        };
        if line.len() != beads.len() {
            return fault(format!("{} characters of sure for {} of beads", line.len(), beads.len()));
        }
        for (&sure, &bead) in line.iter().zip(beads) {
            // A peg may be left empty by hand; how sure the tool is of an empty one is not kept.
            let fits = match (sure, Sure::from_character(sure)) {
                ('.', _) => true,
                (_, said) => said == Some(Sure::ByHand) || (bead != '.' && said.is_some()),
            };
            if !fits {
                return fault(format!("'{}' does not say how sure '{bead}' is", sure.escape_debug()));
            }
        }
    }
    Ok(())
}
