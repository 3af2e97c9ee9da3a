//! The text of a tray file as a spreadsheet saved it: its encoding, its first lines, what parts its columns.

use std::borrow::Cow;

use csv::ByteRecord;

use super::columns::Column;
use crate::error::{Error, Result};

const BYTE_ORDER_MARK: &[u8] = b"\xef\xbb\xbf";

/// What parts columns where no line says it.
const SEPARATORS: [u8; 3] = [b',', b';', b'\t'];

/// How files begin that are no text, each with what it is. ZIP: PKWARE's APPNOTE; OLE2: [MS-CFB] 2.2.
const NO_TEXT: [(&[u8], &str); 4] = [
    (b"PK\x03\x04", "a spreadsheet's own file, such as .xlsx or .ods"),
    (b"\xd0\xcf\x11\xe0", "an older spreadsheet's own file, such as .xls"),
    (b"%PDF", "a PDF"),
    (b"{\\rtf", "a word processor's text"),
];

/// Where a ZIP file of the OpenDocument format names its kind (OpenDocument 1.3, part 2, 3.3), from its 38th byte on.
const OPEN_DOCUMENT: (usize, &[u8]) = (38, b"application/vnd.oasis.opendocument");

/// The text as UTF-8; what is no UTF-8 is left for the cell it stands in.
pub(crate) fn decoded<'a>(file: &str, bytes: &'a [u8]) -> Result<Cow<'a, [u8]>> {
    let fault = |why: String, right: &str| Error::TrayFile { file: file.into(), why, right: right.into() };
    if let Some(what) = no_text(bytes) {
        let right = "open it in the spreadsheet, save it as CSV (text), and name that file";
        return Err(fault(format!("it is {what}, no CSV"), right));
    }
    let two = |bytes: &[u8], unit: fn([u8; 2]) -> u16| utf_16(bytes, unit);
    let utf_16 = match bytes {
        [0xff, 0xfe, rest @ ..] => two(rest, u16::from_le_bytes),
        [0xfe, 0xff, rest @ ..] => two(rest, u16::from_be_bytes),
        _ => return Ok(Cow::Borrowed(bytes.strip_prefix(BYTE_ORDER_MARK).unwrap_or(bytes))),
    };
    match utf_16 {
        Ok(text) => Ok(Cow::Owned(text.into_bytes())),
        Err(line) => Err(fault(
            format!("it is written in UTF-16, and line {line} is damaged"),
            "save it again as CSV in UTF-8",
        )),
    }
}

fn no_text(bytes: &[u8]) -> Option<&'static str> {
    let (at, kind) = OPEN_DOCUMENT;
    if bytes.get(at..).is_some_and(|rest| rest.starts_with(kind)) {
        return Some("a spreadsheet's own file (.ods)");
    }
    NO_TEXT.iter().find(|(begins, _)| bytes.starts_with(begins)).map(|(_, what)| *what)
}

/// The text of UTF-16, or the line on which it is damaged.
fn utf_16(bytes: &[u8], unit: fn([u8; 2]) -> u16) -> std::result::Result<String, usize> {
    let (pairs, rest) = bytes.as_chunks::<2>();
    let mut text = String::with_capacity(bytes.len());
    let damaged = |text: &str| text.matches('\n').count() + 1;
    for letter in char::decode_utf16(pairs.iter().map(|&pair| unit(pair))) {
        text.push(letter.map_err(|_| damaged(&text))?);
    }
    if rest.is_empty() { Ok(text) } else { Err(damaged(&text)) }
}

/// What stands before the header.
pub(super) struct Opening<'a> {
    /// The text from the header on.
    pub(super) rest: &'a [u8],
    /// Lines before it.
    pub(super) lines: usize,
    /// What parts the columns, where a line `sep=` says it.
    separator: Option<u8>,
}

impl<'a> Opening<'a> {
    /// Passes over remarks and a line `sep=;`, by which spreadsheets tell one another what parts the columns.
    pub(super) fn read(file: &str, text: &'a [u8]) -> Result<Self> {
        let mut opening = Self { rest: text, lines: 0, separator: None };
        loop {
            let end = opening.rest.iter().position(|&b| b == b'\n').map_or(opening.rest.len(), |at| at + 1);
            let (line, rest) = opening.rest.split_at(end);
            match said_separator(line) {
                Some(said) => opening.separator = Some(said.map_err(|why| opening.fault(file, why))?),
                None if line.starts_with(b"#") => {}
                None => return Ok(opening),
            }
            (opening.rest, opening.lines) = (rest, opening.lines + 1);
        }
    }

