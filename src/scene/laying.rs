//! Lays what a scene file says: names for all, places for all, the back ones first.

use std::collections::{BTreeMap, BTreeSet, HashMap};

use super::order::{Moved, order};
use super::said::{Line, Named, Place, Said, Stand};
use super::spread::{Shape, spread};
use super::{Scene, Shown, Standing};
use crate::error::{Error, Result, likely};
use crate::figure::{ChosenBy, Figure, LegendEntry, Mark};
use crate::grid::Grid;
use crate::units::{Column, Row};

/// A fault of a scene file.
fn fault(file: &str, line: usize, field: &str, why: String, right: impl Into<String>) -> Error {
    Error::SceneFile { file: file.into(), line, field: field.into(), why, right: right.into() }
}

/// A figure that is not there; `near` is the one that was likely meant.
pub(super) fn not_there(file: &str, named: &Named, near: Option<&str>) -> Error {
    let right = match near {
        Some(near) => format!("did you mean {near}?"),
        None => {
            "name a figure of the cast's folder by its file, without .figure.toml, or its path from the scene"
                .into()
        }
    };
    fault(file, named.line, "figure", format!("there is no figure '{}'", named.name), right)
}

impl Scene {
    /// Lays a scene of figures by the names that its file has for them. `file` is its name in errors.
    ///
    /// # Errors
    /// [`Error::SceneFile`] for a figure that is not among them or has no beads, a name that stands twice or for nobody, a
    /// place beyond the boards, people of a line that do not all fit, and figures that would each have to stand behind the
    /// other.
    pub fn laid(file: &str, said: &Said, figures: &BTreeMap<String, Figure>) -> Result<Self> {
        let mut laying = Laying::new(file, said);
        for named in said.figures() {
            let near = || likely(&named.name, figures.keys().map(String::as_str));
            let figure = figures.get(&named.name).ok_or_else(|| not_there(file, named, near()))?;
            laying.know(named, figure)?;
        }
        let standings = laying.standings()?;
        let order = laying.ordered(&standings)?;
        let shown = laying.grounds()?;
        let mut scene = Self {
            name: said.name.clone(),
            boards: said.boards,
            legend: laying.kinds.entries,
            shapes: laying.shapes,
            standings: order.into_iter().map(|at| standings[at].clone()).collect(),
            shown,
        };
        scene.lay();
        Ok(scene)
    }

    /// Puts every figure on its pegs, the back ones first.
    fn lay(&mut self) {
        for (at, standing) in self.standings.iter().enumerate() {
            let (Row(top), Column(left)) = standing.at;
            for (row, column, kind) in self.shapes[standing.shape].iter() {
                let Some(kind) = *kind else { continue };
                self.shown[(Row(top + row.0), Column(left + column.0))] = Some(Shown { kind, of: Some(at) });
            }
        }
    }
}

/// The kinds of bead of a scene.
#[derive(Default)]
struct Kinds {
    entries: Vec<LegendEntry>,
    known: HashMap<String, usize>,
    taken: BTreeSet<Mark>,
}

impl Kinds {
    /// The place of a bead in the legend; nothing where no mark is left for it. A figure's own mark is kept where it is
    /// free.
    fn place(&mut self, bead: &str, own: Option<&LegendEntry>) -> Option<usize> {
        if let Some(known) = self.known.get(bead) {
            return Some(*known);
        }
        let kept = own.map(|entry| entry.mark).filter(|mark| !self.taken.contains(mark));
        let mark = kept.unwrap_or_else(|| Mark::free_for(bead, &self.taken));
        if !self.taken.insert(mark) {
            return None;
        }
        let (aim, by) = own.map_or((None, ChosenBy::Hand), |entry| (entry.aim, entry.by));
        let place = self.entries.len();
        self.entries.push(LegendEntry { mark, bead: bead.into(), aim, confidence: None, by });
        self.known.insert(bead.into(), place);
        Some(place)
    }
}

/// A scene while it is laid.
struct Laying<'a> {
    file: &'a str,
    said: &'a Said,
    kinds: Kinds,
    shapes: Vec<Shape>,
    /// The shape of each figure, by its name in the file.
    known: HashMap<&'a str, usize>,
}

impl<'a> Laying<'a> {
    fn new(file: &'a str, said: &'a Said) -> Self {
        Self { file, said, kinds: Kinds::default(), shapes: Vec::new(), known: HashMap::new() }
    }

    fn fault(&self, line: usize, field: &str, why: String, right: impl Into<String>) -> Error {
        fault(self.file, line, field, why, right)
    }

