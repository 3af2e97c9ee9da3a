//! Words brought to the room there is.

use super::super::font::Face;

/// Stands for what was cut off.
const CUT: char = '…';

/// A text cut to a width, its end marked; whole where it fits.
pub(in crate::sheet) fn cut(text: &str, face: Face, size: f64, width: f64) -> String {
    if face.width(text, size) <= width {
        return text.into();
    }
    let mut kept = String::new();
    for letter in text.chars() {
        let longer = format!("{kept}{letter}{CUT}");
        if face.width(&longer, size) > width {
            break;
        }
        kept.push(letter);
    }
    format!("{}{CUT}", kept.trim_end())
}

/// Keeps what stands on both its sides on one line; it is set as a blank.
pub(in crate::sheet) const BOUND: char = '\u{a0}';

/// A text in lines no wider than a width, broken at blanks, within a word only where one is wider than a line.
pub(in crate::sheet) fn wrapped(text: &str, face: Face, size: f64, width: f64) -> Vec<String> {
    let mut lines = Vec::new();
    let mut line = String::new();
    for word in text.split(' ').filter(|word| !word.is_empty()) {
        let longer = if line.is_empty() { word.to_owned() } else { format!("{line} {word}") };
        if face.width(&longer, size) <= width {
            line = longer;
            continue;
        }
        if !line.is_empty() {
            lines.push(std::mem::take(&mut line));
        }
        for letter in word.chars() {
            if !line.is_empty() && face.width(&format!("{line}{letter}"), size) > width {
                lines.push(std::mem::take(&mut line));
            }
            line.push(letter);
        }
    }
    if !line.is_empty() {
        lines.push(line);
    }
    lines.into_iter().map(|line| line.replace(BOUND, " ")).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn nothing_is_lost_by_wrapping_and_no_line_is_too_wide() {
        let text = "gap 4, 3 coal, 12 a-very-long-bead-name-that-cannot-fit-in-one-line, 2 bone";
        let lines = wrapped(text, Face::Regular, 3.0, 30.0);
        assert!(lines.iter().all(|line| Face::Regular.width(line, 3.0) <= 30.0), "{lines:?}");
        let letters = |text: &str| text.replace(' ', "");
        assert_eq!(letters(&lines.concat()), letters(text));
    }

    #[test]
    fn a_cut_text_fits_and_says_so() {
        assert_eq!(cut("bone", Face::Bold, 3.0, 30.0), "bone");
        let short = cut("a name much too long for this", Face::Bold, 3.0, 20.0);
        assert!(short.ends_with('…') && Face::Bold.width(&short, 3.0) <= 20.0, "{short}");
    }
}
