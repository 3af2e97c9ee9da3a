//! Pictures to look at: a draft beside its reference, and a figure in several candidate beads.

use std::sync::Arc;

use image::codecs::png::{CompressionType, FilterType, PngEncoder};
use image::{ExtendedColorType, ImageEncoder, RgbaImage};

use super::beads::{self, BLACK, WHITE, mixed};
use super::drawing::{Anchor, Page, Pen, Point, Sheet, Type, Unit, at};
use super::font::{Face, settable};
use super::ground::Ground;
use super::photograph::WithSheet;
use super::png::raster;
use crate::colour::Srgb;
use crate::draft::Draft;
use crate::grid::Grid;
use crate::tray::{BeadId, Tray};
use crate::units::{Column, Row};

/// Height of the figure in the picture, in pixels, as far as beads keep a whole pitch between these bounds.
const FIGURE_HEIGHT: f64 = 840.0;
const LEAST_PITCH: f64 = 5.0;
const MOST_PITCH: f64 = 44.0;

/// Room around each panel, in pixels.
pub(super) const MARGIN: f64 = 28.0;

/// Height of the strip for a panel's caption, and of its letters.
const CAPTION: f64 = 56.0;
pub(super) const LETTERS: f64 = 24.0;

/// Most pixels each way: a figure of 200 by 200 beads at the least pitch fits.
const MOST_SIDE: f64 = 6000.0;

/// The reference with the lattice on it, the figure as beads, and where it is unsure, side by side; before them the
/// photograph in small, its sheet outlined, where one was found or given.
pub fn draft_picture(draft: &Draft, tray: &Tray) -> RgbaImage {
    const CAPTIONS: [&str; 3] = ["reference", "figure", "unsure: dot under 90 %, ring under 50 %"];
    let matched = draft.matched.beads();
    let mut sheet = Layout::new(&CAPTIONS, 1, matched.rows(), matched.columns());
    let (left, _, right, _) = span(draft);
    let reference = (right - left) * reference_scale(draft, sheet.height);
    sheet.widths[0] = wide_enough(reference.min(MOST_SIDE / 3.0), CAPTIONS[0]);
    let photograph = WithSheet::of(draft, sheet.height);
    if let Some(photograph) = &photograph {
        sheet.begin_with(wide_enough(photograph.width(), &photograph.caption));
    }
    let mut pen = Pen::default();
    sheet.fill(&mut pen, 0, Ground::Light);
    if let Some(photograph) = &photograph {
        photograph.draw(&mut pen, at(MARGIN, MARGIN), sheet.height);
        sheet.caption_at(&mut pen, at(MARGIN, MARGIN), &photograph.caption, Ground::Light);
    }
    draw_reference(&mut pen, draft, sheet.place(0, 0), reference_scale(draft, sheet.height), true);
    let colours = matched.map(|_, _, bead| bead.as_ref().map(|bead| tray.bead(bead.bead).lab.srgb()));
    beads::pegged(&mut pen, &colours, sheet.place(1, 0), sheet.pitch, Ground::Light, true);
    draw_doubts(&mut pen, draft, &colours, &sheet);
    for (panel, caption) in CAPTIONS.into_iter().enumerate() {
        sheet.caption(&mut pen, (panel, 0), caption, Ground::Light);
    }
    sheet.drawn(pen)
}

/// Pixels of the picture to one of the reference: its rows as tall together as the figure's.
fn reference_scale(draft: &Draft, height: f64) -> f64 {
    let (left, top, right, bottom) = span(draft);
    let widest = MOST_SIDE / 3.0 / (right - left).max(1.0);
    (height / (bottom - top).max(1.0)).min(widest)
}

/// A figure with one of its colours in each of several beads: the upper row on light, the lower on dark.
///
/// `figure` names the bead at each place; `here` says at which places the candidates stand.
pub fn candidates_picture(
    figure: &Grid<Option<Srgb>>,
    here: &Grid<bool>,
    candidates: &[BeadId],
    tray: &Tray,
) -> RgbaImage {
    let names: Vec<&str> = candidates.iter().map(|&id| tray.bead(id).name.as_str()).collect();
    let captions = if names.is_empty() { vec!["figure"] } else { names };
    let sheet = Layout::new(&captions, 2, figure.rows(), figure.columns());
    let mut pen = Pen::default();
    for (band, ground) in [Ground::Light, Ground::Dark].into_iter().enumerate() {
        sheet.fill(&mut pen, band, ground);
        for (panel, &candidate) in candidates.iter().enumerate() {
            let bead = tray.bead(candidate);
            let colours = figure.map(
                |row, column, colour| {
                    if here[(row, column)] { Some(bead.lab.srgb()) } else { *colour }
                },
            );
            beads::pegged(&mut pen, &colours, sheet.place(panel, band), sheet.pitch, ground, true);
            sheet.caption(&mut pen, (panel, band), &bead.name, ground);
        }
    }
    sheet.drawn(pen)
}

