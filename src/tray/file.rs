//! The tray file: CSV with a header, as a maker keeps it in a text editor or a spreadsheet.
//!
//! ```text
//! name,hex,count
//! coal,#1f2023,900
//! ```
//! Columns: `name`, and either `hex` or `L`, `a`, `b` (with `white`, D65 or D50, where it matters);
//! then `uncertainty` (of that colour, in CIEDE2000), `count`, `finish`, `pack`, `price` and `note` as
//! wanted, in any order. UTF-8, with or without a byte order mark; lines may end in LF or CRLF; lines that begin with
//! `#` may stand before the header. A fault is refused with its line, its column and what would be right.

use std::path::Path;

use csv::ByteRecord;

use super::columns::{Column, Columns};
use super::{Bead, Price, Tray};
use crate::colour::{Lab, Srgb};
use crate::error::{Error, Result, is_unprintable};
use crate::files;
use crate::units::DeltaE;

/// The largest tray file that is read, in bytes: room for [`MOST_BEADS`] lines of 500 bytes.
pub const MOST_BYTES: u64 = 1_000_000;

/// The most beads a tray may list: several times all that are made, and few enough that comparing
/// every pair stays a matter of a second.
pub const MOST_BEADS: usize = 2_000;

/// The longest bead name, in characters: longer is a slip of the separator or of a quote.
const LONGEST_NAME: usize = 64;

/// Lab axes as far as surfaces go: optimal colours stay within about 180 of grey under D65.
const LAB_AXIS: std::ops::RangeInclusive<f64> = -200.0..=200.0;

/// From a colour known exactly to one not known at all: black and white are 100 apart.
const UNCERTAINTY: std::ops::RangeInclusive<f64> = 0.0..=100.0;

const BYTE_ORDER_MARK: &[u8] = b"\xef\xbb\xbf";

impl Tray {
    /// Reads a tray file.
    ///
    /// # Errors
    /// [`Error::Unreadable`] if the system will not give it, otherwise as [`Tray::parse`].
    pub fn open(path: &Path) -> Result<Self> {
        Self::parse(&path.display().to_string(), &files::read(path, MOST_BYTES, "a tray")?)
    }

    /// Reads the bytes of a tray file; `file` names it in errors.
    ///
    /// ```
    /// use smallcast::tray::Tray;
    /// let tray = Tray::parse("my.csv", b"name,hex,count\ncoal,#1f2023,900\n")?;
    /// let coal = tray.find("coal").map(|id| tray.bead(id));
    /// assert_eq!(coal.and_then(|bead| bead.count), Some(900));
    /// # Ok::<(), smallcast::error::Error>(())
    /// ```
    ///
    /// # Errors
    /// [`Error::TrayLine`] for a fault at one place, [`Error::TrayFile`] for one of the whole file.
    pub fn parse(file: &str, bytes: &[u8]) -> Result<Self> {
        let mut text = Text::new(file, bytes)?;
        let mut reader = csv::ReaderBuilder::new()
            .has_headers(false)
            .flexible(true)
            .trim(csv::Trim::All)
            .from_reader(text.bytes);
        let mut record = ByteRecord::new();
        let header = match text.next(&mut reader, &mut record)? {
            Some(line) => text.header(line, &record)?,
            None => return Err(text.fault("the tray holds no beads", "begin it with a line name,hex")),
        };
        let mut beads: Vec<(usize, Bead)> = Vec::new();
        while let Some(line) = text.next(&mut reader, &mut record)? {
            // Spreadsheets leave rows of separators behind.
            if record.iter().all(<[u8]>::is_empty) {
                continue;
            }
            let row = Row::new(file, &header, line, &record)?;
            let bead = row.bead()?;
            if let Some((earlier, _)) = beads.iter().find(|(_, known)| known.name == bead.name) {
                let why = format!("{} stands on line {earlier} already", bead.name);
                return Err(row.fault(Column::Name, why, "give each bead its own name"));
            }
            beads.push((line, bead));
            if beads.len() > MOST_BEADS {
                let why = format!("it lists more than {MOST_BEADS} beads");
                return Err(text.fault(&why, "keep the beads you own, and no more"));
            }
        }
        Self::new(file, beads.into_iter().map(|(_, bead)| bead).collect())
    }
}

