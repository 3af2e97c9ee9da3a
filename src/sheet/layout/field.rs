//! A figure's beads on their pegs at true size, with everything that is aligned to their rows and columns.

use std::ops::Range;

use super::super::drawing::{Anchor, Pen, Point, Type, at};
use super::super::font::{CAPITALS, Face, POINT};
use super::super::kinds::Kinds;
use super::super::runs;
use super::super::symbols::Symbols;
use super::pages::{BAND, FAINT, INK, RULE, words};
use super::run_lines::Runs;
use super::words::cut;
use crate::colour::Srgb;
use crate::plan::Board;
use crate::units::{Column, Row};

/// Room at the left for the zones' names.
const ZONES: f64 = 14.5;

/// Room for the numbers of pegs, at the left of the board's edge and above it.
const PEGS_LEFT: f64 = 4.5;
const PEGS_ABOVE: f64 = 4.0;

/// Pegs left empty between the board's edges and the figure must be wide and high enough for the figure's
/// own numbers.
const NUMBERS: (f64, f64) = (4.4, 3.4);

/// Radius of an empty peg's dot, in pegs' distance.
const PEG: f64 = 0.07;

/// Room under figures that share a board, for their names.
const UNDER: f64 = 6.0;

/// From the figure to the runs.
const TO_RUNS: f64 = 3.4;

/// From the runs' band to its words.
const IN_BAND: f64 = 1.2;

/// One row and one column in this many is emphasised.
const FIVE: usize = 5;

const PALE_PEG: Srgb = Srgb::new(196, 196, 192);
const EDGE: f64 = 0.3;
const HAIR: f64 = 0.2;

/// The part of a figure that one page shows.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Window {
    pub rows: Range<usize>,
    pub columns: Range<usize>,
}

impl Window {
    pub fn whole(figure: &Kinds) -> Self {
        Self { rows: 0..figure.beads.rows(), columns: 0..figure.beads.columns() }
    }
}

/// The measures of a figure's field, wherever it is put.
#[derive(Clone, Copy, Debug)]
pub(super) struct Measures {
    pub pitch: f64,
    pub board: Board,
    /// Rows and columns of pegs above and left of the figure.
    pub gutter: (usize, usize),
    /// From the page's left to the board's edge.
    pub side: f64,
    /// Room under the beads.
    pub under: f64,
}

impl Measures {
    pub fn new(figure: &Kinds, pitch: f64, board: Board) -> Self {
        let (rows, columns) = Self::for_numbers(pitch);
        let gutter = (
            where_there_is_room(rows, figure.beads.rows(), board.rows),
            where_there_is_room(columns, figure.beads.columns(), board.columns),
        );
        let zones = if figure.zones.is_some() { ZONES } else { 0.0 };
        let under = if figure.figures.len() > 1 { UNDER } else { 0.0 };
        Self { pitch, board, gutter, side: zones + PEGS_LEFT, under }
    }

    /// Rows and columns of pegs that a figure's own numbers take.
    pub fn for_numbers(pitch: f64) -> (usize, usize) {
        let pegs = |room: f64| (room / pitch).ceil() as usize;
        (pegs(NUMBERS.1), pegs(NUMBERS.0))
    }

    /// Boards across and down that a figure stands on.
    pub fn boards(&self, figure: &Kinds) -> (usize, usize) {
        let across = (figure.beads.columns() + self.gutter.1).div_ceil(self.board.columns.max(1));
        let down = (figure.beads.rows() + self.gutter.0).div_ceil(self.board.rows.max(1));
        (across.max(1), down.max(1))
    }

    /// Those of a whole board, whose pegs' numbers serve as those of rows and columns and stand outside its edges.
    pub fn of_board(pitch: f64, board: Board) -> Self {
        Self { pitch, board, gutter: (0, 0), side: PEGS_LEFT, under: 0.0 }
    }

    /// The same with room for words at the left in any case.
    pub fn with_words(self) -> Self {
        Self { side: ZONES + PEGS_LEFT, ..self }
    }

    /// From the field's top left to the first bead's.
    pub fn to_beads(self) -> (f64, f64) {
        let (rows, columns) = (self.gutter.0 as f64, self.gutter.1 as f64);
        (self.side + columns * self.pitch, PEGS_ABOVE + rows * self.pitch)
    }

    /// Height from the field's top to under this many rows.
    pub fn height(&self, rows: usize) -> f64 {
        self.to_beads().1 + rows as f64 * self.pitch + self.under
    }

    /// The same down to the edge of the board, or of the boards, that this many rows stand on.
    pub fn height_to_edge(&self, rows: usize) -> f64 {
        let boards = (rows + self.gutter.0).div_ceil(self.board.rows).max(1);
        PEGS_ABOVE + (boards * self.board.rows) as f64 * self.pitch
    }

