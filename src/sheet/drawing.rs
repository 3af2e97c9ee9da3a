//! A finished drawing: what stands where, in millimetres or in pixels. The writers place nothing.

use std::sync::Arc;

use image::RgbaImage;

use super::font::Face;
use crate::colour::Srgb;
use crate::error::Warning;

/// A place on a page, from its top left corner.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Point {
    /// Rightwards.
    pub x: f64,
    /// Downwards.
    pub y: f64,
}

/// A place from its two numbers.
pub(super) fn at(x: f64, y: f64) -> Point {
    Point { x, y }
}

/// What a drawing's numbers count.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Unit {
    /// Paper: a sheet to peg from.
    Millimetre,
    /// A screen: a picture to show.
    Pixel,
}

/// A symbol of a sheet, drawn in many places.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct SymbolId(pub(super) usize);

/// One thing on a page.
#[derive(Clone, Debug, PartialEq)]
pub enum Item {
    /// A filled circle.
    Disc {
        /// Its middle.
        middle: Point,
        /// Its radius.
        radius: f64,
        /// Its colour.
        fill: Srgb,
    },
    /// A circle's line.
    Ring {
        /// Its middle.
        middle: Point,
        /// To the middle of the line.
        radius: f64,
        /// The line's width.
        width: f64,
        /// Its colour.
        ink: Srgb,
    },
    /// A straight line with flat ends.
    Line {
        /// One end.
        from: Point,
        /// The other.
        to: Point,
        /// Its width.
        width: f64,
        /// Its colour.
        ink: Srgb,
        /// How much it hides, 255 all.
        alpha: u8,
    },
    /// A filled rectangle.
    Block {
        /// Its top left corner.
        corner: Point,
        /// Width and height.
        size: (f64, f64),
        /// Its colour.
        fill: Srgb,
    },
    /// Words.
    Text {
        /// Left end of the baseline.
        start: Point,
        /// The em.
        size: f64,
        /// The weight.
        face: Face,
        /// Its colour.
        ink: Srgb,
        /// What it says; every letter is in the font.
        text: String,
    },
    /// A picture of pixels, opaque.
    Picture {
        /// Its top left corner.
        corner: Point,
        /// Width and height.
        size: (f64, f64),
        /// The pixels.
        pixels: Arc<RgbaImage>,
    },
    /// A symbol, its own zero laid on a place.
    Symbol {
        /// Which.
        symbol: SymbolId,
        /// Where.
        place: Point,
    },
}

/// One page.
#[derive(Clone, Debug, PartialEq)]
pub struct Page {
    /// Width and height of the paper or picture.
    pub size: (f64, f64),
    /// What every place is multiplied by, across and down: 1, except for a printer that is a little off.
    pub scale: (f64, f64),
    /// The colour beneath everything; nothing on paper.
    pub ground: Option<Srgb>,
    /// What stands on it, lowest first.
    pub items: Vec<Item>,
}

/// A finished drawing of one page or more.
#[derive(Clone, Debug, PartialEq)]
pub struct Sheet {
    /// What it shows, in one line.
    pub title: String,
    /// What its numbers count.
    pub unit: Unit,
    /// What is drawn in many places; a symbol holds no other symbol.
    pub symbols: Vec<Vec<Item>>,
    /// The pages; at least one.
    pub pages: Vec<Page>,
    /// What the maker should know of it.
    pub warnings: Vec<Warning>,
}

impl Sheet {
    /// The items of a symbol.
    pub fn symbol(&self, symbol: SymbolId) -> &[Item] {
        self.symbols.get(symbol.0).map_or(&[], Vec::as_slice)
    }

    /// Left, top, right and bottom of what an item covers; letters are taken for a whole em high.
    pub fn extent(&self, item: &Item) -> (f64, f64, f64, f64) {
        match *item {
            Item::Disc { middle, radius, .. } => around(middle, radius),
            Item::Ring { middle, radius, width, .. } => around(middle, radius + width / 2.0),
            Item::Line { from, to, width, .. } => {
                let half = width / 2.0;
                (
                    from.x.min(to.x) - half,
                    from.y.min(to.y) - half,
                    from.x.max(to.x) + half,
                    from.y.max(to.y) + half,
                )
            }
            Item::Block { corner, size, .. } | Item::Picture { corner, size, .. } => {
                (corner.x, corner.y, corner.x + size.0, corner.y + size.1)
            }
            Item::Text { start, size, face, ref text, .. } => {
                (start.x, start.y - size, start.x + face.width(text, size), start.y + size * 0.3)
            }
            Item::Symbol { symbol, place } => {
                let all = self.symbol(symbol).iter().map(|item| self.extent(item));
                all.fold((place.x, place.y, place.x, place.y), |whole, (left, top, right, bottom)| {
                    let (left, top) = (left + place.x, top + place.y);
                    let (right, bottom) = (right + place.x, bottom + place.y);
                    (whole.0.min(left), whole.1.min(top), whole.2.max(right), whole.3.max(bottom))
                })
            }
        }
    }
}

