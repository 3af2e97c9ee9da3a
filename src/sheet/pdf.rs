//! Sheets as PDF: true size, text that can be searched and copied, the same bytes every time.

use std::collections::{BTreeMap, BTreeSet};
use std::io::Write;

use flate2::Compression;
use flate2::write::ZlibEncoder;
use image::codecs::jpeg::JpegEncoder;
use image::{ExtendedColorType, ImageEncoder, RgbaImage};
use pdf_writer::types::{CidFontType, FontFlags, SystemInfo, UnicodeCmap};
use pdf_writer::{Content, Filter, Finish, Name, Pdf, Rect, Ref, Str, TextStr};
use rayon::prelude::*;
use subsetter::GlyphRemapper;

use super::drawing::{Item, Page, Point, Sheet};
use super::font::{CAPITALS, EM, Face};
use crate::colour::Srgb;

/// PDF's unit, the point, in one millimetre.
const POINTS: f64 = 72.0 / 25.4;

/// Ascent, descent and the box of all glyphs of the family, in thousandths of an em (its hhea and head
/// tables).
const ASCENT: f32 = 1069.0;
const DESCENT: f32 = -293.0;
const BOX: [f32; 4] = [-644.0, -389.0, 2800.0, 1069.0];

/// Quality of reference pictures: no block shows at the size they are printed.
const JPEG_QUALITY: u8 = 88;

/// A quarter circle as one cubic curve: 4/3 (sqrt 2 - 1).
const QUARTER: f64 = 0.552_284_749_830_793_4;

/// The bytes of a PDF file with all pages of a sheet.
pub fn pdf(sheet: &Sheet) -> Vec<u8> {
    let mut writer = Writer::new(sheet);
    let fonts: Vec<Font> = Face::ALL.into_iter().filter_map(|face| Font::of(sheet, face)).collect();
    let fonts: Vec<(Font, Ref)> = fonts.into_iter().map(|font| writer.font(font)).collect();
    let symbols: Vec<Ref> = sheet.symbols.iter().map(|items| writer.symbol(items, &fonts)).collect();
    let drawn: Vec<Contents> = sheet.pages.par_iter().map(|page| Contents::of(page, &fonts)).collect();
    let pages: Vec<Ref> = sheet
        .pages
        .iter()
        .zip(&drawn)
        .map(|(page, drawn)| writer.page(page, drawn, &fonts, &symbols))
        .collect();
    writer.finish(&pages)
}

/// What of one weight the sheet uses.
struct Font {
    face: Face,
    /// The characters used, in their own order, and each one's number in the embedded subset.
    numbers: BTreeMap<char, u16>,
    remapper: GlyphRemapper,
}

impl Font {
    /// Nothing where the sheet has no letter of that weight.
    fn of(sheet: &Sheet, face: Face) -> Option<Self> {
        let all = sheet.pages.iter().flat_map(|page| &page.items).chain(sheet.symbols.iter().flatten());
        let used: BTreeSet<char> = all
            .filter_map(|item| match item {
                Item::Text { face: other, text, .. } if *other == face => Some(text.chars()),
                _ => None,
            })
            .flatten()
            .collect();
        if used.is_empty() {
            return None;
        }
        let mut remapper = GlyphRemapper::new();
        let numbers = used.into_iter().map(|letter| (letter, remapper.remap(face.glyph(letter)))).collect();
        Some(Self { face, numbers, remapper })
    }

    /// The name resources have for it.
    fn key(&self) -> &'static [u8] {
        match self.face {
            Face::Regular => b"R",
            Face::Bold => b"B",
        }
    }

    /// Its PostScript name, with the six letters that tell of a subset (ISO 32000-1, 9.6.4).
    fn name(&self) -> &'static [u8] {
        match self.face {
            Face::Regular => b"SMALLR+NotoSans-Regular",
            Face::Bold => b"SMALLB+NotoSans-Bold",
        }
    }

    fn encoded(&self, text: &str) -> Vec<u8> {
        let numbers = text.chars().filter_map(|letter| self.numbers.get(&letter));
        numbers.flat_map(|number| number.to_be_bytes()).collect()
    }
}

struct Writer<'a> {
    sheet: &'a Sheet,
    pdf: Pdf,
    next: Ref,
    tree: Ref,
}