    /// Width from the page's left to the right of this many columns.
    pub fn width(&self, columns: usize) -> f64 {
        self.to_beads().0 + columns as f64 * self.pitch
    }

    /// The runs of some rows beside this many columns, in the largest letters that fit a width; nothing
    /// where none does.
    pub fn runs(&self, figure: &Kinds, window: &Window, width: f64) -> Option<Runs> {
        let room = width - self.width(window.columns.len()) - TO_RUNS - IN_BAND;
        let texts: Vec<String> = window.rows.clone().map(|row| runs::in_words(figure, Row(row))).collect();
        Runs::fit(&texts, room, self.pitch)
    }
}

/// Pegs left empty before so many beads: none where they would take another board.
fn where_there_is_room(pegs: usize, beads: usize, side: usize) -> usize {
    let boards = |pegs: usize| pegs.div_ceil(side.max(1));
    if boards(beads + pegs) > boards(beads) { 0 } else { pegs }
}

/// A field put in its place.
pub(super) struct Field<'a> {
    pub figure: &'a Kinds,
    pub window: Window,
    pub measures: Measures,
    /// Top left of the window's first bead.
    pub corner: Point,
    /// Left of the page's room, and how far right and down the field may reach.
    pub left: f64,
    pub right: f64,
    pub bottom: f64,
}

