//! Figure files, `NAME.figure.toml`: plain text, made for `git diff` and a person with an editor.

use std::collections::BTreeMap;
use std::path::Path;

use serde::Deserialize;
use toml::Spanned;

use super::grids::{FilePart, part_of};
use super::{ChosenBy, Description, Figure, LegendEntry, Mark, Meant, Source, TYPE_ANEW, control_character};
use crate::colour::Lab;
use crate::error::{Error, Result, toml_words};
use crate::files;
use crate::plan::ZoneRows;
use crate::reference::Corners;
use crate::units::{Centimetres, Column, Confidence, Row};

/// The format this house reads and writes.
pub(super) const FORMAT: i64 = 1;

/// Most bytes of a figure file: hundreds of times what a large figure takes.
pub const MOST_BYTES: u64 = 4 << 20;

/// Farthest row or column a part may begin at, and the most it may have.
pub(super) const FARTHEST: usize = 1000;

impl Figure {
    /// Reads a figure file.
    ///
    /// # Errors
    /// [`Error::Unreadable`], and as [`read`].
    pub fn open(path: &Path) -> Result<Self> {
        let file = path.display().to_string();
        let bytes = files::read(path, MOST_BYTES, "a figure")?;
        let text = String::from_utf8(bytes).map_err(|_| Error::FigureFile {
            file: file.clone(),
            why: "this is not a text file".into(),
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
    why: BTreeMap<String, Spanned<String>>,
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
struct FileMeant {
    rule: String,
    row: Option<usize>,
    column: Option<usize>,
    why: String,
}

/// A text and its name, for saying where a fault lies.
pub(super) struct Place<'a> {
    file: &'a str,
    text: &'a str,
}

/// Whether a fault lies where a text ends without its last line's end.
fn is_cut(text: &str, at: &std::ops::Range<usize>) -> bool {
    !text.is_empty() && !text.ends_with('\n') && at.end + 1 >= text.trim_end().len()
}

impl Place<'_> {
    pub(super) fn fault(&self, at: usize, why: &str, right: &str) -> Error {
        let line = 1 + self.text.bytes().take(at).filter(|b| *b == b'\n').count();
        self.fault_in_line(line, why, right)
    }

    pub(super) fn fault_in_line(&self, line: usize, why: &str, right: &str) -> Error {
        Error::FigureFile { file: self.file.into(), why: format!("line {line}: {why}"), right: right.into() }
    }

    fn toml_fault(&self, error: &toml::de::Error) -> Error {
        let right = "correct that line; a figure file has format, name, [rows], [[legend]], [why], [[part]] \
        and [[meant]]";
        let at = error.span().unwrap_or(0..0);
        if is_cut(self.text, &at) {
            let why = "the file ends in the middle of a line: it is cut off";
            return self.fault(at.start, why, "fetch the file again, or an older one that is whole");
        }
        self.fault(at.start, &toml_words(error.message()), right)
    }

    /// The line of the file in which line `row` of a multi-line text stands.
    pub(super) fn line_of(&self, field: &Spanned<String>, row: usize) -> usize {
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
    if text.trim().is_empty() {
        return Err(place.fault(0, "the file is empty", "give a figure file, as --save of draft writes it"));
    }
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
    let why = raw.why.iter().map(|line| detector_of(&place, line)).collect::<Result<_>>()?;
    let parts = raw.part.iter().map(|part| part_of(&place, part)).collect::<Result<_>>()?;
    let meant = raw.meant.iter().map(|meant| meant_of(&place, meant)).collect::<Result<_>>()?;
    let rows = raw.rows.as_ref().map(|rows| rows_of(&place, rows)).transpose()?;
    let stature = match raw.stature_cm {
        Some(cm) if !(cm.is_finite() && cm > 0.0) => {
            let at = text.find("stature_cm").unwrap_or(0);
            return Err(place.fault(
                at,
                "this is not a standing height",
                "write it in centimetres, such as 176",
            ));
        }
        cm => cm.map(Centimetres),
    };
    let source = raw.reference.map(|source| source_of(&place, source)).transpose()?;
    let (name, class) = (raw.name, raw.class);
    let description = Description { name, stature, class, source, rows, legend, why, parts, meant };
    if let Some(odd) = description.unprintable() {
        // As it stands, or written by its number.
        let at = text.find(odd).filter(|_| !odd.is_ascii_whitespace()).or_else(|| text.find("\\u"));
        return Err(place.fault(at.unwrap_or(0), &control_character(odd), TYPE_ANEW));
    }
    Figure::new(file, description)
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
    let mark = mark_of(&raw.mark).map_err(|why| fault(&why, MARK_RIGHT))?;
    if raw.bead.trim().is_empty() {
        return Err(fault("the legend's line names no bead", "write a bead's name as the tray has it"));
    }
    let numbers = raw.aim.iter().flatten().chain(&raw.confidence);
    if numbers.into_iter().any(|v| !v.is_finite() || v.abs() > 1000.0) {
        return Err(fault("a number here cannot be used", "aim is L, a, b; confidence 0 to 1"));
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

/// What would be right where a mark is none.
const MARK_RIGHT: &str = "use one printable character, but '.', quotation marks or a backslash";

/// The mark that a text is; else why it is none.
fn mark_of(text: &str) -> std::result::Result<Mark, String> {
    let mut characters = text.chars();
    match (characters.next().and_then(Mark::new), characters.next()) {
        (Some(mark), None) => Ok(mark),
        _ => Err(format!("'{}' cannot be a mark", text.escape_debug())),
    }
}

/// A line of `[why]`: the mark of a detector, and its name, whichever that is.
fn detector_of(place: &Place, (mark, name): (&String, &Spanned<String>)) -> Result<(Mark, String)> {
    let fault = |why: &str, right: &str| place.fault(name.span().start, why, right);
    let mark = mark_of(mark).map_err(|why| fault(&why, MARK_RIGHT))?;
    let name = name.get_ref();
    if name.trim().is_empty() {
        return Err(fault("this line of [why] names no detector", "write its name, such as belt"));
    }
    Ok((mark, name.clone()))
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