impl<'a> Writer<'a> {
    fn new(sheet: &'a Sheet) -> Self {
        let mut next = Ref::new(1);
        let tree = next.bump();
        Self { sheet, pdf: Pdf::new(), next, tree }
    }

    fn font(&mut self, font: Font) -> (Font, Ref) {
        let [whole, cid, descriptor, cmap, file] = std::array::from_fn(|_| self.next.bump());
        let info = SystemInfo { registry: Str(b"Adobe"), ordering: Str(b"Identity"), supplement: 0 };
        let name = Name(font.name());
        self.pdf
            .type0_font(whole)
            .base_font(name)
            .encoding_predefined(Name(b"Identity-H"))
            .descendant_font(cid)
            .to_unicode(cmap);
        let mut descendant = self.pdf.cid_font(cid);
        descendant.subtype(CidFontType::Type2).base_font(name).system_info(info).font_descriptor(descriptor);
        descendant.default_width(0.0).cid_to_gid_map_predefined(Name(b"Identity"));
        let widths =
            font.remapper.remapped_gids().map(|glyph| (font.face.advance(glyph) / EM * 1000.0) as f32);
        descendant.widths().consecutive(0, widths);
        descendant.finish();
        let (weight, stem) = match font.face {
            Face::Regular => (400, 80.0),
            Face::Bold => (700, 140.0),
        };
        self.pdf
            .font_descriptor(descriptor)
            .name(name)
            .flags(FontFlags::NON_SYMBOLIC)
            .weight(weight)
            .bbox(Rect::new(BOX[0], BOX[1], BOX[2], BOX[3]))
            .italic_angle(0.0)
            .ascent(ASCENT)
            .descent(DESCENT)
            .cap_height((CAPITALS * EM) as f32)
            .stem_v(stem)
            .font_file2(file);
        let mut unicode = UnicodeCmap::new(Name(b"Sheet"), info);
        font.numbers.iter().for_each(|(letter, number)| unicode.pair(*number, *letter));
        self.stream(cmap, &unicode.finish());
        // The font is ours and whole: a test takes every letter of it. Were it not, text would have no shape.
        let subset = subsetter::subset(font.face.file(), 0, &font.remapper).unwrap_or_default();
        let length = subset.len() as i32;
        let packed = packed(&subset);
        self.pdf.stream(file, &packed).filter(Filter::FlateDecode).pair(Name(b"Length1"), length);
        (font, whole)
    }

    fn stream(&mut self, id: Ref, bytes: &[u8]) {
        self.pdf.stream(id, &packed(bytes)).filter(Filter::FlateDecode);
    }

    /// A symbol is drawn in points with its own zero, y upwards.
    fn symbol(&mut self, items: &[Item], fonts: &[(Font, Ref)]) -> Ref {
        let id = self.next.bump();
        let mut drawn = Drawn { content: Content::new(), fonts, pictures: Vec::new() };
        drawn.content.transform([POINTS as f32, 0.0, 0.0, -POINTS as f32, 0.0, 0.0]);
        items.iter().for_each(|item| drawn.item(item));
        let reach = items.iter().map(|item| self.sheet.extent(item)).fold(0.0_f64, |most, (l, t, r, b)| {
            [most, l.abs(), t.abs(), r.abs(), b.abs()].into_iter().fold(0.0, f64::max)
        });
        let reach = (reach * POINTS) as f32;
        let bytes = packed(&drawn.content.finish());
        let mut form = self.pdf.form_xobject(id, &bytes);
        form.filter(Filter::FlateDecode);
        form.bbox(Rect::new(-reach, -reach, reach, reach));
        let mut resources = form.resources();
        let mut known = resources.fonts();
        fonts.iter().for_each(|(font, id)| {
            known.pair(Name(font.key()), id);
        });
        known.finish();
        resources.finish();
        id
    }

