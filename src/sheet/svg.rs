//! Pages as SVG: true size, letters as outlines, the same bytes every time.

use std::collections::BTreeSet;
use std::fmt::Write;

use image::codecs::png::PngEncoder;
use image::{ExtendedColorType, ImageEncoder, RgbaImage};

use super::drawing::{Item, Page, Point, Sheet, Unit};
use super::font::{EM, Face, Stroke};
use crate::colour::Srgb;

/// One page of a sheet as an SVG document.
///
/// Letters are drawn from their outlines, each defined once, so that they look the same where the font is
/// not installed; the words stand beside them for screen readers.
pub fn svg(sheet: &Sheet, page: &Page) -> String {
    let mut text = String::new();
    let (width, height) = (number(page.size.0), number(page.size.1));
    let unit = match sheet.unit {
        Unit::Millimetre => "mm",
        Unit::Pixel => "",
    };
    add(
        &mut text,
        format_args!(
            "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"{width}{unit}\" height=\"{height}{unit}\" \
         viewBox=\"0 0 {width} {height}\" xml:lang=\"en\">\n<title>{}</title>\n",
            escaped(&sheet.title)
        ),
    );
    definitions(&mut text, sheet, page);
    let ground = match (page.ground, sheet.unit) {
        (None, Unit::Millimetre) => Some(Srgb::new(255, 255, 255)),
        (ground, _) => ground,
    };
    if let Some(ground) = ground {
        add(&mut text, format_args!("<rect width=\"{width}\" height=\"{height}\" fill=\"{ground}\"/>\n"));
    }
    match page.scale {
        (1.0, 1.0) => text.push_str("<g>\n"),
        (x, y) => add(&mut text, format_args!("<g transform=\"scale({x} {y})\">\n")),
    }
    page.items.iter().for_each(|item| draw(&mut text, item));
    text.push_str("</g>\n</svg>\n");
    text
}

/// The letters and symbols a page uses.
fn definitions(text: &mut String, sheet: &Sheet, page: &Page) {
    let symbols: BTreeSet<_> = page
        .items
        .iter()
        .filter_map(|item| match item {
            Item::Symbol { symbol, .. } => Some(*symbol),
            _ => None,
        })
        .collect();
    let inner = symbols.iter().flat_map(|symbol| sheet.symbol(*symbol));
    let glyphs: BTreeSet<(Face, u16)> = page
        .items
        .iter()
        .chain(inner)
        .filter_map(|item| match item {
            Item::Text { face, text, .. } => Some(text.chars().map(|letter| (*face, face.glyph(letter)))),
            _ => None,
        })
        .flatten()
        .collect();
    text.push_str("<defs>\n");
    for (face, glyph) in glyphs {
        let outline = outline(&face.outline(glyph));
        if !outline.is_empty() {
            add(text, format_args!("<path id=\"{}\" d=\"{outline}\"/>\n", glyph_key(face, glyph)));
        }
    }
    for symbol in symbols {
        add(text, format_args!("<g id=\"s{}\">\n", symbol.0));
        sheet.symbol(symbol).iter().for_each(|item| draw(text, item));
        text.push_str("</g>\n");
    }
    text.push_str("</defs>\n");
}

fn draw(text: &mut String, item: &Item) {
    match item {
        Item::Disc { middle: Point { x, y }, radius, fill } => add(
            text,
            format_args!(
                "<circle cx=\"{}\" cy=\"{}\" r=\"{}\" fill=\"{fill}\"/>\n",
                number(*x),
                number(*y),
                number(*radius)
            ),
        ),
        Item::Ring { middle: Point { x, y }, radius, width, ink } => add(
            text,
            format_args!(
                "<circle cx=\"{}\" cy=\"{}\" r=\"{}\" fill=\"none\" stroke=\"{ink}\" stroke-width=\"{}\"/>\n",
                number(*x),
                number(*y),
                number(*radius),
                number(*width)
            ),
        ),
        Item::Line { from, to, width, ink, alpha } => {
            let veil = match alpha {
                255 => String::new(),
                alpha => format!(" stroke-opacity=\"{}\"", number(f64::from(*alpha) / 255.0)),
            };
            add(
                text,
                format_args!(
                    "<path d=\"M{} {}L{} {}\" stroke=\"{ink}\" stroke-width=\"{}\"{veil}/>\n",
                    number(from.x),
                    number(from.y),
                    number(to.x),
                    number(to.y),
                    number(*width)
                ),
            );
        }
        Item::Block { corner, size, fill } => add(
            text,
            format_args!(
                "<rect x=\"{}\" y=\"{}\" width=\"{}\" height=\"{}\" fill=\"{fill}\"/>\n",
                number(corner.x),
                number(corner.y),
                number(size.0),
                number(size.1)
            ),
        ),
        Item::Text { start, size, face, ink, text: words } => {
            write(text, words, (*start, *size), *face, *ink)
        }
        Item::Picture { corner, size, pixels } => add(
            text,
            format_args!(
                "<image x=\"{}\" y=\"{}\" width=\"{}\" height=\"{}\" preserveAspectRatio=\"none\" \
             href=\"data:image/png;base64,{}\"/>\n",
                number(corner.x),
                number(corner.y),
                number(size.0),
                number(size.1),
                base64(&png(pixels))
            ),
        ),
        Item::Symbol { symbol, place } => add(
            text,
            format_args!(
                "<use href=\"#s{}\" x=\"{}\" y=\"{}\"/>\n",
                symbol.0,
                number(place.x),
                number(place.y)
            ),
        ),
    }
}

