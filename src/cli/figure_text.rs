//! The figure on a terminal: in its beads' colours where there are colours, in its marks always.

use std::fmt::Write as _;

use smallcast::colour::Srgb;
use smallcast::draft::Draft;
use smallcast::figure::Figure;
use smallcast::grid::Grid;
use smallcast::plan::ZoneRows;
use smallcast::sheet::figure_colours;
use smallcast::tray::Tray;
use smallcast::units::{Column, Row};
use unicode_width::UnicodeWidthStr;

use super::output::Paint;
use super::report::plain;
use super::table::{cut, headline};

/// Columns for the row's number and a space.
const NUMBER: usize = 4;

/// Columns for a zone's name and two spaces.
const ZONE: usize = 10;

/// One column in this many has its number above it.
const RULER: usize = 5;

/// Spaces between two beads of the legend.
const GAP: &str = "   ";

/// A draft with its rows and columns numbered and its zones named.
pub fn of_draft(draft: &Draft, tray: &Tray, paint: Paint, width: usize) -> String {
    let mark = |bead| draft.legend.iter().find(|line| line.bead == bead).map_or('?', |line| line.mark.get());
    let beads = draft.matched.beads().map(|_, _, bead| {
        let bead = bead.as_ref()?.bead;
        Some((mark(bead), tray.bead(bead).lab.srgb()))
    });
    View { beads: &beads, zones: draft.zones.as_ref(), paint }.lines(width, "see --picture")
}

/// A figure in the same way, under its name, and below it what its marks stand for and how many there are.
pub fn of_figure(figure: &Figure, tray: &Tray, paint: Paint, width: usize) -> String {
    let (beads, colours) = (figure.beads(), figure_colours(figure, tray));
    let beads = Grid::from_fn(beads.rows(), beads.columns(), |row, column| {
        Some((beads[(row, column)]?.mark.get(), colours[(row, column)]?))
    });
    let view = View { beads: &beads, zones: figure.rows(), paint };
    let lines = view.lines(width, "show --save F.png draws it");
    format!("{}\n{lines}\n{}", headline(&plain(figure.name()), paint, width), legend(figure, width))
}

/// Mark, bead and count of each, as many on a line as fit.
fn legend(figure: &Figure, width: usize) -> String {
    let mut text = String::new();
    let mut room = 0;
    for (entry, count) in figure.counts().into_iter().filter(|(_, count)| *count > 0) {
        let bead = cut(&plain(&format!("{} {} {count}", entry.mark.get(), entry.bead)), width);
        let needed = GAP.len() + bead.width();
        match text.is_empty() {
            true => room = width.saturating_sub(bead.width()),
            false if needed <= room => {
                text.push_str(GAP);
                room -= needed;
            }
            false => {
                text.push('\n');
                room = width.saturating_sub(bead.width());
            }
        }
        text.push_str(&bead);
    }
    if !text.is_empty() {
        text.push('\n');
    }
    text
}

struct View<'a> {
    /// Mark and colour of each bead.
    beads: &'a Grid<Option<(char, Srgb)>>,
    zones: Option<&'a ZoneRows>,
    paint: Paint,
}

impl View<'_> {
    /// A bead is two columns wide, so that it looks square, or one where the terminal is too narrow; `instead` is what
    /// to do where it is too narrow for that.
    fn lines(&self, width: usize, instead: &str) -> String {
        let columns = self.beads.columns();
        if NUMBER + columns > width {
            return format!("The figure is {columns} columns wide, too wide to show here: {instead}.\n");
        }
        let bead = if NUMBER + 2 * columns + ZONE <= width { 2 } else { 1 };
        let mut text = self.paint.faint(&self.ruler(bead));
        for row in (0..self.beads.rows()).map(Row) {
            // Writing to a String does not fail.
            let _ = write!(text, "\n{}", self.row(row, bead).trim_end());
        }
        text.push('\n');
        text
    }

    fn ruler(&self, bead: usize) -> String {
        let mut line = " ".repeat(NUMBER);
        for column in (1..=self.beads.columns()).filter(|c| *c == 1 || c % RULER == 0) {
            let at = NUMBER + (column - 1) * bead;
            line.push_str(&" ".repeat(at.saturating_sub(line.len())));
            line.push_str(&column.to_string());
        }
        line
    }

    fn row(&self, row: Row, bead: usize) -> String {
        let number = self.paint.faint(&format!("{:>width$} ", row.0 + 1, width = NUMBER - 1));
        let columns = (0..self.beads.columns()).map(Column);
        let pegs: String = columns.map(|column| self.peg(self.beads[(row, column)], bead)).collect();
        let zone = self.zone_from(row).map_or(String::new(), |name| format!("  {}", self.paint.faint(name)));
        format!("{number}{pegs}{zone}")
    }

    fn peg(&self, peg: Option<(char, Srgb)>, bead: usize) -> String {
        let blank = " ".repeat(bead - 1);
        match peg {
            Some((mark, colour)) => self.paint.bead(colour, &format!("{mark}{blank}")),
            None => self.paint.faint(&format!(".{blank}")),
        }
    }

    /// The zone that begins in a row.
    fn zone_from(&self, row: Row) -> Option<&'static str> {
        self.zones?.spans().find(|&(_, first, _)| first == row.0).map(|(zone, ..)| zone.name())
    }
}