/// The file's bytes without byte order mark and opening remarks, and how far its lines are counted.
struct Text<'a> {
    file: &'a str,
    bytes: &'a [u8],
    /// Bytes whose line ends are counted.
    counted: usize,
    /// Lines that ended in the remarks and in the counted bytes.
    lines_before: usize,
}

impl<'a> Text<'a> {
    fn new(file: &'a str, bytes: &'a [u8]) -> Result<Self> {
        let mut text = Self { file, bytes, counted: 0, lines_before: 0 };
        if bytes.len() as u64 > MOST_BYTES {
            return Err(text.fault(
                &format!("it is larger than {MOST_BYTES} bytes"),
                "give a CSV file with one line for each bead you own",
            ));
        }
        if bytes.starts_with(b"\xff\xfe") || bytes.starts_with(b"\xfe\xff") {
            return Err(text.fault("it is written in UTF-16", "save it as CSV in UTF-8"));
        }
        text.bytes = bytes.strip_prefix(BYTE_ORDER_MARK).unwrap_or(bytes);
        while text.bytes.starts_with(b"#") {
            let end = text.bytes.iter().position(|&b| b == b'\n').map_or(text.bytes.len(), |at| at + 1);
            text.bytes = &text.bytes[end..];
            text.lines_before += 1;
        }
        Ok(text)
    }

    /// The next record's line, or nothing at the end.
    fn next(&mut self, reader: &mut csv::Reader<&[u8]>, record: &mut ByteRecord) -> Result<Option<usize>> {
        let more = reader
            .read_byte_record(record)
            .map_err(|_| self.fault("it cannot be read as CSV", "save it again as CSV in UTF-8"))?;
        let start = record.position().map_or(0, |p| p.byte() as usize);
        Ok(more.then(|| self.line_at(start)))
    }

    /// The line on which the record that the reader found at `start` begins, counted from 1.
    ///
    /// The reader's own count is off after CRLF and blank lines, and its byte position may lie on the
    /// line end before the record; so lines are counted here, on from the record before.
    fn line_at(&mut self, start: usize) -> usize {
        let is_end = |&&b: &&u8| b == b'\r' || b == b'\n';
        let start = start.clamp(self.counted, self.bytes.len());
        let begin = start + self.bytes[start..].iter().take_while(is_end).count();
        self.lines_before += (self.counted..begin).filter(|&at| self.ends_line(at)).count();
        self.counted = begin;
        self.lines_before + 1
    }

    /// LF ends a line, and so does a lone CR, as the reader has it.
    fn ends_line(&self, at: usize) -> bool {
        self.bytes[at] == b'\n' || (self.bytes[at] == b'\r' && self.bytes.get(at + 1) != Some(&b'\n'))
    }

    fn header(&self, line: usize, record: &ByteRecord) -> Result<Columns> {
        let mut names = Vec::new();
        for cell in record {
            let name = std::str::from_utf8(cell)
                .map_err(|_| self.fault("its header is not UTF-8", "save it as CSV in UTF-8"))?;
            names.push(name);
        }
        Columns::read(self.file, line, &names)
    }

    fn fault(&self, why: &str, right: &str) -> Error {
        Error::TrayFile { file: self.file.into(), why: why.into(), right: right.into() }
    }
}

/// One line of beads, its cells known to be plain text, one for each column of the header.
struct Row<'a> {
    file: &'a str,
    line: usize,
    header: &'a Columns,
    cells: Vec<&'a str>,
}

