//! What `smallcast reuse` says of a new figure: old beside new, what was done, how far they are apart.

use std::fmt::Write as _;
use std::path::Path;

use smallcast::figure::{Figure, Mark};
use smallcast::sheet::figure_colours;
use smallcast::tray::Tray;
use smallcast::units::{Column, Row};

use super::super::output::Paint;
use super::super::report::plain;
use super::super::table::{Side, Table, headline, indented, wrapped};
use super::Made;

/// Columns for a row's number and a space.
const NUMBER: usize = 4;

/// Columns between old and new.
const BETWEEN: usize = 4;

/// Columns for a line's number.
const LINE: usize = 5;

/// The whole report, in `width` columns.
pub fn report(made: &Made, target: &Path, tray: &Tray, paint: Paint, width: usize) -> String {
    let mut text = side_by_side(made, tray, paint, width);
    text.push('\n');
    text.push_str(&done(made, paint, width));
    for note in &made.notes {
        let _ = writeln!(text, "{}", indented(&format!("Look: {}.", plain(note)), width));
    }
    let (apart, of) = made.apart;
    let share = apart as f64 / of.max(1) as f64 * 100.0;
    let _ = writeln!(text, "\n{apart} of {of} beads are different ({share:.0} %).");
    text.push_str(&legend(made, tray, paint, width));
    let _ = writeln!(text, "\nSaved in {}.", plain(&target.display().to_string()));
    text
}

/// The lines, numbered as in its history, with what each did.
fn done(made: &Made, paint: Paint, width: usize) -> String {
    let mut text = String::new();
    for (number, (line, edited)) in (1..).zip(&made.changes) {
        let line = headline(&plain(line), paint, width - LINE);
        let _ = writeln!(text, "{number:>3}  {}", line.replace('\n', &format!("\n{}", " ".repeat(LINE))));
        let said = wrapped(&format!("{}.", plain(&edited.said)), width - LINE);
        said.lines().for_each(|line| text.push_str(&format!("{}{line}\n", " ".repeat(LINE))));
    }
    match made.changes.is_empty() {
        true => "Nothing was changed except the file's name.\n".into(),
        false => text,
    }
}

/// Both figures, their feet on one line; below one another where they do not fit.
fn side_by_side(made: &Made, tray: &Tray, paint: Paint, width: usize) -> String {
    let columns = |figure: &Figure| figure.beads().columns();
    let (old, new) = (columns(&made.old), columns(&made.new));
    let fits = |bead: usize| 2 * NUMBER + BETWEEN + bead * (old + new) <= width;
    let bead = if fits(2) { 2 } else { 1 };
    let block = |figure: &Figure| Block::of(figure, bead, tray, paint);
    let (left, right) = (block(&made.old), block(&made.new));
    if !fits(bead) {
        return format!("{}\n{}", left.alone(width), right.alone(width));
    }
    let rows = left.lines.len().max(right.lines.len());
    let room = left.width.max(made.old.name().chars().count()) + BETWEEN;
    let mut text = format!("{:<room$}{}\n", plain(&left.title), plain(&right.title));
    for row in 0..rows {
        let ((one, wide), (other, _)) = (left.line(row, rows), right.line(row, rows));
        let _ = writeln!(text, "{}", format!("{one}{}{other}", " ".repeat(room - wide)).trim_end());
    }
    text
}

/// A figure as lines of a terminal.
struct Block {
    title: String,
    lines: Vec<String>,
    /// Columns of each line, without what colours it.
    width: usize,
}

impl Block {
    fn of(figure: &Figure, bead: usize, tray: &Tray, paint: Paint) -> Self {
        let (beads, colours) = (figure.beads(), figure_colours(figure, tray));
        let blank = " ".repeat(bead - 1);
        let peg = |row: Row, column: Column| match (beads[(row, column)], colours[(row, column)]) {
            (Some(placed), Some(colour)) => paint.bead(colour, &format!("{}{blank}", placed.mark.get())),
            _ => paint.faint(&format!(".{blank}")),
        };
        let line = |row: usize| {
            let pegs: String = (0..beads.columns()).map(|column| peg(Row(row), Column(column))).collect();
            format!("{}{pegs}", paint.faint(&format!("{:>width$} ", row + 1, width = NUMBER - 1)))
        };
        Self {
            title: figure.name().into(),
            lines: (0..beads.rows()).map(line).collect(),
            width: NUMBER + bead * beads.columns(),
        }
    }

    /// The line that stands in a row of this many, the last ones level, and its columns.
    fn line(&self, row: usize, rows: usize) -> (&str, usize) {
        let own = (row + self.lines.len()).checked_sub(rows);
        own.map_or(("", 0), |own| (self.lines[own].as_str(), self.width))
    }

    fn alone(&self, width: usize) -> String {
        if self.width > width {
            return format!("{} is too wide to show here: see --picture.\n", plain(&self.title));
        }
        let lines: String = self.lines.iter().map(|line| format!("{}\n", line.trim_end())).collect();
        format!("{}\n{lines}", plain(&self.title))
    }
}

/// The beads of the new figure, each with how many the old one has.
fn legend(made: &Made, tray: &Tray, paint: Paint, width: usize) -> String {
    let mut table = Table::new(&[
        ("", Side::Left),
        ("bead", Side::Left),
        ("was", Side::Right),
        ("now", Side::Right),
        ("owned", Side::Right),
    ]);
    let count = |figure: &Figure, bead: &str| -> usize {
        figure.counts().iter().filter(|(entry, _)| entry.bead == bead).map(|(_, count)| count).sum()
    };
    let mut beads: Vec<(Mark, &str)> =
        made.new.legend().iter().map(|entry| (entry.mark, &*entry.bead)).collect();
    let gone =
        made.old.legend().iter().filter(|entry| !made.new.legend().iter().any(|new| new.bead == entry.bead));
    beads.extend(gone.map(|entry| (entry.mark, &*entry.bead)));
    for (mark, bead) in beads {
        let (was, now) = (count(&made.old, bead), count(&made.new, bead));
        if was == 0 && now == 0 {
            continue;
        }
        let owned = tray.find(bead).map(|id| tray.bead(id));
        let colour = owned.map_or(smallcast::colour::Srgb::new(128, 128, 128), |bead| bead.lab.srgb());
        let number =
            owned.map_or("not in the tray".into(), |bead| bead.count.map_or("-".into(), |n| n.to_string()));
        let mark = if now > 0 { mark.get().to_string() } else { String::new() };
        table.row(&[colour], vec![mark, bead.into(), was.to_string(), now.to_string(), number]);
    }
    format!("\n{}", table.render(paint, width, &[1]))
}