    fn page(&mut self, page: &Page, drawn: &Contents, fonts: &[(Font, Ref)], symbols: &[Ref]) -> Ref {
        let [id, contents] = std::array::from_fn(|_| self.next.bump());
        let (width, height) = (page.size.0 * POINTS, page.size.1 * POINTS);
        let pictures: Vec<Ref> = drawn.pictures.iter().map(|picture| self.picture(picture)).collect();
        self.pdf.stream(contents, &drawn.packed).filter(Filter::FlateDecode);
        let paper = Rect::new(0.0, 0.0, width as f32, height as f32);
        let mut written = self.pdf.page(id);
        written.parent(self.tree).contents(contents);
        written.media_box(paper).crop_box(paper).trim_box(paper);
        let mut resources = written.resources();
        let mut known = resources.fonts();
        fonts.iter().for_each(|(font, id)| {
            known.pair(Name(font.key()), id);
        });
        known.finish();
        let mut objects = resources.x_objects();
        for &symbol in &drawn.symbols {
            if let Some(id) = symbols.get(symbol) {
                objects.pair(Name(symbol_key(symbol).as_bytes()), id);
            }
        }
        for (number, id) in pictures.iter().enumerate() {
            objects.pair(Name(picture_key(number).as_bytes()), id);
        }
        objects.finish();
        resources.finish();
        id
    }

    /// A picture on white, as paper has it.
    fn picture(&mut self, picture: &RgbaImage) -> Ref {
        let id = self.next.bump();
        let (width, height) = picture.dimensions();
        let on_white = |value: u8, alpha: u8| {
            let (value, alpha) = (u32::from(value), u32::from(alpha));
            ((value * alpha + 255 * (255 - alpha) + 127) / 255) as u8
        };
        let flat: Vec<u8> =
            picture.pixels().flat_map(|p| [0, 1, 2].map(|channel| on_white(p[channel], p[3]))).collect();
        let mut jpeg = Vec::new();
        let encoder = JpegEncoder::new_with_quality(&mut jpeg, JPEG_QUALITY);
        // Writing to memory fails only for sides beyond JPEG's 65 535, and references are shrunk before.
        let written = encoder.write_image(&flat, width, height, ExtendedColorType::Rgb8);
        debug_assert!(written.is_ok());
        let mut image = self.pdf.image_xobject(id, &jpeg);
        image.filter(Filter::DctDecode);
        image.width(width as i32).height(height as i32);
        image.color_space().device_rgb();
        image.bits_per_component(8);
        image.finish();
        id
    }

    fn finish(mut self, pages: &[Ref]) -> Vec<u8> {
        self.pdf.pages(self.tree).kids(pages.iter().copied()).count(pages.len() as i32);
        let [catalog, info] = std::array::from_fn(|_| self.next.bump());
        let mut root = self.pdf.catalog(catalog);
        root.pages(self.tree).lang(TextStr("en"));
        let mut wishes = root.viewer_preferences();
        wishes.display_doc_title(true);
        // Printing programs offer "actual size" by this (ISO 32000-1, 12.2).
        wishes.pair(Name(b"PrintScaling"), Name(b"None"));
        wishes.finish();
        root.finish();
        // No dates: the same sheet is the same bytes.
        self.pdf.document_info(info).title(TextStr(&self.sheet.title)).creator(TextStr("smallcast"));
        self.pdf.finish()
    }
}

fn symbol_key(symbol: usize) -> String {
    format!("S{symbol}")
}

fn picture_key(picture: usize) -> String {
    format!("P{picture}")
}

fn packed(bytes: &[u8]) -> Vec<u8> {
    let mut encoder = ZlibEncoder::new(Vec::new(), Compression::default());
    // Memory takes all that is written.
    let written = encoder.write_all(bytes).and_then(|()| encoder.finish());
    debug_assert!(written.is_ok());
    written.unwrap_or_default()
}

/// A page's operators, and what they ask for.
struct Contents<'a> {
    packed: Vec<u8>,
    pictures: Vec<&'a RgbaImage>,
    symbols: BTreeSet<usize>,
}

impl<'a> Contents<'a> {
    fn of(page: &'a Page, fonts: &'a [(Font, Ref)]) -> Self {
        let mut drawn = Drawn { content: Content::new(), fonts, pictures: Vec::new() };
        // From millimetres down the page to points up it.
        let (across, down) = (page.scale.0 * POINTS, page.scale.1 * POINTS);
        let height = page.size.1 * POINTS;
        drawn.content.transform([across as f32, 0.0, 0.0, -down as f32, 0.0, height as f32]);
        page.items.iter().for_each(|item| drawn.item(item));
        let symbol = |item: &Item| match item {
            Item::Symbol { symbol, .. } => Some(symbol.0),
            _ => None,
        };
        let symbols = page.items.iter().filter_map(symbol).collect();
        Self { packed: packed(&drawn.content.finish()), pictures: drawn.pictures, symbols }
    }
}