    fn kind(&mut self, line: usize, bead: &str, own: Option<&LegendEntry>) -> Result<usize> {
        self.kinds.place(bead, own).ok_or_else(|| {
            let why = "there are more kinds of bead than there are marks for them".into();
            fault(self.file, line, "figure", why, "lay a part of the scene at a time")
        })
    }

    /// Learns a figure's shape.
    fn know(&mut self, named: &'a Named, figure: &Figure) -> Result<()> {
        if self.known.contains_key(named.name.as_str()) {
            return Ok(());
        }
        let beads = figure.beads();
        let used: BTreeSet<Mark> = beads.iter().filter_map(|(.., bead)| bead.map(|bead| bead.mark)).collect();
        let mut kinds = HashMap::new();
        for entry in figure.legend().iter().filter(|entry| used.contains(&entry.mark)) {
            kinds.insert(entry.mark, self.kind(named.line, &entry.bead, Some(entry))?);
        }
        let shape = beads.map(|_, _, bead| kinds.get(&(*bead)?.mark).copied()).trimmed();
        if shape.rows() == 0 {
            let why = format!("'{}' has no beads", named.name);
            return Err(self.fault(named.line, "figure", why, "lay a figure that has some, or leave it out"));
        }
        self.known.insert(&named.name, self.shapes.len());
        self.shapes.push(shape);
        Ok(())
    }

    /// All figures, in the order of the file.
    fn standings(&self) -> Result<Vec<Standing>> {
        let names = self.names()?;
        let mut standings = Vec::with_capacity(names.len());
        for line in &self.said.lines {
            for (named, at) in line.figures.iter().zip(self.stand(line)?) {
                standings.push(self.standing(&names[standings.len()].name, named, at));
            }
        }
        for place in &self.said.places {
            standings.push(self.standing(&names[standings.len()].name, &place.figure, place.at));
        }
        standings.iter().try_for_each(|standing| self.check_inside(standing))?;
        Ok(standings)
    }

    fn standing(&self, name: &str, named: &Named, at: (Row, Column)) -> Standing {
        let shape = self.known[named.name.as_str()];
        let size = (self.shapes[shape].rows(), self.shapes[shape].columns());
        Standing { name: name.into(), figure: named.name.clone(), line: named.line, at, shape, size }
    }

    /// What each figure is called, in the order of the file: its own name, else its figure's, with a number where that
    /// stands several times.
    fn names(&self) -> Result<Vec<Named>> {
        let lines = self.said.lines.iter().flat_map(|line| &line.figures).map(|figure| (figure, None));
        let places = self.said.places.iter().map(|place| (&place.figure, place.name.as_ref()));
        let all: Vec<(&Named, Option<&Named>)> = lines.chain(places).collect();
        let mut times: HashMap<&str, usize> = HashMap::new();
        for (figure, _) in all.iter().filter(|(_, own)| own.is_none()) {
            *times.entry(last_name(&figure.name)).or_default() += 1;
        }
        let (mut numbers, mut seen) = (HashMap::<&str, usize>::new(), HashMap::<String, usize>::new());
        let mut names = Vec::with_capacity(all.len());
        for (figure, own) in all {
            let short = last_name(&figure.name);
            let (name, line) = match own {
                Some(own) => (own.name.clone(), own.line),
                None if times[short] == 1 => (short.to_owned(), figure.line),
                None => {
                    let number = numbers.entry(short).or_default();
                    *number += 1;
                    (format!("{short} {number}"), figure.line)
                }
            };
            if let Some(before) = seen.insert(name.clone(), line) {
                let why = format!("a '{name}' is already defined on line {before}");
                return Err(self.fault(line, "name", why, "give each figure of the scene its own name"));
            }
            names.push(Named { name, line });
        }
        Ok(names)
    }

    /// Where the figures of a line stand.
    fn stand(&self, line: &Line) -> Result<Vec<(Row, Column)>> {
        let shapes: Vec<&Shape> =
            line.figures.iter().map(|figure| &self.shapes[self.known[figure.name.as_str()]]).collect();
        for (figure, shape) in line.figures.iter().zip(&shapes) {
            if shape.rows() > line.row.0 + 1 {
                let (high, row) = (shape.rows(), line.row.0 + 1);
                let why = format!("'{}' has {high} rows and cannot stand on row {row}", figure.name);
                return Err(self.fault(
                    figure.line,
                    "row",
                    why,
                    format!("let it stand on row {high} or lower"),
                ));
            }
        }
        match &line.stand {
            Stand::Columns(columns) => {
                let top = |shape: &Shape| Row(line.row.0 + 1 - shape.rows());
                Ok(shapes.iter().zip(columns).map(|(shape, column)| (top(shape), *column)).collect())
            }
            Stand::Spread(columns, said) => spread(&shapes, line.row, columns).map_err(|fit| {
                let (many, wide) = (shapes.len(), columns.len());
                let why = format!(
                    "{} of {many} figures do not fit on {wide} columns: nobody may be hidden by more than a third",
                    many - fit
                );
                self.fault(*said, "spread", why, "take some of them to another line, or add boards")
            }),
        }
    }

