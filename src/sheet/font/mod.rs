//! The one family of letters on sheets and pictures: Noto Sans, regular and bold.
//!
//! The font's files were brought to Latin, Greek and Cyrillic by `fixtures/font/make.py`; a PDF embeds what it uses of
//! them.

use std::sync::LazyLock;

use ttf_parser::GlyphId;

/// Units of the font's data in one em.
pub(super) const EM: f64 = 1000.0;

/// Height of capital letters, in ems (the font's OS/2 table).
pub(super) const CAPITALS: f64 = 0.714;

/// The printed point in millimetres: a seventy-second of an inch.
pub(super) const POINT: f64 = 25.4 / 72.0;

/// Shown for a letter the font does not have.
pub(super) const MISSING: char = '?';

/// The glyph that stands for no letter (OpenType: `.notdef` is the first).
const NO_LETTER: u16 = 0;

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

static REGULAR: LazyLock<Option<ttf_parser::Face>> = LazyLock::new(|| Face::Regular.read());
static BOLD: LazyLock<Option<ttf_parser::Face>> = LazyLock::new(|| Face::Bold.read());

impl Face {
    /// Every weight there is.
    pub(super) const ALL: [Self; 2] = [Self::Regular, Self::Bold];

    fn read(self) -> Option<ttf_parser::Face<'static>> {
        ttf_parser::Face::parse(self.file(), 0).ok()
    }

    /// What reads the font's file; a test sees that both can be read.
    fn reader(self) -> Option<&'static ttf_parser::Face<'static>> {
        match self {
            Self::Regular => REGULAR.as_ref(),
            Self::Bold => BOLD.as_ref(),
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
        self.found(letter).is_some()
    }

    /// The letter's glyph in the font's file; that of [`MISSING`] where there is none.
    pub(super) fn glyph(self, letter: char) -> u16 {
        self.found(letter).or_else(|| self.found(MISSING)).unwrap_or(NO_LETTER)
    }

    fn found(self, letter: char) -> Option<u16> {
        let glyph = self.reader()?.glyph_index(letter)?.0;
        (glyph != NO_LETTER).then_some(glyph)
    }

    /// How far a glyph moves on, in units of the font.
    pub(super) fn advance(self, glyph: u16) -> f64 {
        let advance = self.reader().and_then(|reader| reader.glyph_hor_advance(GlyphId(glyph)));
        advance.map_or(0.0, f64::from)
    }

    /// Width of a text set `size` to the em, in the unit of `size`.
    pub(super) fn width(self, text: &str, size: f64) -> f64 {
        text.chars().map(|letter| self.advance(self.glyph(letter))).sum::<f64>() * size / EM
    }

    /// A glyph's outline; empty for a blank.
    pub(super) fn outline(self, glyph: u16) -> Vec<Stroke> {
        let mut outline = Outline::default();
        self.reader().and_then(|reader| reader.outline_glyph(GlyphId(glyph), &mut outline));
        outline.strokes
    }
}

/// An outline as it is read, in ems.
#[derive(Default)]
struct Outline {
    strokes: Vec<Stroke>,
    /// Where the contour begins.
    start: (f64, f64),
}

/// From the font's units to ems, downwards.
fn place(x: f32, y: f32) -> (f64, f64) {
    (f64::from(x) / EM, -f64::from(y) / EM)
}

impl ttf_parser::OutlineBuilder for Outline {
    fn move_to(&mut self, x: f32, y: f32) {
        self.start = place(x, y);
        self.strokes.push(Stroke::Move(self.start.0, self.start.1));
    }

    fn line_to(&mut self, x: f32, y: f32) {
        let (x, y) = place(x, y);
        self.strokes.push(Stroke::Line(x, y));
    }

    fn quad_to(&mut self, cx: f32, cy: f32, x: f32, y: f32) {
        let ((cx, cy), (x, y)) = (place(cx, cy), place(x, y));
        self.strokes.push(Stroke::Curve(cx, cy, x, y));
    }

    /// A TrueType font has curves of the second degree alone.
    fn curve_to(&mut self, _: f32, _: f32, _: f32, _: f32, x: f32, y: f32) {
        self.line_to(x, y);
    }

    fn close(&mut self) {
        // Closing draws the last side.
        if self.strokes.last() == Some(&Stroke::Line(self.start.0, self.start.1)) {
            self.strokes.pop();
        }
        self.strokes.push(Stroke::Close);
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
            for glyph in 0..face.reader().unwrap().number_of_glyphs() {
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
