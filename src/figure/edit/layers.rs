//! A figure taken apart for a change: layers that may lie beyond its edge, until it is put together again.

use std::collections::BTreeSet;

use super::{Refused, Spot, counted};
use crate::colour::Lab;
use crate::figure::{Description, Figure, LegendEntry, Mark, Part, Placed, Second, Sure};
use crate::grid::Grid;
use crate::plan::{Classes, MOST_COLUMNS, MOST_ROWS, Zone, ZoneRows};
use crate::units::{Column, Row};

/// One peg of a layer.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) enum Peg {
    /// A bead.
    Bead(Placed),
    /// Nothing; the flag says that the maker left it so.
    Empty { by_hand: bool },
}

impl Peg {
    pub(super) const EMPTY: Self = Self::Empty { by_hand: false };

    pub(super) fn bead(self) -> Option<Placed> {
        match self {
            Self::Bead(placed) => Some(placed),
            Self::Empty { .. } => None,
        }
    }

    pub(super) fn is_by_hand(self) -> bool {
        match self {
            Self::Bead(placed) => placed.sure == Some(Sure::ByHand),
            Self::Empty { by_hand } => by_hand,
        }
    }

    /// The same again elsewhere, where no hand has settled it.
    pub(super) fn copied(self) -> Self {
        match self {
            Self::Bead(placed) if self.is_by_hand() => Self::Bead(Placed { sure: None, ..placed }),
            Self::Bead(_) => self,
            Self::Empty { .. } => Self::EMPTY,
        }
    }
}

/// A part while it is worked on: at least one row and one column, wherever they lie.
#[derive(Clone, Debug)]
pub(super) struct Layer {
    pub name: String,
    pub from: Option<String>,
    pub top: i32,
    pub left: i32,
    pub pegs: Vec<Vec<Peg>>,
}

impl Layer {
    pub(super) fn of(part: &Part) -> Self {
        let peg = |at: (Row, Column)| match part.beads[at] {
            Some(placed) => Peg::Bead(placed),
            None => Peg::Empty { by_hand: part.bare.contains(&at) },
        };
        let columns = part.beads.columns();
        let row = |row: usize| (0..columns).map(|c| peg((Row(row), Column(c)))).collect();
        let at = Spot::at(part.at.0, part.at.1);
        Self {
            name: part.name.clone(),
            from: part.from.clone(),
            top: at.row,
            left: at.column,
            pegs: (0..part.beads.rows()).map(row).collect(),
        }
    }

    /// A layer of one empty peg: a part has at least one.
    pub(super) fn empty(name: &str, at: Spot) -> Self {
        let pegs = vec![vec![Peg::EMPTY]];
        Self { name: name.into(), from: None, top: at.row, left: at.column, pegs }
    }

    pub(super) fn rows(&self) -> i32 {
        self.pegs.len() as i32
    }

    pub(super) fn columns(&self) -> i32 {
        self.pegs.first().map_or(0, Vec::len) as i32
    }

    fn inside(&self, spot: Spot) -> Option<(usize, usize)> {
        let row = usize::try_from(spot.row - self.top).ok()?;
        let column = usize::try_from(spot.column - self.left).ok()?;
        (row < self.pegs.len() && column < self.pegs[row].len()).then_some((row, column))
    }

    pub(super) fn peg(&self, spot: Spot) -> Option<Peg> {
        self.inside(spot).map(|(row, column)| self.pegs[row][column])
    }

    pub(super) fn has_bead(&self, spot: Spot) -> bool {
        self.peg(spot).is_some_and(|peg| peg.bead().is_some())
    }

    /// Sets a peg; the layer grows so far.
    pub(super) fn set(&mut self, spot: Spot, peg: Peg) {
        self.reach(spot);
        if let Some((row, column)) = self.inside(spot) {
            self.pegs[row][column] = peg;
        }
    }

