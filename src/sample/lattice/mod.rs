//! The row and column lines laid over the subject, one window a bead.
//!
//! Phase, scale and aspect are searched for the purest windows: a drawing made of bead-sized parts
//! shows its own lattice by where its colours change.

mod bend;
mod planned;
mod purity;
mod straight;

use ndarray::Array2;

use crate::grid::Grid;
use crate::plan::{Marks, ZoneRows};
use crate::reference::subject::extent_of;
use crate::reference::{Area, Reference};
use crate::sample::labels::{GROUND, Labels, STRETCHED};
use crate::units::{Column, Row};
use purity::Columns;
pub(crate) use purity::Purity;

/// The lines of a lattice in working pixels.
#[derive(Clone, Debug, PartialEq)]
pub struct Lattice {
    /// Tops of the rows and the bottom of the last: one more than there are rows.
    row_lines: Vec<f64>,
    /// For each row where column 0 begins and how wide a column is.
    columns_at: Vec<ColumnRuler>,
    columns: usize,
    /// Windows that lie on no ruler: a body brought to its plan.
    windows: Option<Grid<Area>>,
    certainty: f64,
    proportions: Proportions,
}

/// Where the columns of a row lie.
#[derive(Clone, Copy, Debug, PartialEq)]
struct ColumnRuler {
    start: f64,
    pitch: f64,
}

/// How a lattice treats the drawing's proportions.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Proportions {
    /// Rows of one height: the drawing's own proportions.
    AsDrawn,
    /// Zones stretched to the plan's rows by landmarks the maker gave.
    MarksGiven,
    /// Zones stretched to the plan's rows by landmarks guessed from everyday proportions.
    MarksGuessed,
}

impl Lattice {
    /// A body brought to its plan: every bead has a window of its own between its row's lines.
    pub(crate) fn of_windows(row_lines: Vec<f64>, windows: Grid<Area>, proportions: Proportions) -> Self {
        let columns_at = vec![ColumnRuler { start: 0.0, pitch: 1.0 }; windows.rows()];
        let columns = windows.columns();
        Self { row_lines, columns_at, columns, windows: Some(windows), certainty: 0.0, proportions }
    }

    /// How many rows.
    pub fn rows(&self) -> usize {
        self.columns_at.len()
    }

    /// How many columns.
    pub fn columns(&self) -> usize {
        self.columns
    }

    /// The columns of a row.
    fn columns_of(&self, row: usize) -> Columns {
        let ColumnRuler { start, pitch } = self.columns_at[row];
        Columns { start, pitch, count: self.columns }
    }

    /// The same lattice with the columns from `first` to `last` alone.
    pub(crate) fn with_columns(mut self, first: usize, last: usize) -> Self {
        self.columns = last + 1 - first;
        self.columns_at.iter_mut().for_each(|ruler| ruler.start += ruler.pitch * first as f64);
        self
    }

    /// A bead's window in working pixels.
    pub fn window(&self, row: Row, column: Column) -> Area {
        if let Some(window) = self.windows.as_ref().and_then(|w| w.get(row, column)) {
            return *window;
        }
        let ruler = self.columns_at[row.0];
        let (top, bottom) = (self.row_lines[row.0], self.row_lines[row.0 + 1]);
        Area {
            x: ruler.start + ruler.pitch * column.0 as f64,
            y: top,
            width: ruler.pitch,
            height: bottom - top,
        }
    }

    /// The left edge of a row's column, and the right edge of the one before it; `column` may be one past the last.
    pub fn column_line(&self, row: Row, column: usize) -> f64 {
        if let Some(windows) = &self.windows {
            let right_of = |c: usize| windows.get(row, Column(c)).map_or(0.0, |w| w.x + w.width);
            let own = windows.get(row, Column(column)).map(|w| w.x);
            return own.unwrap_or_else(|| column.checked_sub(1).map_or(0.0, right_of));
        }
        let ruler = self.columns_at[row.0];
        ruler.start + ruler.pitch * column as f64
    }

    /// The top of a row; `row` may be one past the last.
    pub fn row_line(&self, row: usize) -> f64 {
        self.row_lines[row]
    }

    /// How sure the place of the lines is, 0 to 1: how clearly the best phase beats half a bead off.
    pub fn certainty(&self) -> f64 {
        self.certainty
    }

    /// Whether the drawing shows a lattice of its own. In each of our drawings made from beads the certainty is
    /// above 0.5, in each sketch that never lay on a grid below 0.17; a stretched lattice finds a hold in any
    /// straight-sided figure and must show more.
    pub fn is_shown(&self) -> bool {
        const SHOWN: f64 = 0.25;
        const SHOWN_STRETCHED: f64 = 0.45;
        self.certainty >= if self.proportions == Proportions::AsDrawn { SHOWN } else { SHOWN_STRETCHED }
    }

    /// Whether the drawing's proportions were kept.
    pub fn proportions(&self) -> Proportions {
        self.proportions
    }
}

