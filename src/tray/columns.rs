//! The columns a tray file may have, and the header that names them.

use crate::error::{Error, Result};

/// What a header should look like, for hints.
const HEADERS: &str = "begin the file with a line such as name,hex,count or name,L,a,b,count";

/// Separators some spreadsheets write in place of commas.
const OTHER_SEPARATORS: [char; 2] = [';', '\t'];

/// A column of the tray file.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Column {
    Name,
    Hex,
    L,
    A,
    B,
    White,
    Uncertainty,
    Count,
    Finish,
    Pack,
    Price,
    Note,
}

impl Column {
    const ALL: [Self; 12] = [
        Self::Name,
        Self::Hex,
        Self::L,
        Self::A,
        Self::B,
        Self::White,
        Self::Uncertainty,
        Self::Count,
        Self::Finish,
        Self::Pack,
        Self::Price,
        Self::Note,
    ];

    pub(super) fn name(self) -> &'static str {
        match self {
            Self::Name => "name",
            Self::Hex => "hex",
            Self::L => "L",
            Self::A => "a",
            Self::B => "b",
            Self::White => "white",
            Self::Uncertainty => "uncertainty",
            Self::Count => "count",
            Self::Finish => "finish",
            Self::Pack => "pack",
            Self::Price => "price",
            Self::Note => "note",
        }
    }

    fn named(text: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|c| c.name().eq_ignore_ascii_case(text))
    }

    /// The column a maker most likely meant: by another common word for it, or by its spelling.
    fn likely(text: &str) -> Option<Self> {
        /// Jaro-Winkler similarity from which a word is taken for a slip of another (by trial).
        const SLIP: f64 = 0.8;
        let lower = text.to_lowercase();
        match lower.as_str() {
            "colour" | "color" | "rgb" => return Some(Self::Hex),
            "bead" | "title" | "label" => return Some(Self::Name),
            "stock" | "quantity" | "amount" | "number" | "qty" => return Some(Self::Count),
            "lightness" | "l*" => return Some(Self::L),
            "a*" => return Some(Self::A),
            "b*" => return Some(Self::B),
            "error" | "deviation" | "tolerance" => return Some(Self::Uncertainty),
            "illuminant" => return Some(Self::White),
            _ => {}
        }
        // One-letter columns are a slip away from everything.
        let words = || Self::ALL.into_iter().filter(|c| c.name().len() > 1);
        words()
            .map(|c| (strsim::jaro_winkler(c.name(), &lower), c))
            .filter(|(likeness, _)| *likeness >= SLIP)
            .max_by(|(x, _), (y, _)| x.total_cmp(y))
            .map(|(_, c)| c)
            .or_else(|| words().find(|c| strsim::osa_distance(c.name(), &lower) <= 2))
    }
}

/// The header: which column stands where. Has a name and one way to give a colour.
#[derive(Debug)]
pub(super) struct Columns(Vec<Option<Column>>);

impl Columns {
    pub(super) fn read(file: &str, line: usize, names: &[&str]) -> Result<Self> {
        if !names.iter().any(|name| Column::named(name).is_some() || Column::likely(name).is_some())
            && !names.iter().any(|name| name.contains(OTHER_SEPARATORS))
        {
            return Err(Error::TrayFile {
                file: file.into(),
                why: "its first line names no column".into(),
                right: HEADERS.into(),
            });
        }
        let mut places = Vec::with_capacity(names.len());
        for name in names {
            let column = match Column::named(name) {
                _ if name.is_empty() => None,
                Some(column) if places.contains(&Some(column)) => {
                    let why = "this column stands twice".into();
                    return Err(fault_at(file, line, name, why, "keep one of the two".into()));
                }
                Some(column) => Some(column),
                None => return Err(unknown(file, line, name)),
            };
            places.push(column);
        }
        let columns = Self(places);
        columns.check(file)?;
        Ok(columns)
    }

    fn check(&self, file: &str) -> Result<()> {
        let has = |column| self.place(column).is_some();
        let fault = |why: &str, right: &str| {
            Err(Error::TrayFile { file: file.into(), why: why.into(), right: right.into() })
        };
        let lab = [Column::L, Column::A, Column::B];
        if !has(Column::Name) {
            return fault("the header has no column name", HEADERS);
        }
        if has(Column::Hex) && lab.into_iter().chain([Column::White]).any(has) {
            return fault(
                "the header has both hex and Lab columns",
                "keep the one you trust: hex, or L,a,b as measured",
            );
        }
        if !has(Column::Hex) && !lab.into_iter().all(has) {
            return fault("the header has no colour: neither hex nor all of L, a and b", HEADERS);
        }
        Ok(())
    }

    /// Where the column stands, counted from 0.
    pub(super) fn place(&self, column: Column) -> Option<usize> {
        self.0.iter().position(|&c| c == Some(column))
    }

    pub(super) fn len(&self) -> usize {
        self.0.len()
    }

    pub(super) fn is_named(&self, at: usize) -> bool {
        matches!(self.0.get(at), Some(Some(_)))
    }

    /// The name of the column at a place; its number where it has none.
    pub(super) fn name(&self, at: usize) -> String {
        match self.0.get(at) {
            Some(Some(column)) => column.name().into(),
            _ => format!("column {}", at + 1),
        }
    }
}

fn unknown(file: &str, line: usize, name: &str) -> Error {
    let all = Column::ALL.map(Column::name).join(", ");
    let shown: String = name.chars().take(40).flat_map(char::escape_debug).collect();
    let right = match Column::likely(name) {
        _ if name.contains(OTHER_SEPARATORS) => "separate the columns with commas".into(),
        Some(likely) => format!("did you mean {}? the columns are {all}", likely.name()),
        None => format!("the columns are {all}"),
    };
    fault_at(file, line, &shown, "there is no such column".into(), right)
}

fn fault_at(file: &str, line: usize, field: &str, why: String, right: String) -> Error {
    Error::TrayLine { file: file.into(), line, field: field.into(), why, right }
}
