//! Tables for the terminal: swatches at the left, then columns of text and numbers.

use comfy_table::{Cell, CellAlignment, presets};
use smallcast::colour::Srgb;
use unicode_width::UnicodeWidthStr;

use super::output::Paint;

/// Columns of one swatch.
const SWATCH: usize = 4;

/// Columns between two columns.
const GAP: u16 = 2;

/// Columns a text keeps however narrow the terminal is.
const LEAST_ROOM: usize = 8;

/// Narrower terminals do without swatches and what can be read elsewhere.
pub const NARROW: usize = 60;

/// How a column stands under its title.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Side {
    Left,
    Right,
}

/// A table of rows that are one line each.
pub struct Table {
    titles: Vec<(&'static str, Side)>,
    rows: Vec<(Vec<Srgb>, Vec<String>)>,
}

impl Table {
    /// A table of columns with these titles.
    pub fn new(titles: &[(&'static str, Side)]) -> Self {
        Self { titles: titles.to_vec(), rows: Vec::new() }
    }

    /// Adds a row: its swatches (as many in each row) and the text of each column.
    pub fn row(&mut self, swatches: &[Srgb], cells: Vec<String>) {
        self.rows.push((swatches.to_vec(), cells));
    }

    /// The lines of the table in `width` columns of a terminal. Where they would be wider, the text of
    /// the columns `elastic` is cut, the longest first, with an ellipsis. Where that is not enough, each row is a few
    /// lines of its own, with the titles in them.
    pub fn render(mut self, paint: Paint, width: usize, elastic: &[usize]) -> String {
        if self.least_width(paint, elastic) > width {
            return self.as_lines(paint, width);
        }
        self.squeeze(paint, width, elastic);
        let mut inner = comfy_table::Table::new();
        inner.load_style(presets::NOTHING);
        inner.set_header(self.titles.iter().map(|&(title, side)| cell(title, side)));
        for (_, cells) in &self.rows {
            inner.add_row(cells.iter().zip(&self.titles).map(|(text, &(_, side))| cell(text, side)));
        }
        for column in inner.column_iter_mut() {
            column.set_padding((0, GAP));
        }
        let blank = " ".repeat(self.margin(paint));
        let mut text = String::new();
        for (at, line) in inner.lines().enumerate() {
            let line = line.trim_end();
            match at.checked_sub(1).and_then(|row| self.rows.get(row)) {
                None => text.push_str(&format!("{blank}{}", paint.heading(line))),
                Some((swatches, _)) => {
                    text.push_str(&self.swatches(paint, swatches));
                    text.push_str(line);
                }
            }
            text.push('\n');
        }
        text
    }

    /// Columns that the table takes with its elastic columns as narrow as they may become.
    fn least_width(&self, paint: Paint, elastic: &[usize]) -> usize {
        let gaps = usize::from(GAP) * self.titles.len().saturating_sub(1);
        let least = |at: usize| match self.column_width(at) {
            wide if elastic.contains(&at) => wide.min(LEAST_ROOM.max(self.titles[at].0.width())),
            wide => wide,
        };
        self.margin(paint) + gaps + (0..self.titles.len()).map(least).sum::<usize>()
    }

    /// Each row as its first text column, and below it what the other columns say.
    fn as_lines(&self, paint: Paint, width: usize) -> String {
        let named = self.titles.iter().position(|(_, side)| *side == Side::Left).unwrap_or(0);
        let mut text = String::new();
        for (swatches, cells) in &self.rows {
            let swatches = self.swatches(paint, swatches);
            let name = wrapped(cells.get(named).map_or("", |name| name.trim()), width - self.margin(paint));
            text.push_str(&format!(
                "{swatches}{}\n",
                name.replace('\n', &format!("\n{}", " ".repeat(self.margin(paint))))
            ));
            let others = cells.iter().zip(&self.titles).enumerate();
            let others = others.filter(|(at, (cell, _))| *at != named && !cell.trim().is_empty());
            let said: Vec<String> = others
                .map(|(_, (cell, (title, _)))| format!("{title} {}", cell.trim()).trim().to_owned())
                .collect();
            for line in
                wrapped(&said.join(", "), width - usize::from(GAP)).lines().filter(|line| !line.is_empty())
            {
                text.push_str(&format!("{}{line}\n", " ".repeat(GAP.into())));
            }
        }
        text
    }

    /// Cuts the elastic columns to what the others leave.
    fn squeeze(&mut self, paint: Paint, width: usize, elastic: &[usize]) {
        let widths: Vec<usize> = (0..self.titles.len()).map(|at| self.column_width(at)).collect();
        let gaps = usize::from(GAP) * self.titles.len().saturating_sub(1);
        let fixed: usize = (0..widths.len()).filter(|at| !elastic.contains(at)).map(|at| widths[at]).sum();
        let left = width.saturating_sub(self.margin(paint) + gaps + fixed);
        let taken = |room: usize| elastic.iter().map(|&at| widths[at].min(room)).sum::<usize>();
        // The greatest room for each that fits; where nothing fits, the terminal has to wrap.
        let room = (LEAST_ROOM..=left).rev().find(|&room| taken(room) <= left).unwrap_or(LEAST_ROOM);
        for (_, cells) in &mut self.rows {
            for &at in elastic {
                if let Some(text) = cells.get_mut(at) {
                    *text = cut(text, room);
                }
            }
        }
    }

    /// Columns that the title and the texts of a column take.
    fn column_width(&self, at: usize) -> usize {
        let cells = self.rows.iter().filter_map(|(_, cells)| cells.get(at)).map(|text| text.width());
        cells.max().unwrap_or(0).max(self.titles[at].0.width())
    }

    /// Columns the swatches take; none where there are no colours.
    fn margin(&self, paint: Paint) -> usize {
        let most = self.rows.iter().map(|(swatches, _)| swatches.len()).max().unwrap_or(0);
        if paint.is_coloured() && most > 0 { most * SWATCH + usize::from(GAP) } else { 0 }
    }

    /// The swatches of a row, touching, so that the eye can compare them.
    fn swatches(&self, paint: Paint, swatches: &[Srgb]) -> String {
        if self.margin(paint) == 0 {
            return String::new();
        }
        let patches: String = swatches.iter().map(|&colour| paint.swatch(colour, SWATCH)).collect();
        let rest = self.margin(paint) - swatches.len() * SWATCH;
        format!("{patches}{}", " ".repeat(rest))
    }
}

fn cell(text: &str, side: Side) -> Cell {
    Cell::new(text).set_alignment(match side {
        Side::Left => CellAlignment::Left,
        Side::Right => CellAlignment::Right,
    })
}

/// The text in at most `room` columns, with an ellipsis where something was cut.
pub fn cut(text: &str, room: usize) -> String {
    if text.width() <= room {
        return text.into();
    }
    let mut kept = String::new();
    for c in text.chars() {
        kept.push(c);
        if kept.width() + 1 > room {
            kept.pop();
            break;
        }
    }
    kept.push('…');
    kept
}

/// The text in lines of at most `room` columns, broken between words.
pub fn wrapped(text: &str, room: usize) -> String {
    let mut lines: Vec<String> = vec![String::new()];
    for word in text.split(' ') {
        let line = &lines[lines.len() - 1];
        let needed = line.width() + usize::from(!line.is_empty()) + word.width();
        if needed > room && !line.is_empty() {
            lines.push(String::new());
        }
        // There is always at least the first line.
        if let Some(line) = lines.last_mut() {
            if !line.is_empty() {
                line.push(' ');
            }
            line.push_str(word);
        }
    }
    lines.join("\n")
}

/// Each line of a text as [`wrapped`] has it.
pub fn fitted(text: &str, width: usize) -> String {
    text.split('\n').map(|line| wrapped(line, width)).collect::<Vec<_>>().join("\n")
}

/// A heading in lines of at most `width` columns: nothing of it is cut, for a pipe has no other place to read it.
pub fn headline(text: &str, paint: Paint, width: usize) -> String {
    fitted(text, width).lines().map(|line| paint.heading(line)).collect::<Vec<_>>().join("\n")
}

/// A text as an item of a section: indented, and what does not fit on its line further in.
pub fn indented(text: &str, width: usize) -> String {
    const BY: usize = 2;
    let lines = wrapped(text, width - 2 * BY);
    let lines = lines.lines().enumerate();
    lines
        .map(|(at, line)| format!("{}{line}", " ".repeat(if at == 0 { BY } else { 2 * BY })))
        .collect::<Vec<_>>()
        .join("\n")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn wide_letters_are_cut_by_their_width() {
        assert_eq!(cut("coal", 4), "coal");
        assert_eq!(cut("coals", 4), "coa…");
        assert_eq!(cut("石炭石炭", 5), "石炭…");
        assert_eq!(cut("石炭石炭", 4), "石…");
    }
}