/// The operators of a page or symbol.
struct Drawn<'a> {
    content: Content,
    fonts: &'a [(Font, Ref)],
    pictures: Vec<&'a RgbaImage>,
}

impl<'a> Drawn<'a> {
    fn item(&mut self, item: &'a Item) {
        match item {
            Item::Disc { middle, radius, fill } => {
                self.fill(*fill);
                self.circle(*middle, *radius);
                self.content.fill_nonzero();
            }
            Item::Ring { middle, radius, width, ink } => {
                self.stroke(*ink, *width);
                self.circle(*middle, *radius);
                self.content.stroke();
            }
            Item::Line { from, to, width, ink, alpha } => {
                let ink = super::beads::mixed(super::beads::WHITE, *ink, f64::from(*alpha) / 255.0);
                self.stroke(ink, *width);
                self.content.move_to(from.x as f32, from.y as f32).line_to(to.x as f32, to.y as f32).stroke();
            }
            Item::Block { corner, size, fill } => {
                self.fill(*fill);
                let (width, height) = (size.0 as f32, size.1 as f32);
                self.content.rect(corner.x as f32, corner.y as f32, width, height).fill_nonzero();
            }
            Item::Text { start, size, face, ink, text } => self.text(*start, *size, *face, *ink, text),
            Item::Picture { corner, size, pixels } => {
                let name = picture_key(self.pictures.len());
                self.pictures.push(pixels);
                let (width, height) = (size.0 as f32, size.1 as f32);
                let (left, bottom) = (corner.x as f32, corner.y as f32 + height);
                self.content.save_state().transform([width, 0.0, 0.0, -height, left, bottom]);
                self.content.x_object(Name(name.as_bytes())).restore_state();
            }
            Item::Symbol { symbol, place } => {
                let name = symbol_key(symbol.0);
                // A symbol is in points, y upwards; the page in millimetres, downwards.
                let point = (1.0 / POINTS) as f32;
                let moved = [point, 0.0, 0.0, -point, place.x as f32, place.y as f32];
                self.content.save_state().transform(moved).x_object(Name(name.as_bytes())).restore_state();
            }
        }
    }

    fn text(&mut self, start: Point, size: f64, face: Face, ink: Srgb, text: &str) {
        let Some((font, _)) = self.fonts.iter().find(|(font, _)| font.face == face) else { return };
        let encoded = font.encoded(text);
        let key = font.key();
        self.fill(ink);
        // The page runs downwards, letters stand up.
        let matrix = [1.0, 0.0, 0.0, -1.0, start.x as f32, start.y as f32];
        self.content.begin_text().set_font(Name(key), size as f32).set_text_matrix(matrix);
        self.content.show(Str(&encoded)).end_text();
    }

    fn fill(&mut self, colour: Srgb) {
        let [r, g, b] = shares(colour);
        self.content.set_fill_rgb(r, g, b);
    }

    fn stroke(&mut self, colour: Srgb, width: f64) {
        let [r, g, b] = shares(colour);
        self.content.set_stroke_rgb(r, g, b).set_line_width(width as f32);
    }

    fn circle(&mut self, Point { x, y }: Point, r: f64) {
        let k = r * QUARTER;
        let c = &mut self.content;
        c.move_to((x + r) as f32, y as f32);
        for points in [
            [x + r, y + k, x + k, y + r, x, y + r],
            [x - k, y + r, x - r, y + k, x - r, y],
            [x - r, y - k, x - k, y - r, x, y - r],
            [x + k, y - r, x + r, y - k, x + r, y],
        ] {
            let [x1, y1, x2, y2, x3, y3] = points.map(|v| v as f32);
            c.cubic_to(x1, y1, x2, y2, x3, y3);
        }
        c.close_path();
    }
}

fn shares(colour: Srgb) -> [f32; 3] {
    [colour.r, colour.g, colour.b].map(|v| f32::from(v) / 255.0)
}
