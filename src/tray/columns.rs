//! The columns a tray file may have, and the header that names them.

use super::dialect::{name as separator_name, other_separator};
use crate::error::{Error, Result};

/// What a header should look like, for hints.
const HEADERS: &str = "begin the file with a line such as name,hex,count or name,L,a,b,count";

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

    pub(super) fn named(text: &str) -> Option<Self> {
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

/// What stands in a column.
#[derive(Clone, Debug, PartialEq, Eq)]
enum Place {
    Known(Column),
    /// A column of the maker's own, by its name: kept, and of no use here.
    Own(String),
    /// A column without a name.
    Nameless,
}

/// The header: which column stands where. Has a name and one way to give a colour.
#[derive(Debug)]
pub(super) struct Columns {
    places: Vec<Place>,
    separator: u8,
}

impl Columns {
    /// Reads the names of a header, parted by `separator`.
    pub(super) fn read(file: &str, line: usize, names: &[&str], separator: u8) -> Result<Self> {
        let means = |name: &&&str| Column::named(name).is_some() || Column::likely(name).is_some();
        if !names.iter().any(|name| means(&name)) {
            return Err(Error::TrayFile {
                file: file.into(),
                why: "its first line names no column".into(),
                right: HEADERS.into(),
            });
        }
        let mut columns = Self { places: Vec::with_capacity(names.len()), separator };
        for name in names {
            columns.places.push(match Column::named(name) {
                _ if name.is_empty() => Place::Nameless,
                Some(column) if columns.place(column).is_some() => {
                    let why = "this column appears twice".into();
                    return Err(fault_at(file, line, name, why, "keep one of the two".into()));
                }
                Some(column) => Place::Known(column),
                None => Place::Own((*name).into()),
            });
        }
        columns.check_slips(file, line)?;
        columns.check(file)?;
        Ok(columns)
    }

    /// A column of the maker's own whose name is a slip of one that is not there is asked about, and so is one that holds
    /// what parts columns elsewhere.
    fn check_slips(&self, file: &str, line: usize) -> Result<()> {
        for place in &self.places {
            let Place::Own(name) = place else { continue };
            let shown: String = name.chars().take(40).flat_map(char::escape_debug).collect();
            if let Some(other) = other_separator(name, self.separator).filter(|&other| {
                name.split(char::from(other)).any(|part| Column::named(part.trim()).is_some())
            }) {
                let [here, there] = [self.separator, other].map(separator_name);
                let why = format!("columns are parted by {here}, and in this one stand {there}");
                return Err(fault_at(file, line, &shown, why, "part all columns by one sign".into()));
            }
            if let Some(likely) = Column::likely(name).filter(|&likely| self.place(likely).is_none()) {
                let right = format!(
                    "did you mean {}? else give it a name less like it; the columns are {}",
                    likely.name(),
                    Column::ALL.map(Column::name).join(", ")
                );
                return Err(fault_at(file, line, &shown, "there is no such column".into(), right));
            }
        }
        Ok(())
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
        self.places.iter().position(|place| *place == Place::Known(column))
    }

    pub(super) fn len(&self) -> usize {
        self.places.len()
    }

    /// What parts the columns.
    pub(super) fn separator(&self) -> u8 {
        self.separator
    }

    /// Columns of the maker's own, each with its place.
    pub(super) fn own(&self) -> impl Iterator<Item = (usize, &str)> {
        self.places.iter().enumerate().filter_map(|(at, place)| match place {
            Place::Own(name) => Some((at, name.as_str())),
            _ => None,
        })
    }

    pub(super) fn is_named(&self, at: usize) -> bool {
        !matches!(self.places.get(at), None | Some(Place::Nameless))
    }

    /// The name of the column at a place; its number where it has none.
    pub(super) fn name(&self, at: usize) -> String {
        match self.places.get(at) {
            Some(Place::Known(column)) => column.name().into(),
            Some(Place::Own(name)) => name.clone(),
            _ => format!("column {}", at + 1),
        }
    }
}

fn fault_at(file: &str, line: usize, field: &str, why: String, right: String) -> Error {
    Error::TrayLine { file: file.into(), line, field: field.into(), why, right }
}
