//! Beads as pictures show them: on a board from above, or fused.

use super::drawing::{Pen, Point, at};
use super::ground::Ground;
use crate::colour::{Linear, Srgb};
use crate::grid::Grid;

/// A bead's radius, in pegs' distance: neighbours nearly touch.
const RADIUS: f64 = 0.475;

/// The hole's radius.
const HOLE: f64 = 0.17;

/// Width of the rim that keeps white on light and black on dark in sight.
const RIM: f64 = 0.055;

/// Radius of an empty peg's dot.
const PEG: f64 = 0.07;

pub(super) const BLACK: Srgb = Srgb::new(0, 0, 0);
pub(super) const WHITE: Srgb = Srgb::new(255, 255, 255);

/// The light of two colours mixed; `share` of the second, 0 to 1.
pub(super) fn mixed(one: Srgb, other: Srgb, share: f64) -> Srgb {
    let (a, b) = (one.linear(), other.linear());
    let mix = |a: f64, b: f64| a + (b - a) * share;
    Linear { r: mix(a.r, b.r), g: mix(a.g, b.g), b: mix(a.b, b.b) }.srgb()
}

/// The dot of an empty peg on a ground.
pub(super) fn peg_colour(ground: Ground) -> Srgb {
    mixed(ground.colour(), ground.ink(), 0.16)
}

/// The line around a bead, by how far it is from the bead's own colour: enough to be seen, too little to
/// change it. Lighter on dark beads, darker on light ones.
pub(super) fn rim(colour: Srgb, (lighter, darker): (f64, f64)) -> Srgb {
    if colour.ink() == WHITE { mixed(colour, WHITE, lighter) } else { mixed(colour, BLACK, darker) }
}

/// Draws a grid of beads, the top left of its first peg at a place, `pitch` from peg to peg; the empty pegs
/// of the board as dots where asked for.
pub(super) fn pegged(
    pen: &mut Pen,
    beads: &Grid<Option<Srgb>>,
    corner: Point,
    pitch: f64,
    ground: Ground,
    pegs: bool,
) {
    for (row, column, bead) in beads.iter() {
        let middle = at(corner.x + (column.0 as f64 + 0.5) * pitch, corner.y + (row.0 as f64 + 0.5) * pitch);
        match bead {
            Some(colour) => bead_at(pen, *colour, middle, pitch, ground),
            None if pegs => pen.disc(middle, PEG * pitch, peg_colour(ground)),
            None => {}
        }
    }
}

fn bead_at(pen: &mut Pen, colour: Srgb, middle: Point, pitch: f64, ground: Ground) {
    let rim = rim(colour, (0.1, 0.3));
    pen.disc(middle, RADIUS * pitch, colour);
    pen.ring(middle, (RADIUS - RIM / 2.0) * pitch, RIM * pitch, rim);
    pen.disc(middle, HOLE * pitch, mixed(ground.colour(), BLACK, 0.25));
    pen.ring(middle, HOLE * pitch, RIM * pitch * 0.8, rim);
}

/// Draws a grid of beads as the iron leaves them: melted into one another, side by side.
pub(super) fn fused(pen: &mut Pen, beads: &Grid<Option<Srgb>>, corner: Point, pitch: f64) {
    /// Melted beads run into the next: no seam may show between them, however they are rasterised.
    const OVER: f64 = 0.06;
    for (row, column, bead) in beads.iter() {
        let Some(colour) = *bead else { continue };
        let beside = |rows: usize, columns: usize| {
            let next = (crate::units::Row(row.0 + rows), crate::units::Column(column.0 + columns));
            let over = beads.get(next.0, next.1).is_some_and(Option::is_some);
            if over { OVER * pitch } else { 0.0 }
        };
        let size = (pitch + beside(0, 1), pitch + beside(1, 0));
        let corner = at(corner.x + column.0 as f64 * pitch, corner.y + row.0 as f64 * pitch);
        pen.block(corner, size, colour);
    }
}

/// What the iron leaves of the beads' holes, over [`fused`] beads.
pub(super) fn dimples(pen: &mut Pen, beads: &Grid<Option<Srgb>>, corner: Point, pitch: f64) {
    const DIMPLE: f64 = 0.1;
    for (row, column, colour) in beads.iter().filter_map(|(r, c, bead)| Some((r, c, (*bead)?))) {
        let middle = at(corner.x + (column.0 as f64 + 0.5) * pitch, corner.y + (row.0 as f64 + 0.5) * pitch);
        pen.disc(middle, DIMPLE * pitch, rim(colour, (0.06, 0.18)));
    }
}
