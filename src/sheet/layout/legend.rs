//! Under a figure: its kinds of bead with their marks and counts, the finished look, the reference.

use std::sync::Arc;

use image::RgbaImage;

use super::super::beads::fused;
use super::super::drawing::{Anchor, at};
use super::super::font::{CAPITALS, Face, POINT};
use super::super::kinds::{Kind, Kinds};
use super::pages::{FAINT, INK, Pages, words};
use super::words::{cut, wrapped};
use crate::colour::Srgb;
use crate::grid::Grid;

/// From line to line.
const LINE: f64 = 5.8;

/// Pitch of a legend's beads: that of regular ones, so that the mark is read as on the board.
const SWATCH: f64 = 5.0;

/// Points of names and counts.
const NAMES: f64 = 9.0;

/// Points of names on two lines.
const LONG_NAMES: f64 = 7.0;

/// Where a count ends and a name begins, right of the column's left: counts stand before names, as in the
/// runs. The name's width, and columns apart.
const COUNT: f64 = 13.5;
const TO_NAME: f64 = 15.2;
const NAME: (f64, f64) = (14.0, 42.0);
const BETWEEN: f64 = 8.0;

/// The finished look and the reference: their height beside a short legend, and how wide they may be.
const LOOK: (f64, f64) = (28.0, 46.0);
const LOOK_WIDE: f64 = 58.0;
const LOOKS_APART: f64 = 5.0;
const CAPTION: f64 = 3.5;

/// White round the finished look on its ground.
const ROUND: f64 = 2.0;

/// Said once a sheet.
const COLOURS: &str = "Ink and screens cannot show a bead's own colour: hold the beads against the reference before \
                       you peg.";

/// Height of that line, with the white above it.
const COLOURS_LINE: f64 = 6.0;

/// One kind's line: its bead, its name on one line or two, its count.
struct Entry {
    colour: Srgb,
    mark: char,
    name: Vec<String>,
    /// Points of the name's letters.
    points: f64,
    count: usize,
}

/// A legend with its place for everything, but not yet on a page.
pub(super) struct Legend {
    kinds: Vec<Entry>,
    columns: usize,
    lines: usize,
    name: f64,
    colours: Grid<Option<Srgb>>,
    /// Width and height of the look, and of the reference.
    look: (f64, f64),
    reference: Option<(Arc<RgbaImage>, (f64, f64))>,
    notes: Vec<String>,
    /// Height of it all.
    pub height: f64,
}

impl Legend {
    pub fn new(figure: &Kinds, reference: Option<&Arc<RgbaImage>>, width: f64, says_colours: bool) -> Self {
        let size = NAMES * POINT;
        let widest =
            figure.kinds.iter().map(|kind| Face::Regular.width(&kind.listed(), size)).fold(0.0, f64::max);
        // Half a millimetre, so that no name is cut by a rounding.
        let name = (widest + 0.5).clamp(NAME.0, NAME.1);
        let column = TO_NAME + name;
        let beads = (figure.beads.columns() as f64, figure.beads.rows() as f64);
        let sizes = |height: f64| {
            let own = fitted(beads, height);
            let other = reference
                .map(|picture| fitted((f64::from(picture.width()), f64::from(picture.height())), height));
            (own, other)
        };
        let plan = |height: f64| {
            let (own, other) = sizes(height);
            let looks = own.0 + other.map_or(0.0, |size| size.0 + LOOKS_APART);
            let room = width - looks - BETWEEN;
            let columns = (((room + BETWEEN) / (column + BETWEEN)) as usize).max(1);
            (columns, figure.kinds.len().div_ceil(columns).max(1))
        };
        // The looks are as high as the legend, within bounds.
        let (_, first) = plan(LOOK.0);
        let height = (first as f64 * LINE).clamp(LOOK.0, LOOK.1);
        let (columns, _) = plan(height);
        // As few columns as the lines need, filled evenly.
        let lines = figure.kinds.len().div_ceil(columns).max((height / LINE) as usize).max(1);
        let columns = figure.kinds.len().div_ceil(lines).max(1);
        let (look, size_of_reference) = sizes(height);
        let note =
            if says_colours { wrapped(COLOURS, Face::Regular, 7.5 * POINT, width) } else { Vec::new() };
        let looks = look.1.max(size_of_reference.map_or(0.0, |size| size.1)) + CAPTION;
        let entry = |kind: &Kind| {
            let (name, points) = name_lines(&kind.listed(), name);
            Entry { colour: kind.colour, mark: kind.mark, name, points, count: kind.count }
        };
        let kinds = figure.kinds.iter().map(entry).collect();
        Self {
            kinds,
            columns,
            lines,
            name,
            colours: figure.colours(),
            look,
            reference: reference.cloned().zip(size_of_reference),
            height: (lines as f64 * LINE).max(looks) + note.len() as f64 * COLOURS_LINE,
            notes: note,
        }
    }
}

