//! The text of a scene file.

use std::ops::Range;

use serde::Deserialize;
use toml::Spanned;

use super::said::{Ground, Line, Named, Place, Said, Stand};
use super::{Boards, MOST_PEGS};
use crate::cast::{Fault, Form, Place as At, measure, name_in};
use crate::error::{Error, Result};
use crate::plan::Board;
use crate::units::{Column, Row};

/// The most figures of a scene: far beyond what boards hold, near enough to catch a slip.
pub const MOST_FIGURES: usize = 5_000;

/// The most grounds.
const MOST_GROUNDS: usize = 1_000;

/// A scene file.
pub(super) const SCENE: Form = Form {
    kind: "scene file",
    keys: KEYS,
    has: "format, name, boards, [[ground]], [[line]] and [[place]]",
    most_bytes: 1 << 20,
    error: |Fault { file, line, field, why, right }| Error::SceneFile { file, line, field, why, right },
};

const KEYS: &[(&str, &str)] = &[
    ("format", "format = 1"),
    ("name", "name = \"Dawn\""),
    ("boards", "boards = { across = 3, down = 2, pegs = \"29x29\" }"),
    ("across", "boards = { across = 3, down = 2, pegs = \"29x29\" }"),
    ("down", "boards = { across = 3, down = 2, pegs = \"29x29\" }"),
    ("pegs", "boards = { across = 3, down = 2, pegs = \"29x29\" }"),
    ("ground", "[[ground]], then bead and rows under it"),
    ("bead", "bead = \"slate\""),
    ("rows", "rows = [45, 58], the first and the last"),
    ("line", "[[line]], then row, figures and spread or columns under it"),
    ("row", "row = 27, the peg row of the soles, counted from 1 at the top"),
    ("figures", "figures = [\"baker\", \"baker-boy\"]"),
    ("spread", "spread = true, or columns = [4, 18]"),
    ("columns", "columns = [4, 18], counted from 1 at the left"),
    ("between", "between = [30, 58], the first and the last column"),
    ("place", "[[place]], then figure and at under it"),
    ("figure", "figure = \"milk-cart\""),
    ("at", "at = [20, 5], the row and column of the top left peg"),
    ("over", "over = \"lamplighter\""),
    ("under", "under = \"lamplighter\""),
];

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct FileScene {
    #[serde(rename = "format")]
    _format: i64,
    name: Spanned<String>,
    boards: Spanned<FileBoards>,
    #[serde(default)]
    ground: Vec<FileGround>,
    #[serde(default)]
    line: Vec<FileLine>,
    #[serde(default)]
    place: Vec<FilePlace>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct FileBoards {
    across: i64,
    down: i64,
    pegs: Option<Spanned<String>>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct FileGround {
    bead: Spanned<String>,
    rows: Spanned<[i64; 2]>,
    columns: Option<Spanned<[i64; 2]>>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct FileLine {
    row: Spanned<i64>,
    figures: Spanned<Vec<Spanned<String>>>,
    spread: Option<Spanned<bool>>,
    between: Option<Spanned<[i64; 2]>>,
    columns: Option<Spanned<Vec<Spanned<i64>>>>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct FilePlace {
    figure: Spanned<String>,
    name: Option<Spanned<String>>,
    at: Spanned<[i64; 2]>,
    over: Option<Spanned<String>>,
    under: Option<Spanned<String>>,
}

/// Reads a scene from its text; `file` is its name in errors. No figure is looked for.
///
/// ```
/// let text = "format = 1\nname = \"Dawn\"\nboards = { across = 3, down = 2 }\n\
///             [[line]]\nrow = 27\nfigures = [\"baker\", \"lamplighter\"]\nspread = true\n";
/// let dawn = smallcast::scene::read("dawn.scene.toml", text)?;
/// assert_eq!((dawn.boards.rows(), dawn.boards.columns()), (58, 87));
/// # Ok::<(), smallcast::error::Error>(())
/// ```
///
/// # Errors
/// [`Error::SceneFile`] that names line and field.
pub fn read(file: &str, text: &str) -> Result<Said> {
    let place = At { form: &SCENE, file, text };
    place.check_format()?;
    let raw: FileScene = toml::from_str(text).map_err(|e| place.toml_fault(&e))?;
    let name = name_in(&place, "name", &raw.name)?;
    let reading = SceneReader { place: &place, boards: boards_of(&place, &raw.boards)? };
    reading.check_few(&raw)?;
    Ok(Said {
        name,
        boards: reading.boards,
        grounds: raw.ground.iter().map(|ground| reading.ground(ground)).collect::<Result<_>>()?,
        lines: raw.line.iter().map(|line| reading.line(line)).collect::<Result<_>>()?,
        places: raw.place.iter().map(|place| reading.place(place)).collect::<Result<_>>()?,
    })
}

fn boards_of(place: &At, raw: &Spanned<FileBoards>) -> Result<Boards> {
    let FileBoards { across, down, pegs } = raw.get_ref();
    let pegs = pegs.as_ref().map(|said| measure(place, "pegs", said, Board::parse)).transpose()?;
    let side = |count: i64| usize::try_from(count).ok().filter(|count| *count > 0);
    let fault = |why: String| Err(place.fault(raw.span().start, "boards", why, place.written("boards")));
    let Some((across, down)) = side(*across).zip(side(*down)) else {
        return fault(format!("{across} times {down} boards cannot be laid"));
    };
    match Boards::new(across, down, pegs.unwrap_or(Board::USUAL)) {
        Some(boards) => Ok(boards),
        None => fault(format!("they would have more than {MOST_PEGS} pegs")),
    }
}

/// A text whose boards are known.
struct SceneReader<'a> {
    place: &'a At<'a>,
    boards: Boards,
}

impl SceneReader<'_> {
    fn fault<T>(&self, at: usize, field: &str, why: String, right: impl Into<String>) -> Result<T> {
        Err(self.place.fault(at, field, why, right))
    }

    fn check_few(&self, raw: &FileScene) -> Result<()> {
        let figures: usize =
            raw.line.iter().map(|line| line.figures.get_ref().len()).sum::<usize>() + raw.place.len();
        let too_many = |what: &str, count: usize, most: usize| {
            self.fault(0, "text", format!("it has {count} {what}"), format!("at most {most} are laid"))
        };
        match (figures, raw.ground.len()) {
            (many, _) if many > MOST_FIGURES => too_many("figures", many, MOST_FIGURES),
            (_, many) if many > MOST_GROUNDS => too_many("grounds", many, MOST_GROUNDS),
            _ => Ok(()),
        }
    }

    fn named(&self, field: &str, said: &Spanned<String>) -> Result<Named> {
        Ok(Named { name: name_in(self.place, field, said)?, line: self.place.line(said.span().start) })
    }

    /// A row or column, counted from 1 in the file.
    fn counted(&self, (field, one): (&str, &str), said: i64, most: usize, at: usize) -> Result<usize> {
        match usize::try_from(said).ok().filter(|number| (1..=most).contains(number)) {
            Some(number) => Ok(number - 1),
            None => {
                let why = format!("{one} {said} is on no board");
                self.fault(at, field, why, format!("the boards have {one}s 1 to {most}"))
            }
        }
    }

    /// The first and the last of some rows or columns.
    fn range(&self, what: (&str, &str), said: &Spanned<[i64; 2]>, most: usize) -> Result<Range<usize>> {
        let ([first, last], at) = (said.get_ref(), said.span().start);
        let (first, last) = (self.counted(what, *first, most, at)?, self.counted(what, *last, most, at)?);
        if last < first {
            let why = format!("the last {} comes before the first", what.1);
            return self.fault(at, what.0, why, self.place.written(what.0));
        }
        Ok(first..last + 1)
    }

    fn ground(&self, raw: &FileGround) -> Result<Ground> {
        let (rows, all) = (self.boards.rows(), self.boards.columns());
        let columns = raw.columns.as_ref().map(|said| self.range(("columns", "column"), said, all));
        Ok(Ground {
            bead: self.named("bead", &raw.bead)?,
            rows: self.range(("rows", "row"), &raw.rows, rows)?,
            columns: columns.transpose()?.unwrap_or(0..all),
        })
    }

    fn line(&self, raw: &FileLine) -> Result<Line> {
        let row =
            self.counted(("row", "row"), *raw.row.get_ref(), self.boards.rows(), raw.row.span().start)?;
        let said = raw.figures.get_ref();
        if said.is_empty() {
            let why = "no figure stands on this line".into();
            return self.fault(raw.figures.span().start, "figures", why, self.place.written("figures"));
        }
        let figures = said.iter().map(|figure| self.named("figures", figure)).collect::<Result<_>>()?;
        Ok(Line { row: Row(row), figures, stand: self.stand(raw)? })
    }

    fn stand(&self, raw: &FileLine) -> Result<Stand> {
        let all = self.boards.columns();
        let between = raw.between.as_ref().map(|said| self.range(("between", "column"), said, all));
        let spread = raw.spread.as_ref().filter(|said| *said.get_ref());
        match (&raw.columns, spread, between.transpose()?) {
            (Some(columns), None, None) => self.columns(raw, columns),
            (None, Some(said), between) => {
                Ok(Stand::Spread(between.unwrap_or(0..all), self.place.line(said.span().start)))
            }
            (Some(columns), ..) => {
                let why = "columns already say where each stands".into();
                self.fault(columns.span().start, "columns", why, "leave columns out, or spread and between")
            }
            (None, None, _) => {
                let at = raw.spread.as_ref().map_or(raw.row.span().start, |said| said.span().start);
                let why = "nothing says where the figures of this line stand".into();
                self.fault(at, "spread", why, self.place.written("spread"))
            }
        }
    }

    fn columns(&self, raw: &FileLine, columns: &Spanned<Vec<Spanned<i64>>>) -> Result<Stand> {
        let (figures, said) = (raw.figures.get_ref().len(), columns.get_ref());
        if figures != said.len() {
            let why = format!("{} columns for {figures} figures", said.len());
            return self.fault(columns.span().start, "columns", why, "give each figure its column");
        }
        let column = |said: &Spanned<i64>| {
            let what = ("columns", "column");
            self.counted(what, *said.get_ref(), self.boards.columns(), said.span().start).map(Column)
        };
        said.iter().map(column).collect::<Result<_>>().map(Stand::Columns)
    }

    fn place(&self, raw: &FilePlace) -> Result<Place> {
        let ([row, column], at) = (raw.at.get_ref(), raw.at.span().start);
        let row = self.counted(("at", "row"), *row, self.boards.rows(), at)?;
        let column = self.counted(("at", "column"), *column, self.boards.columns(), at)?;
        let other = |field, said: &Option<Spanned<String>>| {
            said.as_ref().map(|said| self.named(field, said)).transpose()
        };
        Ok(Place {
            figure: self.named("figure", &raw.figure)?,
            name: other("name", &raw.name)?,
            at: (Row(row), Column(column)),
            over: other("over", &raw.over)?,
            under: other("under", &raw.under)?,
        })
    }
}