/// What becomes of what a sketch has above its head: a raised hand, a pole.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Raised {
    /// It gets rows of its own over the plan's, and the body keeps its size.
    GetsRows,
    /// The rows are the maker's own, and it is left out.
    LeftOut,
}

/// What is known of the figure's proportions.
#[derive(Clone, Copy, Debug)]
pub enum Layout<'a> {
    /// So many rows of one height.
    AsDrawn(usize),
    /// Rows by zone; landmarks as far as the maker gave them; what becomes of a hand above a sketch's head.
    Plan(&'a ZoneRows, Option<&'a Marks>, Raised),
    /// The same, and a sketch is only stretched, its windows read as they are.
    Stretched(&'a ZoneRows, Option<&'a Marks>),
}

/// Lays the lattice over a read drawing, its lines straight; with it the sums that [`bent`] asks.
pub(crate) fn lay(reference: &Reference, labels: &Labels, layout: Layout) -> (Lattice, Purity) {
    let purity = Purity::new(labels);
    let extent = Extent::of(&labels.plane);
    let lattice = match layout {
        Layout::AsDrawn(rows) => straight::lay(&purity, extent, rows),
        Layout::Plan(zones, Some(marks), _) | Layout::Stretched(zones, Some(marks)) => {
            planned::with_marks((&purity, extent), &labels.plane, zones, marks, reference)
        }
        Layout::Plan(zones, None, _) | Layout::Stretched(zones, None) => {
            let straight = straight::lay(&purity, extent, zones.total());
            let natural = planned::guessing((&purity, extent), &labels.plane, zones);
            /// ... and reads about as purely as one stretched to the plan.
            const PURER: f64 = 0.8;
            let in_beads = straight.is_shown() && PURER * purity.cost(&straight) <= purity.cost(&natural);
            if in_beads { straight } else { natural }
        }
    };
    (lattice, purity)
}

/// The lattice with its lines bent to the drawing.
pub(crate) fn bent(reference: &Reference, purity: &Purity, lattice: Lattice) -> Lattice {
    // Soft edges are nothing for lines to follow.
    if reference.softness() <= STRETCHED { bend::bend(purity, lattice) } else { lattice }
}

/// The box of everything that is not ground, in pixels.
#[derive(Clone, Copy, Debug)]
struct Extent {
    top: f64,
    bottom: f64,
    left: f64,
    right: f64,
}

impl Extent {
    fn of(plane: &Array2<u8>) -> Self {
        let (rows, columns) = plane.dim();
        let drawn = extent_of(&plane.map(|label| *label != GROUND));
        let (top, bottom, left, right) = drawn.unwrap_or((0, rows, 0, columns));
        Self { top: top as f64, bottom: bottom as f64, left: left as f64, right: right as f64 }
    }

    fn height(&self) -> f64 {
        self.bottom - self.top
    }
}

/// First bead row of each zone with its line in working pixels, and the end of the last.
pub(in crate::sample) type ZoneLines = Vec<(usize, f64)>;

/// The tops of all rows and the bottom of the last, each zone's evenly.
fn spread_rows(lines: &ZoneLines) -> Vec<f64> {
    let mut out = Vec::new();
    for pair in lines.windows(2) {
        let ((first, top), (next, bottom)) = (pair[0], pair[1]);
        let count = next - first;
        out.extend((0..count).map(|i| top + (bottom - top) * i as f64 / count as f64));
    }
    out.extend(lines.last().map(|l| l.1));
    out
}

/// Halving steps along each number in turn while that makes the cost smaller. The cost is asked with a bound:
/// above that its size does not matter.
fn descend<A: AsMut<[f64]> + Clone>(start: A, mut steps: A, cost: impl Fn(A, f64) -> f64) -> A {
    /// Steps of a sixth of a bead come down to a hundredth with the fifth, in so many rounds each at most.
    const HALVINGS: usize = 5;
    const ROUNDS: usize = 8;
    let (mut least, mut at) = (cost(start.clone(), f64::INFINITY), start);
    for _ in 0..HALVINGS {
        for _ in 0..ROUNDS {
            let before = least;
            for i in 0..steps.as_mut().len() {
                for sign in [-1.0, 1.0] {
                    let mut next = at.clone();
                    next.as_mut()[i] += sign * steps.as_mut()[i];
                    let c = cost(next.clone(), least);
                    if c < least - 1e-9 {
                        (at, least) = (next, c);
                    }
                }
            }
            if least >= before {
                break;
            }
        }
        steps.as_mut().iter_mut().for_each(|s| *s /= 2.0);
    }
    at
}

/// How clearly the found phase beats others, half a bead off.
fn certainty(purity: &Purity, lattice: &Lattice, others: impl IntoIterator<Item = Lattice>) -> f64 {
    let costs = others.into_iter().map(|other| purity.cost(&other));
    let other = costs.fold(f64::INFINITY, f64::min);
    if other <= 0.0 { 1.0 } else { (1.0 - purity.cost(lattice) / other).clamp(0.0, 1.0) }
}
