//! What `smallcast scene` prints for a person.

use std::fmt::Write as _;

use smallcast::count::{Need, Owned};
use smallcast::scene::{LoosePiece, MOST_HIDDEN, Overlap, Scene, Seam};
use smallcast::tray::Tray;
use smallcast::units::Millimetres;

use super::output::Paint;
use super::report::plain;
use super::scene::Looked;
use super::table::{Side, Table, wrapped};

/// Columns that what is under a heading is set in by, and its further lines.
const INDENT: &str = "  ";
const FURTHER: &str = "    ";

/// This many of one kind are said; the others are only counted.
const MOST_SAID: usize = 12;

/// This many kinds of hidden beads are named.
const MOST_KINDS: usize = 3;

/// Columns of one board on the map, its left edge among them.
const BOARD: usize = 7;

/// A scene that was looked over, and the room to show it in.
pub struct View<'a> {
    pub looked: &'a Looked,
    pub tray: &'a Tray,
    pub pitch: Millimetres,
    pub paint: Paint,
    pub width: usize,
}

impl View<'_> {
    /// The whole report.
    pub fn report(&self) -> String {
        let parts = [self.summary(), self.boards(), self.hidden(), self.seams(), self.pieces(), self.beads()];
        let mut text = parts.into_iter().filter(|part| !part.is_empty()).collect::<Vec<_>>().join("\n");
        text.push_str("\nNo figure was changed.\n");
        text
    }

    fn scene(&self) -> &Scene {
        self.looked.scene()
    }

    fn name(&self, standing: usize) -> String {
        plain(&self.scene().standings()[standing].name)
    }

    fn summary(&self) -> String {
        let (scene, boards) = (self.scene(), self.scene().boards());
        let figures = many(scene.standings().len(), "figure");
        let pegs = boards.pegs();
        let title = format!(
            "{}: {figures} on {} of {} x {} pegs",
            plain(scene.name()),
            many(boards.count(), "board"),
            pegs.columns,
            pegs.rows
        );
        let side = |pegs: usize| (pegs as f64 * self.pitch.0 / 10.0).round();
        let size = format!(
            "{} of {}; {} x {} pegs, {} x {} cm at {} from bead to bead",
            many(scene.beads(), "bead"),
            many(self.looked.counted.needs.len(), "kind"),
            boards.columns(),
            boards.rows(),
            side(boards.columns()),
            side(boards.rows()),
            self.pitch
        );
        format!("{}\n{}", self.paint.heading(&wrapped(&title, self.width)), self.item(&size))
    }

    /// Which board is which, and who stands on it.
    fn boards(&self) -> String {
        let boards = self.scene().boards();
        let mut text = format!("{}\n", self.paint.heading("Boards"));
        if boards.count() > 1 {
            match boards.across() * BOARD + 1 + INDENT.len() <= self.width {
                true => text.push_str(&self.map()),
                false => text.push_str(&self.item("numbered row by row from the top left")),
            }
        }
        let digits = boards.count().to_string().len();
        for (board, standings) in self.scene().on_boards().iter().enumerate() {
            let beads = self.looked.counted.beads_of(board);
            let names: Vec<String> = standings.iter().map(|(at, _)| self.name(*at)).collect();
            let stands = match (beads, names.is_empty()) {
                (0, _) => "nothing is pegged here".to_owned(),
                (_, true) => format!("{beads} beads of the ground"),
                (_, false) => format!("{beads} beads: {}", names.join(", ")),
            };
            text.push_str(&self.item(&format!("{:>digits$}  {stands}", board + 1)));
        }
        text
    }

    /// The boards drawn, each with its number.
    fn map(&self) -> String {
        let boards = self.scene().boards();
        let edge = |left: char, between: char, right: char| {
            let sides = vec!["─".repeat(BOARD - 1); boards.across()];
            format!("{INDENT}{left}{}{right}\n", sides.join(&between.to_string()))
        };
        let mut text = edge('┌', '┬', '┐');
        for down in 0..boards.down() {
            if down > 0 {
                text.push_str(&edge('├', '┼', '┤'));
            }
            let number = |across: usize| {
                format!("│{:^width$}", down * boards.across() + across + 1, width = BOARD - 1)
            };
            let numbers: String = (0..boards.across()).map(number).collect();
            let _ = writeln!(text, "{INDENT}{numbers}│");
        }
        text + &edge('└', '┴', '┘')
    }

    /// Who is hidden by whom, the most hidden first.
    fn hidden(&self) -> String {
        let mut text = format!("{}\n", self.paint.heading("Hidden"));
        let showing = self.scene().showing();
        let mut under: Vec<usize> = self.looked.overlaps.iter().map(|overlap| overlap.under).collect();
        under.dedup();
        if under.is_empty() {
            return text + &self.item("Nobody hides anybody.");
        }
        let share = |at: &usize| {
            let (all, shows) = showing[*at];
            (all - shows) * 1000 / all.max(1)
        };
        under.sort_by_key(|at| (std::cmp::Reverse(share(at)), *at));
        for &at in under.iter().take(MOST_SAID) {
            let (all, shows) = showing[at];
            let by = self.looked.overlaps.iter().filter(|overlap| overlap.under == at);
            let by: Vec<String> = by.map(|overlap| self.by(overlap)).collect();
            let hidden = all - shows;
            let much = if hidden * MOST_HIDDEN > all { ", more than a third" } else { "" };
            let line = format!("{}: {hidden} of {all} beads{much}, by {}", self.name(at), by.join("; "));
            text.push_str(&self.item(&line));
        }
        text + &self.more(under.len())
    }

    fn by(&self, overlap: &Overlap) -> String {
        let named =
            overlap.hidden.iter().take(MOST_KINDS).map(|(bead, count)| format!("{count} {}", plain(bead)));
        let mut named: Vec<String> = named.collect();
        let rest: usize = overlap.hidden.iter().skip(MOST_KINDS).map(|(_, count)| count).sum();
        named.extend((rest > 0).then(|| format!("{rest} more")));
        format!("{} ({})", self.name(overlap.over), named.join(", "))
    }

    /// Who lies over a seam.
    fn seams(&self) -> String {
        if self.scene().boards().count() < 2 {
            return String::new();
        }
        let mut text = format!("{}\n", self.paint.heading("Over a seam"));
        if self.looked.crossings.is_empty() {
            return text + &self.item("Everybody stands on one board.");
        }
        for crossing in self.looked.crossings.iter().take(MOST_SAID) {
            let boards: Vec<String> = crossing
                .boards
                .iter()
                .map(|(board, beads)| format!("{beads} on board {}", board + 1))
                .collect();
            let seams: Vec<String> = crossing.seams.iter().map(|seam| seam_in_words(*seam)).collect();
            let line = format!(
                "{}: {}; the seam is {}",
                self.name(crossing.standing),
                boards.join(", "),
                seams.join(" and ")
            );
            text.push_str(&self.item(&line));
        }
        text.push_str(&self.more(self.looked.crossings.len()));
        text + &self
            .item("Boards are pegged one by one: push these close before ironing, or move the figure.")
    }

    /// What would come off.
    fn pieces(&self) -> String {
        let mut text = format!("{}\n", self.paint.heading("Once fused"));
        let (many_pieces, loose) = &self.looked.pieces;
        match many_pieces {
            0 => return text + &self.item("No bead is pegged."),
            1 => return text + &self.item("It holds together as one piece."),
            _ => {}
        }
        text.push_str(&self.item(&format!("It falls into {many_pieces} pieces. Beside the largest:")));
        for piece in loose.iter().take(MOST_SAID) {
            text.push_str(&self.item(&self.piece(piece)));
        }
        text.push_str(&self.more(loose.len()));
        text + &self.item(
            "If each is meant to be a separate piece, that is fine; otherwise join them with a \
        ground.",
        )
    }

    fn piece(&self, piece: &LoosePiece) -> String {
        let names: Vec<String> = piece.of.iter().take(MOST_KINDS).map(|at| self.name(*at)).collect();
        let more = piece.of.len().saturating_sub(MOST_KINDS);
        let of = match (names.is_empty(), more) {
            (true, _) => "of a ground".to_owned(),
            (false, 0) => format!("of {}", names.join(", ")),
            (false, more) => format!("of {} and {more} more", names.join(", ")),
        };
        let touches = if piece.corner.is_some() { "at a corner" } else { "nowhere" };
        format!(
            "{} {of}, {}, {}: touching the rest {touches}",
            many(piece.beads, "bead"),
            span("row", "rows", &piece.rows),
            span("column", "columns", &piece.columns)
        )
    }

    /// Whether there are enough beads.
    fn beads(&self) -> String {
        let mut text = format!("{}\n", self.paint.heading("Beads"));
        let counted = &self.looked.counted;
        let short: Vec<&Need> = counted.needs.iter().filter(|need| need.short() > 0).collect();
        if !short.is_empty() {
            let all: u64 = short.iter().map(|need| need.short()).sum();
            let line = format!("{all} beads of {} are short:", many(short.len(), "kind"));
            text.push_str(&self.item(&line));
            return text + &self.short(&short);
        }
        text + &self.item(match counted.is_owned_told() {
            _ if counted.needs.is_empty() => "None are needed.",
            true => "There are enough of every kind that has a count in the tray.",
            false => "Stock unknown: add a column count to the tray to see whether there are enough.",
        })
    }

    fn short(&self, short: &[&Need]) -> String {
        let mut table = Table::new(&[
            ("bead", Side::Left),
            ("needed", Side::Right),
            ("owned", Side::Right),
            ("short", Side::Right),
        ]);
        for need in short {
            let owned = match need.owned {
                Owned::Told(owned) => owned.to_string(),
                Owned::NotTold => "unknown".into(),
                Owned::NotInTray => "not in tray".into(),
            };
            let swatch: Vec<_> = need.id.map(|id| self.tray.bead(id).lab.srgb()).into_iter().collect();
            table.row(
                &swatch,
                vec![plain(&need.bead), need.needed.to_string(), owned, need.short().to_string()],
            );
        }
        let table = table.render(self.paint, self.width.saturating_sub(INDENT.len()), &[0]);
        table.lines().map(|line| format!("{INDENT}{line}\n")).collect()
    }

    fn more(&self, all: usize) -> String {
        match all.saturating_sub(MOST_SAID) {
            0 => String::new(),
            more => self.item(&format!("and {more} more; --json has all")),
        }
    }

    /// A text under a heading, its further lines set in further.
    fn item(&self, text: &str) -> String {
        let room = self.width.saturating_sub(FURTHER.len());
        let lines = wrapped(text, room);
        let set_in =
            |(at, line): (usize, &str)| format!("{}{line}\n", if at == 0 { INDENT } else { FURTHER });
        lines.lines().enumerate().map(set_in).collect()
    }
}

fn seam_in_words(seam: Seam) -> String {
    match seam {
        Seam::Upright(column) => format!("between columns {} and {}", column.0, column.0 + 1),
        Seam::Level(row) => format!("between rows {} and {}", row.0, row.0 + 1),
    }
}

/// Rows or columns, counted from 1.
fn span(one: &str, several: &str, range: &std::ops::Range<usize>) -> String {
    match range.len() {
        1 => format!("{one} {}", range.end),
        _ => format!("{several} {} to {}", range.start + 1, range.end),
    }
}

fn many(count: usize, what: &str) -> String {
    format!("{count} {what}{}", if count == 1 { "" } else { "s" })
}
