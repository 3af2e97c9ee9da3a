//! Sheets and pictures as pixels.

use image::RgbaImage;
use tiny_skia::{
    ColorU8, FillRule, FilterQuality, Paint, Path, PathBuilder, Pixmap, PixmapMut, PixmapPaint,
    Stroke as Pen, Transform,
};

use super::drawing::{Item, Page, Point, Sheet, Unit};
use super::font::{Face, Stroke};
use crate::colour::Srgb;

/// Pixels to the inch of a sheet's PNG: what printers are made for.
pub const PRINT_RESOLUTION: f64 = 300.0;

const INCH: f64 = 25.4;

/// Most pixels a side: a sheet of A4 at 1200 to the inch, and any picture that is laid out here.
const MOST_SIDE: f64 = 16_000.0;

/// A page of a sheet as the bytes of a PNG file that knows its own size on paper.
///
/// The bytes follow from the sheet; they may differ between kinds of processor, since pixels are summed in
/// single precision.
pub fn png_page(sheet: &Sheet, page: &Page, resolution: f64) -> Vec<u8> {
    let picture = raster(sheet, page, resolution);
    let rgb: Vec<u8> = picture.pixels().flat_map(|p| [p[0], p[1], p[2]]).collect();
    let mut bytes = Vec::new();
    let mut encoder = png::Encoder::new(&mut bytes, picture.width(), picture.height());
    encoder.set_color(png::ColorType::Rgb);
    encoder.set_depth(png::BitDepth::Eight);
    encoder.set_compression(png::Compression::Balanced);
    if sheet.unit == Unit::Millimetre {
        let per_metre = (resolution / INCH * 1000.0).round() as u32;
        encoder.set_pixel_dims(Some(png::PixelDimensions {
            xppu: per_metre,
            yppu: per_metre,
            unit: png::Unit::Meter,
        }));
    }
    // Writing to memory fails only for a picture without pixels, and a page has some.
    let written = encoder.write_header().and_then(|mut writer| writer.write_image_data(&rgb));
    debug_assert!(written.is_ok());
    bytes
}

/// A page as pixels: `resolution` to the inch for a sheet on paper, one to one for a picture.
pub fn raster(sheet: &Sheet, page: &Page, resolution: f64) -> RgbaImage {
    let unit = match sheet.unit {
        Unit::Millimetre => resolution / INCH,
        Unit::Pixel => 1.0,
    };
    let pixels = |side: f64| (side * unit).round().clamp(1.0, MOST_SIDE) as u32;
    // Both sides are at least 1 and far from overflowing.
    let mut pixmap = Pixmap::new(pixels(page.size.0), pixels(page.size.1)).expect("a page has a size");
    match (page.ground, sheet.unit) {
        (Some(ground), _) => pixmap.fill(tiny_skia::Color::from_rgba8(ground.r, ground.g, ground.b, 255)),
        (None, Unit::Millimetre) => pixmap.fill(tiny_skia::Color::WHITE),
        (None, Unit::Pixel) => {}
    }
    let whole = Transform::from_scale((page.scale.0 * unit) as f32, (page.scale.1 * unit) as f32);
    let mut canvas = pixmap.as_mut();
    page.items.iter().for_each(|item| draw(&mut canvas, sheet, item, whole));
    straight(&pixmap)
}

