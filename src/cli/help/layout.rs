//! A page of help, laid out for a terminal or a pipe.

use unicode_width::UnicodeWidthStr;

use super::markdown::{Block, Tone, Word, words};
use crate::cli::output::Paint;
use crate::cli::table::headline;

/// How far in text stands, below its heading.
const IN: usize = 2;

/// How far in lines stand that are kept as they are, and what explains a term on a line of its own.
const FAR_IN: usize = 4;

/// Columns between a term and what explains it.
const GAP: usize = 2;

/// Narrower than this, an explanation beside its term is a column of single words.
const LEAST_BESIDE: usize = 30;

/// The page in `width` columns. Code keeps its lines, so that they can be copied.
pub fn lay_out(blocks: &[Block], paint: Paint, width: usize) -> String {
    let mut text = String::new();
    for (at, block) in blocks.iter().enumerate() {
        let follows = at.checked_sub(1).map(|before| &blocks[before]);
        let in_a_list = matches!((follows, block), (Some(Block::Item(_)), Block::Item(_)));
        if follows.is_some() && !in_a_list {
            text.push('\n');
        }
        let laid = match block {
            Block::Heading(heading) => format!("{}\n", headline(heading, paint, width)),
            Block::Text(said) => filled(&words(said), paint, width, [IN, IN]),
            Block::Item(said) => {
                let said = filled(&words(said), paint, width, [IN + GAP, IN + GAP]);
                format!("{}- {}", " ".repeat(IN), said.trim_start())
            }
            Block::Code(lines) => {
                lines.iter().map(|line| format!("{}{line}\n", " ".repeat(FAR_IN))).collect()
            }
            Block::Table(rows) => table(rows, paint, width),
        };
        // A line of nothing has no blanks either.
        laid.lines().for_each(|line| text.extend([line.trim_end(), "\n"]));
    }
    text
}

/// Terms with what explains them, without tones.
pub fn terms(list: impl IntoIterator<Item = (String, String)>, width: usize) -> String {
    let rows: Vec<Vec<String>> = list.into_iter().map(|(term, said)| vec![term, said]).collect();
    table(&rows, Paint::plain(), width).trim_end().to_owned()
}

/// The rows of a table as terms, each with what explains it beside it where there is room, else below it.
fn table(rows: &[Vec<String>], paint: Paint, width: usize) -> String {
    let term = |row: &Vec<String>| words(row.first().map_or("", String::as_str));
    let longest = rows.iter().map(|row| long(&term(row), paint)).max().unwrap_or(0);
    let beside = IN + longest.min(width / 3) + GAP;
    let apart = width < beside + LEAST_BESIDE;
    let mut text = String::new();
    for row in rows {
        let (term, said) = (term(row), words(&row.get(1..).unwrap_or_default().join("; ")));
        let own_line = apart || IN + long(&term, paint) + GAP > beside;
        let left = if apart { FAR_IN } else { beside };
        let named = filled(&term, paint, width, [IN, FAR_IN]);
        let said = filled(&said, paint, width, [left, left]);
        if own_line {
            text.extend([named, said]);
        } else {
            let gap = " ".repeat(beside - IN - long(&term, paint));
            text.extend([named.trim_end(), &gap, said.trim_start()]);
        }
    }
    text
}

/// Words in lines: the first is indented by the first number, the others by the second.
fn filled(words: &[Word], paint: Paint, width: usize, [first, rest]: [usize; 2]) -> String {
    let (mut text, mut column, mut room) = (" ".repeat(first), first, true);
    for run in runs(words, paint) {
        let wide = run.1;
        if !room && column + 1 + wide > width {
            text += "\n";
            text += &" ".repeat(rest);
            (column, room) = (rest, true);
        }
        if !room {
            text.push(' ');
            column += 1;
        }
        text += &run.0;
        (column, room) = (column + wide, false);
    }
    text.push('\n');
    text
}

/// Columns that words take on one line.
fn long(words: &[Word], paint: Paint) -> usize {
    let runs = runs(words, paint);
    runs.iter().map(|run| run.1).sum::<usize>() + runs.len().saturating_sub(1)
}

/// Each word as it is printed, with its columns. Without colours code keeps the marks it has in the page: a single full
/// stop would not be seen otherwise.
fn runs(words: &[Word], paint: Paint) -> Vec<(String, usize)> {
    let is_code = |word: Option<&Word>, last: bool| {
        let piece = word.and_then(|word| if last { word.last() } else { word.first() });
        piece.is_some_and(|(tone, _)| *tone == Tone::Code)
    };
    let mut runs = Vec::new();
    for (at, word) in words.iter().enumerate() {
        let (before, after) = (at.checked_sub(1).and_then(|at| words.get(at)), words.get(at + 1));
        let (mut text, mut wide) = (String::new(), 0);
        for (place, (tone, piece)) in word.iter().enumerate() {
            let opens = !(place == 0 && is_code(before, true));
            let closes = !(place + 1 == word.len() && is_code(after, false));
            let mark = |is: bool| if *tone == Tone::Code && !paint.is_coloured() && is { "`" } else { "" };
            let shown = format!("{}{piece}{}", mark(opens), mark(closes));
            wide += shown.width();
            text += &match tone {
                Tone::Plain => shown,
                Tone::Code | Tone::Strong => paint.heading(&shown),
                Tone::Leaning => paint.leaning(&shown),
            };
        }
        runs.push((text, wide));
    }
    runs
}

#[cfg(test)]
mod tests {
    use super::super::markdown::blocks;
    use super::*;

    #[test]
    fn a_page_in_a_pipe_keeps_its_code_marked_and_its_lines_short() {
        let page = "# Beads\n\nWrite `--tray my.csv`, and `.` is an *empty* peg.\n\n- **one** item that goes on and on\n- two\n\n| a | b |\n|---|---|\n| `hex` | its colour |\n| `uncertainty` | how far off |\n";
        assert_eq!(
            lay_out(&blocks(page), Paint::plain(), 32),
            "Beads\n\n  Write `--tray my.csv`, and `.`\n  is an empty peg.\n\n  - one item that goes on and on\n  - two\n\n  `hex`\n    its colour\n  `uncertainty`\n    how far off\n"
        );
    }
}
