//! The one family of letters on sheets and pictures: Noto Sans, regular and bold.
//!
//! Advances, characters and outlines are data made once from the font's files by `make.py`, so that no
//! font reader is built in. The files themselves serve the PDF, which embeds what it uses of them.

use std::collections::BTreeMap;
use std::sync::LazyLock;

/// Units of the font's data in one em.
pub(super) const EM: f64 = 1000.0;

/// Height of capital letters, in ems (the font's OS/2 table).
pub(super) const CAPITALS: f64 = 0.714;

/// The printed point in millimetres: a seventy-second of an inch.
pub(super) const POINT: f64 = 25.4 / 72.0;

/// Shown for a letter the font does not have.
pub(super) const MISSING: char = '?';

/// A weight of the family.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Face {
    /// For reading.
    Regular,
    /// For marks, names and numbers that are looked for.
    Bold,
}

/// A piece of an outline, in ems, y downwards from the baseline.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) enum Stroke {
    Move(f64, f64),
    Line(f64, f64),
    Curve(f64, f64, f64, f64),
    Close,
}

struct Glyph {
    advance: f64,
    outline: &'static str,
}

struct Font {
    characters: BTreeMap<char, u16>,
    glyphs: Vec<Glyph>,
}

static REGULAR: LazyLock<Font> = LazyLock::new(|| Font::read(include_str!("noto_sans_regular.txt")));
static BOLD: LazyLock<Font> = LazyLock::new(|| Font::read(include_str!("noto_sans_bold.txt")));

impl Font {
    /// Reads the lines `make.py` wrote; glyphs stand in the order of their numbers.
    fn read(data: &'static str) -> Self {
        let mut font = Self { characters: BTreeMap::new(), glyphs: Vec::new() };
        for line in data.lines().filter(|line| !line.starts_with('#')) {
            let mut fields = line.splitn(4, ' ').skip(1);
            let advance = fields.next().and_then(|text| text.parse().ok()).unwrap_or(0.0);
            let number = font.glyphs.len() as u16;
            let codes = fields.next().unwrap_or("").split(',');
            let characters = codes.filter_map(|code| char::from_u32(u32::from_str_radix(code, 16).ok()?));
            font.characters.extend(characters.map(|character| (character, number)));
            font.glyphs.push(Glyph { advance, outline: fields.next().unwrap_or("") });
        }
        font
    }
}

impl Face {
    /// Every weight there is.
    pub(super) const ALL: [Self; 2] = [Self::Regular, Self::Bold];

    fn font(self) -> &'static Font {
        match self {
            Self::Regular => &REGULAR,
            Self::Bold => &BOLD,
        }
    }

    /// The font's file, a TrueType font.
    pub(super) fn file(self) -> &'static [u8] {
        match self {
            Self::Regular => include_bytes!("noto_sans_regular.ttf"),
            Self::Bold => include_bytes!("noto_sans_bold.ttf"),
        }
    }

    /// Whether the font has a letter.
    pub(super) fn has(self, letter: char) -> bool {
        self.font().characters.contains_key(&letter)
    }

    /// The letter's glyph in the font's file; that of [`MISSING`] where there is none.
    pub(super) fn glyph(self, letter: char) -> u16 {
        let characters = &self.font().characters;
        characters.get(&letter).or_else(|| characters.get(&MISSING)).copied().unwrap_or(0)
    }

    /// How far a glyph moves on, in units of the font.
    pub(super) fn advance(self, glyph: u16) -> f64 {
        self.font().glyphs.get(usize::from(glyph)).map_or(0.0, |glyph| glyph.advance)
    }

    /// Width of a text set `size` to the em, in the unit of `size`.
    pub(super) fn width(self, text: &str, size: f64) -> f64 {
        text.chars().map(|letter| self.advance(self.glyph(letter))).sum::<f64>() * size / EM
    }

    /// A glyph's outline; empty for a blank.
    pub(super) fn outline(self, glyph: u16) -> Vec<Stroke> {
        let mut strokes = Vec::new();
        self.add_outline(glyph, (0.0, 0.0), &mut strokes);
        strokes
    }

    fn add_outline(self, glyph: u16, (dx, dy): (f64, f64), strokes: &mut Vec<Stroke>) {
        let mut rest = self.font().glyphs.get(usize::from(glyph)).map_or("", |glyph| glyph.outline);
        while let Some(command) = rest.chars().next() {
            let end = rest[1..].find(char::is_alphabetic).map_or(rest.len(), |at| at + 1);
            let n: Vec<f64> = rest[1..end].split_whitespace().filter_map(|v| v.parse().ok()).collect();
            let (x, y) = (|v: f64| (v + dx) / EM, |v: f64| -(v + dy) / EM);
            match (command, n.as_slice()) {
                ('M', &[px, py]) => strokes.push(Stroke::Move(x(px), y(py))),
                ('L', &[px, py]) => strokes.push(Stroke::Line(x(px), y(py))),
                ('Q', &[cx, cy, px, py]) => strokes.push(Stroke::Curve(x(cx), y(cy), x(px), y(py))),
                // A part is always another, simpler glyph: the data were made from a font without rings.
                ('C', &[part, px, py]) if part as u16 != glyph => {
                    self.add_outline(part as u16, (dx + px, dy + py), strokes);
                }
                _ => strokes.push(Stroke::Close),
            }
            rest = &rest[end..];
        }
    }
}

/// A text as it can be set: breaks and control characters become blanks, letters the font lacks [`MISSING`].
/// Also says whether any letter was lacking.
pub(super) fn settable(text: &str) -> (String, bool) {
    let mut lacking = false;
    let letters: String = text
        .chars()
        .map(|letter| match letter {
            _ if letter.is_control() || letter.is_whitespace() => ' ',
            _ if Face::ALL.iter().all(|face| face.has(letter)) => letter,
            _ => {
                lacking = true;
                MISSING
            }
        })
        .collect();
    (letters.split_whitespace().collect::<Vec<_>>().join(" "), lacking)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn letters_have_their_advance_and_outline() {
        // Noto Sans 2.004: A is 639 units wide, figures all 572 (the font's hmtx table).
        assert_eq!(Face::Regular.advance(Face::Regular.glyph('A')), 639.0);
        for face in Face::ALL {
            assert!(('0'..='9').all(|figure| face.advance(face.glyph(figure)) == 572.0));
            assert!(face.outline(face.glyph(' ')).is_empty());
        }
        // An accented letter is its letter and its accent.
        let outline = |letter| Face::Bold.outline(Face::Bold.glyph(letter));
        assert!(outline('é').len() > outline('e').len() && outline('é').starts_with(&outline('e')));
    }

    #[test]
    fn every_outline_begins_with_a_move() {
        for face in Face::ALL {
            for glyph in 0..face.font().glyphs.len() as u16 {
                let outline = face.outline(glyph);
                assert!(matches!(outline.first(), None | Some(Stroke::Move(..))), "{glyph}");
                assert!(matches!(outline.last(), None | Some(Stroke::Close)), "{glyph}");
            }
        }
    }

    #[test]
    fn what_the_font_lacks_is_said() {
        assert_eq!(settable("Łucja\tΩ Ж"), ("Łucja Ω Ж".into(), false));
        assert_eq!(settable("灯 man"), ("? man".into(), true));
    }
}
