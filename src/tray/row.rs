//! A line of a tray file: one bead.

use std::ops::RangeInclusive;

use csv::ByteRecord;

use super::columns::{Column, Columns};
use super::dialect::{name as separator_name, other_separator};
use super::number::{self, Decided, Habit, Number, Reading};
use super::price::Parts;
use super::{Bead, Price};
use crate::colour::{Lab, Srgb};
use crate::error::{Error, Result, is_unprintable};
use crate::units::DeltaE;

/// From black to white.
const LIGHTNESS: RangeInclusive<f64> = 0.0..=100.0;

/// Lab axes as far as surfaces go: optimal colours stay within about 180 of grey under D65.
const LAB_AXIS: RangeInclusive<f64> = -200.0..=200.0;

/// From a colour known exactly to one not known at all: black and white are 100 apart.
const UNCERTAINTY: RangeInclusive<f64> = 0.0..=100.0;

/// The columns that hold numbers.
const NUMBERS: [Column; 7] =
    [Column::L, Column::A, Column::B, Column::Uncertainty, Column::Count, Column::Pack, Column::Price];

/// Takes into account how a line writes its numbers, whatever else may be wrong with it.
pub(super) fn note_numbers(habit: &mut Habit, header: &Columns, record: &ByteRecord) {
    for column in NUMBERS {
        let cell = header.place(column).and_then(|at| record.get(at));
        let Some(cell) = cell.and_then(|cell| std::str::from_utf8(cell).ok()).map(bare) else { continue };
        let text =
            if column == Column::Price { Parts::of(cell).map(|parts| parts.number) } else { Some(cell) };
        if let Some(reading) = text.and_then(number::read) {
            habit.note(&reading, |number| allows(column, number));
        }
    }
}

/// Whether a column may hold a number.
fn allows(column: Column, number: &Number) -> bool {
    match column {
        Column::L => LIGHTNESS.contains(&number.value()),
        Column::A | Column::B => LAB_AXIS.contains(&number.value()),
        Column::Uncertainty => UNCERTAINTY.contains(&number.value()),
        Column::Count | Column::Pack => number.whole().is_some(),
        _ => true,
    }
}

/// A cell without blanks about it, and without the `="..."` by which a spreadsheet keeps noughts at its head.
fn bare(cell: &str) -> &str {
    let cell = cell.trim();
    cell.strip_prefix("=\"").and_then(|cell| cell.strip_suffix('"')).map_or(cell, str::trim)
}

/// One line of beads, its cells known to be plain text, one for each column of the header.
pub(super) struct Row<'a> {
    file: &'a str,
    line: usize,
    header: &'a Columns,
    /// What the file shows of its numbers.
    habit: Habit,
    cells: Vec<&'a str>,
}