fn draw(canvas: &mut PixmapMut, sheet: &Sheet, item: &Item, place: Transform) {
    match item {
        Item::Disc { middle, radius, fill } => {
            if let Some(path) = circle(*middle, *radius) {
                canvas.fill_path(&path, &solid(*fill, u8::MAX), FillRule::Winding, place, None);
            }
        }
        Item::Ring { middle, radius, width, ink } => {
            if let Some(path) = circle(*middle, *radius) {
                let pen = Pen { width: *width as f32, ..Pen::default() };
                canvas.stroke_path(&path, &solid(*ink, u8::MAX), &pen, place, None);
            }
        }
        Item::Line { from, to, width, ink, alpha } => {
            if let Some(path) = straight_line(*from, *to) {
                let pen = Pen { width: *width as f32, ..Pen::default() };
                canvas.stroke_path(&path, &solid(*ink, *alpha), &pen, place, None);
            }
        }
        Item::Block { corner, size, fill } => {
            let (x, y) = (corner.x as f32, corner.y as f32);
            if let Some(block) = tiny_skia::Rect::from_xywh(x, y, size.0 as f32, size.1 as f32) {
                canvas.fill_rect(block, &solid(*fill, u8::MAX), place, None);
            }
        }
        Item::Text { start, size, face, ink, text } => {
            write(canvas, text, (*start, *size), *face, (*ink, place));
        }
        Item::Picture { corner, size, pixels } => {
            let Some(picture) = premultiplied(pixels) else { return };
            let scale = (size.0 / f64::from(pixels.width()), size.1 / f64::from(pixels.height()));
            let (x, y) = (corner.x as f32, corner.y as f32);
            let own = Transform::from_row(scale.0 as f32, 0.0, 0.0, scale.1 as f32, x, y).post_concat(place);
            let paint = PixmapPaint { quality: FilterQuality::Bilinear, ..PixmapPaint::default() };
            canvas.draw_pixmap(0, 0, picture.as_ref(), &paint, own, None);
        }
        Item::Symbol { symbol, place: Point { x, y } } => {
            let moved = Transform::from_translate(*x as f32, *y as f32).post_concat(place);
            sheet.symbol(*symbol).iter().for_each(|item| draw(canvas, sheet, item, moved));
        }
    }
}

fn write(
    canvas: &mut PixmapMut,
    text: &str,
    (start, size): (Point, f64),
    face: Face,
    (ink, place): (Srgb, Transform),
) {
    let mut x = start.x;
    for letter in text.chars() {
        let glyph = face.glyph(letter);
        if let Some(path) = outline(&face.outline(glyph)) {
            let own = Transform::from_row(size as f32, 0.0, 0.0, size as f32, x as f32, start.y as f32);
            let paint = solid(ink, u8::MAX);
            canvas.fill_path(&path, &paint, FillRule::Winding, own.post_concat(place), None);
        }
        x += face.width(letter.encode_utf8(&mut [0; 4]), size);
    }
}

fn outline(strokes: &[Stroke]) -> Option<Path> {
    let mut path = PathBuilder::new();
    for stroke in strokes {
        match *stroke {
            Stroke::Move(x, y) => path.move_to(x as f32, y as f32),
            Stroke::Line(x, y) => path.line_to(x as f32, y as f32),
            Stroke::Curve(cx, cy, x, y) => path.quad_to(cx as f32, cy as f32, x as f32, y as f32),
            Stroke::Close => path.close(),
        }
    }
    path.finish()
}

fn circle(middle: Point, radius: f64) -> Option<Path> {
    PathBuilder::from_circle(middle.x as f32, middle.y as f32, radius as f32)
}

fn straight_line(from: Point, to: Point) -> Option<Path> {
    let mut path = PathBuilder::new();
    path.move_to(from.x as f32, from.y as f32);
    path.line_to(to.x as f32, to.y as f32);
    path.finish()
}

fn solid(colour: Srgb, alpha: u8) -> Paint<'static> {
    let mut paint = Paint { anti_alias: true, ..Paint::default() };
    paint.set_color_rgba8(colour.r, colour.g, colour.b, alpha);
    paint
}

fn premultiplied(picture: &RgbaImage) -> Option<Pixmap> {
    let mut pixmap = Pixmap::new(picture.width(), picture.height())?;
    for (to, from) in pixmap.pixels_mut().iter_mut().zip(picture.pixels()) {
        let [r, g, b, alpha] = from.0;
        *to = ColorU8::from_rgba(r, g, b, alpha).premultiply();
    }
    Some(pixmap)
}

/// The picture with straight alpha.
fn straight(pixmap: &Pixmap) -> RgbaImage {
    RgbaImage::from_fn(pixmap.width(), pixmap.height(), |x, y| {
        let place = (y * pixmap.width() + x) as usize;
        let c = pixmap.pixels()[place].demultiply();
        image::Rgba([c.red(), c.green(), c.blue(), c.alpha()])
    })
}
