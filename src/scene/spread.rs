//! Where the people of a line stand, if the maker leaves it to us: as evenly as can be, in as few rows as will do.
//!
//! Who stands side by side with room to spare stands in one row. Else there are several rows, the back ones raised and
//! between those in front of them, and nobody is hidden by more than [`MOST_HIDDEN`] of the beads that show without the
//! others.

use std::ops::Range;

use crate::grid::Grid;
use crate::units::{Column, Row};

/// The share of a figure's beads that others of its line may hide: one in this many. The maker's bound: a third.
pub const MOST_HIDDEN: usize = 3;

/// How many rows people may stand in: with more, a crowd is a wall (our own choice).
const MOST_ROWS: usize = 3;

/// By how many pegs a row stands above the one before it: heads first, then shoulders, then half a figure of the usual 24
/// rows (our own choice); the least that serves is taken.
const RAISED: [usize; 5] = [4, 6, 8, 10, 12];

/// The pegs a figure has beads on, from its own top left.
pub(super) type Shape = Grid<Option<usize>>;

/// How a line stands: in this many rows, each raised by this many pegs above the one before.
#[derive(Clone, Copy)]
struct Way {
    rows: usize,
    raised: usize,
}

/// The top left pegs of figures whose soles are on a row, spread over some columns; else how many of them, from the first,
/// do fit.
pub(super) fn spread(
    shapes: &[&Shape],
    row: Row,
    columns: &Range<usize>,
) -> Result<Vec<(Row, Column)>, usize> {
    if let Some(places) = spread_all(shapes, row, columns) {
        return Ok(places);
    }
    // How many do fit is found by halving: of a slip of thousands not every number is tried.
    let (mut fit, mut too_many) = (0, shapes.len());
    while too_many - fit > 1 {
        let middle = usize::midpoint(fit, too_many);
        match spread_all(&shapes[..middle], row, columns) {
            Some(_) => fit = middle,
            None => too_many = middle,
        }
    }
    Err(fit)
}

fn spread_all(shapes: &[&Shape], row: Row, columns: &Range<usize>) -> Option<Vec<(Row, Column)>> {
    let widths: usize = shapes.iter().map(|shape| shape.columns()).sum();
    if shapes.iter().any(|shape| shape.columns() > columns.len()) {
        return None;
    }
    let one = Way { rows: 1, raised: 0 };
    if widths <= columns.len() {
        return places(shapes, row, columns, one);
    }
    let several = (2..=MOST_ROWS).flat_map(|rows| RAISED.map(|raised| Way { rows, raised }));
    let ways = several.filter(|way| way.rows <= shapes.len()).chain(std::iter::once(one));
    ways.filter_map(|way| places(shapes, row, columns, way)).find(|places| nobody_is_lost(shapes, places))
}

/// Where everybody stands one way; nothing where somebody would reach above the first row.
fn places(shapes: &[&Shape], Row(row): Row, columns: &Range<usize>, way: Way) -> Option<Vec<(Row, Column)>> {
    let many = shapes.len();
    let in_a_row = many.div_ceil(way.rows);
    // From the left, each time one of every row, so that those at the back look out between those in front.
    let mut from_left: Vec<usize> = (0..many).collect();
    from_left.sort_by_key(|at| (at % in_a_row, at / in_a_row));
    let widths: usize = shapes.iter().map(|shape| shape.columns()).sum();
    let mut found = vec![(Row(0), Column(0)); many];
    let mut before = 0;
    for (place, at) in from_left.into_iter().enumerate() {
        let (high, wide) = (shapes[at].rows(), shapes[at].columns());
        let rank = at / in_a_row;
        let raised = way.raised * (way.rows - 1).saturating_sub(rank);
        let top = (row + 1).checked_sub(raised)?.checked_sub(high)?;
        let room = columns.len();
        let left = if room >= widths {
            // What is left over lies between them, half a share at either end.
            before + (room - widths) * (2 * place + 1) / (2 * many)
        } else {
            // The first and the last stand at the ends, the others overlap alike.
            before.saturating_sub(((widths - room) * place).div_ceil((many - 1).max(1)))
        };
        found[at] = (Row(top), Column(columns.start + left.min(room - wide)));
        before += wide;
    }
    Some(found)
}

/// Whether nobody is hidden by more than the share that may be.
fn nobody_is_lost(shapes: &[&Shape], places: &[(Row, Column)]) -> bool {
    let hidden = hidden(shapes, places);
    let beads = shapes.iter().map(|shape| beads(shape).count());
    hidden.into_iter().zip(beads).all(|(hidden, beads)| MOST_HIDDEN * hidden <= beads)
}

fn beads(shape: &Shape) -> impl Iterator<Item = (usize, usize)> + '_ {
    shape.iter().filter(|(.., bead)| bead.is_some()).map(|(row, column, _)| (row.0, column.0))
}

/// How many beads of each the others hide. In front is who stands lower; in one row, who comes later.
fn hidden(shapes: &[&Shape], places: &[(Row, Column)]) -> Vec<usize> {
    let end = |at: usize| (places[at].0.0 + shapes[at].rows(), places[at].1.0 + shapes[at].columns());
    let rows = (0..shapes.len()).map(|at| end(at).0).max().unwrap_or(0);
    let columns = (0..shapes.len()).map(|at| end(at).1).max().unwrap_or(0);
    let mut front: Grid<Option<usize>> = Grid::from_fn(rows, columns, |_, _| None);
    let mut order: Vec<usize> = (0..shapes.len()).collect();
    order.sort_by_key(|&at| end(at).0);
    let mut hidden = vec![0; shapes.len()];
    for at in order {
        let (top, left) = places[at];
        for (row, column) in beads(shapes[at]) {
            let peg = (Row(top.0 + row), Column(left.0 + column));
            if let Some(behind) = front[peg].replace(at) {
                hidden[behind] += 1;
            }
        }
    }
    hidden
}