    fn fault(&self, file: &str, why: String) -> Error {
        let right = "write one sign that parts the columns, such as sep=; or sep=,".into();
        Error::TrayLine { file: file.into(), line: self.lines + 1, field: "sep=".into(), why, right }
    }

    /// What parts the columns: as the file says, else as its header shows.
    pub(super) fn separator(&self, file: &str) -> Result<u8> {
        let shown = || Shown::of(self.rest).separator();
        match self.separator.map_or_else(shown, Ok) {
            Ok(separator) => Ok(separator),
            Err(candidates) => {
                let blank = |&&b: &&u8| b == b'\n' || b == b'\r';
                let before = self.rest.iter().take_while(blank).filter(|b| **b == b'\n').count();
                let ways: Vec<String> = candidates.iter().map(Candidate::in_words).collect();
                let said: Vec<&str> = candidates.iter().map(|way| name(way.separator)).collect();
                Err(Error::TrayLine {
                    file: file.into(),
                    line: self.lines + before + 1,
                    field: "header".into(),
                    why: format!("its columns may be parted by {}", ways.join(" or by ")),
                    right: format!(
                        "use {} throughout, or say which it is in a first line, such as sep=;",
                        said.join(" or ")
                    ),
                })
            }
        }
    }
}

/// What a line `sep=;` says, or what is wrong with it; nothing of any other line. A tab may be what it says.
fn said_separator(line: &[u8]) -> Option<std::result::Result<u8, String>> {
    let line = std::str::from_utf8(line).ok()?.trim_matches(['\r', '\n', ' ', '"']);
    let (word, said) = line.split_once('=')?;
    if !word.trim().eq_ignore_ascii_case("sep") {
        return None;
    }
    Some(match said.as_bytes() {
        [sign] if *sign == b'\t' || sign.is_ascii_punctuation() && *sign != b'"' => Ok(*sign),
        _ => Err(format!("'{}' is not one sign", said.escape_debug())),
    })
}

/// `commas`.
pub(super) fn name(separator: u8) -> &'static str {
    match separator {
        b',' => "commas",
        b';' => "semicolons",
        b'\t' => "tabs",
        _ => "the sign after sep=",
    }
}

/// Another sign that parts columns elsewhere, where a text has it.
pub(super) fn other_separator(text: &str, separator: u8) -> Option<u8> {
    SEPARATORS.into_iter().find(|&other| other != separator && text.as_bytes().contains(&other))
}

/// A header parted by one sign.
struct Candidate {
    separator: u8,
    cells: Vec<String>,
    /// How many of its columns are known here.
    known: usize,
}

impl Candidate {
    fn in_words(&self) -> String {
        format!("{} ({})", name(self.separator), self.cells.join(" | "))
    }
}

/// A header parted by each sign that parts it at all.
struct Shown(Vec<Candidate>);

impl Shown {
    fn of(text: &[u8]) -> Self {
        let parted = |separator: u8| {
            let mut record = ByteRecord::new();
            let mut reader = reader(separator, text);
            // A header that cannot be read is told of when it is read for good.
            let _ = reader.read_byte_record(&mut record);
            let cells: Vec<String> =
                record.iter().map(|cell| String::from_utf8_lossy(cell).trim().into()).collect();
            let known = cells.iter().filter(|cell| Column::named(cell).is_some()).count();
            Candidate { separator, cells, known }
        };
        Self(SEPARATORS.into_iter().map(parted).filter(|way| way.cells.len() > 1).collect())
    }

    /// The sign by which most columns are known, or all where several are as good. Commas where none parts it.
    fn separator(mut self) -> std::result::Result<u8, Vec<Candidate>> {
        let most = self.0.iter().map(|way| way.known).max().unwrap_or(0);
        self.0.retain(|way| way.known == most);
        match self.0.as_slice() {
            [] => Ok(SEPARATORS[0]),
            [only] => Ok(only.separator),
            _ if most == 0 => Ok(SEPARATORS[0]),
            _ => Err(self.0),
        }
    }
}

/// A reader of records parted by one sign.
pub(super) fn reader(separator: u8, text: &[u8]) -> csv::Reader<&[u8]> {
    let mut builder = csv::ReaderBuilder::new();
    builder.delimiter(separator).has_headers(false).flexible(true).trim(csv::Trim::All).from_reader(text)
}
