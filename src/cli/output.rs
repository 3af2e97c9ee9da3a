//! What is printed on standard output, and how much colour and room it may take.

use std::io::{ErrorKind, Write};

use serde::Serialize;
use smallcast::colour::{Srgb, ciede2000};
use smallcast::error::{Error, Result, is_unprintable, printable};
use smallcast::files;

/// Columns where the terminal does not say: the width that every terminal has had.
const USUAL_WIDTH: usize = 80;

/// Fewest columns a table is laid out for; a narrower terminal wraps it.
const LEAST_WIDTH: usize = 40;

/// Writes a whole answer; of control characters only line ends and our own colours reach the terminal, wherever a name
/// came from. A pipe that was closed has had enough: that is no error.
///
/// # Errors
/// [`Error::Unprintable`] if the system will not take it for another reason.
pub fn print(text: &str) -> Result<()> {
    let lines = text.split_inclusive('\n').map(|line| match line.strip_suffix('\n') {
        Some(line) => without_orders(line) + "\n",
        None => without_orders(line),
    });
    write(&lines.collect::<String>())
}

/// Writes a text that a program is meant to read, as it is.
///
/// # Errors
/// As [`print`].
pub fn print_script(text: &str) -> Result<()> {
    write(text)
}

/// A line with nothing a terminal obeys but colours (`ESC [ numbers m`, ECMA-48 SGR).
fn without_orders(line: &str) -> String {
    let mut pieces = line.split('\u{1b}');
    let mut text = printable(pieces.next().unwrap_or_default());
    for piece in pieces {
        let colour = piece.strip_prefix('[').and_then(|rest| rest.split_once('m'));
        match colour.filter(|(numbers, _)| numbers.chars().all(|c| c.is_ascii_digit() || c == ';')) {
            Some((numbers, rest)) => text += &format!("\u{1b}[{numbers}m{}", printable(rest)),
            None => text += &printable(&format!("\u{1b}{piece}")),
        }
    }
    text
}

fn write(text: &str) -> Result<()> {
    let mut out = std::io::stdout().lock();
    match out.write_all(text.as_bytes()).and_then(|()| out.flush()) {
        Err(e) if e.kind() != ErrorKind::BrokenPipe => Err(Error::Unprintable { why: files::reason(&e) }),
        _ => Ok(()),
    }
}

/// Writes one JSON document.
///
/// # Errors
/// As [`print`].
pub fn print_json(document: &impl Serialize) -> Result<()> {
    // Our documents are structs of texts and numbers with text keys: there is nothing to refuse.
    let json = serde_json::to_string_pretty(document).expect("plain structs become JSON");
    // JSON writes control characters by their numbers already; what else a terminal obeys stands in texts alone.
    let mut text = String::with_capacity(json.len() + 1);
    for c in json.chars() {
        match is_unprintable(c) && c != '\n' {
            true => text += &format!("\\u{:04x}", u32::from(c)),
            false => text.push(c),
        }
    }
    text.push('\n');
    write(&text)
}

/// Columns to write in: those that `COLUMNS` says (POSIX), else of the terminal on standard output, 80 if it is none.
pub fn width() -> usize {
    let said = std::env::var("COLUMNS").ok().and_then(|columns| columns.parse().ok());
    let terminal =
        || terminal_size::terminal_size_of(std::io::stdout()).map(|(width, _)| usize::from(width.0));
    let asked = said.filter(|&columns| columns > 0).or_else(terminal);
    asked.unwrap_or(USUAL_WIDTH).max(LEAST_WIDTH)
}

/// The colours that may be written.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Depth {
    /// None: a pipe, `NO_COLOR`, or a terminal whose few colours are the reader's own.
    Plain,
    /// The 256 colours of the xterm table.
    Indexed,
    /// Any colour.
    True,
}

impl Depth {
    /// `NO_COLOR` forbids; otherwise the terminal decides, or `CLICOLOR_FORCE` where there is none.
    fn of_stdout() -> Self {
        let says = |name: &str| std::env::var(name).is_ok_and(|value| !value.is_empty() && value != "0");
        // Any value counts, as no-color.org has it.
        if std::env::var_os("NO_COLOR").is_some_and(|value| !value.is_empty()) {
            return Self::Plain;
        }
        // supports-color knows "forced" only as sixteen colours; the terminal's own word goes further.
        let forced = says("CLICOLOR_FORCE") || says("FORCE_COLOR");
        let true_colour = || std::env::var("COLORTERM").is_ok_and(|v| v == "truecolor" || v == "24bit");
        match supports_color::on(supports_color::Stream::Stdout) {
            None => Self::Plain,
            Some(level) if level.has_16m || true_colour() => Self::True,
            Some(level) if level.has_256 || forced => Self::Indexed,
            Some(_) => Self::Plain,
        }
    }
}

/// Colours text for standard output as far as it may be coloured.
#[derive(Clone, Copy, Debug)]
pub struct Paint(Depth);

