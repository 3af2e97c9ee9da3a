//! Slips in the line of a change that are so common that the right line can be named.

use super::line::Word;

/// Words that are no changes and that say the same as one, each with it.
pub(super) const OTHER_WORDS: [(&str, &str); 11] = [
    ("replace", "swap"),
    ("change", "swap"),
    ("exchange", "swap"),
    ("recolour", "swap"),
    ("recolor", "swap"),
    ("delete", "lift"),
    ("erase", "lift"),
    ("clear", "lift"),
    ("put", "place"),
    ("set", "place"),
    ("rename", "name"),
];

/// Changes whose places may be written with a blank by a slip.
const WITH_PLACES: [&str; 11] =
    ["place", "lift", "fill", "move", "copy", "mirror", "part", "keep", "doubt", "meant", "not-meant"];

/// A slip in a line that cannot be read: a word that nothing needs, or a place with a blank in it; and the right line.
pub(super) fn slip(words: &[Word]) -> Option<(String, String)> {
    /// Changes of something for something else.
    const FOR_ANOTHER: [&str; 4] = ["swap", "rematch", "mark", "call"];
    let first = words.first()?.text.as_str();
    let between = words.get(2).filter(|word| !word.quoted && ["to", "for", "with"].contains(&&*word.text));
    if let Some(between) = between.filter(|_| FOR_ANOTHER.contains(&first) && words.len() > 3) {
        let rest = words.iter().enumerate().filter(|(at, _)| *at != 2);
        let rest: Vec<String> = rest.map(|(_, word)| word.written()).collect();
        return Some((format!("'{}' is too much", between.text), format!("write {}", rest.join(" "))));
    }
    let number = |text: &str| text.parse::<i32>().is_ok();
    let parted = words.windows(2).find_map(|pair| {
        let (row, column) = (pair[0].text.trim_end_matches(','), pair[1].text.trim_start_matches(','));
        (number(row) && number(column)).then_some((row, column))
    });
    let (row, column) = parted.filter(|_| WITH_PLACES.contains(&first))?;
    let right = format!("write row and column without a blank: {row},{column}");
    Some(("the place is in two words".into(), right))
}

impl Word {
    /// As it stood in the line.
    fn written(&self) -> String {
        if self.quoted { format!("\"{}\"", self.text) } else { self.text.clone() }
    }
}
