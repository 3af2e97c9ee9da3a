//! The page a printer is measured with: what to do, and the board's own outline to lay the board on.

use super::super::drawing::{Anchor, at};
use super::super::font::{Face, POINT};
use super::options::PrinterScale;
use super::pages::{INK, Pages, RULE, words};
use super::words::wrapped;

const POINTS: f64 = 10.0;
const LEADING: f64 = 5.0;

/// Puts it on a page.
pub(super) fn lay(pages: &mut Pages) {
    let (left, width) = (pages.left(), pages.width());
    pages.pen().text(at(left, 17.0), Anchor::Left, words(Face::Bold, 17.0, INK), "Test page");
    pages.y = 25.0;
    let (pitch, board, printer) = (pages.pitch(), pages.options.board, pages.options.printer);
    let answer = if printer == PrinterScale::TRUE {
        "If both are 100.0 mm, sheets print true. If not, divide by 100 and tell smallcast: 98.5 mm across and \
         99 mm down is --printer-scale 0.985,0.99."
            .to_owned()
    } else {
        let PrinterScale { across, down } = printer;
        format!("Drawn for --printer-scale {across},{down}: both should measure 100.0 mm now.")
    };
    let steps = [
        "Print this page at 100 %, not fitted to the page.".to_owned(),
        "Measure the rulers at the foot and at the right with a steel rule, from 0 to 100.".to_owned(),
        answer,
        format!(
            "Or lay your board on the outline: {} × {} pegs, {pitch} mm from peg to peg. Each peg stands on its dot.",
            board.columns, board.rows
        ),
    ];
    for (number, step) in steps.iter().enumerate() {
        let number = format!("{}.", number + 1);
        let place = at(left, pages.y);
        pages.pen().text(place, Anchor::Left, words(Face::Bold, POINTS, INK), &number);
        for line in wrapped(step, Face::Regular, POINTS * POINT, width - 7.0) {
            let place = at(left + 7.0, pages.y);
            pages.pen().text(place, Anchor::Left, words(Face::Regular, POINTS, INK), &line);
            pages.y += LEADING;
        }
        pages.y += 1.5;
    }
    outline(pages);
}

/// The board's edges and pegs, or of a large board as much as fits.
fn outline(pages: &mut Pages) {
    let (pitch, board) = (pages.pitch(), pages.options.board);
    let fitting = |pegs: usize, room: f64| pegs.min((room / pitch) as usize);
    let columns = fitting(board.columns, pages.width());
    let rows = fitting(board.rows, pages.room() - 3.0);
    let corner = at(pages.left(), pages.y + 1.0);
    let (width, height) = (columns as f64 * pitch, rows as f64 * pitch);
    let pen = pages.pen();
    pen.line(at(corner.x, corner.y), at(corner.x + width, corner.y), 0.3, RULE);
    pen.line(at(corner.x, corner.y), at(corner.x, corner.y + height), 0.3, RULE);
    if columns == board.columns {
        pen.line(at(corner.x + width, corner.y), at(corner.x + width, corner.y + height), 0.3, RULE);
    }
    if rows == board.rows {
        pen.line(at(corner.x, corner.y + height), at(corner.x + width, corner.y + height), 0.3, RULE);
    }
    for row in 0..rows {
        for column in 0..columns {
            let middle = at(corner.x + (column as f64 + 0.5) * pitch, corner.y + (row as f64 + 0.5) * pitch);
            pen.disc(middle, 0.09 * pitch, INK);
        }
    }
}