    fn check_inside(&self, standing: &Standing) -> Result<()> {
        let (rows, columns) = (self.said.boards.rows(), self.said.boards.columns());
        let beyond = |what: &str, end: usize, most: usize| {
            let why =
                format!("'{}' would reach to {what} {end}, and the boards end at {most}", standing.name);
            Err(self.fault(standing.line, "figure", why, "move it, or add boards"))
        };
        match (standing.rows().end, standing.columns().end) {
            (end, _) if end > rows => beyond("row", end, rows),
            (_, end) if end > columns => beyond("column", end, columns),
            _ => Ok(()),
        }
    }

    /// Places in the list of standings, the back ones first.
    fn ordered(&self, standings: &[Standing]) -> Result<Vec<usize>> {
        let soles: Vec<usize> = standings.iter().map(|standing| standing.rows().end).collect();
        // Figures with a place of their own come after those of the lines.
        let first = standings.len() - self.said.places.len();
        let mut moved = Vec::new();
        for (at, place) in self.said.places.iter().enumerate() {
            moved.extend(self.moved(standings, first + at, place)?);
        }
        order(&soles, &moved).map_err(|circle| {
            let names: Vec<&str> = circle.iter().map(|at| standings[*at].name.as_str()).collect();
            let (back, front) = (names.first().unwrap_or(&""), names.last().unwrap_or(&""));
            let placed = circle.iter().find(|at| **at >= first);
            let line = placed.map_or(1, |at| standings[*at].line);
            let why = format!(
                "over and under lead in a circle: {}, and {front} behind {back}",
                names.join(" behind ")
            );
            self.fault(line, "over", why, "leave one of them out")
        })
    }

    /// What the file says of who stands before whom, of one place.
    fn moved(&self, standings: &[Standing], one: usize, place: &Place) -> Result<Vec<Moved>> {
        let said = [("over", &place.over, true), ("under", &place.under, false)];
        let mut moved = Vec::new();
        for (field, named, over) in said.into_iter().filter_map(|(f, named, o)| Some((f, named.as_ref()?, o)))
        {
            let other = standings.iter().position(|standing| standing.name == named.name);
            match other {
                Some(other) if other == one => {
                    let why = format!("'{}' is this figure itself", named.name);
                    return Err(self.fault(named.line, field, why, "name another"));
                }
                Some(other) => moved.push(Moved { one, other, over }),
                None => return Err(self.nobody(standings, field, named)),
            }
        }
        Ok(moved)
    }

    fn nobody(&self, standings: &[Standing], field: &str, named: &Named) -> Error {
        let same = || standings.iter().filter(|standing| last_name(&standing.figure) == named.name);
        let many = same().count();
        if many > 1 {
            let (first, last) = (same().next(), same().next_back());
            let name =
                |standing: Option<&Standing>| standing.map_or("", |standing| &standing.name).to_owned();
            let why = format!("{many} of '{}' stand in this scene", named.name);
            let right = format!("say which: '{}' to '{}', counted as they come", name(first), name(last));
            return self.fault(named.line, field, why, right);
        }
        let near = likely(&named.name, standings.iter().map(|standing| standing.name.as_str()));
        let right = near.map_or("name a figure of this scene".into(), |near| format!("did you mean {near}?"));
        self.fault(named.line, field, format!("nobody here is called '{}'", named.name), right)
    }

    /// The grounds on all boards.
    fn grounds(&mut self) -> Result<Grid<Option<Shown>>> {
        let boards = self.said.boards;
        let mut shown = Grid::from_fn(boards.rows(), boards.columns(), |_, _| None);
        for ground in &self.said.grounds {
            let kind = self.kind(ground.bead.line, &ground.bead.name, None)?;
            for row in ground.rows.clone().map(Row) {
                for column in ground.columns.clone().map(Column) {
                    shown[(row, column)] = Some(Shown { kind, of: None });
                }
            }
        }
        Ok(shown)
    }
}

/// The name of a figure that is named by a path.
fn last_name(figure: &str) -> &str {
    figure.rsplit(['/', '\\']).next().unwrap_or(figure)
}
