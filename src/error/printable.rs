//! Text that came from outside, made safe to print: a terminal obeys what it is shown.

/// Control characters, line and paragraph separators, the marks that turn the writing direction (`Bidi_Control`,
/// Unicode Standard Annex 9) and the byte order mark: each could make a text read as something it is not.
pub fn is_unprintable(c: char) -> bool {
    c.is_control()
        || matches!(c, '\u{61c}' | '\u{200e}' | '\u{200f}' | '\u{2028}'..='\u{202e}' | '\u{2066}'..='\u{2069}' | '\u{feff}')
}

/// Such characters of a text written out, as `\u{1b}`; all others as they are.
pub fn printable(text: &str) -> String {
    let mut shown = String::with_capacity(text.len());
    for c in text.chars() {
        if is_unprintable(c) { shown.extend(c.escape_default()) } else { shown.push(c) }
    }
    shown
}

/// As much of what was typed or written in a file as a message echoes: it is known by its beginning.
const ECHOED: usize = 80;
/// As much of a reason as is said, which may echo words of the same.
const SAID: usize = 240;

/// The beginning of what was typed or written in a file, made safe to print, for a message that echoes it.
pub fn echoed(text: &str) -> String {
    beginning(text, ECHOED)
}

/// A reason that may hold words from outside, made safe to print, and cut where it is longer than any of ours.
pub fn said(text: &str) -> String {
    beginning(text, SAID)
}

fn beginning(text: &str, most: usize) -> String {
    let mut shown = printable(text);
    if let Some((end, _)) = shown.char_indices().nth(most) {
        shown.truncate(end);
        shown.push('…');
    }
    shown
}
