//! The tray file: CSV with a header, as a maker keeps it in a text editor or a spreadsheet.
//!
//! ```text
//! name,hex,count
//! coal,#1f2023,900
//! ```
//! Columns: `name`, and either `hex` or `L`, `a`, `b` (with `white`, D65 or D50, where it matters);
//! then `uncertainty` (of that colour, in CIEDE2000), `count`, `finish`, `pack`, `price` and `note` as
//! wanted, in any order and in any capitals. Columns of the maker's own are kept and mean nothing here.
//!
//! As spreadsheets save it: columns parted by commas, semicolons or tabs, or as a first line `sep=;` says; decimals behind
//! a point or a comma, thousands parted or not; UTF-8 with or without a byte order mark, UTF-16 with one; lines that end
//! in LF or CRLF. Lines that begin with `#` may stand before the header. What may be read in two ways is refused with
//! both; any fault is named with its line, its column and what would be right.

use std::path::Path;

use csv::ByteRecord;

use super::columns::{Column, Columns};
use super::dialect::{self, Opening};
use super::number::Habit;
use super::row::{Row, note_numbers};
use super::{Bead, Tray};
use crate::error::{Error, Result, is_unprintable};
use crate::files;

/// The largest tray file that is read, in bytes: room for [`MOST_BEADS`] lines of 500 bytes.
pub const MOST_BYTES: u64 = 1_000_000;

/// The most beads a tray may list: several times all that are made, and few enough that comparing
/// every pair stays a matter of a second.
pub const MOST_BEADS: usize = 2_000;

/// The longest bead name, in characters: longer is a slip of the separator or of a quote.
const LONGEST_NAME: usize = 64;

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
        if bytes.len() as u64 > MOST_BYTES {
            return Err(Error::TrayFile {
                file: file.into(),
                why: format!("it is larger than {MOST_BYTES} bytes"),
                right: "give a CSV file with one line for each bead you own".into(),
            });
        }
        let decoded = dialect::decoded(file, bytes)?;
        let mut text = Text::new(file, &decoded)?;
        let (header, records) = text.records()?;
        let mut habit = Habit::default();
        records.iter().for_each(|(_, record)| note_numbers(&mut habit, &header, record));
        let mut beads: Vec<(usize, Bead)> = Vec::new();
        for (line, record) in &records {
            let row = Row::new(file, &header, habit, (*line, record))?;
            let bead = row.bead()?;
            if let Some((earlier, _)) = beads.iter().find(|(_, known)| known.name == bead.name) {
                let why = format!("{} stands on line {earlier} already", bead.name);
                return Err(row.fault(Column::Name, why, "give each bead its own name"));
            }
            beads.push((*line, bead));
        }
        Self::new(file, beads.into_iter().map(|(_, bead)| bead).collect())
    }
}

/// The file's text from its header on, and how far its lines are counted.
struct Text<'a> {
    file: &'a str,
    bytes: &'a [u8],
    separator: u8,
    /// Bytes whose line ends are counted.
    counted: usize,
    /// Lines that ended before the header and in the counted bytes.
    lines_before: usize,
}

impl<'a> Text<'a> {
    fn new(file: &'a str, text: &'a [u8]) -> Result<Self> {
        let opening = Opening::read(file, text)?;
        let separator = opening.separator(file)?;
        Ok(Self { file, bytes: opening.rest, separator, counted: 0, lines_before: opening.lines })
    }

    /// The header and every record with its line.
    fn records(&mut self) -> Result<(Columns, Vec<(usize, ByteRecord)>)> {
        let mut reader = dialect::reader(self.separator, self.bytes);
        let mut record = ByteRecord::new();
        let header = match self.next(&mut reader, &mut record)? {
            Some(line) => self.header(line, &record)?,
            None => return Err(self.fault("the tray holds no beads", "begin it with a line name,hex")),
        };
        let mut records = Vec::new();
        while let Some(line) = self.next(&mut reader, &mut record)? {
            // Spreadsheets leave rows of separators behind.
            if record.iter().all(<[u8]>::is_empty) {
                continue;
            }
            records.push((line, record.clone()));
            if records.len() > MOST_BEADS {
                let why = format!("it lists more than {MOST_BEADS} beads");
                return Err(self.fault(&why, "keep the beads you own, and no more"));
            }
        }
        Ok((header, records))
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
            names.push(name.trim());
        }
        Columns::read(self.file, line, &names, self.separator)
    }

    fn fault(&self, why: &str, right: &str) -> Error {
        Error::TrayFile { file: self.file.into(), why: why.into(), right: right.into() }
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
