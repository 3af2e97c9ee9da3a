//! Letters for the few words a picture carries, from the outlines of one open font.
//!
//! The outlines are data made once from the font's file (`noto_sans.txt` says how), so that no font
//! reader is built in.

use std::collections::BTreeMap;
use std::sync::LazyLock;

use tiny_skia::{FillRule, Paint, Path, PathBuilder, PixmapMut, Transform};

use crate::colour::Srgb;

/// Units of the outlines in one em.
const EM: f32 = 1000.0;

/// Shown for a letter the font data do not have.
const MISSING: char = '?';

struct Letter {
    advance: f32,
    /// Nothing for a blank.
    outline: Option<Path>,
}

static LETTERS: LazyLock<BTreeMap<char, Letter>> = LazyLock::new(|| {
    let lines = include_str!("noto_sans.txt").lines().filter(|line| !line.starts_with('#'));
    lines.filter_map(parse).collect()
});

fn parse(line: &str) -> Option<(char, Letter)> {
    let mut fields = line.splitn(3, ' ');
    let letter = char::from_u32(u32::from_str_radix(fields.next()?, 16).ok()?)?;
    let advance = fields.next()?.parse().ok()?;
    Some((letter, Letter { advance, outline: outline(fields.next().unwrap_or("")) }))
}

fn outline(text: &str) -> Option<Path> {
    let mut path = PathBuilder::new();
    let mut rest = text;
    while let Some(command) = rest.chars().next() {
        let end = rest[1..].find(char::is_alphabetic).map_or(rest.len(), |at| at + 1);
        let n: Vec<f32> = rest[1..end].split_whitespace().filter_map(|v| v.parse().ok()).collect();
        match (command, n.as_slice()) {
            ('M', &[x, y]) => path.move_to(x, -y),
            ('L', &[x, y]) => path.line_to(x, -y),
            ('Q', &[cx, cy, x, y]) => path.quad_to(cx, -cy, x, -y),
            _ => path.close(),
        }
        rest = &rest[end..];
    }
    path.finish()
}

fn letter(c: char) -> Option<&'static Letter> {
    LETTERS.get(&c).or_else(|| LETTERS.get(&MISSING))
}

/// Width in pixels of a text set `size` pixels to the em.
pub(super) fn width_of(text: &str, size: f32) -> f32 {
    text.chars().filter_map(letter).map(|l| l.advance * size / EM).sum()
}

/// Sets a text with its baseline's left end at (x, y), `size` pixels to the em.
pub(super) fn write(canvas: &mut PixmapMut, text: &str, (x, y): (f32, f32), size: f32, ink: Srgb) {
    let scale = size / EM;
    let mut paint = Paint { anti_alias: true, ..Paint::default() };
    paint.set_color_rgba8(ink.r, ink.g, ink.b, 255);
    let mut at = x;
    for letter in text.chars().filter_map(letter) {
        if let Some(outline) = &letter.outline {
            let place = Transform::from_row(scale, 0.0, 0.0, scale, at, y);
            canvas.fill_path(outline, &paint, FillRule::Winding, place, None);
        }
        at += letter.advance * scale;
    }
}