impl<'a> Row<'a> {
    pub(super) fn new(
        file: &'a str,
        header: &'a Columns,
        habit: Habit,
        (line, record): (usize, &'a ByteRecord),
    ) -> Result<Self> {
        let mut row = Self { file, line, header, habit, cells: Vec::with_capacity(record.len()) };
        for (at, bytes) in record.iter().enumerate() {
            let cell = std::str::from_utf8(bytes).map_err(|_| {
                row.fault_at(header.name(at), "this is not UTF-8".into(), "save the file as CSV in UTF-8")
            })?;
            row.check_plain(at, cell)?;
            row.cells.push(bare(cell));
        }
        row.check_length()?;
        Ok(row)
    }

    /// Refuses characters that a terminal or a table would not show as they are.
    fn check_plain(&self, at: usize, cell: &str) -> Result<()> {
        let fault = |why: String, right| Err(self.fault_at(self.header.name(at), why, right));
        if cell.contains(['\n', '\r']) {
            return fault(
                "the text goes on over the end of the line".into(),
                "close the quotation mark on the line it was opened, or write \"\" for the mark itself",
            );
        }
        match cell.chars().find(|&c| is_unprintable(c)) {
            Some(c) => fault(
                format!("there is a control character in it ({})", c.escape_unicode()),
                "type the text anew, letters and signs only",
            ),
            None => Ok(()),
        }
    }

    fn check_length(&self) -> Result<()> {
        let (has, wants) = (self.cells.len(), self.header.len());
        if has < wants {
            let separator = self.header.separator();
            let other = self.cells.iter().find_map(|cell| other_separator(cell, separator));
            let why = match other.map(separator_name) {
                Some(other) if has == 1 => {
                    format!("the line is parted by {other}, the header by {}", separator_name(separator))
                }
                _ => format!("it is missing: the line has {has} of {wants} columns"),
            };
            let right = "leave a cell empty, but keep the sign that parts it from the next";
            return Err(self.fault_at(self.header.name(has), why, right));
        }
        match self.cells[wants..].iter().position(|cell| !cell.is_empty()) {
            Some(at) => Err(self.fault_at(
                self.header.name(wants + at),
                format!("'{}' stands beyond the last column", self.cells[wants + at]),
                "put text that holds the sign that parts columns between quotation marks",
            )),
            None => self.check_nameless(),
        }
    }

    /// A column without a name may only be empty.
    fn check_nameless(&self) -> Result<()> {
        let stray = |&(at, cell): &(usize, &&str)| !cell.is_empty() && !self.header.is_named(at);
        match self.cells[..self.header.len()].iter().enumerate().find(stray) {
            Some((at, cell)) => Err(self.fault_at(
                self.header.name(at),
                format!("'{cell}' stands in a column without a name"),
                "name the column in the header, or empty it",
            )),
            None => Ok(()),
        }
    }

    pub(super) fn bead(&self) -> Result<Bead> {
        Ok(Bead {
            name: self.name()?,
            lab: self.colour()?,
            uncertainty: self.uncertainty()?,
            count: self.whole(Column::Count, 0)?,
            finish: self.text(Column::Finish),
            pack: self.whole(Column::Pack, 1)?,
            price: self.price()?,
            note: self.text(Column::Note),
            own_columns: self.own_columns(),
        })
    }

    /// What stands in columns of the maker's own.
    fn own_columns(&self) -> Vec<(String, String)> {
        let filled =
            self.header.own().map(|(at, name)| (name, self.cells[at])).filter(|own| !own.1.is_empty());
        filled.map(|(name, cell)| (name.into(), cell.into())).collect()
    }

    /// The cell of a column, where the file has the column and the cell is not empty.
    fn cell(&self, column: Column) -> Option<&'a str> {
        self.header.place(column).map(|at| self.cells[at]).filter(|cell| !cell.is_empty())
    }

    fn name(&self) -> Result<String> {
        let right = "give the bead a short name of your own, such as coal";
        let name = self.cell(Column::Name).ok_or_else(|| self.fault(Column::Name, "it is empty", right))?;
        match Bead::name_fault(name) {
            Some(why) => Err(self.fault(Column::Name, why, right)),
            None => Ok(name.into()),
        }
    }

    fn colour(&self) -> Result<Lab> {
        if self.header.place(Column::Hex).is_some() { self.hex() } else { self.lab() }
    }

    fn hex(&self) -> Result<Lab> {
        let fault = |why: String| {
            self.fault(Column::Hex, why, "write six hexadecimal digits, red, green, blue, such as #a0522d")
        };
        let cell = self.cell(Column::Hex).ok_or_else(|| fault("it is empty".into()))?;
        // Three digits are refused here: a spreadsheet makes 202 of 000202.
        if cell.trim_start_matches('#').len() != 6 {
            return Err(fault(format!("'{cell}' does not have six digits")));
        }
        cell.parse::<Srgb>().map(Srgb::lab).map_err(|_| fault(format!("'{cell}' is not a colour")))
    }

    fn lab(&self) -> Result<Lab> {
        let l = self.number(Column::L, LIGHTNESS, "write a lightness from 0 (black) to 100 (white)")?;
        let axis = "write a number from -200 to 200, 0 for grey";
        let a = self.number(Column::A, LAB_AXIS, axis)?;
        let b = self.number(Column::B, LAB_AXIS, axis)?;
        match self.cell(Column::White).map(str::to_ascii_uppercase).as_deref() {
            None | Some("D65") => Ok(Lab::new(l, a, b)),
            Some("D50") => Ok(Lab::from_d50(l, a, b)),
            Some(other) => Err(self.fault(
                Column::White,
                format!("'{other}' is no white that is known here"),
                "write D65 or D50, as your instrument says",
            )),
        }
    }