    fn reach(&mut self, spot: Spot) {
        // A layer of nothing but one unsaid peg lies nowhere yet.
        if self.pegs == [[Peg::EMPTY]] {
            (self.top, self.left) = (spot.row, spot.column);
        }
        let missing = |n: i32| usize::try_from(n).unwrap_or(0);
        let (left, top) = (missing(self.left - spot.column), missing(self.top - spot.row));
        let right = missing(spot.column - (self.left + self.columns() - 1));
        let bottom = missing(spot.row - (self.top + self.rows() - 1));
        for row in &mut self.pegs {
            row.splice(0..0, std::iter::repeat_n(Peg::EMPTY, left));
            row.extend(std::iter::repeat_n(Peg::EMPTY, right));
        }
        let blank = vec![Peg::EMPTY; self.columns() as usize];
        self.pegs.splice(0..0, std::iter::repeat_n(blank.clone(), top));
        self.pegs.extend(std::iter::repeat_n(blank, bottom));
        self.top -= top as i32;
        self.left -= left as i32;
    }

    /// How far a place is from the layer's nearest bead, squared; nothing where it has none.
    pub(super) fn distance(&self, spot: Spot) -> Option<i64> {
        let filled = self.pegs.iter().enumerate().flat_map(|(row, pegs)| {
            pegs.iter().enumerate().filter(|(_, peg)| peg.bead().is_some()).map(move |(c, _)| (row, c))
        });
        let squared = |(row, column): (usize, usize)| {
            let down = i64::from(self.top + row as i32 - spot.row);
            let across = i64::from(self.left + column as i32 - spot.column);
            down * down + across * across
        };
        filled.map(squared).min()
    }

    fn into_part(self) -> Part {
        let peg = |row: Row, column: Column| self.pegs[row.0][column.0];
        let (rows, columns) = (self.pegs.len(), self.pegs.first().map_or(0, Vec::len));
        let beads = Grid::from_fn(rows, columns, |row, column| peg(row, column).bead());
        let bare = beads
            .iter()
            .filter(|(row, column, _)| matches!(peg(*row, *column), Peg::Empty { by_hand: true }));
        let bare = bare.map(|(row, column, _)| (row, column)).collect();
        // Layers are moved so that none begins before the first peg.
        let at = (Row(self.top.max(0) as usize), Column(self.left.max(0) as usize));
        Part { name: self.name, from: self.from, at, beads, bare }
    }
}

/// A figure taken apart.
pub(super) struct Layers {
    /// All but the parts.
    pub about: Description,
    /// The parts, lowest first.
    pub layers: Vec<Layer>,
    /// Whether a line of the legend goes with its last bead even where a picture asked for it.
    pub drop_emptied: bool,
    /// The marks that beads had.
    used: BTreeSet<Mark>,
    /// How far everything has moved, down and to the right.
    moved: (i32, i32),
}

/// The figure, how far the old one moved in its grid, and what followed of itself, in words.
pub(super) type Finished = (Figure, (usize, usize), Vec<String>);

impl Layers {
    pub(super) fn of(figure: &Figure) -> Self {
        let layers: Vec<Layer> = figure.parts().iter().map(Layer::of).collect();
        let about = Description { parts: Vec::new(), ..figure.0.clone() };
        let used = used(&layers);
        Self { about, layers, drop_emptied: false, used, moved: (0, 0) }
    }

    /// Whether a place lies in the figure's grid.
    pub(super) fn reaches(&self, spot: Spot) -> bool {
        let (rows, columns) = self.size().unwrap_or_default();
        (0..rows).contains(&spot.row) && (0..columns).contains(&spot.column)
    }

    /// Rows and columns of the figure; none of one without layers.
    pub(super) fn size(&self) -> Option<(i32, i32)> {
        let rows = self.layers.iter().map(|layer| layer.top + layer.rows()).max()?;
        let columns = self.layers.iter().map(|layer| layer.left + layer.columns()).max()?;
        Some((rows, columns))
    }

