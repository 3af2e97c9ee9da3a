//! A figure as its file has it: plain text, laid out for a person.

use std::collections::BTreeMap;
use std::fmt::Write as _;

use super::file::FORMAT;
use super::grids::NONE;
use super::{ChosenBy, Figure, LegendEntry, Mark, Meant, Part, Second, Sure};
use crate::colour::Lab;
use crate::plan::Zone;
use crate::reference::Corners;
use crate::units::{Column, Row};

/// Writes a figure as its file has it; [`super::read`] gives the same figure back.
pub fn write(figure: &Figure) -> String {
    let mut out = String::new();
    // Writing to a String does not fail.
    let _ = write_head(&mut out, figure);
    for entry in figure.legend() {
        let _ = write_entry(&mut out, entry);
    }
    let _ = write_why(&mut out, figure.why());
    for part in figure.parts() {
        let _ = write_part(&mut out, part);
    }
    for meant in figure.meant() {
        let _ = write_meant(&mut out, meant);
    }
    out
}

fn write_head(out: &mut String, figure: &Figure) -> std::fmt::Result {
    writeln!(out, "format = {FORMAT}")?;
    writeln!(out, "name = {}", quoted(figure.name()))?;
    if let Some(stature) = figure.stature() {
        writeln!(out, "stature_cm = {}", number(stature.0))?;
    }
    if let Some(class) = figure.class() {
        writeln!(out, "class = {}", quoted(class))?;
    }
    if let Some(source) = figure.source() {
        write!(out, "reference = {{ picture = {}", quoted(&source.picture))?;
        if let Some([x, y, width, height]) = source.crop {
            write!(out, ", crop = [{x}, {y}, {width}, {height}]")?;
        }
        if let Some(corners) = source.corners {
            write!(out, ", corners = {}", numbers(corners))?;
        }
        writeln!(out, " }}")?;
    }
    if let Some(rows) = figure.rows() {
        writeln!(out, "\n[rows]")?;
        for zone in Zone::ALL {
            writeln!(out, "{} = {}", zone.name(), rows.get(zone))?;
        }
    }
    Ok(())
}

fn write_entry(out: &mut String, entry: &LegendEntry) -> std::fmt::Result {
    writeln!(out, "\n[[legend]]")?;
    writeln!(out, "mark = {}", quoted(&entry.mark.get().to_string()))?;
    writeln!(out, "bead = {}", quoted(&entry.bead))?;
    if let Some(Lab { l, a, b }) = entry.aim {
        writeln!(out, "aim = [{}, {}, {}]", number(l), number(a), number(b))?;
    }
    if let Some(confidence) = entry.confidence {
        writeln!(out, "confidence = {}", number(confidence.get()))?;
    }
    let by = match entry.by {
        ChosenBy::Match => "match",
        ChosenBy::Hand => "hand",
    };
    writeln!(out, "by = \"{by}\"")
}

fn write_why(out: &mut String, why: &BTreeMap<Mark, String>) -> std::fmt::Result {
    if why.is_empty() {
        return Ok(());
    }
    writeln!(out, "\n[why]")?;
    why.iter().try_for_each(|(mark, name)| writeln!(out, "{} = {}", key(*mark), quoted(name)))
}

/// A mark as the key of a line; TOML takes letters and digits bare.
fn key(mark: Mark) -> String {
    let text = mark.get().to_string();
    if mark.get().is_ascii_alphanumeric() { text } else { quoted(&text) }
}

fn write_part(out: &mut String, part: &Part) -> std::fmt::Result {
    writeln!(out, "\n[[part]]\nname = {}", quoted(&part.name))?;
    if let Some(from) = &part.from {
        writeln!(out, "from = {}", quoted(from))?;
    }
    writeln!(out, "at = [{}, {}]", part.at.0.0, part.at.1.0)?;
    GRIDS.iter().filter(|grid| (grid.is_said)(part)).try_for_each(|grid| write_grid(out, grid, part))
}

/// A grid of a part: one character a peg.
pub(super) struct PartGrid {
    /// Its name in the file.
    pub name: &'static str,
    /// Whether a part has it.
    pub is_said: fn(&Part) -> bool,
    /// What stands for a peg.
    pub character: fn(&Part, (Row, Column)) -> char,
}

/// The grids of a part, in the order they are written.
pub(super) const GRIDS: [PartGrid; 4] = [
    PartGrid { name: "beads", is_said: |_| true, character: bead_character },
    PartGrid { name: "sure", is_said: Part::says_sure, character: sure_character },
    PartGrid { name: "why", is_said: Part::says_why, character: why_character },
    PartGrid { name: "or", is_said: Part::says_or, character: or_character },
];

fn bead_character(part: &Part, at: (Row, Column)) -> char {
    part.beads[at].map_or(NONE, |placed| placed.mark.get())
}

fn why_character(part: &Part, at: (Row, Column)) -> char {
    part.beads[at].and_then(|placed| placed.why).map_or(NONE, Mark::get)
}

fn or_character(part: &Part, at: (Row, Column)) -> char {
    let Some(placed) = part.beads[at] else { return NONE };
    match placed.or {
        Some(Second::Empty) => NONE,
        Some(Second::Bead(mark)) => mark.get(),
        Some(Second::Itself) | None => placed.mark.get(),
    }
}

fn sure_character(part: &Part, at: (Row, Column)) -> char {
    let sure = match part.beads[at] {
        Some(placed) => placed.sure,
        None => part.bare.contains(&at).then_some(Sure::ByHand),
    };
    sure.map_or(NONE, Sure::character)
}

fn write_meant(out: &mut String, meant: &Meant) -> std::fmt::Result {
    writeln!(out, "\n[[meant]]\nrule = {}", quoted(&meant.rule))?;
    if let Some((row, column)) = meant.at {
        writeln!(out, "row = {}\ncolumn = {}", row.0 + 1, column.0 + 1)?;
    }
    writeln!(out, "why = {}", quoted(&meant.why))
}

fn write_grid(out: &mut String, grid: &PartGrid, part: &Part) -> std::fmt::Result {
    writeln!(out, "{} = \"\"\"", grid.name)?;
    for row in (0..part.beads.rows()).map(Row) {
        let line: String =
            (0..part.beads.columns()).map(|column| (grid.character)(part, (row, Column(column)))).collect();
        writeln!(out, "{line}")?;
    }
    writeln!(out, "\"\"\"")
}

/// The eight numbers of a sheet's corners.
pub(super) fn numbers(corners: Corners) -> String {
    let each = corners.points().map(|(x, y)| format!("{x}, {y}"));
    format!("[{}]", each.join(", "))
}

/// A text as TOML quotes it.
pub(super) fn quoted(text: &str) -> String {
    toml::Value::from(text).to_string()
}

/// The shortest text that reads back as the same number, always with a point: TOML tells 1 from 1.0.
pub(super) fn number(value: f64) -> String {
    format!("{value:?}")
}