/// The bytes of a PNG file to keep; the same picture gives the same bytes.
pub fn png(picture: &RgbaImage) -> Vec<u8> {
    packed(picture, CompressionType::Best)
}

/// The bytes of a PNG that is looked at once: larger, and made in a fiftieth of the time.
pub fn quick_png(picture: &RgbaImage) -> Vec<u8> {
    packed(picture, CompressionType::Fast)
}

fn packed(picture: &RgbaImage, compression: CompressionType) -> Vec<u8> {
    let mut bytes = Vec::new();
    let encoder = PngEncoder::new_with_quality(&mut bytes, compression, FilterType::Adaptive);
    let (width, height) = picture.dimensions();
    // Writing to memory fails only for a picture without pixels, and none is laid out.
    let written = encoder.write_image(picture.as_raw(), width, height, ExtendedColorType::Rgba8);
    debug_assert!(written.is_ok());
    bytes
}

/// Where the panels of a picture lie; laid out once.
struct Layout {
    /// Each panel's width, without its margin.
    widths: Vec<f64>,
    bands: usize,
    /// Pixels before the first panel.
    before: f64,
    /// Pixels from peg to peg.
    pitch: f64,
    /// A panel's height, without its margin and caption.
    height: f64,
}

impl Layout {
    /// Panels for as many captions, each as wide as this many columns of beads.
    fn new(captions: &[&str], bands: usize, rows: usize, columns: usize) -> Self {
        let (rows, columns) = (rows.max(1) as f64, columns.max(1) as f64);
        let high = FIGURE_HEIGHT / bands as f64 / rows;
        let room = MOST_SIDE / captions.len() as f64 - 2.0 * MARGIN;
        let pitch = high.clamp(LEAST_PITCH, MOST_PITCH).min(room / columns).max(1.0).floor();
        let widths = captions.iter().map(|text| wide_enough(columns * pitch, text)).collect();
        Self { widths, bands, before: 0.0, pitch, height: rows * pitch }
    }

    /// Makes room for one thing more before the panels.
    fn begin_with(&mut self, width: f64) {
        self.before = width + 2.0 * MARGIN;
    }

    fn size(&self) -> (u32, u32) {
        let width = self.before + self.widths.iter().map(|width| width + 2.0 * MARGIN).sum::<f64>();
        let height = self.bands as f64 * self.band_height();
        (width.ceil() as u32, height.ceil() as u32)
    }

    fn band_height(&self) -> f64 {
        self.height + 2.0 * MARGIN + CAPTION
    }

    /// What was drawn, as pixels.
    fn drawn(&self, pen: Pen) -> RgbaImage {
        picture_of(self.size(), pen)
    }

    fn fill(&self, pen: &mut Pen, band: usize, ground: Ground) {
        let height = self.band_height();
        pen.block(at(0.0, band as f64 * height), (f64::from(self.size().0), height), ground.colour());
    }

    /// Top left corner of a panel in a band.
    fn place(&self, panel: usize, band: usize) -> Point {
        let before: f64 = self.widths[..panel].iter().map(|width| width + 2.0 * MARGIN).sum();
        at(self.before + before + MARGIN, band as f64 * self.band_height() + MARGIN)
    }

    fn caption(&self, pen: &mut Pen, (panel, band): (usize, usize), text: &str, ground: Ground) {
        self.caption_at(pen, self.place(panel, band), text, ground);
    }

    /// Words under what stands with its top left corner here.
    fn caption_at(&self, pen: &mut Pen, Point { x, y }: Point, text: &str, ground: Ground) {
        let baseline = y + self.height + MARGIN / 2.0 + LETTERS;
        let kind = Type { face: Face::Regular, size: LETTERS, ink: ground.ink() };
        pen.text(at(x, baseline), Anchor::Left, kind, &settable(text).0);
    }
}

/// A width that holds a caption in any case.
fn wide_enough(width: f64, caption: &str) -> f64 {
    width.max(Face::Regular.width(caption, LETTERS))
}

/// What the lattice spans of the working picture: left, top, right, bottom.
pub(super) fn span(draft: &Draft) -> (f64, f64, f64, f64) {
    let lattice = draft.samples.lattice();
    let (rows, columns) = (lattice.rows(), lattice.columns());
    let sides = || (0..rows).map(|r| (lattice.column_line(Row(r), 0), lattice.column_line(Row(r), columns)));
    let left = sides().map(|s| s.0).fold(f64::INFINITY, f64::min);
    let right = sides().map(|s| s.1).fold(f64::NEG_INFINITY, f64::max);
    (left, lattice.row_line(0), right, lattice.row_line(rows))
}