    /// The topmost layer that has a bead at a place.
    pub(super) fn shown(&self, spot: Spot) -> Option<usize> {
        self.layers.iter().rposition(|layer| layer.has_bead(spot))
    }

    /// The mark of a bead: its line of the legend, or a new one by hand.
    pub(super) fn mark_of(&mut self, bead: &str, tried: Option<Lab>) -> Mark {
        if let Some(entry) = self.about.legend.iter().find(|entry| entry.bead == bead) {
            return entry.mark;
        }
        self.add_line(LegendEntry {
            mark: Mark::first(),
            bead: bead.into(),
            aim: tried,
            confidence: None,
            by: crate::figure::ChosenBy::Hand,
        })
    }

    /// A mark has become another, so that it is the same line that had beads before.
    pub(super) fn renamed(&mut self, old: Mark, new: Mark) {
        if self.used.remove(&old) {
            self.used.insert(new);
        }
    }

    /// Adds a line to the legend, with its own mark if that is free.
    pub(super) fn add_line(&mut self, mut entry: LegendEntry) -> Mark {
        let taken: BTreeSet<Mark> = self.about.legend.iter().map(|entry| entry.mark).collect();
        if taken.contains(&entry.mark) || entry.mark == Mark::first() {
            entry.mark = Mark::free_for(&entry.bead, &taken);
        }
        let mark = entry.mark;
        self.about.legend.push(entry);
        mark
    }

    /// Puts the figure together again: what began before the first peg moves everything, rows by zone, class
    /// and notes follow. Also says how far the old figure moved, and what followed.
    pub(super) fn finish(mut self, old: &Figure, classes: &Classes) -> Result<Finished, Refused> {
        let mut said = Vec::new();
        let down = self.layers.iter().map(|layer| -layer.top).max().unwrap_or(0).max(0);
        let right = self.layers.iter().map(|layer| -layer.left).max().unwrap_or(0).max(0);
        self.move_all(down, right);
        let rows = self.layers.iter().map(|layer| layer.top + layer.rows()).max().unwrap_or(0);
        let columns = self.layers.iter().map(|layer| layer.left + layer.columns()).max().unwrap_or(0);
        if rows > MOST_ROWS as i32 || columns > MOST_COLUMNS as i32 {
            let why = format!("the figure would have {rows} rows and {columns} columns");
            return Err((why, format!("at most {MOST_ROWS} rows and {MOST_COLUMNS} columns are possible")));
        }
        // A note beyond the figure could not be read back.
        let inside = |at: &(Row, Column)| (at.0.0 as i32) < rows && (at.1.0 as i32) < columns;
        self.about.meant.retain(|meant| {
            let stays = meant.at.as_ref().is_none_or(inside);
            if !stays {
                said.push(format!("the note on {} was outside the figure and is gone", meant.rule));
            }
            stays
        });
        let moved = (self.moved.0 as usize, self.moved.1 as usize);
        said.extend(self.zones_follow(old, moved.0, rows as usize));
        said.extend(self.class_follows(old, classes));
        self.drop_unused_lines(&mut said);
        let Self { mut about, layers, .. } = self;
        about.parts = layers.into_iter().map(Layer::into_part).collect();
        let fault = |e: crate::error::Error| (e.to_string(), e.hint());
        let figure = Figure::new(old.name(), about).map_err(fault)?;
        Ok((figure, moved, said))
    }

    /// Moves everything, notes too: by no less than 0.
    pub(super) fn move_all(&mut self, down: i32, right: i32) {
        self.moved = (self.moved.0 + down, self.moved.1 + right);
        for layer in &mut self.layers {
            layer.top += down;
            layer.left += right;
        }
        for at in self.about.meant.iter_mut().filter_map(|meant| meant.at.as_mut()) {
            at.0.0 += down as usize;
            at.1.0 += right as usize;
        }
    }

