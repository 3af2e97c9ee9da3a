//! Height classes as a picture: plain bodies on one ground line, at one scale, their zones marked.

use image::RgbaImage;

use super::beads::{self, mixed};
use super::drawing::{Anchor, Pen, Point, Type, at};
use super::font::{Face, settable};
use super::ground::Ground;
use super::kinds::figure_colours;
use super::picture::picture_of;
use crate::colour::Srgb;
use crate::figure::Figure;
use crate::plan::ZoneRows;
use crate::tray::Tray;

/// A figure of the picture.
pub struct PlanFigure {
    /// The body; its name stands under it.
    pub figure: Figure,
    /// What stands under its name and rows.
    pub caption: String,
}

/// Pixels from bead to bead as far as the picture stays under [`MOST_SIDE`].
const PITCH: f64 = 18.0;
const LEAST_PITCH: f64 = 5.0;

/// Most pixels across.
const MOST_SIDE: f64 = 6000.0;

/// Room at the edges and between two figures, in pegs.
const MARGIN: f64 = 2.0;
const BETWEEN: f64 = 2.0;

/// Columns to the left of a figure for the rows of its zones, in pegs.
const BESIDE: f64 = 2.2;

/// Height of the words under a figure, in pixels; of a name's letters and of the others'.
const FOOT: f64 = 84.0;
const NAME: f64 = 20.0;
const SMALL: f64 = 15.0;

/// Figures side by side, tallest rows highest, beside the height of the guide.
pub fn plan_picture(figures: &[PlanFigure], guide: &ZoneRows, tray: &Tray) -> RgbaImage {
    let columns: Vec<f64> = figures.iter().map(|one| one.figure.beads().columns() as f64).collect();
    let across = |pitch: f64| -> f64 {
        let widths = figures.iter().zip(&columns).map(|(one, columns)| width(one, *columns, pitch));
        2.0 * MARGIN * pitch + widths.sum::<f64>()
    };
    let pitch = if across(PITCH) > MOST_SIDE { LEAST_PITCH } else { PITCH };
    let rows =
        figures.iter().map(|one| one.figure.beads().rows()).max().unwrap_or(1).max(guide.total()) as f64;
    let ground = (MARGIN + rows) * pitch;
    let size =
        (across(pitch).min(MOST_SIDE).ceil() as u32, (ground + FOOT + MARGIN * pitch / 2.0).ceil() as u32);
    let drawing = Drawing { pitch, ground, paper: Ground::Light };
    let mut pen = Pen::default();
    pen.block(at(0.0, 0.0), (f64::from(size.0), f64::from(size.1)), drawing.paper.colour());
    drawing.lines(&mut pen, guide, f64::from(size.0));
    let mut left = MARGIN * pitch;
    for (one, columns) in figures.iter().zip(&columns) {
        let room = width(one, *columns, pitch);
        drawing.figure(&mut pen, one, tray, left, room);
        left += room;
    }
    picture_of(size, pen)
}

/// Pixels a figure takes with its zones' rows and its words.
fn width(one: &PlanFigure, columns: f64, pitch: f64) -> f64 {
    let words =
        Face::Bold.width(&settable(one.figure.name()).0, NAME).max(Face::Regular.width(&one.caption, SMALL));
    ((BESIDE + columns + BETWEEN) * pitch).max(words + BETWEEN * pitch)
}

struct Drawing {
    pitch: f64,
    /// The ground line's height on the picture.
    ground: f64,
    paper: Ground,
}

impl Drawing {
    fn faint(&self, share: f64) -> Srgb {
        mixed(self.paper.colour(), self.paper.ink(), share)
    }

    /// The ground, and the guide's zones across the whole picture.
    fn lines(&self, pen: &mut Pen, guide: &ZoneRows, right: f64) {
        let mut above = guide.total();
        for (_, _, rows) in guide.spans() {
            let height = self.ground - above as f64 * self.pitch;
            pen.dashes(at(0.0, height), at(right, height), 1.0, self.faint(0.4), self.pitch / 3.0);
            above -= rows;
        }
        pen.line(at(0.0, self.ground), at(right, self.ground), 2.0, self.faint(0.7));
    }

    fn figure(&self, pen: &mut Pen, one: &PlanFigure, tray: &Tray, left: f64, room: f64) {
        let colours = figure_colours(&one.figure, tray);
        let (rows, columns) = (colours.rows() as f64, colours.columns() as f64);
        let beside = BESIDE * self.pitch;
        let corner = at(
            left + ((room - (BESIDE + columns) * self.pitch) / 2.0 + beside).floor(),
            self.ground - rows * self.pitch,
        );
        beads::pegged(pen, &colours, corner, self.pitch, self.paper, false);
        self.zones(pen, one, corner);
        let middle = corner.x + columns * self.pitch / 2.0;
        let words = |face, size| Type { face, size, ink: self.paper.ink() };
        let total = format!("{} rows", colours.rows());
        let small = words(Face::Regular, SMALL);
        let name = settable(one.figure.name()).0;
        pen.text(at(middle, self.ground + 1.6 * NAME), Anchor::Middle, words(Face::Bold, NAME), &name);
        pen.text(at(middle, self.ground + 2.7 * NAME), Anchor::Middle, small, &total);
        pen.text(at(middle, self.ground + 3.7 * NAME), Anchor::Middle, small, &settable(&one.caption).0);
    }

    /// A bracket beside each zone, with its rows.
    fn zones(&self, pen: &mut Pen, one: &PlanFigure, corner: Point) {
        let Some(zones) = one.figure.rows() else { return };
        let (ink, x) = (self.faint(0.55), corner.x - 0.5 * self.pitch);
        let kind = Type { face: Face::Regular, size: 0.8 * self.pitch, ink: self.paper.ink() };
        // A hair's breadth, so that two brackets do not touch.
        let inset = 0.12 * self.pitch;
        for (_, first, rows) in zones.spans() {
            let top = corner.y + first as f64 * self.pitch + inset;
            let bottom = corner.y + (first + rows) as f64 * self.pitch - inset;
            pen.line(at(x, top), at(x, bottom), 1.5, ink);
            let baseline = f64::midpoint(top, bottom) + 0.3 * self.pitch;
            pen.text(at(x - 0.3 * self.pitch, baseline), Anchor::Right, kind, &rows.to_string());
        }
    }
}
