//! Columns come and go, in the rows of a zone: a torso or legs become wider or narrower.

use std::ops::Range;

use super::layers::{Layer, Layers, Peg};
use super::{ColumnIn, Done, Refused, Side, Spot};
use crate::units::{Column, Row};

impl Layers {
    /// Doubles a column: what lies at the named side of it moves out by a peg, in the rows of the zone. The new
    /// column is the outer one; nothing of it counts as placed by hand. Doubling an empty column moves what lies
    /// beyond it, and no more.
    pub(super) fn add_column(&mut self, which: ColumnIn) -> Result<Done, Refused> {
        let rows = self.rows_within(which)?;
        let mut column = which.column.0 as i32;
        // What would begin before the first peg moves all the rest instead.
        let begins = |layer: &Layer| layer.left == 0 && layer.says_in(&rows, 0);
        if which.side == Side::Left && self.layers.iter().any(begins) {
            self.move_all(0, 1);
            column += 1;
        }
        self.layers.iter_mut().for_each(|layer| layer.widen(&rows, column, which.side));
        for at in self.about.meant.iter_mut().filter_map(|meant| meant.at.as_mut()) {
            at.1 = Column(noted(*at, &rows).map_or(at.1.0, |own| match which.side {
                Side::Right => at.1.0 + usize::from(own > column),
                Side::Left => at.1.0 - usize::from(own < column),
            }));
        }
        let said = format!("column {} was doubled{}", which.column.0 + 1, within(which));
        Ok(format!("{said}; what lies {} of it moved out", which.side.word()).into())
    }

    /// Takes a column out: what lies at the named side of it moves in by a peg, in the rows of the zone.
    pub(super) fn drop_column(&mut self, which: ColumnIn) -> Result<Done, Refused> {
        let rows = self.rows_within(which)?;
        let column = which.column.0 as i32;
        self.layers.iter_mut().for_each(|layer| layer.narrow(&rows, column, which.side));
        self.about.meant.retain(|meant| meant.at.is_none_or(|at| noted(at, &rows) != Some(column)));
        for at in self.about.meant.iter_mut().filter_map(|meant| meant.at.as_mut()) {
            at.1 = Column(noted(*at, &rows).map_or(at.1.0, |own| match which.side {
                Side::Right => at.1.0 - usize::from(own > column),
                Side::Left => at.1.0 + usize::from(own < column),
            }));
        }
        let said = format!("column {} was dropped{}", which.column.0 + 1, within(which));
        Ok(format!("{said}; what lies {} of it moved in", which.side.word()).into())
    }

    /// The rows in which a column is meant.
    fn rows_within(&self, which: ColumnIn) -> Result<Range<i32>, Refused> {
        let rows = match which.zone {
            Some(zone) => {
                let (first, rows) = self.span_of(zone, "name the column alone, as in add-column 7")?;
                first as i32..(first + rows) as i32
            }
            None => 0..self.spanned(),
        };
        let first = Spot { row: 0, column: which.column.0 as i32 };
        if self.reaches(first) {
            return Ok(rows);
        }
        let columns = self.layers.iter().map(|layer| layer.left + layer.columns()).max().unwrap_or(0);
        let why = format!("the figure has no column {}", which.column.0 + 1);
        Err((why, format!("it has columns 1 to {columns}")))
    }
}

/// The column of a note that lies in these rows.
fn noted(at: (Row, Column), rows: &Range<i32>) -> Option<i32> {
    rows.contains(&(at.0.0 as i32)).then_some(at.1.0 as i32)
}

fn within(which: ColumnIn) -> String {
    which.zone.map_or(String::new(), |zone| format!(" in {}", zone.name()))
}

impl Layer {
    /// Whether anything is said of a peg of its own column in these rows of the figure.
    fn says_in(&self, rows: &Range<i32>, own: usize) -> bool {
        let top = self.top;
        let inside = self.pegs.iter().zip(top..).filter(|(_, row)| rows.contains(row));
        inside.into_iter().any(|(pegs, _)| pegs.get(own).is_some_and(|peg| *peg != Peg::EMPTY))
    }

    fn lies_within(&self, rows: &Range<i32>) -> bool {
        rows.start <= self.top && self.top + self.rows() <= rows.end
    }

    /// A column of the figure is doubled in these rows.
    fn widen(&mut self, rows: &Range<i32>, column: i32, side: Side) {
        let (own, columns) = (column - self.left, self.columns());
        let beyond = match side {
            Side::Right => own < 0,
            Side::Left => own >= columns,
        };
        if beyond && self.lies_within(rows) {
            self.left += if side == Side::Right { 1 } else { -1 };
            return;
        }
        for (pegs, row) in self.pegs.iter_mut().zip(self.top..) {
            let inside = usize::try_from(own).ok().filter(|own| *own < pegs.len());
            let at_front = (0, Peg::EMPTY);
            let at_end = (pegs.len(), Peg::EMPTY);
            let (place, peg) = match (rows.contains(&row), inside, side) {
                (true, Some(own), Side::Right) => (own + 1, pegs[own].copied()),
                (true, Some(own), Side::Left) => (own, pegs[own].copied()),
                // The row lies beyond the column and moves, or lies before it and stays.
                (true, None, Side::Right) => {
                    if beyond {
                        at_front
                    } else {
                        at_end
                    }
                }
                (true, None, Side::Left) => {
                    if beyond {
                        at_end
                    } else {
                        at_front
                    }
                }
                (false, _, Side::Right) => at_end,
                (false, _, Side::Left) => at_front,
            };
            pegs.insert(place, peg);
        }
        self.left -= i32::from(side == Side::Left);
        self.trim(side);
    }

    /// A column of the figure goes in these rows.
    fn narrow(&mut self, rows: &Range<i32>, column: i32, side: Side) {
        let (own, columns) = (column - self.left, self.columns());
        let beyond = match side {
            Side::Right => own < 0,
            Side::Left => own >= columns,
        };
        if beyond {
            self.close_up(rows, side);
            return;
        }
        let Some(own) = usize::try_from(own).ok().filter(|own| *own < columns as usize) else { return };
        for (pegs, _) in self.pegs.iter_mut().zip(self.top..).filter(|(_, row)| rows.contains(row)) {
            pegs.remove(own);
            let end = if side == Side::Right { pegs.len() } else { 0 };
            pegs.insert(end, Peg::EMPTY);
        }
        self.trim(side);
    }

    /// All of it that lies in these rows moves a peg inwards.
    fn close_up(&mut self, rows: &Range<i32>, side: Side) {
        if self.lies_within(rows) {
            self.left += if side == Side::Right { -1 } else { 1 };
            return;
        }
        for (pegs, row) in self.pegs.iter_mut().zip(self.top..) {
            let moves = rows.contains(&row);
            let at_end = moves == (side == Side::Right);
            pegs.insert(if at_end { pegs.len() } else { 0 }, Peg::EMPTY);
        }
        self.left -= i32::from(side == Side::Right);
        self.trim(side);
    }

    /// The outermost column goes where nothing is said of any peg of it; one always stays.
    fn trim(&mut self, side: Side) {
        let last = self.columns() as usize - 1;
        let outer = if side == Side::Right { last } else { 0 };
        if last == 0 || self.pegs.iter().any(|pegs| pegs[outer] != Peg::EMPTY) {
            return;
        }
        for pegs in &mut self.pegs {
            pegs.remove(outer);
        }
        self.left += i32::from(side == Side::Left);
    }
}