    /// Rows on top are headwear; rows below the last come and go with the lowest zones. `self.about.rows` has
    /// what a row added or dropped inside a zone has done already. Says which zones have other rows now.
    fn zones_follow(&mut self, old: &Figure, on_top: usize, spanned: usize) -> Vec<String> {
        let Some(before) = old.rows() else { return Vec::new() };
        let mut rows = zone_list(&self.about.rows);
        rows[Zone::Headwear as usize] += on_top;
        let total: usize = rows.iter().sum();
        let last = rows.iter().rposition(|rows| *rows > 0).unwrap_or(Zone::Feet as usize);
        rows[last] += spanned.saturating_sub(total);
        let mut surplus = total.saturating_sub(spanned);
        for zone in rows.iter_mut().rev() {
            let less = surplus.min(*zone);
            (*zone, surplus) = (*zone - less, surplus - less);
        }
        // Without any row there are no zones.
        self.about.rows = ZoneRows::new(rows).ok();
        let now = |zone| self.about.rows.map_or(0, |rows| rows.get(zone));
        let differ = Zone::ALL.into_iter().filter(|zone| now(*zone) != before.get(*zone));
        differ.map(|zone| format!("{} now has {}", zone.name(), counted(now(zone), "row"))).collect()
    }

    /// The height class goes with the rows; says so where it is another one now. A class that says more than its rows
    /// is the maker's own, and stays.
    fn class_follows(&mut self, old: &Figure, classes: &Classes) -> Option<String> {
        let (Some(before), Some(name)) = (old.rows(), self.about.class.as_deref()) else { return None };
        let after = self.about.rows;
        let class = classes.iter().find(|class| class.name == name)?;
        if after == Some(*before)
            || !class.has_rows(before)
            || after.is_some_and(|rows| class.has_rows(&rows))
        {
            return None;
        }
        self.about.class = after.and_then(|rows| Some(classes.with_rows(&rows)?.name.to_string()));
        Some(match &self.about.class {
            Some(class) => format!("the height class is now {class}"),
            None => "no height class has these rows".into(),
        })
    }

    /// A line whose last bead went goes too, unless a picture asked for it: its colour is still wanted then.
    fn drop_unused_lines(&mut self, said: &mut Vec<String>) {
        let now = used(&self.layers);
        let (used, all) = (&self.used, self.drop_emptied);
        let goes = |entry: &LegendEntry| {
            used.contains(&entry.mark) && !now.contains(&entry.mark) && (all || entry.aim.is_none())
        };
        let (gone, stay): (Vec<LegendEntry>, _) =
            std::mem::take(&mut self.about.legend).into_iter().partition(goes);
        self.about.legend = stay;
        self.forget(&gone.iter().map(|entry| entry.mark).collect());
        said.extend(gone.into_iter().map(|entry| format!("no {} is left in the legend", entry.bead)));
    }
}

impl Layers {
    /// What is not in the legend any more is nothing that a bead could be instead.
    fn forget(&mut self, gone: &BTreeSet<Mark>) {
        for peg in self.layers.iter_mut().flat_map(|layer| layer.pegs.iter_mut().flatten()) {
            if let Peg::Bead(placed) = peg
                && let Some(Second::Bead(mark)) = placed.or
                && gone.contains(&mark)
            {
                placed.or = Some(Second::Itself);
            }
        }
    }
}

pub(super) fn zone_list(rows: &Option<ZoneRows>) -> [usize; 6] {
    Zone::ALL.map(|zone| rows.as_ref().map_or(0, |rows| rows.get(zone)))
}

fn used(layers: &[Layer]) -> BTreeSet<Mark> {
    let pegs = layers.iter().flat_map(|layer| layer.pegs.iter().flatten());
    pegs.filter_map(|peg| peg.bead()).map(|placed| placed.mark).collect()
}
