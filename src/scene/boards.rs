//! The boards of a scene, side by side and under one another.

use std::ops::Range;

use crate::plan::Board;
use crate::units::{Column, Row};

/// The most pegs of all boards of a scene: more than a thousand of the usual ones.
pub const MOST_PEGS: usize = 1 << 20;

/// Boards of one kind in a rectangle. They are numbered from 1, row by row from the top left.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Boards {
    across: usize,
    down: usize,
    pegs: Board,
}

impl Boards {
    /// This many across and down, with this many pegs each; nothing where there is none, or more than [`MOST_PEGS`] in all.
    pub fn new(across: usize, down: usize, pegs: Board) -> Option<Self> {
        let all = across.checked_mul(down)?.checked_mul(pegs.rows)?.checked_mul(pegs.columns)?;
        (1..=MOST_PEGS).contains(&all).then_some(Self { across, down, pegs })
    }

    /// Boards across.
    pub fn across(self) -> usize {
        self.across
    }

    /// Boards down.
    pub fn down(self) -> usize {
        self.down
    }

    /// The pegs of one.
    pub fn pegs(self) -> Board {
        self.pegs
    }

    /// How many boards.
    pub fn count(self) -> usize {
        self.across * self.down
    }

    /// Rows of pegs of all of them.
    pub fn rows(self) -> usize {
        self.down * self.pegs.rows
    }

    /// Columns of pegs of all of them.
    pub fn columns(self) -> usize {
        self.across * self.pegs.columns
    }

    /// The board that a peg is on, counted from 0.
    pub fn at(self, row: Row, column: Column) -> usize {
        row.0 / self.pegs.rows * self.across + column.0 / self.pegs.columns
    }

    /// The rows and columns of the board at a place in the list, counted from 0.
    pub fn part(self, board: usize) -> (Range<usize>, Range<usize>) {
        let (down, across) = (board / self.across, board % self.across);
        let of = |place: usize, side: usize| place * side..(place + 1) * side;
        (of(down, self.pegs.rows), of(across, self.pegs.columns))
    }
}
