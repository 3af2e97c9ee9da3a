//! Pictures to look at: a draft beside its reference, and a figure in several candidate beads.

use image::codecs::png::{CompressionType, FilterType, PngEncoder};
use image::{ExtendedColorType, ImageEncoder, RgbaImage};
use tiny_skia::{ColorU8, FilterQuality, Pixmap, PixmapMut, PixmapPaint, Transform};

use super::beads::{self, Board, disc, line, mixed, ring};
use super::lettering;
use crate::colour::Srgb;
use crate::draft::Draft;
use crate::grid::Grid;
use crate::tray::{BeadId, Tray};
use crate::units::{Column, Row};

/// Height of the figure in the picture, in pixels, as far as beads keep a whole pitch between these bounds.
const FIGURE_HEIGHT: f32 = 840.0;
const LEAST_PITCH: f32 = 5.0;
const MOST_PITCH: f32 = 44.0;

/// Room around each panel, in pixels.
pub(super) const MARGIN: f32 = 28.0;

/// Height of the strip for a panel's caption, and of its letters.
const CAPTION: f32 = 56.0;
pub(super) const LETTERS: f32 = 24.0;

/// Most pixels each way: a figure of 200 by 200 beads at the least pitch fits.
const MOST_SIDE: f32 = 6000.0;

const BLACK: Srgb = Srgb::new(0, 0, 0);
const WHITE: Srgb = Srgb::new(255, 255, 255);

/// The reference with the lattice on it, the figure as beads, and where it is unsure, side by side.
pub fn draft_picture(draft: &Draft, tray: &Tray) -> RgbaImage {
    const CAPTIONS: [&str; 3] = ["reference", "figure", "unsure: dot under 90 %, ring under 50 %"];
    let matched = draft.matched.beads();
    let mut sheet = Layout::new(&CAPTIONS, 1, matched.rows(), matched.columns());
    let (left, _, right, _) = span(draft);
    let reference = (right - left) as f32 * reference_scale(draft, sheet.height);
    sheet.widths[0] = wide_enough(reference.min(MOST_SIDE / 3.0), CAPTIONS[0]);
    let mut pixmap = sheet.blank();
    let mut canvas = pixmap.as_mut();
    sheet.fill(&mut canvas, 0, Board::Light);
    draw_reference(&mut canvas, draft, &sheet);
    let colours = matched.map(|_, _, bead| bead.as_ref().map(|bead| tray.bead(bead.bead).lab.srgb()));
    beads::draw(&mut canvas, &colours, sheet.place(1, 0), sheet.pitch, Board::Light);
    draw_doubts(&mut canvas, draft, &colours, &sheet);
    for (panel, caption) in CAPTIONS.into_iter().enumerate() {
        sheet.caption(&mut canvas, (panel, 0), caption, Board::Light);
    }
    straight(&pixmap)
}

/// Pixels of the picture to one of the reference: its rows as tall together as the figure's.
fn reference_scale(draft: &Draft, height: f32) -> f32 {
    let (left, top, right, bottom) = span(draft);
    let widest = MOST_SIDE / 3.0 / (right - left).max(1.0) as f32;
    (height / (bottom - top).max(1.0) as f32).min(widest)
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
    let mut pixmap = sheet.blank();
    let mut canvas = pixmap.as_mut();
    for (band, board) in [Board::Light, Board::Dark].into_iter().enumerate() {
        sheet.fill(&mut canvas, band, board);
        for (panel, &candidate) in candidates.iter().enumerate() {
            let bead = tray.bead(candidate);
            let colours = figure.map(
                |row, column, colour| {
                    if here[(row, column)] { Some(bead.lab.srgb()) } else { *colour }
                },
            );
            beads::draw(&mut canvas, &colours, sheet.place(panel, band), sheet.pitch, board);
            sheet.caption(&mut canvas, (panel, band), &bead.name, board);
        }
    }
    straight(&pixmap)
}

/// The bytes of a PNG file; the same picture gives the same bytes.
pub fn png(picture: &RgbaImage) -> Vec<u8> {
    let mut bytes = Vec::new();
    let encoder = PngEncoder::new_with_quality(&mut bytes, CompressionType::Best, FilterType::Adaptive);
    let (width, height) = picture.dimensions();
    // Writing to memory fails only for a picture without pixels, and none is laid out.
    let written = encoder.write_image(picture.as_raw(), width, height, ExtendedColorType::Rgba8);
    debug_assert!(written.is_ok());
    bytes
}