    fn uncertainty(&self) -> Result<Option<DeltaE>> {
        let right = "write a CIEDE2000 difference from 0 to 100 that two in three such colours stay within, such as \
                     1.5, or leave it empty";
        let Some(_) = self.cell(Column::Uncertainty) else { return Ok(None) };
        self.number(Column::Uncertainty, UNCERTAINTY, right).map(|number| Some(DeltaE(number)))
    }

    fn number(&self, column: Column, range: RangeInclusive<f64>, right: &str) -> Result<f64> {
        let cell = self.cell(column).ok_or_else(|| self.fault(column, "it is empty", right))?;
        let fault = || self.fault(column, format!("'{cell}' is not a number"), right);
        let number = match number::read(cell) {
            Some(reading) => self.decided(column, cell, &reading)?.value(),
            // Powers of ten, as in 1e1, are written by programs alone, and always with a point.
            None if cell.contains(['e', 'E']) => cell.parse().map_err(|_| fault())?,
            None => return Err(fault()),
        };
        if range.contains(&number) {
            return Ok(number);
        }
        Err(self.fault(column, format!("{cell} is out of range"), right))
    }

    fn whole(&self, column: Column, least: u32) -> Result<Option<u32>> {
        let right = format!("write a whole number from {least} up, or leave it empty");
        let Some(cell) = self.cell(column) else { return Ok(None) };
        let number = match number::read(cell) {
            Some(reading) => self.decided(column, cell, &reading)?.whole(),
            None => None,
        };
        match number {
            Some(number) if number >= least => Ok(Some(number)),
            _ => Err(self.fault(column, format!("'{cell}' is not a whole number from {least} up"), &right)),
        }
    }

    fn price(&self) -> Result<Option<Price>> {
        let Some(cell) = self.cell(Column::Price) else { return Ok(None) };
        let price = match Parts::of(cell).and_then(|parts| Some((parts, number::read(parts.number)?))) {
            Some((parts, reading)) => parts.price(&self.decided(Column::Price, cell, &reading)?, &reading),
            None => None,
        };
        price.map(Some).ok_or_else(|| {
            let right =
                "write a number with at most four decimals, such as 2.50 or 2,50 or €2.50, or leave it empty";
            self.fault(Column::Price, format!("'{cell}' is not a price"), right)
        })
    }

    /// The number of a cell, as the file writes its numbers; where that leaves two readings, both are named.
    fn decided(&self, column: Column, cell: &str, reading: &Reading) -> Result<Number> {
        match self.habit.decide(reading, |number| allows(column, number)) {
            Decided::Number(number) => Ok(number),
            Decided::Open => Err(self.two_readings(column, cell, reading)),
        }
    }

    fn two_readings(&self, column: Column, cell: &str, reading: &Reading) -> Error {
        let Reading::Open { thousands, decimals, mark } = reading else {
            return self.fault(column, format!("'{cell}' is not a number"), "write it in digits");
        };
        let (thousands, name) = (thousands.plain(), mark.name());
        let written = match column {
            Column::Count | Column::Pack => decimals.whole.clone(),
            // Money has two decimals nearly everywhere; a third was never meant.
            Column::Price => format!("{}.{:.2}", decimals.whole, decimals.decimals),
            _ => format!("{}0", decimals.plain()),
        };
        let decimals = decimals.plain();
        let why = format!(
            "'{cell}' may be {thousands} (the {name} parts thousands) or {decimals} (the {name} stands before decimals)"
        );
        self.fault(
            column,
            why,
            &format!(
                "write {thousands} or {written}, whichever is meant, and likewise in the rest of the column"
            ),
        )
    }

    fn text(&self, column: Column) -> Option<String> {
        self.cell(column).map(String::from)
    }

    pub(super) fn fault(&self, column: Column, why: impl Into<String>, right: &str) -> Error {
        self.fault_at(column.name().into(), why.into(), right)
    }

    fn fault_at(&self, field: String, why: String, right: &str) -> Error {
        Error::TrayLine { file: self.file.into(), line: self.line, field, why, right: right.into() }
    }
}
