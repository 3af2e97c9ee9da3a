//! What lies on a page beside the figure: holes, folds, stains, rubbed-out lines, writing, a second drawing.

use image::GrayImage;

use super::canvas::{Canvas, Paint, lit, over, paint};
use super::chance::Chance;
use super::ink::{Pen, stroke, trace};
use super::page;
use super::shapes::Frame;
use crate::colour::Lab;
use crate::grid::Grid;
use crate::tray::BeadId;

/// Each kind of clutter is on this many of the pages.
const OFTEN: f64 = 0.6;

/// A page that is being cluttered.
pub(super) struct Page<'a> {
    pub canvas: &'a mut Canvas,
    pub frame: &'a Frame,
    pub beads: &'a Grid<Option<BeadId>>,
    pub chance: &'a mut Chance,
}

impl Page<'_> {
    /// What was there before the figure was drawn.
    pub fn before(&mut self) {
        if self.chance.happens(OFTEN) {
            self.stain();
        }
        if self.chance.happens(OFTEN) {
            self.rubbed_out();
        }
    }

    /// What came after.
    pub fn after(&mut self) {
        if self.chance.happens(OFTEN) {
            self.doodle();
        }
        if self.chance.happens(OFTEN) {
            self.holes();
        }
        if self.chance.happens(OFTEN) {
            self.fold();
        }
        self.writing();
    }

    fn size(&self) -> (f64, f64) {
        (self.canvas.ncols() as f64, self.canvas.nrows() as f64)
    }

    /// How far a place lies from the nearest bead, in beads; both in fine pixels.
    fn away(&self, (x, y): (f64, f64)) -> f64 {
        let Frame { scale, left, top, .. } = *self.frame;
        let filled = self.beads.iter().filter(|(_, _, bead)| bead.is_some());
        let distance = filled.map(|(row, column, _)| {
            let beyond = |v: f64, start: f64| (start - v).max(v - start - 1.0).max(0.0);
            beyond((x - left) / scale, column.0 as f64).hypot(beyond((y - top) / scale, row.0 as f64))
        });
        distance.fold(f64::INFINITY, f64::min)
    }

    /// A cup's or a finger's mark: pale brown or grey, darker at its rim, under the figure or beside it.
    fn stain(&mut self) {
        const COLOURS: [Lab; 2] = [Lab { l: 84.0, a: 4.0, b: 14.0 }, Lab { l: 86.0, a: 0.0, b: 1.0 }];
        /// Its radius in beads, how uneven that is, how much it covers inside and at its rim, and how wide that is.
        const RADIUS: (f64, f64) = (2.0, 4.5);
        const UNEVEN: f64 = 0.2;
        const INSIDE: (f64, f64) = (0.25, 0.5);
        const RIM: f64 = 0.3;
        const RIM_WIDE: f64 = 0.12;
        /// Its edge is so soft, as a share of the radius.
        const SOFT: f64 = 0.12;
        let (width, height) = self.size();
        let (cx, cy) = (self.chance.within(0.0, width), self.chance.within(0.0, height));
        let radius = self.chance.within(RADIUS.0, RADIUS.1) * self.frame.scale;
        let colour = paint(self.chance.one_of(&COLOURS));
        let inside = self.chance.within(INSIDE.0, INSIDE.1);
        let noise = self.chance.noise();
        for ((y, x), pixel) in self.canvas.indexed_iter_mut() {
            let (dx, dy) = ((x as f64 - cx) / radius, (y as f64 - cy) / radius);
            let away = dx.hypot(dy) * (1.0 + UNEVEN * noise.at(1.5 * dx, 1.5 * dy));
            let part = ((1.0 - away) / SOFT).clamp(0.0, 1.0);
            let rim = (1.0 - (away - 1.0 + SOFT).abs() / RIM_WIDE).clamp(0.0, 1.0);
            *pixel = over(*pixel, colour, part * inside + rim * RIM);
        }
    }

    /// Pencil strokes that were rubbed out: pale, broad, where an arm or the ground once was.
    fn rubbed_out(&mut self) {
        const STROKES: usize = 5;
        const LONG: f64 = 4.0;
        const THICK: (f64, f64) = (0.2, 0.4);
        const GREY: Lab = Lab { l: 87.0, a: 0.0, b: 0.5 };
        let Frame { scale, left, top, .. } = *self.frame;
        let mut marked = GrayImage::new(self.canvas.ncols() as u32, self.canvas.nrows() as u32);
        for _ in 0..STROKES {
            let x = left + self.chance.within(-2.0, self.beads.columns() as f64 + 2.0) * scale;
            let y = top + self.chance.within(0.0, self.beads.rows() as f64) * scale;
            let (dx, dy) = (self.chance.either_way(LONG) * scale, self.chance.either_way(LONG) * scale);
            stroke(&mut marked, &[(x, y), (x + 0.5 * dx, y + 0.3 * dy), (x + dx, y + dy)]);
        }
        let thick = self.chance.within(THICK.0, THICK.1);
        let pen = Pen::new(paint(GREY), thick, self.chance);
        trace(self.canvas, &marked, &pen, scale);
    }

    /// A second drawing where the figure leaves room, its box often over the figure's.
    fn doodle(&mut self) {
        /// Its size in beads, and how much bare paper is about it.
        const SIZE: (f64, f64) = (1.5, 3.2);
        const BARE: (f64, f64) = (0.5, 2.0);
        /// As far as its rays and its stalk reach, in sizes.
        const REACH: f64 = 1.4;
        const TRIES: usize = 60;
        let scale = self.frame.scale;
        let size = self.chance.within(SIZE.0, SIZE.1);
        let bare = self.chance.within(BARE.0, BARE.1);
        let (width, height) = self.size();
        let edge = (REACH * size + 0.5) * scale;
        for _ in 0..TRIES {
            let at = (self.chance.within(edge, width - edge), self.chance.within(edge, height - edge));
            if self.away(at) >= REACH * size + bare {
                page::drawn(self.canvas, scale, (at, size * scale), self.chance);
                return;
            }
        }
    }

    /// Two or four punched holes at the left edge, a desk seen through them.
    fn holes(&mut self) {
        const RADIUS: (f64, f64) = (0.35, 0.7);
        const FROM_EDGE: f64 = 1.1;
        const DESKS: [Paint; 3] = [[0.35, 0.34, 0.33], [0.22, 0.12, 0.06], [0.06, 0.06, 0.07]];
        let scale = self.frame.scale;
        let radius = self.chance.within(RADIUS.0, RADIUS.1) * scale;
        let desk = self.chance.one_of(&DESKS);
        let shares: &[f64] = self.chance.one_of(&[&[0.3, 0.7][..], &[0.12, 0.36, 0.64, 0.88]]);
        let height = self.size().1;
        for share in shares {
            page::disc(self.canvas, (FROM_EDGE * scale, share * height), radius, desk);
        }
    }

    /// A fold across the page: a thin shadow and a thin light beside it, also over the figure.
    fn fold(&mut self) {
        const DARKER: (f64, f64) = (0.05, 0.14);
        const WIDE: (f64, f64) = (0.15, 0.5);
        /// Folds lie about the middle and nearly level or upright.
        const PLACE: (f64, f64) = (0.35, 0.65);
        const LEAN: f64 = 0.02;
        let (width, height) = self.size();
        let level = self.chance.happens(0.5);
        let place = self.chance.within(PLACE.0, PLACE.1);
        let lean = self.chance.either_way(LEAN);
        let darker = self.chance.within(DARKER.0, DARKER.1);
        let wide = self.chance.within(WIDE.0, WIDE.1) * self.frame.scale;
        for ((y, x), pixel) in self.canvas.indexed_iter_mut() {
            let (x, y) = (x as f64, y as f64);
            let off = if level { y - place * height - lean * x } else { x - place * width - lean * y };
            let shadow = (1.0 - (off / wide).abs()).max(0.0);
            let light = (1.0 - ((off - 1.5 * wide) / wide).abs()).max(0.0);
            *pixel = lit(*pixel, 1.0 - darker * shadow + 0.3 * darker * light);
        }
    }

    /// A caption under the figure, a date above it, a signature at its foot.
    fn writing(&mut self) {
        /// Bare paper between writing and figure, in beads; letters are up to this high.
        const BELOW: (f64, f64) = (1.3, 2.2);
        const HIGH: f64 = 0.8;
        let Frame { scale, left, top, .. } = *self.frame;
        let (wide, rows) = (self.beads.columns() as f64 * scale, self.beads.rows() as f64 * scale);
        if self.chance.happens(OFTEN) {
            let y = top + rows + self.chance.within(BELOW.0, BELOW.1) * scale + HIGH * scale;
            let x = left + self.chance.within(-0.2, 0.3) * wide;
            page::write(self.canvas, scale, ((x, y), self.chance.within(0.6, 1.2) * wide), self.chance);
        }
        if self.chance.happens(OFTEN) {
            let x = self.size().0 - self.chance.within(5.0, 7.0) * scale;
            page::write(self.canvas, scale, ((x, 1.2 * scale), 4.0 * scale), self.chance);
        }
        if self.chance.happens(OFTEN) {
            let at = (left + wide + self.chance.within(0.7, 2.0) * scale, top + rows);
            if self.away((at.0, at.1 - HIGH * scale)) > 0.6 {
                page::write(self.canvas, scale, (at, 2.5 * scale), self.chance);
            }
        }
    }
}
