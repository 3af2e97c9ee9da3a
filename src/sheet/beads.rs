//! Beads on a board, drawn from above.

use tiny_skia::{FillRule, Paint, PathBuilder, PixmapMut, Stroke, Transform};

use crate::colour::{Linear, Srgb};
use crate::grid::Grid;

/// A bead's radius, in pegs' distance: neighbours nearly touch.
const RADIUS: f32 = 0.475;

/// The hole's radius.
const HOLE: f32 = 0.17;

/// Width of the rim that keeps white on light and black on dark in sight.
const RIM: f32 = 0.055;

/// Radius of an empty peg's dot.
const PEG: f32 = 0.07;

/// What lies under the beads.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Board {
    /// Warm white, as a board by the window.
    Light,
    /// Dark grey.
    Dark,
}

impl Board {
    /// The board's colour.
    pub fn colour(self) -> Srgb {
        match self {
            Self::Light => Srgb::new(243, 241, 236),
            Self::Dark => Srgb::new(46, 48, 52),
        }
    }

    /// Colour of text on it.
    pub fn ink(self) -> Srgb {
        match self {
            Self::Light => Srgb::new(52, 52, 56),
            Self::Dark => Srgb::new(226, 226, 222),
        }
    }

    fn peg(self) -> Srgb {
        mixed(self.colour(), self.ink(), 0.16)
    }
}

/// The light of two colours mixed; `share` of the second, 0 to 1.
pub(super) fn mixed(one: Srgb, other: Srgb, share: f64) -> Srgb {
    let (a, b) = (one.linear(), other.linear());
    let mix = |a: f64, b: f64| a + (b - a) * share;
    Linear { r: mix(a.r, b.r), g: mix(a.g, b.g), b: mix(a.b, b.b) }.srgb()
}

/// Draws a grid of beads with the middle of its first peg half a `pitch` (pixels) right and down of `at`.
pub(super) fn draw(
    canvas: &mut PixmapMut,
    beads: &Grid<Option<Srgb>>,
    at: (f32, f32),
    pitch: f32,
    board: Board,
) {
    for (row, column, bead) in beads.iter() {
        let middle = (at.0 + (column.0 as f32 + 0.5) * pitch, at.1 + (row.0 as f32 + 0.5) * pitch);
        match bead {
            Some(colour) => bead_at(canvas, *colour, middle, pitch, board),
            None => disc(canvas, middle, PEG * pitch, board.peg()),
        }
    }
}

fn bead_at(canvas: &mut PixmapMut, colour: Srgb, middle: (f32, f32), pitch: f32, board: Board) {
    const BLACK: Srgb = Srgb::new(0, 0, 0);
    const WHITE: Srgb = Srgb::new(255, 255, 255);
    /// How much darker or lighter the rim is: enough to be seen, too little to change the colour.
    const EDGE: f64 = 0.3;
    let rim =
        if colour.ink() == WHITE { mixed(colour, WHITE, EDGE / 3.0) } else { mixed(colour, BLACK, EDGE) };
    disc(canvas, middle, RADIUS * pitch, colour);
    ring(canvas, middle, (RADIUS - RIM / 2.0) * pitch, RIM * pitch, rim);
    disc(canvas, middle, HOLE * pitch, mixed(board.colour(), BLACK, 0.25));
    ring(canvas, middle, HOLE * pitch, RIM * pitch * 0.8, rim);
}

/// A filled circle.
pub(super) fn disc(canvas: &mut PixmapMut, middle: (f32, f32), radius: f32, colour: Srgb) {
    let Some(path) = PathBuilder::from_circle(middle.0, middle.1, radius.max(0.2)) else { return };
    canvas.fill_path(&path, &solid(colour, 255), FillRule::Winding, Transform::identity(), None);
}

/// A circle's line.
pub(super) fn ring(canvas: &mut PixmapMut, middle: (f32, f32), radius: f32, width: f32, colour: Srgb) {
    let Some(path) = PathBuilder::from_circle(middle.0, middle.1, radius.max(0.2)) else { return };
    let stroke = Stroke { width, ..Stroke::default() };
    canvas.stroke_path(&path, &solid(colour, 255), &stroke, Transform::identity(), None);
}

/// A straight line.
pub(super) fn line(
    canvas: &mut PixmapMut,
    from: (f32, f32),
    to: (f32, f32),
    width: f32,
    (colour, alpha): (Srgb, u8),
) {
    let mut path = PathBuilder::new();
    path.move_to(from.0, from.1);
    path.line_to(to.0, to.1);
    let Some(path) = path.finish() else { return };
    let stroke = Stroke { width, ..Stroke::default() };
    canvas.stroke_path(&path, &solid(colour, alpha), &stroke, Transform::identity(), None);
}

fn solid(colour: Srgb, alpha: u8) -> Paint<'static> {
    let mut paint = Paint { anti_alias: true, ..Paint::default() };
    paint.set_color_rgba8(colour.r, colour.g, colour.b, alpha);
    paint
}
