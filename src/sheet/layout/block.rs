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
    let (left, width, y) = (pages.left(), pages.width(), pages.y);
    let title = words(Face::Bold, 17.0, INK);
    let name = cut(&figure.name, Face::Bold, title.size, width - Face::Bold.width(part, title.size));
    let line = cut(&measured(pages, figure), Face::Regular, words(Face::Regular, 8.5, FAINT).size, width);
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
    format!(
        "{rows} × {columns}   ·   {beads} of {kinds}   ·   true size, {} mm from bead to bead   ·   board {} × {}",
        pages.pitch(),
        board.columns,
        board.rows
    )
}