fn write(text: &mut String, words: &str, (start, size): (Point, f64), face: Face, ink: Srgb) {
    let scale = size / EM;
    add(
        text,
        format_args!(
            "<g role=\"img\" aria-label=\"{}\" fill=\"{ink}\" transform=\"translate({} {}) scale({scale:.7})\">",
            escaped(words),
            number(start.x),
            number(start.y)
        ),
    );
    let mut x = 0.0;
    for glyph in words.chars().map(|letter| face.glyph(letter)) {
        if !face.outline(glyph).is_empty() {
            add(text, format_args!("<use href=\"#{}\" x=\"{}\"/>", glyph_key(face, glyph), number(x)));
        }
        x += face.advance(glyph);
    }
    text.push_str("</g>\n");
}

fn glyph_key(face: Face, glyph: u16) -> String {
    match face {
        Face::Regular => format!("r{glyph}"),
        Face::Bold => format!("b{glyph}"),
    }
}

/// A glyph's outline in units of the font.
fn outline(strokes: &[Stroke]) -> String {
    let mut path = String::new();
    let n = |v: f64| number(v * EM);
    for stroke in strokes {
        match *stroke {
            Stroke::Move(x, y) => add(&mut path, format_args!("M{} {}", n(x), n(y))),
            Stroke::Line(x, y) => add(&mut path, format_args!("L{} {}", n(x), n(y))),
            Stroke::Curve(cx, cy, x, y) => {
                add(&mut path, format_args!("Q{} {} {} {}", n(cx), n(cy), n(x), n(y)));
            }
            Stroke::Close => path.push('Z'),
        }
    }
    path
}

/// A number in a tenth of a micron at most, without needless noughts.
fn number(v: f64) -> String {
    let rounded = (v * 1e4).round() / 1e4;
    // No minus before a nought.
    if rounded == 0.0 { "0".into() } else { rounded.to_string() }
}

/// Text as XML takes it: its own signs written out, characters it forbids left out (XML 1.0, 2.2).
fn escaped(text: &str) -> String {
    let mut escaped = String::with_capacity(text.len());
    for letter in text.chars() {
        match letter {
            '&' => escaped.push_str("&amp;"),
            '<' => escaped.push_str("&lt;"),
            '>' => escaped.push_str("&gt;"),
            '"' => escaped.push_str("&quot;"),
            '\'' => escaped.push_str("&#39;"),
            _ if letter.is_control() || matches!(letter, '\u{FFFE}' | '\u{FFFF}') => escaped.push(' '),
            _ => escaped.push(letter),
        }
    }
    escaped
}

fn png(picture: &RgbaImage) -> Vec<u8> {
    let mut bytes = Vec::new();
    let (width, height) = picture.dimensions();
    // Writing to memory fails only for a picture without pixels, and no reference is one.
    let written = PngEncoder::new(&mut bytes).write_image(picture, width, height, ExtendedColorType::Rgba8);
    debug_assert!(written.is_ok());
    bytes
}

/// RFC 4648, section 4.
fn base64(bytes: &[u8]) -> String {
    const LETTERS: &[u8; 64] = b"ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789+/";
    let mut text = String::with_capacity(bytes.len().div_ceil(3) * 4);
    for three in bytes.chunks(3) {
        let byte = |at: usize| u32::from(three.get(at).copied().unwrap_or(0));
        let bits = byte(0) << 16 | byte(1) << 8 | byte(2);
        for place in 0..4 {
            let letter = LETTERS[(bits >> (18 - 6 * place) & 63) as usize];
            text.push(if place <= three.len() { char::from(letter) } else { '=' });
        }
    }
    text
}

/// Writing to a string cannot fail.
fn add(text: &mut String, what: std::fmt::Arguments) {
    let written = text.write_fmt(what);
    debug_assert!(written.is_ok());
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The test vectors of RFC 4648, section 10.
    #[test]
    fn base64_is_as_published() {
        let vectors = [
            ("", ""),
            ("f", "Zg=="),
            ("fo", "Zm8="),
            ("foo", "Zm9v"),
            ("foob", "Zm9vYg=="),
            ("fooba", "Zm9vYmE="),
            ("foobar", "Zm9vYmFy"),
        ];
        vectors.into_iter().for_each(|(plain, coded)| assert_eq!(base64(plain.as_bytes()), coded));
    }

    #[test]
    fn names_cannot_break_out_of_their_place() {
        assert_eq!(escaped("</title><script>'\"&\u{1}"), "&lt;/title&gt;&lt;script&gt;&#39;&quot;&amp; ");
    }
}