impl<'a> Row<'a> {
    fn new(file: &'a str, header: &'a Columns, line: usize, record: &'a ByteRecord) -> Result<Self> {
        let mut row = Self { file, line, header, cells: Vec::with_capacity(record.len()) };
        for (at, bytes) in record.iter().enumerate() {
            let cell = std::str::from_utf8(bytes).map_err(|_| {
                row.fault_at(header.name(at), "this is not UTF-8".into(), "save the file as CSV in UTF-8")
            })?;
            row.check_plain(at, cell)?;
            row.cells.push(cell);
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
            let why = format!("it is missing: the line has {has} of {wants} columns");
            return Err(self.fault_at(self.header.name(has), why, "leave a cell empty, but keep its comma"));
        }
        match self.cells[wants..].iter().position(|cell| !cell.is_empty()) {
            Some(at) => Err(self.fault_at(
                self.header.name(wants + at),
                format!("'{}' stands beyond the last column", self.cells[wants + at]),
                "put text that holds a comma between quotation marks",
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

    fn bead(&self) -> Result<Bead> {
        Ok(Bead {
            name: self.name()?,
            lab: self.colour()?,
            uncertainty: self.uncertainty()?,
            count: self.whole(Column::Count, 0)?,
            finish: self.text(Column::Finish),
            pack: self.whole(Column::Pack, 1)?,
            price: self.price()?,
            note: self.text(Column::Note),
        })
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
        let l = self.number(Column::L, 0.0..=100.0, "write a lightness from 0 (black) to 100 (white)")?;
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

    fn number(&self, column: Column, range: std::ops::RangeInclusive<f64>, right: &str) -> Result<f64> {
        let cell = self.cell(column).ok_or_else(|| self.fault(column, "it is empty", right))?;
        let number: f64 =
            cell.parse().map_err(|_| self.fault(column, format!("'{cell}' is not a number"), right))?;
        if range.contains(&number) {
            return Ok(number);
        }
        Err(self.fault(column, format!("{cell} is out of range"), right))
    }

    fn whole(&self, column: Column, least: u32) -> Result<Option<u32>> {
        let right = format!("write a whole number from {least} up, or leave it empty");
        let Some(cell) = self.cell(column) else { return Ok(None) };
        match cell.parse::<u32>() {
            Ok(number) if number >= least => Ok(Some(number)),
            _ => Err(self.fault(column, format!("'{cell}' is not a whole number from {least} up"), &right)),
        }
    }

    fn price(&self) -> Result<Option<Price>> {
        let Some(cell) = self.cell(Column::Price) else { return Ok(None) };
        cell.parse().map(Some).map_err(|_| {
            let right =
                "write a number with at most four decimals, such as 2.50 or 2,50 or €2.50, or leave it empty";
            self.fault(Column::Price, format!("'{cell}' is not a price"), right)
        })
    }

    fn text(&self, column: Column) -> Option<String> {
        self.cell(column).map(String::from)
    }

    fn fault(&self, column: Column, why: impl Into<String>, right: &str) -> Error {
        self.fault_at(column.name().into(), why.into(), right)
    }

    fn fault_at(&self, field: String, why: String, right: &str) -> Error {
        Error::TrayLine { file: self.file.into(), line: self.line, field, why, right: right.into() }
    }
}

impl Bead {
    /// What is wrong with a text as a bead's name; nothing where it can be one.
    pub(crate) fn name_fault(name: &str) -> Option<String> {
        if name.chars().count() > LONGEST_NAME {
            return Some(format!("it is longer than {LONGEST_NAME} characters"));
        }
        if name.chars().all(|c| unicode_width::UnicodeWidthChar::width(c).unwrap_or(0) == 0) {
            return Some("nothing in it can be seen".into());
        }
        let unprintable = name.chars().find(|&c| is_unprintable(c));
        unprintable.map(|c| format!("there is a control character in it ({})", c.escape_unicode()))
    }
}
