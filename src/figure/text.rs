//! A figure as its file has it: plain text, laid out for a person.

use std::fmt::Write as _;

use super::file::FORMAT;
use super::{ChosenBy, Figure, LegendEntry, Meant, Part, Sure};
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

fn write_part(out: &mut String, part: &Part) -> std::fmt::Result {
    writeln!(out, "\n[[part]]\nname = {}", quoted(&part.name))?;
    if let Some(from) = &part.from {
        writeln!(out, "from = {}", quoted(from))?;
    }
    writeln!(out, "at = [{}, {}]", part.at.0.0, part.at.1.0)?;
    write_grid(out, "beads", part, bead_character)?;
    if part.says_sure() {
        write_grid(out, "sure", part, sure_character)?;
    }
    Ok(())
}

/// What stands for a peg in `beads`.
pub(super) fn bead_character(part: &Part, at: (Row, Column)) -> char {
    part.beads[at].map_or('.', |placed| placed.mark.get())
}

/// What stands for a peg in `sure`.
pub(super) fn sure_character(part: &Part, at: (Row, Column)) -> char {
    let sure = match part.beads[at] {
        Some(placed) => placed.sure,
        None => part.bare.contains(&at).then_some(Sure::ByHand),
    };
    sure.map_or('.', Sure::character)
}

fn write_meant(out: &mut String, meant: &Meant) -> std::fmt::Result {
    writeln!(out, "\n[[meant]]\nrule = {}", quoted(&meant.rule))?;
    if let Some((row, column)) = meant.at {
        writeln!(out, "row = {}\ncolumn = {}", row.0 + 1, column.0 + 1)?;
    }
    writeln!(out, "why = {}", quoted(&meant.why))
}

fn write_grid(
    out: &mut String,
    field: &str,
    part: &Part,
    of: impl Fn(&Part, (Row, Column)) -> char,
) -> std::fmt::Result {
    writeln!(out, "{field} = \"\"\"")?;
    for row in (0..part.beads.rows()).map(Row) {
        let line: String = (0..part.beads.columns()).map(|column| of(part, (row, Column(column)))).collect();
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