impl Field<'_> {
    /// Puts everything on the page.
    pub fn lay(&self, pen: &mut Pen, symbols: &mut Symbols, runs: Option<&Runs>) {
        if runs.is_some() {
            self.bands(pen);
        }
        self.edges(pen);
        self.peg_numbers(pen);
        self.beads(pen, symbols);
        self.joints(pen);
        self.zones(pen, runs.is_some());
        self.numbers(pen);
        self.names(pen);
        if let Some(runs) = runs {
            self.runs(pen, runs);
        }
    }

    /// Where a line between columns runs: that at the left of a column.
    pub fn x(&self, column: usize) -> f64 {
        self.corner.x + (column as f64 - self.window.columns.start as f64) * self.measures.pitch
    }

    /// Where a line between rows runs: that above a row.
    pub fn y(&self, row: usize) -> f64 {
        self.corner.y + (row as f64 - self.window.rows.start as f64) * self.measures.pitch
    }

    /// Left and top of what is shown of the board.
    fn board_corner(&self) -> (f64, f64) {
        let (rows, columns) = self.measures.gutter;
        let pitch = self.measures.pitch;
        (self.corner.x - columns as f64 * pitch, self.corner.y - rows as f64 * pitch)
    }

    /// Right and bottom edges of the last board, wherever they lie.
    fn board_end(&self) -> (f64, f64) {
        let (rows, columns) = self.measures.gutter;
        let end = |beads: usize, gutter: usize, side: usize| {
            ((beads + gutter).div_ceil(side).max(1) * side) as f64 - gutter as f64
        };
        let pitch = self.measures.pitch;
        let across = end(self.figure.beads.columns(), columns, self.measures.board.columns);
        let down = end(self.figure.beads.rows(), rows, self.measures.board.rows);
        let x = self.corner.x + (across - self.window.columns.start as f64) * pitch;
        let y = self.corner.y + (down - self.window.rows.start as f64) * pitch;
        (x, y)
    }

    /// The board's edges as far as they lie on the page.
    fn edges(&self, pen: &mut Pen) {
        /// Of an edge that would cross the runs only its corners are drawn.
        const CORNER: f64 = 4.0;
        /// So that an edge that just fits is not lost to rounding.
        const GRAIN: f64 = 1e-6;
        let (left, top) = self.board_corner();
        let (end_x, end_y) = self.board_end();
        let (right, bottom) = (end_x.min(self.right), end_y.min(self.bottom));
        let has_right = end_x <= self.right + GRAIN;
        let has_bottom = end_y <= self.bottom + GRAIN;
        if self.window.rows.start == 0 {
            pen.line(at(left, top), at(right, top), EDGE, RULE);
            if has_right {
                pen.line(at(right, top), at(right, top + CORNER), EDGE, RULE);
            }
        }
        if self.window.columns.start == 0 {
            pen.line(at(left, top), at(left, bottom), EDGE, RULE);
        }
        if has_bottom {
            pen.line(at(left, bottom), at(right, bottom), EDGE, RULE);
            if has_right {
                pen.line(at(right, bottom - CORNER), at(right, bottom), EDGE, RULE);
            }
        }
    }

    /// Where one board ends and the next begins within the figure.
    fn joints(&self, pen: &mut Pen) {
        let (rows, columns) = self.measures.gutter;
        let Window { rows: down, columns: across } = &self.window;
        let inside = |line: usize, range: &Range<usize>| range.start < line && line < range.end;
        let joints = |side: usize, gutter: usize| {
            // A figure has a few hundred beads a side at most.
            (1..).map(move |board| board * side).map(move |line| line.saturating_sub(gutter))
        };
        for line in joints(self.measures.board.columns, columns).take_while(|line| *line < across.end) {
            if inside(line, across) {
                let (top, bottom) = (self.board_corner().1, self.y(down.end));
                pen.line(at(self.x(line), top), at(self.x(line), bottom), EDGE, FAINT);
            }
        }
        for line in joints(self.measures.board.rows, rows).take_while(|line| *line < down.end) {
            if inside(line, down) {
                let (left, right) = (self.board_corner().0, self.x(across.end));
                pen.line(at(left, self.y(line)), at(right, self.y(line)), EDGE, FAINT);
            }
        }
    }

    /// The board's own pegs, numbered along its edges: every fifth, the first and the last. Where no peg is left empty
    /// before the figure, its own numbers stand there.
    fn peg_numbers(&self, pen: &mut Pen) {
        /// A number is about this wide: none may stand half beyond the end.
        const HALF: f64 = 1.5;
        let kind = words(Face::Regular, 6.0, FAINT);
        let (left, top) = self.board_corner();
        let (end_x, end_y) = self.board_end();
        let Window { rows, columns } = &self.window;
        // Beyond a later part's beads no edge is drawn, and no peg needs a number.
        let right = if rows.start == 0 { end_x.min(self.right - HALF) } else { self.x(columns.end) };
        let bottom = if columns.start == 0 { end_y.min(self.bottom) } else { self.y(rows.end) };
        let Board { rows: down, columns: across } = self.measures.board;
        let (above, before) = self.measures.gutter;
        let top_pegs = self.pegs(columns.start, before, across, (left, right));
        for (peg, middle) in top_pegs.into_iter().filter(|_| above > 0) {
            pen.text(at(middle, top - 1.3), Anchor::Middle, kind, &peg.to_string());
        }
        let left_pegs = self.pegs(rows.start, above, down, (top, bottom));
        for (peg, middle) in left_pegs.into_iter().filter(|_| before > 0) {
            let baseline = middle + CAPITALS * kind.size / 2.0;
            pen.text(at(left - 1.3, baseline), Anchor::Right, kind, &peg.to_string());
        }
        if above > 0 || before > 0 {
            pen.text(at(left - 1.3, top - 1.3), Anchor::Right, words(Face::Regular, 5.5, FAINT), "peg");
        }
    }

    /// The pegs to number from one place to another, and where their middles lie. `first` is the window's
    /// first row or column.
    fn pegs(&self, first: usize, gutter: usize, side: usize, (from, to): (f64, f64)) -> Vec<(usize, f64)> {
        /// Numbers may not touch one another.
        const APART: f64 = 3.4;
        let pitch = self.measures.pitch;
        let count = ((to - from) / pitch).max(0.0).round() as usize;
        let mut last = f64::NEG_INFINITY;
        let mut numbered = Vec::new();
        // In a later part the gutter's pegs belong to the beads of the part before.
        for place in (if first == 0 { 0 } else { gutter })..count {
            let (peg, middle) = ((first + place) % side + 1, from + (place as f64 + 0.5) * pitch);
            if (peg == 1 || peg.is_multiple_of(FIVE) || peg == side) && middle - last >= APART {
                numbered.push((peg, middle));
                last = middle;
            }
        }
        numbered
    }

    fn beads(&self, pen: &mut Pen, symbols: &mut Symbols) {
        let pitch = self.measures.pitch;
        for row in self.window.rows.clone() {
            for column in self.window.columns.clone() {
                let middle = at(self.x(column) + pitch / 2.0, self.y(row) + pitch / 2.0);
                let kind = self.figure.beads[(Row(row), Column(column))];
                match kind.and_then(|kind| self.figure.kinds.get(kind)) {
                    Some(kind) => pen.symbol(symbols.bead(kind.colour, kind.mark, pitch), middle),
                    None if self.is_between(column) => {}
                    None => pen.disc(middle, PEG * pitch, PALE_PEG),
                }
            }
        }
    }

    /// Rows and columns of the figure, numbered where the numbers do not touch.
    fn numbers(&self, pen: &mut Pen) {
        let pitch = self.measures.pitch;
        let points = (pitch / POINT * 0.8).clamp(5.0, 7.5);
        let kind = |number: usize| -> Type {
            let five = number == 1 || number.is_multiple_of(FIVE);
            words(if five { Face::Bold } else { Face::Regular }, points, if five { INK } else { FAINT })
        };
        let size = points * POINT;
        let every_row = pitch >= size;
        for row in self.window.rows.clone().map(|row| row + 1) {
            if every_row || row == 1 || row.is_multiple_of(FIVE) {
                let baseline = self.y(row - 1) + pitch / 2.0 + CAPITALS * size / 2.0;
                for (_, columns) in self.standing() {
                    let place = at(self.x(columns.start) - 1.1, baseline);
                    pen.text(place, Anchor::Right, kind(row), &row.to_string());
                }
            }
        }
        let widest = Face::Bold.width(&self.window.columns.end.to_string(), size);
        for (first, columns) in self.standing() {
            for column in columns {
                let number = column - first + 1;
                if pitch > 1.25 * widest || number == 1 || number.is_multiple_of(FIVE) {
                    let middle = self.x(column) + pitch / 2.0;
                    pen.text(
                        at(middle, self.corner.y - 1.1),
                        Anchor::Middle,
                        kind(number),
                        &number.to_string(),
                    );
                }
            }
        }
    }

    /// The first column of each figure, and its columns that the window shows.
    fn standing(&self) -> impl Iterator<Item = (usize, Range<usize>)> + '_ {
        let shown = |columns: &Range<usize>| {
            columns.start.max(self.window.columns.start)..columns.end.min(self.window.columns.end)
        };
        let all = self.figure.figures.iter().map(move |place| (place.columns.start, shown(&place.columns)));
        all.filter(|(_, columns)| !columns.is_empty())
    }

    /// Whether a column lies between figures: row numbers stand there.
    fn is_between(&self, column: usize) -> bool {
        !self.figure.figures.iter().any(|place| place.columns.contains(&column))
    }

    /// The name of each figure of a shared board, under it.
    fn names(&self, pen: &mut Pen) {
        let kind = words(Face::Bold, 8.5, INK);
        for place in self.figure.figures.iter().filter(|_| self.figure.figures.len() > 1) {
            let (left, right) = (self.x(place.columns.start), self.x(place.columns.end));
            let name = cut(&place.name, Face::Bold, kind.size, right - left);
            pen.text(
                at((left + right) / 2.0, self.y(self.window.rows.end) + 4.2),
                Anchor::Middle,
                kind,
                &name,
            );
        }
    }

    fn zones(&self, pen: &mut Pen, with_runs: bool) {
        let Some(zones) = self.figure.zones else { return };
        let kind = words(Face::Bold, 7.5, INK);
        /// How far a zone's line goes beyond the beads.
        const BEYOND: f64 = 2.0;
        for (zone, first, count) in zones.spans() {
            let rows = first.max(self.window.rows.start)..(first + count).min(self.window.rows.end);
            if rows.is_empty() {
                continue;
            }
            let top = self.y(rows.start);
            // Between zones only: the figure's own outline closes the first and the last.
            if rows.start > self.window.rows.start {
                let beads = self.x(self.window.columns.end) + BEYOND;
                pen.line(at(self.left, top), at(beads, top), HAIR, INK);
                if with_runs {
                    pen.line(at(beads, top), at(self.right, top), HAIR, RULE);
                }
            }
            let middle = top + rows.len() as f64 * self.measures.pitch / 2.0;
            let baseline = middle + CAPITALS * kind.size * 0.4;
            pen.text(at(self.left, baseline), Anchor::Left, kind, zone.name());
        }
    }

    /// Pale bands behind every other row's runs.
    fn bands(&self, pen: &mut Pen) {
        let left = self.x(self.window.columns.end) + TO_RUNS - IN_BAND;
        for row in self.window.rows.clone().filter(|row| row % 2 == 1) {
            let size = (self.right - left, self.measures.pitch);
            pen.block(at(left, self.y(row)), size, BAND);
        }
    }

    fn runs(&self, pen: &mut Pen, runs: &Runs) {
        let left = self.x(self.window.columns.end) + TO_RUNS;
        for (row, (size, lines)) in self.window.rows.clone().zip(&runs.rows) {
            let kind = Type { face: Face::Regular, size: *size, ink: INK };
            let leading = size * Runs::LEADING;
            let middle = self.y(row) + self.measures.pitch / 2.0;
            let first = middle + CAPITALS * size / 2.0 - leading * (lines.len() as f64 - 1.0) / 2.0;
            for (i, line) in lines.iter().enumerate() {
                pen.text(at(left, first + leading * i as f64), Anchor::Left, kind, line);
            }
        }
    }
}
