//! A page of help, taken apart: the little of Markdown that our pages use.

/// A piece of a page.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Block {
    /// A heading.
    Heading(String),
    /// A paragraph, its lines joined.
    Text(String),
    /// An item of a list.
    Item(String),
    /// Lines that are kept as they are.
    Code(Vec<String>),
    /// The rows of a table, without its head.
    Table(Vec<Vec<String>>),
}

/// How a piece of text is set off.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Tone {
    /// As all is.
    Plain,
    /// What is typed or stands in a file.
    Code,
    /// What must not be missed.
    Strong,
    /// A word that is meant as a word, or a quotation.
    Leaning,
}

/// A word that is not broken: its pieces, each in its tone.
pub type Word = Vec<(Tone, String)>;

/// The blocks of a page, in order.
pub fn blocks(text: &str) -> Vec<Block> {
    let mut blocks: Vec<Block> = Vec::new();
    let mut lines = text.lines();
    let mut joins = false;
    while let Some(line) = lines.next() {
        let bare = line.trim();
        let joined = joins && !bare.is_empty();
        joins = !bare.is_empty();
        if bare.starts_with("```") {
            let code = lines.by_ref().take_while(|line| line.trim() != "```").map(str::to_owned);
            blocks.push(Block::Code(code.collect()));
            joins = false;
        } else if bare.starts_with('#') {
            blocks.push(Block::Heading(bare.trim_start_matches('#').trim().into()));
            joins = false;
        } else if bare.starts_with('|') {
            row(&mut blocks, cells(bare), joined);
        } else if let Some(item) = bare.strip_prefix("- ") {
            blocks.push(Block::Item(item.into()));
        } else if let (true, Some(Block::Text(text) | Block::Item(text))) = (joined, blocks.last_mut()) {
            text.push(' ');
            text.push_str(bare);
        } else if joins {
            blocks.push(Block::Text(bare.into()));
        }
    }
    blocks
}

/// Adds a row to the table it stands in. The first row of a table is its head, and the second parts them.
fn row(blocks: &mut Vec<Block>, cells: Vec<String>, joined: bool) {
    let is_rule = cells.iter().all(|cell| cell.chars().all(|c| c == '-'));
    match blocks.last_mut() {
        Some(Block::Table(_)) if is_rule => {}
        Some(Block::Table(rows)) if joined => rows.push(cells),
        _ => blocks.push(Block::Table(Vec::new())),
    }
}

/// The cells of a row: `| one | two |`, where `\|` is a bar of the text.
fn cells(line: &str) -> Vec<String> {
    let inside = line.trim_matches('|');
    let mut cells = vec![String::new()];
    let mut letters = inside.chars().peekable();
    while let Some(letter) = letters.next() {
        match (letter, letters.peek(), cells.last_mut()) {
            ('\\', Some('|'), Some(cell)) => cell.extend(letters.next()),
            ('|', ..) => cells.push(String::new()),
            (_, _, Some(cell)) => cell.push(letter),
            (_, _, None) => {}
        }
    }
    cells.into_iter().map(|cell| cell.trim().to_owned()).collect()
}

/// The words of a text with their tones.
pub fn words(text: &str) -> Vec<Word> {
    let mut words: Vec<Word> = vec![Vec::new()];
    let mut tone = Tone::Plain;
    let mut before = ' ';
    let mut letters = text.chars().peekable();
    while let Some(letter) = letters.next() {
        let doubled = letter == '*' && letters.peek() == Some(&'*');
        let toggled = match (letter, tone) {
            ('`', Tone::Code) | ('*', Tone::Leaning) => Some(Tone::Plain),
            ('`', Tone::Plain) => Some(Tone::Code),
            ('*', Tone::Strong) if doubled => Some(Tone::Plain),
            ('*', Tone::Plain) if doubled => Some(Tone::Strong),
            // A star behind a letter belongs to it, as in L*.
            ('*', Tone::Plain) if !before.is_alphanumeric() => Some(Tone::Leaning),
            _ => None,
        };
        before = letter;
        match toggled {
            Some(next) => {
                tone = next;
                if doubled {
                    letters.next();
                }
            }
            None if letter == ' ' => words.push(Vec::new()),
            None => put(&mut words, tone, letter),
        }
    }
    words.retain(|word| !word.is_empty());
    words
}

/// Adds a letter to the last word.
fn put(words: &mut [Word], tone: Tone, letter: char) {
    let Some(word) = words.last_mut() else { return };
    match word.last_mut() {
        Some((last, piece)) if *last == tone => piece.push(letter),
        _ => word.push((tone, letter.into())),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_page_falls_into_its_blocks() {
        let page = "# Beads\n\nOne\ntwo.\n\n- an item\n  goes on\n- another\n\n```csv\na,b\n```\n\n| x | y |\n|---|---|\n| `a\\|b` | c |\n";
        assert_eq!(
            blocks(page),
            [
                Block::Heading("Beads".into()),
                Block::Text("One two.".into()),
                Block::Item("an item goes on".into()),
                Block::Item("another".into()),
                Block::Code(vec!["a,b".into()]),
                Block::Table(vec![vec!["`a|b`".into(), "c".into()]]),
            ]
        );
    }

    #[test]
    fn tones_are_told_from_stars_that_belong_to_a_word() {
        let said = words("the card's L*, *sure* and `--patch 51.6`, **mind** it");
        let of =
            |tone| said.iter().flatten().filter(move |piece| piece.0 == tone).map(|piece| piece.1.as_str());
        assert_eq!(of(Tone::Code).collect::<Vec<_>>(), ["--patch", "51.6"]);
        assert_eq!(of(Tone::Leaning).collect::<Vec<_>>(), ["sure"]);
        assert_eq!(of(Tone::Strong).collect::<Vec<_>>(), ["mind"]);
        assert!(of(Tone::Plain).any(|word| word == "L*,"));
    }
}
