//! A figure's block: its name, its field, its legend and what it will look like.

use std::sync::Arc;

use image::RgbaImage;

use super::super::drawing::{Anchor, at};
use super::super::font::Face;
use super::super::kinds::Kinds;
use super::field::{Field, Measures, Window};
use super::legend::{self, Legend};
use super::options::Steps;
use super::pages::{FAINT, INK, Pages, words};
use super::run_lines::Runs;
use super::words::cut;
use super::{steps, tiles};

/// Height of a block's name and the line under it.
pub(super) const HEAD: f64 = 12.5;

/// From the field to the legend.
const TO_LEGEND: f64 = 4.0;

/// Figures as they stand side by side. Between them are empty columns, one, or as many as the row numbers of the next
/// take.
fn side_by_side(pages: &Pages, figures: &[Kinds]) -> (Kinds, Measures) {
    let (_, gap) = Measures::for_numbers(pages.pitch());
    let all = Kinds::beside(figures, gap.max(1));
    let measures = Measures::new(&all, pages.pitch(), pages.options.board);
    (all, measures)
}

/// Whether figures stand side by side on one board, and that with its legend on one page.
pub(super) fn share_a_board(pages: &Pages, figures: &[Kinds]) -> bool {
    let (all, measures) = side_by_side(pages, figures);
    let (rows, columns) = (all.beads.rows(), all.beads.columns());
    let legend = Legend::new(&all, None, pages.width(), true);
    rows + measures.gutter.0 <= measures.board.rows
        && columns + measures.gutter.1 <= measures.board.columns
        && measures.width(columns) <= pages.width()
        && HEAD + measures.height(rows) + TO_LEGEND + legend.height <= pages.height()
}

/// Lays figures that share a board; the steps, where they are wanted, are each figure's own.
pub(super) fn lay_together(pages: &mut Pages, figures: &[Kinds]) {
    if figures.len() < 2 {
        return figures.iter().for_each(|figure| lay(pages, figure, None));
    }
    let (all, measures) = side_by_side(pages, figures);
    let legend = Legend::new(&all, None, pages.width(), !pages.colours_said);
    one_page(pages, &all, (measures, Window::whole(&all)), None, &legend);
    pages.colours_said = true;
    for figure in figures {
        match pages.options.steps {
            Some(Steps::Colour) => steps::by_colour(pages, figure),
            Some(Steps::Row) => steps::by_row(pages, figure),
            None => {}
        }
    }
}

/// Lays a figure on as many pages as it takes.
pub(super) fn lay(pages: &mut Pages, figure: &Kinds, reference: Option<&Arc<RgbaImage>>) {
    let measures = Measures::new(figure, pages.pitch(), pages.options.board);
    let window = Window::whole(figure);
    let (rows, columns) = (figure.beads.rows(), figure.beads.columns());
    let legend = Legend::new(figure, reference, pages.width(), !pages.colours_said);
    if figure.total() == 0 {
        pages.make_room(HEAD);
        head(pages, figure, "");
        return;
    }
    let fits = HEAD + measures.height(rows) <= pages.height() && measures.width(columns) <= pages.width();
    let runs_stand = if fits {
        let runs = measures.runs(figure, &window, pages.width());
        one_page(pages, figure, (measures, window), runs.as_ref(), &legend);
        runs.is_some()
    } else {
        let runs_stand = tiles::lay(pages, figure, measures);
        pages.make_room(HEAD + legend.height);
        head(pages, figure, " – legend");
        legend::lay(pages, &legend);
        runs_stand
    };
    pages.colours_said = true;
    match pages.options.steps {
        Some(Steps::Colour) => {
            if !runs_stand {
                steps::by_row(pages, figure);
            }
            steps::by_colour(pages, figure);
        }
        Some(Steps::Row) => steps::by_row(pages, figure),
        None if !runs_stand => steps::by_row(pages, figure),
        None => {}
    }
}

