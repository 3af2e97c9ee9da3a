//! The pages of a sheet, filled from top to bottom.

use super::super::drawing::{Item, Page, Pen, Sheet, Type, Unit};
use super::super::font::{Face, POINT};
use super::super::ground::Ground;
use super::super::symbols::Symbols;
use super::furniture;
use super::options::SheetOptions;
use crate::colour::Srgb;
use crate::error::Warning;

/// Text: nearly black, as printed books have it.
pub(in crate::sheet) const INK: Srgb = Srgb::new(28, 28, 30);

/// What is read second: 5.9 to 1 on white by WCAG 2.2, and there in grey print.
pub(in crate::sheet) const FAINT: Srgb = Srgb::new(98, 98, 102);

/// Rules and edges.
pub(super) const RULE: Srgb = Srgb::new(150, 150, 148);

/// Every other row's band.
pub(super) const BAND: Srgb = Srgb::new(241, 240, 236);

/// White all round; printers leave up to 5 mm bare (common practice, no source).
pub(super) const MARGIN: f64 = 11.0;
const TOP: f64 = 11.0;

/// White at the right, where the upright ruler stands.
pub(super) const RIGHT: f64 = 15.0;

/// From one block of a page to the next.
const BETWEEN: f64 = 7.0;

/// Words of a size in points.
pub(in crate::sheet) fn words(face: Face, points: f64, ink: Srgb) -> Type {
    Type { face, size: points * POINT, ink }
}

/// The pages so far, and how far down the last one is filled.
pub(super) struct Pages<'a> {
    pub options: &'a SheetOptions,
    /// What finished looks lie on.
    pub ground: Ground,
    pub symbols: Symbols,
    /// What the printer leaves of the paper, in true millimetres.
    size: (f64, f64),
    pages: Vec<Pen>,
    /// How far down the page is taken.
    pub y: f64,
    bottom: f64,
    /// Whether the word on colours stands already.
    pub colours_said: bool,
}

impl<'a> Pages<'a> {
    pub fn new(options: &'a SheetOptions, ground: Ground) -> Self {
        let (width, height) = options.paper.size();
        let size = (width * options.printer.across, height * options.printer.down);
        let bottom = size.1 - furniture::foot(size.0);
        Self {
            options,
            ground,
            symbols: Symbols::default(),
            size,
            pages: vec![Pen::default()],
            y: TOP,
            bottom,
            colours_said: false,
        }
    }

    pub fn pitch(&self) -> f64 {
        self.options.pitch.0
    }

    pub fn left(&self) -> f64 {
        MARGIN
    }

    pub fn right(&self) -> f64 {
        self.size.0 - RIGHT
    }

    pub fn width(&self) -> f64 {
        self.right() - self.left()
    }

    pub fn bottom(&self) -> f64 {
        self.bottom
    }

    /// Height of an empty page's room.
    pub fn height(&self) -> f64 {
        self.bottom - TOP
    }

    /// Height that is left on this page.
    pub fn room(&self) -> f64 {
        self.bottom - self.y
    }

    pub fn is_fresh(&self) -> bool {
        self.y <= TOP
    }

    /// Where things are put.
    pub fn pen(&mut self) -> &mut Pen {
        if self.pages.is_empty() {
            self.pages.push(Pen::default());
        }
        let last = self.pages.len() - 1;
        &mut self.pages[last]
    }

    /// Where things are put, and the symbols, at once.
    pub fn pen_and_symbols(&mut self) -> (&mut Pen, &mut Symbols) {
        if self.pages.is_empty() {
            self.pages.push(Pen::default());
        }
        let last = self.pages.len() - 1;
        (&mut self.pages[last], &mut self.symbols)
    }

    /// Goes on with an empty page, unless this one is.
    pub fn turn(&mut self) {
        if !self.is_fresh() {
            self.pages.push(Pen::default());
            self.y = TOP;
        }
    }

    /// Goes on under what stands, or on the next page where the height does not fit.
    pub fn make_room(&mut self, height: f64) {
        if !self.is_fresh() && self.room() < height + BETWEEN {
            self.turn();
        } else if !self.is_fresh() {
            self.y += BETWEEN;
        }
    }

    /// Adds what every page has, and closes the sheet.
    pub fn finish(mut self, title: &str, warnings: Vec<Warning>) -> Sheet {
        // A page that was turned to and left empty is none.
        if self.pages.len() > 1 && self.pages.last().is_some_and(|page| page.items.is_empty()) {
            self.pages.pop();
        }
        let (count, size) = (self.pages.len(), self.size);
        let printer = self.options.printer;
        let page = |(number, mut pen): (usize, Pen)| {
            furniture::lay(&mut pen, size, (number + 1, count));
            Page {
                size: self.options.paper.size(),
                scale: (1.0 / printer.across, 1.0 / printer.down),
                ground: None,
                items: pen.items,
            }
        };
        let pages = self.pages.into_iter().enumerate().map(page).collect();
        let symbols: Vec<Vec<Item>> = self.symbols.into_items();
        Sheet { title: title.into(), unit: Unit::Millimetre, symbols, pages, warnings }
    }
}
