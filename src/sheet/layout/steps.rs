//! The order of pegging, step by step, each with a box to tick.

use super::super::drawing::{Anchor, at};
use super::super::font::{CAPITALS, Face, POINT};
use super::super::kinds::Kinds;
use super::super::runs;
use super::block::{HEAD, head};
use super::pages::{FAINT, INK, Pages, words};
use super::words::{BOUND, cut, wrapped};
use crate::units::Row;

const POINTS: f64 = 9.0;
const LEADING: f64 = 4.4;

/// White under a step.
const UNDER: f64 = 1.8;

/// The box to tick, and where number and words begin.
const BOX: f64 = 3.2;
const NUMBER: f64 = 11.0;
const TEXT: f64 = 15.0;

/// One step: its heading at the margin and its lines.
struct Step {
    number: String,
    swatch: Option<usize>,
    title: String,
    text: String,
}

/// Row by row from the top: the runs of each, numbered as the rows are.
pub(super) fn by_row(pages: &mut Pages, figure: &Kinds) {
    let step = |row: usize| Step {
        number: (row + 1).to_string(),
        swatch: None,
        title: String::new(),
        text: runs::in_words(figure, Row(row)),
    };
    let steps: Vec<Step> = (0..figure.beads.rows()).map(step).collect();
    lay(pages, figure, " – row by row", &steps);
}

/// Colour by colour, the most beads first: the columns of each row.
pub(super) fn by_colour(pages: &mut Pages, figure: &Kinds) {
    let mut order: Vec<usize> = (0..figure.kinds.len()).collect();
    order.sort_by_key(|&kind| std::cmp::Reverse(figure.kinds[kind].count));
    let step = |(number, &kind): (usize, &usize)| Step {
        number: (number + 1).to_string(),
        swatch: Some(kind),
        title: format!("{}, {}", figure.kinds[kind].name, figure.kinds[kind].count),
        text: places(figure, kind),
    };
    let steps: Vec<Step> = order.iter().enumerate().map(step).collect();
    lay(pages, figure, " – colour by colour", &steps);
}

/// Where beads of a kind stand: 'row 3: 5–7, 9; row 4: 6'.
fn places(figure: &Kinds, kind: usize) -> String {
    let between = format!(",{BOUND}");
    let in_row = |row: usize| {
        let own = runs::of_row(figure, Row(row)).into_iter().filter(|run| run.kind == Some(kind));
        let columns: Vec<String> = own
            .map(|run| match run.count {
                1 => format!("{}", run.from.0 + 1),
                count => format!("{}–{}", run.from.0 + 1, run.from.0 + count),
            })
            .collect();
        (!columns.is_empty()).then(|| format!("row{BOUND}{}:{BOUND}{}", row + 1, columns.join(&between)))
    };
    (0..figure.beads.rows()).filter_map(in_row).collect::<Vec<_>>().join("; ")
}

fn lay(pages: &mut Pages, figure: &Kinds, part: &str, steps: &[Step]) {
    // Room for the heading and a few steps, not for a heading alone.
    pages.make_room(HEAD + 6.0 * LEADING);
    head(pages, figure, part);
    for step in steps {
        let width = pages.width() - TEXT - if step.swatch.is_some() { LEADING + 2.0 } else { 0.0 };
        let mut lines = wrapped(&step.text, Face::Regular, POINTS * POINT, width);
        if !step.title.is_empty() {
            lines.insert(0, cut(&step.title, Face::Bold, POINTS * POINT, width));
        }
        for (i, line) in lines.iter().enumerate() {
            if pages.room() < LEADING {
                pages.turn();
                head(pages, figure, part);
            }
            if i == 0 {
                begin(pages, figure, step);
            }
            let titled = i == 0 && !step.title.is_empty();
            let kind = words(if titled { Face::Bold } else { Face::Regular }, POINTS, INK);
            let indent = TEXT + if step.swatch.is_some() { LEADING + 2.0 } else { 0.0 };
            let place = at(pages.left() + indent, baseline(pages.y));
            pages.pen().text(place, Anchor::Left, kind, line);
            pages.y += LEADING;
        }
        pages.y += UNDER;
    }
}

fn baseline(top: f64) -> f64 {
    top + LEADING / 2.0 + CAPITALS * POINTS * POINT / 2.0
}

/// The box, the number and the swatch of a step.
fn begin(pages: &mut Pages, figure: &Kinds, step: &Step) {
    let (left, y) = (pages.left(), pages.y);
    let (pen, symbols) = pages.pen_and_symbols();
    pen.frame(at(left, y + (LEADING - BOX) / 2.0), (BOX, BOX), 0.2, FAINT);
    pen.text(at(left + NUMBER, baseline(y)), Anchor::Right, words(Face::Bold, POINTS, INK), &step.number);
    if let Some(kind) = step.swatch.and_then(|kind| figure.kinds.get(kind)) {
        let bead = symbols.bead(kind.colour, kind.mark, LEADING);
        pen.symbol(bead, at(left + TEXT + LEADING / 2.0, y + LEADING / 2.0));
    }
}