/// Lays what is pegged on a whole board, on a page of its own; a board too large for that goes over several.
pub(super) fn lay_board(pages: &mut Pages, figure: &Kinds, all: (usize, usize), here: (usize, usize)) {
    let measures = Measures::of_board(pages.pitch(), pages.options.board);
    let legend = Legend::new(figure, None, pages.width(), !pages.colours_said);
    pages.turn();
    let (rows, columns) = (figure.beads.rows(), figure.beads.columns());
    if HEAD + measures.height(rows) <= pages.height() && measures.width(columns) <= pages.width() {
        tiles::map(pages, all, here);
        one_page(pages, figure, (measures, Window::whole(figure)), None, &legend);
    } else {
        tiles::lay(pages, figure, measures);
        pages.make_room(HEAD + legend.height);
        head(pages, figure, " – legend");
        legend::lay(pages, &legend);
    }
    pages.colours_said = true;
    match pages.options.steps {
        Some(Steps::Colour) => steps::by_colour(pages, figure),
        Some(Steps::Row) => steps::by_row(pages, figure),
        None => {}
    }
}

/// Field and legend on one page; the board's lower edge, too, where there is room for it.
fn one_page(
    pages: &mut Pages,
    figure: &Kinds,
    (measures, window): (Measures, Window),
    runs: Option<&Runs>,
    legend: &Legend,
) {
    let rows = window.rows.len();
    let (least, whole) = (measures.height(rows), measures.height_to_edge(rows));
    let with_legend = HEAD + least + TO_LEGEND + legend.height;
    let apart = with_legend > pages.height();
    pages.make_room(if apart { HEAD + least } else { with_legend });
    // A board's edge is worth room that would stay empty, not another page.
    let alone = pages.is_fresh() && HEAD + whole + TO_LEGEND + legend.height <= pages.height();
    let another_fits = pages.room() - with_legend > HEAD + least;
    let field_height = if alone && !another_fits { whole } else { least };
    head(pages, figure, "");
    let (dx, dy) = measures.to_beads();
    let field = Field {
        figure,
        window,
        measures,
        corner: at(pages.left() + dx, pages.y + dy),
        left: pages.left(),
        right: pages.right(),
        bottom: pages.y + field_height,
    };
    let (pen, symbols) = pages.pen_and_symbols();
    field.lay(pen, symbols, runs);
    pages.y += field_height;
    if apart {
        pages.make_room(HEAD + legend.height);
        head(pages, figure, " – legend");
    } else {
        pages.y += TO_LEGEND;
    }
    legend::lay(pages, legend);
}

/// The figure's name, what part of it follows, and its measures.
pub(super) fn head(pages: &mut Pages, figure: &Kinds, part: &str) {
    let line = measured(pages, figure);
    title(pages, &figure.name, part, &line);
}

/// A name, what part of it follows, and a line under it.
pub(super) fn title(pages: &mut Pages, name: &str, part: &str, line: &str) {
    let (left, width, y) = (pages.left(), pages.width(), pages.y);
    let title = words(Face::Bold, 17.0, INK);
    let name = cut(name, Face::Bold, title.size, width - Face::Bold.width(part, title.size));
    let line = cut(line, Face::Regular, words(Face::Regular, 8.5, FAINT).size, width);
    let pen = pages.pen();
    pen.text(at(left, y + 5.0), Anchor::Left, title, &format!("{name}{part}"));
    pen.text(at(left, y + 10.0), Anchor::Left, words(Face::Regular, 8.5, FAINT), &line);
    pages.y += HEAD;
}

/// The figure in numbers.
fn measured(pages: &Pages, figure: &Kinds) -> String {
    let counted =
        |count: usize, one: &str, many: &str| format!("{count} {}", if count == 1 { one } else { many });
    let rows = counted(figure.beads.rows(), "row", "rows");
    let columns = counted(figure.beads.columns(), "column", "columns");
    let beads = counted(figure.total(), "bead", "beads");
    let kinds = counted(figure.kinds.len(), "kind", "kinds");
    let board = pages.options.board;
    let pegs = format!("{} × {}", board.columns, board.rows);
    // The line has no room for all: that the size is true stands at the foot, too.
    let stands = match Measures::new(figure, pages.pitch(), board).boards(figure) {
        (1, 1) => format!("true size, {} mm from bead to bead   ·   board {pegs}", pages.pitch()),
        (across, down) => {
            let count = across * down;
            format!(
                "{} mm from bead to bead   ·   {count} boards, {across} across and {down} down, of {pegs}",
                pages.pitch()
            )
        }
    };
    format!("{rows} × {columns}   ·   {beads} of {kinds}   ·   {stands}")
}