/// The reference at a place, `scale` to each of its working pixels; with every line of its lattice, if asked.
pub(super) fn draw_reference(pen: &mut Pen, draft: &Draft, corner: Point, scale: f64, lines: bool) {
    let lattice = draft.samples.lattice();
    let (rows, columns) = (lattice.rows(), lattice.columns());
    let (left, top, right, bottom) = span(draft);
    let at = |px: f64, py: f64| at(corner.x + (px - left) * scale, corner.y + (py - top) * scale);

    let (shown, (from, down)) = cropped(&draft.reference.shown(), (left, top, right, bottom));
    let size = (f64::from(shown.width()) * scale, f64::from(shown.height()) * scale);
    pen.picture(at(from, down), size, Arc::new(shown));
    if !lines {
        return;
    }
    // Dark on light, so that lines show on any colour.
    for (width, ink) in [(2.4, (WHITE, 120)), (1.0, (BLACK, 150))] {
        for row in 0..rows {
            let (start, end) = (lattice.column_line(Row(row), 0), lattice.column_line(Row(row), columns));
            for edge in [row, row + 1] {
                let height = lattice.row_line(edge);
                pen.veil(at(start, height), at(end, height), width / 2.0, ink);
            }
            for column in 0..=columns {
                let across = lattice.column_line(Row(row), column);
                let (from, to) = (lattice.row_line(row), lattice.row_line(row + 1));
                pen.veil(at(across, from), at(across, to), width, ink);
            }
        }
    }
}

/// The part of a picture inside a box, and where its corner lies.
pub(super) fn cropped(
    picture: &RgbaImage,
    (left, top, right, bottom): (f64, f64, f64, f64),
) -> (RgbaImage, (f64, f64)) {
    let (width, height) = picture.dimensions();
    let within = |v: f64, most: u32| (v.max(0.0) as u32).min(most - 1);
    let (x0, y0) = (within(left.floor(), width), within(top.floor(), height));
    let (x1, y1) = (within(right.ceil(), width), within(bottom.ceil(), height));
    let part = image::imageops::crop_imm(picture, x0, y0, x1 - x0 + 1, y1 - y0 + 1).to_image();
    (part, (f64::from(x0), f64::from(y0)))
}

/// The figure faded, with a dot on every bead that is not sure: the larger, the less.
fn draw_doubts(pen: &mut Pen, draft: &Draft, colours: &Grid<Option<Srgb>>, sheet: &Layout) {
    /// Surer than this a bead has no dot.
    const SURE: f64 = 0.9;
    /// Under this its dot has a ring as well, for eyes that size alone does not catch.
    const DOUBTFUL: f64 = 0.5;
    /// Radius of the dot of a bead with no confidence at all, in pegs' distance.
    const LARGEST: f64 = 0.36;
    let ground = Ground::Light;
    let corner = sheet.place(2, 0);
    let faded = colours.map(|_, _, colour| colour.map(|c| mixed(c, ground.colour(), 0.72)));
    beads::pegged(pen, &faded, corner, sheet.pitch, ground, true);
    for (row, column, bead) in draft.matched.beads().iter() {
        let Some(bead) = bead.as_ref().filter(|bead| bead.confidence.get() < SURE) else { continue };
        let middle = middle_of(corner, sheet.pitch, row, column);
        let doubt = 1.0 - bead.confidence.get() / SURE;
        let radius = (0.1 + (LARGEST - 0.1) * doubt) * sheet.pitch;
        pen.disc(middle, radius, Srgb::new(196, 40, 28));
        if bead.confidence.get() < DOUBTFUL {
            pen.ring(middle, 0.46 * sheet.pitch, 0.07 * sheet.pitch, BLACK);
        }
    }
}

pub(super) fn middle_of(corner: Point, pitch: f64, row: Row, column: Column) -> Point {
    at(corner.x + (column.0 as f64 + 0.5) * pitch, corner.y + (row.0 as f64 + 0.5) * pitch)
}

/// What was drawn in pixels, as pixels.
pub(super) fn picture_of((width, height): (u32, u32), pen: Pen) -> RgbaImage {
    let size = (f64::from(width), f64::from(height));
    let page = Page { size, scale: (1.0, 1.0), ground: None, items: pen.items };
    let title = String::new();
    let sheet =
        Sheet { title, unit: Unit::Pixel, symbols: Vec::new(), pages: Vec::new(), warnings: Vec::new() };
    raster(&sheet, &page, 1.0)
}
