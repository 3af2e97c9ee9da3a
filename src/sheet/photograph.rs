//! The photograph a reference was taken from, in small, with the outline of the sheet that was found or given.

use std::sync::Arc;

use super::beads::WHITE;
use super::drawing::{Pen, Point, at};
use crate::colour::Srgb;
use crate::draft::Draft;
use crate::reference::{Photograph, Sheet, Step};

/// The outline: a red that hardly any table has, on a white wide enough to part it from one that has.
const OUTLINE: Srgb = Srgb::new(196, 40, 28);
const OUTLINE_WIDTH: f64 = 2.5;
const UNDER_WIDTH: f64 = 6.0;
const UNDER_ALPHA: u8 = 210;

/// A photograph with a sheet in it, and what is written under it.
pub(super) struct WithSheet<'a> {
    photograph: &'a Photograph,
    sheet: Sheet,
    /// Pixels of the picture to one of the photograph.
    scale: f64,
    pub caption: String,
}

impl<'a> WithSheet<'a> {
    /// The photograph of a draft whose sheet is known, no higher than this many pixels.
    pub fn of(draft: &'a Draft, height: f64) -> Option<Self> {
        let (photograph, sheet) = draft.reference.photograph().zip(draft.reference.sheet())?;
        let caption = match draft.reference.step() {
            Step::SheetGiven => "the sheet, as given".to_owned(),
            _ => format!("the sheet, {} sure", sheet.confidence),
        };
        let scale = (height / photograph.size().1).min(1.0);
        Some(Self { photograph, sheet, scale, caption })
    }

    fn size(&self) -> (f64, f64) {
        let (width, height) = self.photograph.size();
        (width * self.scale, height * self.scale)
    }

    pub fn width(&self) -> f64 {
        self.size().0
    }

    /// Draws it with its foot on the foot of a panel this many pixels high.
    pub fn draw(&self, pen: &mut Pen, panel: Point, height: f64) {
        let size = self.size();
        let corner = at(panel.x, panel.y + height - size.1);
        pen.picture(corner, size, Arc::new(self.photograph.pixels()));
        let corners = self.sheet.corners.points().map(|point| {
            let (x, y) = self.photograph.place(point);
            (x * self.scale, y * self.scale)
        });
        let sides = || (0..4).filter_map(|i| shown(corners[i], corners[(i + 1) % 4], size));
        let placed = |(x, y): (f64, f64)| at(corner.x + x, corner.y + y);
        for (width, ink) in [(UNDER_WIDTH, (WHITE, UNDER_ALPHA)), (OUTLINE_WIDTH, (OUTLINE, u8::MAX))] {
            sides().for_each(|(from, to)| pen.veil(placed(from), placed(to), width, ink));
        }
    }
}

/// The part of a line that lies in a picture of this size: a sheet that the frame cuts goes on outside it.
fn shown(from: (f64, f64), to: (f64, f64), (width, height): (f64, f64)) -> Option<((f64, f64), (f64, f64))> {
    let (dx, dy) = (to.0 - from.0, to.1 - from.1);
    let (mut first, mut last) = (0.0_f64, 1.0_f64);
    // How far the line goes towards each edge, and how far the edge is.
    for (towards, room) in [(-dx, from.0), (dx, width - from.0), (-dy, from.1), (dy, height - from.1)] {
        if towards < 0.0 {
            first = first.max(room / towards);
        } else if towards > 0.0 {
            last = last.min(room / towards);
        } else if room < 0.0 {
            return None;
        }
    }
    let point = |t: f64| (from.0 + t * dx, from.1 + t * dy);
    (first < last).then(|| (point(first), point(last)))
}

#[cfg(test)]
mod tests {
    use super::shown;

    #[test]
    fn a_side_is_drawn_as_far_as_the_photograph_goes() {
        let within = |from, to| shown(from, to, (100.0, 50.0));
        assert_eq!(within((10.0, 10.0), (90.0, 40.0)), Some(((10.0, 10.0), (90.0, 40.0))));
        assert_eq!(within((-50.0, 25.0), (150.0, 25.0)), Some(((0.0, 25.0), (100.0, 25.0))));
        assert_eq!(within((50.0, -20.0), (50.0, 20.0)), Some(((50.0, 0.0), (50.0, 20.0))));
        assert_eq!(within((-10.0, -10.0), (-10.0, 60.0)), None);
        assert_eq!(within((-30.0, 20.0), (20.0, -30.0)), None);
    }
}