/// The largest size of some proportions within a height and the width for looks.
fn fitted((width, height): (f64, f64), room: f64) -> (f64, f64) {
    let scale = ((LOOK_WIDE - 2.0 * ROUND) / width.max(1.0)).min((room - 2.0 * ROUND) / height.max(1.0));
    (width.max(1.0) * scale + 2.0 * ROUND, height.max(1.0) * scale + 2.0 * ROUND)
}

/// Puts a legend under what stands, page after page where it is longer than one.
pub(super) fn lay(pages: &mut Pages, legend: &Legend) {
    looks(pages, legend);
    let top = pages.y;
    let mut kinds = legend.kinds.iter();
    let mut lines = legend.lines;
    while kinds.len() > 0 {
        let room = ((pages.bottom() - pages.y) / LINE) as usize;
        let here = lines.min(room.max(1));
        for column in 0..legend.columns {
            for (line, kind) in kinds.by_ref().take(here).enumerate() {
                lay_entry(pages, legend, (column, line), kind);
            }
        }
        if kinds.len() > 0 {
            pages.turn();
            lines = kinds.len().div_ceil(legend.columns);
        }
    }
    let end = top + legend.height - legend.notes.len() as f64 * COLOURS_LINE;
    let here = pages.y;
    pages.y = if here == top { end } else { here + lines as f64 * LINE };
    for note in &legend.notes {
        if pages.room() < COLOURS_LINE {
            pages.turn();
        }
        pages.y += COLOURS_LINE;
        let place = at(pages.left(), pages.y - 1.0);
        pages.pen().text(place, Anchor::Left, words(Face::Regular, 7.5, FAINT), note);
    }
}

/// A name on one line, a long one on two in smaller letters, its end cut where that is too little.
fn name_lines(name: &str, width: f64) -> (Vec<String>, f64) {
    if Face::Regular.width(name, NAMES * POINT) <= width {
        return (vec![name.into()], NAMES);
    }
    let mut lines = wrapped(name, Face::Regular, LONG_NAMES * POINT, width);
    if lines.len() > 2 {
        let rest = lines.split_off(1).concat();
        lines.push(cut(&rest, Face::Regular, LONG_NAMES * POINT, width));
    }
    (lines, LONG_NAMES)
}

fn lay_entry(pages: &mut Pages, legend: &Legend, (column, line): (usize, usize), entry: &Entry) {
    let left = pages.left() + column as f64 * (TO_NAME + legend.name + BETWEEN);
    let middle = pages.y + (line as f64 + 0.5) * LINE;
    let kind = words(Face::Regular, entry.points, INK);
    let baseline = |size: f64| middle + CAPITALS * size / 2.0;
    let (pen, symbols) = pages.pen_and_symbols();
    pen.symbol(symbols.bead(entry.colour, entry.mark, SWATCH), at(left + SWATCH / 2.0, middle));
    let first = baseline(kind.size) - kind.size * (entry.name.len() - 1) as f64 / 2.0;
    for (i, name) in entry.name.iter().enumerate() {
        pen.text(at(left + TO_NAME, first + kind.size * i as f64), Anchor::Left, kind, name);
    }
    let bold = words(Face::Bold, NAMES, INK);
    pen.text(at(left + COUNT, baseline(bold.size)), Anchor::Right, bold, &entry.count.to_string());
}

/// The finished look at the right, the reference left of it.
fn looks(pages: &mut Pages, legend: &Legend) {
    let caption = words(Face::Regular, 7.0, FAINT);
    let (right, top) = (pages.right(), pages.y);
    let (width, height) = legend.look;
    let corner = at(right - width, top);
    let ground = pages.ground.colour();
    let pen = pages.pen();
    pen.block(corner, (width, height), ground);
    let pitch = (width - 2.0 * ROUND) / legend.colours.columns().max(1) as f64;
    fused(pen, &legend.colours, at(corner.x + ROUND, corner.y + ROUND), pitch);
    pen.text(at(corner.x, top + height + 3.0), Anchor::Left, caption, "finished");
    if let Some((picture, (width, height))) = &legend.reference {
        let corner = at(corner.x - LOOKS_APART - width, top);
        pen.picture(corner, (*width, *height), Arc::clone(picture));
        pen.text(at(corner.x, top + height + 3.0), Anchor::Left, caption, "reference");
    }
}