/// Where the panels of a picture lie; laid out once.
struct Layout {
    /// Each panel's width, without its margin.
    widths: Vec<f32>,
    bands: usize,
    /// Pixels from peg to peg.
    pitch: f32,
    /// A panel's height, without its margin and caption.
    height: f32,
}

impl Layout {
    /// Panels for as many captions, each as wide as so many columns of beads.
    fn new(captions: &[&str], bands: usize, rows: usize, columns: usize) -> Self {
        let (rows, columns) = (rows.max(1) as f32, columns.max(1) as f32);
        let high = FIGURE_HEIGHT / bands as f32 / rows;
        let room = MOST_SIDE / captions.len() as f32 - 2.0 * MARGIN;
        let pitch = high.clamp(LEAST_PITCH, MOST_PITCH).min(room / columns).max(1.0).floor();
        let widths = captions.iter().map(|text| wide_enough(columns * pitch, text)).collect();
        Self { widths, bands, pitch, height: rows * pitch }
    }

    fn size(&self) -> (u32, u32) {
        let width: f32 = self.widths.iter().map(|width| width + 2.0 * MARGIN).sum();
        let height = self.bands as f32 * self.band_height();
        (width.ceil() as u32, height.ceil() as u32)
    }

    fn band_height(&self) -> f32 {
        self.height + 2.0 * MARGIN + CAPTION
    }

    fn blank(&self) -> Pixmap {
        let (width, height) = self.size();
        // Both sides are at least a margin and at most a few thousand pixels.
        Pixmap::new(width, height).expect("a laid out picture has a size")
    }

    fn fill(&self, canvas: &mut PixmapMut, band: usize, board: Board) {
        let (width, height) = (self.size().0 as f32, self.band_height());
        let middle = (band as f32 + 0.5) * height;
        line(canvas, (0.0, middle), (width, middle), height, (board.colour(), 255));
    }

    /// Top left corner of a panel in a band.
    fn place(&self, panel: usize, band: usize) -> (f32, f32) {
        let before: f32 = self.widths[..panel].iter().map(|width| width + 2.0 * MARGIN).sum();
        (before + MARGIN, band as f32 * self.band_height() + MARGIN)
    }

    fn caption(&self, canvas: &mut PixmapMut, (panel, band): (usize, usize), text: &str, board: Board) {
        let (x, y) = self.place(panel, band);
        let baseline = y + self.height + MARGIN / 2.0 + LETTERS;
        lettering::write(canvas, text, (x, baseline), LETTERS, board.ink());
    }
}

/// A width that holds a caption in any case.
fn wide_enough(width: f32, caption: &str) -> f32 {
    width.max(lettering::width_of(caption, LETTERS))
}

/// What the lattice spans of the working picture: left, top, right, bottom.
fn span(draft: &Draft) -> (f64, f64, f64, f64) {
    let lattice = draft.samples.lattice();
    let (rows, columns) = (lattice.rows(), lattice.columns());
    let sides = || (0..rows).map(|r| (lattice.column_line(Row(r), 0), lattice.column_line(Row(r), columns)));
    let left = sides().map(|s| s.0).fold(f64::INFINITY, f64::min);
    let right = sides().map(|s| s.1).fold(f64::NEG_INFINITY, f64::max);
    (left, lattice.row_line(0), right, lattice.row_line(rows))
}