impl Paint {
    /// The paint that suits standard output.
    pub fn for_stdout() -> Self {
        Self(Depth::of_stdout())
    }

    /// No colours at all.
    pub fn plain() -> Self {
        Self(Depth::Plain)
    }

    /// Whether colours are written at all.
    pub fn is_coloured(self) -> bool {
        self.0 != Depth::Plain
    }

    /// A patch of colour, `width` columns wide; blanks where there are no colours.
    pub fn swatch(self, colour: Srgb, width: usize) -> String {
        let blanks = " ".repeat(width);
        match self.colour(colour) {
            None => blanks,
            Some(ground) => styled(anstyle::Style::new().bg_color(Some(ground)), &blanks),
        }
    }

    /// Text on a bead's colour, in whichever of black and white ink stands out more; bare text where
    /// there are no colours.
    pub fn bead(self, colour: Srgb, text: &str) -> String {
        let ground = self.colour(colour);
        let ink = self.colour(colour.ink());
        match (ground, ink) {
            (Some(_), Some(_)) => styled(anstyle::Style::new().bg_color(ground).fg_color(ink), text),
            _ => text.into(),
        }
    }

    /// Two beads in one letter's room, one over the other; blank where there is none, and without colours.
    pub fn halves(self, upper: Option<Srgb>, lower: Option<Srgb>) -> String {
        let colour = |half: Option<Srgb>| half.and_then(|colour| self.colour(colour));
        let style = anstyle::Style::new();
        match (colour(upper), colour(lower)) {
            (None, None) => " ".into(),
            (upper @ Some(_), lower) => styled(style.fg_color(upper).bg_color(lower), "▀"),
            (None, lower) => styled(style.fg_color(lower), "▄"),
        }
    }

    /// A colour as the terminal is told it; none where there are no colours.
    fn colour(self, colour: Srgb) -> Option<anstyle::Color> {
        match self.0 {
            Depth::Plain => None,
            Depth::Indexed => Some(anstyle::Ansi256Color(nearest_index(colour)).into()),
            Depth::True => Some(anstyle::RgbColor(colour.r, colour.g, colour.b).into()),
        }
    }

    /// A heading.
    pub fn heading(self, text: &str) -> String {
        if self.is_coloured() { styled(anstyle::Style::new().bold(), text) } else { text.into() }
    }

    /// A word that is meant as a word.
    pub fn leaning(self, text: &str) -> String {
        if self.is_coloured() { styled(anstyle::Style::new().italic(), text) } else { text.into() }
    }

    /// What may be overlooked.
    pub fn faint(self, text: &str) -> String {
        if self.is_coloured() { styled(anstyle::Style::new().dimmed(), text) } else { text.into() }
    }
}

fn styled(style: anstyle::Style, text: &str) -> String {
    format!("{style}{text}{style:#}")
}

/// The entry of the xterm table nearest to a colour. The first 16 are the reader's own and left out.
fn nearest_index(colour: Srgb) -> u8 {
    let lab = colour.lab();
    let distance = |index: u8| ciede2000(lab, indexed(index).lab()).0;
    // Equal colours stand in the table twice (greys); the first is taken.
    (16..=255).min_by(|&one, &other| distance(one).total_cmp(&distance(other))).unwrap_or(16)
}

/// Entries 16 to 231 are a cube of six steps, 232 to 255 greys from 8 by tens (xterm's 256colres.pl).
fn indexed(index: u8) -> Srgb {
    const STEPS: [u8; 6] = [0, 95, 135, 175, 215, 255];
    if index >= 232 {
        let grey = 8 + 10 * (index - 232);
        return Srgb::new(grey, grey, grey);
    }
    let step = |n: u8| STEPS[usize::from(n % 6)];
    let place = index.saturating_sub(16);
    Srgb::new(step(place / 36), step(place / 6), step(place))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn xterm_entries_are_found_again() {
        assert_eq!(indexed(16), Srgb::new(0, 0, 0));
        assert_eq!(indexed(196), Srgb::new(255, 0, 0));
        assert_eq!(indexed(231), Srgb::new(255, 255, 255));
        assert_eq!(indexed(255), Srgb::new(238, 238, 238));
        for index in 16..=255 {
            assert_eq!(indexed(nearest_index(indexed(index))), indexed(index));
        }
    }

    #[test]
    fn a_swatch_is_as_wide_as_asked_and_plain_where_colours_are_not_wanted() {
        let red = Srgb::new(255, 0, 0);
        assert_eq!(Paint(Depth::Plain).swatch(red, 3), "   ");
        assert_eq!(Paint(Depth::True).swatch(red, 2), "\u{1b}[48;2;255;0;0m  \u{1b}[0m");
        assert_eq!(Paint(Depth::Indexed).swatch(red, 2), "\u{1b}[48;5;196m  \u{1b}[0m");
    }
}
