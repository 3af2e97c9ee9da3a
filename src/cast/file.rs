//! `cast.toml`: plain text beside the figures.

use std::collections::{BTreeSet, HashMap};
use std::path::Path;

use serde::Deserialize;
use toml::Spanned;

use super::fault::{CAST, Form, Place};
use super::groups::{FileGroup, groups_of};
use super::{Cast, Thing};
use crate::error::{Error, Result, is_unprintable};
use crate::files;
use crate::plan::{Board, Classes, HeightClass, ZoneRows, parse_pitch};

/// The file's name.
pub const FILE: &str = "cast.toml";

/// The longest name, in characters: longer is a slip of a quotation mark.
const LONGEST_NAME: usize = 100;

/// A cast, and the lines of its file that speak of something beside the file.
#[derive(Clone, Debug)]
pub(super) struct Written {
    pub cast: Cast,
    /// The line of `tray`, counted from 1.
    pub tray: usize,
    /// The line of `guide`.
    pub guide: usize,
    /// Every figure that is named, with its line.
    pub figures: Vec<(String, usize)>,
    /// Every bead that is named, with its line.
    pub beads: Vec<(String, usize)>,
    /// Every rule that is skipped, with its line.
    pub skip: Vec<(String, usize)>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct FileCast {
    #[serde(rename = "format")]
    _format: i64,
    name: Spanned<String>,
    tray: Option<Spanned<String>>,
    guide: Option<Spanned<String>>,
    pitch: Option<Spanned<String>>,
    board: Option<Spanned<String>>,
    #[serde(default)]
    class: Vec<FileClass>,
    #[serde(default)]
    group: Vec<FileGroup>,
    #[serde(default)]
    thing: Vec<FileThing>,
    #[serde(default)]
    check: FileCheck,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct FileClass {
    name: Spanned<String>,
    rows: Spanned<FileRows>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct FileRows {
    headwear: Option<Spanned<i64>>,
    head: Option<Spanned<i64>>,
    neck: Option<Spanned<i64>>,
    torso: Option<Spanned<i64>>,
    legs: Option<Spanned<i64>>,
    feet: Option<Spanned<i64>>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct FileThing {
    name: Spanned<String>,
    bead: Spanned<String>,
    figures: Vec<Spanned<String>>,
}

#[derive(Default, Deserialize)]
#[serde(deny_unknown_fields)]
struct FileCheck {
    #[serde(default)]
    skip: Vec<Spanned<String>>,
}

impl Cast {
    /// Reads a cast file.
    ///
    /// # Errors
    /// [`Error::Unreadable`], and as [`read`].
    pub fn open(path: &Path) -> Result<Self> {
        open(path).map(|written| written.cast)
    }
}

/// Reads a cast from its text; `file` is its name in errors.
///
/// ```
/// let text = "format = 1\nname = \"The Early Street\"\n[[group]]\nname = \"bakers\"\nfigures = [\"anna\"]\nlimbs = 3\n";
/// let cast = smallcast::cast::read("cast.toml", text)?;
/// assert_eq!(cast.look_of("anna").limbs, 3);
/// # Ok::<(), smallcast::error::Error>(())
/// ```
///
/// # Errors
/// [`Error::CastFile`] that names line and field.
pub fn read(file: &str, text: &str) -> Result<Cast> {
    written_in(file, text).map(|written| written.cast)
}

pub(super) fn open(path: &Path) -> Result<Written> {
    written_in(&path.display().to_string(), &text_of(path, &CAST)?)
}

/// The text of a file that a maker writes.
pub(crate) fn text_of(path: &Path, form: &'static Form) -> Result<String> {
    let file = path.display().to_string();
    let bytes = files::read(path, form.most_bytes, &format!("a {}", form.kind))?;
    String::from_utf8(bytes).map_err(|e| {
        let plain = String::from_utf8_lossy(&e.as_bytes()[..e.utf8_error().valid_up_to()]).into_owned();
        let place = Place { form, file: &file, text: &plain };
        place.fault(plain.len(), "text", "this is not UTF-8".into(), "save the file as plain text in UTF-8")
    })
}

fn written_in(file: &str, text: &str) -> Result<Written> {
    let place = Place { form: &CAST, file, text };
    place.check_format()?;
    let raw: FileCast = toml::from_str(text).map_err(|e| place.toml_fault(&e))?;
    cast_of(&place, &raw)
}

fn cast_of(place: &Place, raw: &FileCast) -> Result<Written> {
    let line = |field: &Option<Spanned<String>>| field.as_ref().map_or(1, |f| place.line(f.span().start));
    let own = |field, said: &Option<Spanned<String>>| {
        said.as_ref().map(|said| path_in(place, field, said)).transpose()
    };
    let cast = Cast {
        name: name_in(place, "name", &raw.name)?,
        tray: own("tray", &raw.tray)?,
        guide: own("guide", &raw.guide)?,
        pitch: raw.pitch.as_ref().map(|said| measure(place, "pitch", said, parse_pitch)).transpose()?,
        board: raw.board.as_ref().map(|said| measure(place, "board", said, Board::parse)).transpose()?,
        classes: classes_of(place, &raw.class)?,
        groups: groups_of(place, &raw.group)?,
        things: things_of(place, &raw.thing)?,
        skip: raw.check.skip.iter().map(|rule| name_in(place, "skip", rule)).collect::<Result<_>>()?,
    };
    let named = raw.group.iter().flat_map(|group| &group.figures);
    let named = named.chain(raw.thing.iter().flat_map(|thing| &thing.figures));
    let ends: Vec<usize> = place.text.match_indices('\n').map(|(at, _)| at).collect();
    let line_of = |said: &Spanned<String>| 1 + ends.partition_point(|end| *end < said.span().start);
    let with_line = |said: &Spanned<String>| (said.get_ref().clone(), line_of(said));
    Ok(Written {
        cast,
        tray: line(&raw.tray),
        guide: line(&raw.guide),
        figures: named.map(with_line).collect(),
        beads: raw.thing.iter().map(|thing| with_line(&thing.bead)).collect(),
        skip: raw.check.skip.iter().map(with_line).collect(),
    })
}

/// A name that can be seen and fits a line.
pub(crate) fn name_in(place: &Place, field: &str, said: &Spanned<String>) -> Result<String> {
    match name_fault(said.get_ref()) {
        Some((why, right)) => {
            Err(place.fault(said.span().start, field, why, right.unwrap_or_else(|| place.written(field))))
        }
        None => Ok(said.get_ref().clone()),
    }
}

/// Why a text cannot be a name in a cast file, and what would be right where that is not plain.
pub fn name_fault(name: &str) -> Option<(String, Option<String>)> {
    let count = name.chars().count();
    if name.trim().is_empty() {
        return Some(("it is empty".into(), None));
    }
    if count > LONGEST_NAME {
        let right = format!("at most {LONGEST_NAME} are read; is a quotation mark missing?");
        return Some((format!("it has {count} characters"), Some(right)));
    }
    let c = name.chars().find(|&c| is_unprintable(c))?;
    let why = format!("there is a control character in it ({})", c.escape_unicode());
    Some((why, Some("type it again with visible characters only".into())))
}

/// The name of a figure: its file's, before `.figure.toml`.
pub(super) fn figure_in(place: &Place, said: &Spanned<String>) -> Result<String> {
    let name = name_in(place, "figures", said)?;
    let fault = |why: String, right: String| Err(place.fault(said.span().start, "figures", why, right));
    if let Some(stem) = name.strip_suffix(super::FIGURE) {
        return fault(format!("'{name}' is a file's whole name"), format!("write {stem}"));
    }
    if name.contains(['/', '\\']) {
        let right = "name a figure of this folder by its file, without .figure.toml".into();
        return fault(format!("'{name}' is in another folder"), right);
    }
    Ok(name)
}

/// A file, as it is found from the folder.
fn path_in(place: &Place, field: &str, said: &Spanned<String>) -> Result<String> {
    /// The longest path that common systems take.
    const LONGEST: usize = 4096;
    let path = said.get_ref();
    if path.trim().is_empty() || path.len() > LONGEST || path.chars().any(is_unprintable) {
        return Err(place.fault(
            said.span().start,
            field,
            "this is not a file name".into(),
            place.written(field),
        ));
    }
    Ok(path.clone())
}

/// A measure, by what reads one.
pub(crate) fn measure<T>(
    place: &Place,
    field: &str,
    said: &Spanned<String>,
    parse: impl Fn(&str) -> Result<T>,
) -> Result<T> {
    parse(said.get_ref()).map_err(|e| {
        let why = match &e {
            Error::BadValue { value, why, .. } => format!("'{}': {why}", value.escape_debug()),
            other => other.to_string(),
        };
        place.fault(said.span().start, field, why, e.hint())
    })
}

/// Refuses a name that stands already in a list of tables.
pub(super) fn twice<'a>(
    place: &Place,
    what: &str,
    names: impl Iterator<Item = &'a Spanned<String>>,
) -> Result<()> {
    let mut seen = HashMap::new();
    for name in names {
        let at = name.span().start;
        if let Some(before) = seen.insert(name.get_ref().as_str(), at) {
            let why =
                format!("a {what} '{}' is already defined on line {}", name.get_ref(), place.line(before));
            return Err(place.fault(at, "name", why, format!("give each {what} its own name")));
        }
    }
    Ok(())
}

fn classes_of(place: &Place, raw: &[FileClass]) -> Result<Classes> {
    let class = |class: &FileClass| {
        let name = name_in(place, "name", &class.name)?.into();
        Ok(HeightClass { name, rows: rows_of(place, &class.rows)? })
    };
    let own = raw.iter().map(class).collect::<Result<_>>()?;
    twice(place, "class", raw.iter().map(|class| &class.name))?;
    Ok(Classes::with(own))
}

fn rows_of(place: &Place, rows: &Spanned<FileRows>) -> Result<ZoneRows> {
    let FileRows { headwear, head, neck, torso, legs, feet } = rows.get_ref();
    let mut counted = [0; 6];
    for (count, said) in counted.iter_mut().zip([headwear, head, neck, torso, legs, feet]) {
        let Some(said) = said else { continue };
        *count = usize::try_from(*said.get_ref()).map_err(|_| {
            let why = format!("{} is not a number of rows", said.get_ref());
            place.fault(said.span().start, "rows", why, place.written("rows"))
        })?;
    }
    ZoneRows::new(counted).map_err(|e| {
        let why = match e {
            Error::BadValue { why, .. } => why,
            other => other.to_string(),
        };
        place.fault(rows.span().start, "rows", why, place.written("rows"))
    })
}

fn things_of(place: &Place, raw: &[FileThing]) -> Result<Vec<Thing>> {
    let thing = |thing: &FileThing| {
        let mut figures = BTreeSet::new();
        for said in &thing.figures {
            if !figures.insert(figure_in(place, said)?) {
                let why = format!("'{}' is listed twice", said.get_ref());
                return Err(place.fault(said.span().start, "figures", why, "name each figure once"));
            }
        }
        let (name, bead) = (name_in(place, "name", &thing.name)?, name_in(place, "bead", &thing.bead)?);
        Ok(Thing { name, bead, figures })
    };
    let things = raw.iter().map(thing).collect::<Result<_>>()?;
    twice(place, "thing", raw.iter().map(|thing| &thing.name))?;
    Ok(things)
}