/// The reference scaled so that its beads are as large as the figure's, with every line of the lattice.
fn draw_reference(canvas: &mut PixmapMut, draft: &Draft, sheet: &Layout) {
    let lattice = draft.samples.lattice();
    let (rows, columns) = (lattice.rows(), lattice.columns());
    let (left, top, right, bottom) = span(draft);
    let scale = reference_scale(draft, sheet.height);
    let (x, y) = sheet.place(0, 0);
    let at = |px: f64, py: f64| (x + (px - left) as f32 * scale, y + (py - top) as f32 * scale);

    let shown = cropped(&draft.reference.shown(), (left, top, right, bottom));
    let place = Transform::from_row(scale, 0.0, 0.0, scale, at(shown.1.0, 0.0).0, at(0.0, shown.1.1).1);
    let paint = PixmapPaint { quality: FilterQuality::Bilinear, ..PixmapPaint::default() };
    canvas.draw_pixmap(0, 0, shown.0.as_ref(), &paint, place, None);
    // Dark on light, so that lines show on any colour.
    for (width, ink) in [(2.4, (WHITE, 120)), (1.0, (BLACK, 150))] {
        for row in 0..rows {
            let (start, end) = (lattice.column_line(Row(row), 0), lattice.column_line(Row(row), columns));
            for edge in [row, row + 1] {
                let height = lattice.row_line(edge);
                line(canvas, at(start, height), at(end, height), width / 2.0, ink);
            }
            for column in 0..=columns {
                let across = lattice.column_line(Row(row), column);
                let (from, to) = (lattice.row_line(row), lattice.row_line(row + 1));
                line(canvas, at(across, from), at(across, to), width, ink);
            }
        }
    }
}

/// The part of a picture inside a box, and where its corner lies.
fn cropped(picture: &RgbaImage, (left, top, right, bottom): (f64, f64, f64, f64)) -> (Pixmap, (f64, f64)) {
    let (width, height) = picture.dimensions();
    let within = |v: f64, most: u32| (v.max(0.0) as u32).min(most - 1);
    let (x0, y0) = (within(left.floor(), width), within(top.floor(), height));
    let (x1, y1) = (within(right.ceil(), width), within(bottom.ceil(), height));
    let mut part = Pixmap::new(x1 - x0 + 1, y1 - y0 + 1).expect("from the first to the last pixel");
    for y in y0..=y1 {
        for x in x0..=x1 {
            let [r, g, b, alpha] = picture.get_pixel(x, y).0;
            let place = ((y - y0) * (x1 - x0 + 1) + (x - x0)) as usize;
            part.pixels_mut()[place] = ColorU8::from_rgba(r, g, b, alpha).premultiply();
        }
    }
    (part, (f64::from(x0), f64::from(y0)))
}

/// The figure faded, with a dot on every bead that is not sure: the larger, the less.
fn draw_doubts(canvas: &mut PixmapMut, draft: &Draft, colours: &Grid<Option<Srgb>>, sheet: &Layout) {
    /// Surer than this a bead has no dot.
    const SURE: f64 = 0.9;
    /// Under this its dot has a ring as well, for eyes that size alone does not catch.
    const DOUBTFUL: f64 = 0.5;
    /// Radius of the dot of a bead with no confidence at all, in pegs' distance.
    const LARGEST: f64 = 0.36;
    let board = Board::Light;
    let at = sheet.place(2, 0);
    let faded = colours.map(|_, _, colour| colour.map(|c| mixed(c, board.colour(), 0.72)));
    beads::draw(canvas, &faded, at, sheet.pitch, board);
    for (row, column, bead) in draft.matched.beads().iter() {
        let Some(bead) = bead.as_ref().filter(|bead| bead.confidence.get() < SURE) else { continue };
        let middle = middle_of(at, sheet.pitch, row, column);
        let doubt = 1.0 - bead.confidence.get() / SURE;
        let radius = (0.1 + (LARGEST - 0.1) * doubt) as f32 * sheet.pitch;
        disc(canvas, middle, radius, Srgb::new(196, 40, 28));
        if bead.confidence.get() < DOUBTFUL {
            ring(canvas, middle, 0.46 * sheet.pitch, 0.07 * sheet.pitch, BLACK);
        }
    }
}

fn middle_of(at: (f32, f32), pitch: f32, row: Row, column: Column) -> (f32, f32) {
    (at.0 + (column.0 as f32 + 0.5) * pitch, at.1 + (row.0 as f32 + 0.5) * pitch)
}

/// The picture with straight alpha; what was drawn is opaque everywhere.
pub(super) fn straight(pixmap: &Pixmap) -> RgbaImage {
    RgbaImage::from_fn(pixmap.width(), pixmap.height(), |x, y| {
        let place = (y * pixmap.width() + x) as usize;
        let c = pixmap.pixels()[place].demultiply();
        image::Rgba([c.red(), c.green(), c.blue(), c.alpha()])
    })
}