fn around(middle: Point, radius: f64) -> (f64, f64, f64, f64) {
    (middle.x - radius, middle.y - radius, middle.x + radius, middle.y + radius)
}

/// Where a text's given place lies in it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Anchor {
    Left,
    Middle,
    Right,
}

/// How words look.
#[derive(Clone, Copy, Debug)]
pub(super) struct Type {
    pub face: Face,
    pub size: f64,
    pub ink: Srgb,
}

/// Puts things on a page, one over the other.
#[derive(Debug, Default)]
pub(super) struct Pen {
    pub items: Vec<Item>,
}

impl Pen {
    pub fn disc(&mut self, middle: Point, radius: f64, fill: Srgb) {
        self.items.push(Item::Disc { middle, radius, fill });
    }

    pub fn ring(&mut self, middle: Point, radius: f64, width: f64, ink: Srgb) {
        self.items.push(Item::Ring { middle, radius, width, ink });
    }

    pub fn line(&mut self, from: Point, to: Point, width: f64, ink: Srgb) {
        self.items.push(Item::Line { from, to, width, ink, alpha: u8::MAX });
    }

    pub fn veil(&mut self, from: Point, to: Point, width: f64, (ink, alpha): (Srgb, u8)) {
        self.items.push(Item::Line { from, to, width, ink, alpha });
    }

    /// A line of short strokes, level or upright, both ends kept.
    pub fn dashes(&mut self, from: Point, to: Point, width: f64, ink: Srgb, stroke: f64) {
        let length = (to.x - from.x).hypot(to.y - from.y);
        // An odd number of equal pieces, every other one drawn.
        let pieces = ((length / stroke / 2.0).round() as usize * 2 + 1).max(1);
        let part = |i: usize| {
            let share = i as f64 / pieces as f64;
            at(from.x + (to.x - from.x) * share, from.y + (to.y - from.y) * share)
        };
        for i in (0..pieces).step_by(2) {
            self.line(part(i), part(i + 1), width, ink);
        }
    }

    /// A rectangle's outline, inside its edges.
    pub fn frame(&mut self, corner: Point, size: (f64, f64), width: f64, ink: Srgb) {
        let half = width / 2.0;
        let (left, right) = (corner.x + half, corner.x + size.0 - half);
        let (top, bottom) = (corner.y + half, corner.y + size.1 - half);
        self.line(at(corner.x, top), at(corner.x + size.0, top), width, ink);
        self.line(at(corner.x, bottom), at(corner.x + size.0, bottom), width, ink);
        self.line(at(left, corner.y), at(left, corner.y + size.1), width, ink);
        self.line(at(right, corner.y), at(right, corner.y + size.1), width, ink);
    }

    pub fn block(&mut self, corner: Point, size: (f64, f64), fill: Srgb) {
        self.items.push(Item::Block { corner, size, fill });
    }

    pub fn text(&mut self, place: Point, anchor: Anchor, kind: Type, text: &str) {
        if text.is_empty() {
            return;
        }
        let width = kind.face.width(text, kind.size);
        let before = match anchor {
            Anchor::Left => 0.0,
            Anchor::Middle => width / 2.0,
            Anchor::Right => width,
        };
        let start = at(place.x - before, place.y);
        self.items.push(Item::Text {
            start,
            size: kind.size,
            face: kind.face,
            ink: kind.ink,
            text: text.into(),
        });
    }

    pub fn picture(&mut self, corner: Point, size: (f64, f64), pixels: Arc<RgbaImage>) {
        self.items.push(Item::Picture { corner, size, pixels });
    }

    pub fn symbol(&mut self, symbol: SymbolId, place: Point) {
        self.items.push(Item::Symbol { symbol, place });
    }
}
