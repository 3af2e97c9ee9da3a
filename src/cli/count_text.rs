//! What `smallcast count` prints for a person.

use std::fmt::Write as _;

use rayon::prelude::*;
use smallcast::count::{Counted, Need, Order, Owned, Waiting};
use smallcast::tray::Tray;

use super::output::Paint;
use super::report::plain;
use super::table::{NARROW, Side, Table, headline, wrapped};

/// Columns the beads of a figure are set in by.
const INDENT: &str = "  ";

/// A count and the room to show it in.
pub struct View<'a> {
    /// What is counted: `figure`, or `board` of a scene.
    pub what: &'static str,
    pub names: &'a [String],
    pub counted: &'a Counted,
    pub tray: &'a Tray,
    pub paint: Paint,
    pub width: usize,
}

impl View<'_> {
    /// The whole report.
    pub fn report(&self) -> String {
        let mut parts = Vec::new();
        if self.names.len() > 1 {
            parts.par_extend((0..self.names.len()).into_par_iter().map(|at| self.figure(at)));
        }
        parts.push(format!("{}\n{}", headline(&self.summary(), self.paint, self.width), self.beads()));
        if self.counted.is_owned_told() || self.counted.needs.iter().any(|need| need.short() > 0) {
            parts.push(self.order(&self.counted.order()));
        } else {
            parts.push(
                self.lines(
                    "Stock unknown: add a column count to the tray to see whether there are enough.",
                    "",
                ),
            );
        }
        if self.counted.needs.iter().any(|need| need.short() > 0) {
            parts.push(self.to_buy());
        }
        parts.join("\n")
    }

    /// A figure and its beads by name, most first.
    fn figure(&self, at: usize) -> String {
        let mut beads: Vec<&Need> = self.counted.needs.iter().filter(|need| need.each[at] > 0).collect();
        beads.sort_by_key(|need| std::cmp::Reverse(need.each[at]));
        let beads: Vec<String> =
            beads.iter().map(|need| format!("{} {}", need.each[at], need.bead)).collect();
        let title = format!("{}: {}", self.named(at), many(self.counted.beads_of(at), "bead"));
        format!(
            "{}\n{}",
            headline(&plain(&title), self.paint, self.width),
            self.lines(&beads.join(", "), INDENT)
        )
    }

    fn named(&self, at: usize) -> String {
        match self.counted.times[at] {
            1 => self.names[at].clone(),
            times => format!("{}, each of {times}", self.names[at]),
        }
    }

    fn summary(&self) -> String {
        let figures: u64 = self.counted.times.iter().map(|times| u64::from(*times)).sum();
        let kinds = self.counted.needs.len();
        let what = match self.names {
            [one] if figures == 1 => plain(one),
            _ => format!("In all, {}", many(figures, self.what)),
        };
        let spare = match self.counted.spare {
            spare if spare.is_none() => String::new(),
            spare => format!("; {} with {spare} to spare", self.counted.needed()),
        };
        let text =
            format!("{what}: {} of {}{spare}", many(self.counted.used(), "bead"), many(kinds as u64, "kind"));
        wrapped(&text, self.width)
    }

    /// What is needed, bead by bead, against what is owned.
    fn beads(&self) -> String {
        let spare = !self.counted.spare.is_none();
        let told = self.counted.is_owned_told();
        let with_used = spare && self.width >= NARROW;
        let mut titles = vec![("bead", Side::Left)];
        titles.extend(with_used.then_some(("used", Side::Right)));
        titles.push((if spare { "with spare" } else { "needed" }, Side::Right));
        titles.push(("owned", Side::Right));
        titles.extend(told.then_some(("", Side::Left)));
        let mut table = Table::new(&titles);
        for need in &self.counted.needs {
            let mut cells = vec![plain(&need.bead)];
            cells.extend(with_used.then(|| need.used.to_string()));
            cells.push(need.needed.to_string());
            cells.push(match need.owned {
                Owned::Told(owned) => owned.to_string(),
                Owned::NotTold => "unknown".into(),
                Owned::NotInTray => "not in tray".into(),
            });
            cells.extend(told.then(|| enough(need)));
            let swatch: Vec<_> = need.id.map(|id| self.tray.bead(id).lab.srgb()).into_iter().collect();
            table.row(&swatch, cells);
        }
        table.render(self.paint, self.width, &[0])
    }

    /// Which figures can be made today, in which order.
    fn order(&self, order: &Order) -> String {
        let all: usize = self.counted.times.iter().map(|times| *times as usize).sum();
        let spare = match self.counted.spare {
            spare if spare.is_none() => String::new(),
            spare => format!(" with {spare} to spare"),
        };
        // Boards are only part of a scene; figures go without saying.
        let them = if self.what == "figure" { String::new() } else { format!(" {}s", self.what) };
        let title = match order.made.len() {
            0 if all == 1 => format!("It cannot be made today{spare}"),
            0 => format!("None of them can be made today{spare}"),
            made if made == all && all == 1 => format!("It can be made today{spare}"),
            made if made == all => format!("All {made}{them} can be made today{spare}"),
            made => format!("{made} of {all}{them} can be made today{spare}, in this order"),
        };
        let mut text = format!("{}\n", headline(&title, self.paint, self.width));
        if !order.waiting.is_empty() && !order.made.is_empty() {
            let made = in_runs(&order.made);
            let places = made.len().to_string().len();
            for (at, (figure, times)) in made.iter().enumerate() {
                let times = if *times > 1 { format!(" ({times} of them)") } else { String::new() };
                let _ = writeln!(text, "{INDENT}{:>places$}  {}{times}", at + 1, plain(&self.names[*figure]));
            }
        }
        if !order.waiting.is_empty() {
            if !order.made.is_empty() {
                let _ = writeln!(text, "Not possible after that{spare}:");
            }
            order.waiting.iter().for_each(|waits| text.push_str(&self.waiting(waits, order)));
        }
        if !order.is_exact() {
            let more = format!("No order makes more than {}.", order.at_most);
            let _ = writeln!(text, "{}", self.lines(&more, "").trim_end());
        }
        let untold = self.counted.needs.iter().filter(|need| need.owned == Owned::NotTold);
        let untold: Vec<&str> = untold.map(|need| need.bead.as_str()).collect();
        if !untold.is_empty() {
            let taken = format!("No count given, assumed enough: {}.", untold.join(", "));
            text.push_str(&self.lines(&taken, ""));
        }
        text
    }

    /// What one figure of those that wait lacks.
    fn waiting(&self, waits: &Waiting, order: &Order) -> String {
        let lacks = waits.lacks.iter().map(|&(at, count)| format!("{count} {}", self.counted.needs[at].bead));
        let lacks = lacks.collect::<Vec<_>>().join(", ");
        let alone = if waits.alone && !order.made.is_empty() { " (possible if made first)" } else { "" };
        let name = &self.names[waits.figure];
        let text = match (waits.times, order.made.contains(&waits.figure)) {
            (times, true) => format!("{times} more {name}: {lacks} short for the next"),
            (1, false) => format!("{name} lacks {lacks}{alone}"),
            (times, false) => format!("{times} {name}: {lacks} short for the first{alone}"),
        };
        self.lines(&text, INDENT)
    }

    fn to_buy(&self) -> String {
        let needs: Vec<&Need> = self.counted.needs.iter().filter(|need| need.short() > 0).collect();
        let mut table = Table::new(&[
            ("bead", Side::Left),
            ("short", Side::Right),
            ("packs", Side::Right),
            ("of", Side::Right),
            ("cost", Side::Right),
        ]);
        for need in needs {
            let Some(buy) = need.to_buy() else { continue };
            let told = |n: Option<u64>| n.map_or("?".into(), |n| n.to_string());
            let cost = buy.cost.map_or("?".into(), |cost| plain(&cost.to_string()));
            let cells = vec![
                plain(&need.bead),
                need.short().to_string(),
                told(buy.packs),
                told(need.pack.map(u64::from)),
                cost,
            ];
            let swatch: Vec<_> = need.id.map(|id| self.tray.bead(id).lab.srgb()).into_iter().collect();
            table.row(&swatch, cells);
        }
        let mut text =
            format!("{}\n{}", self.paint.heading("To buy"), table.render(self.paint, self.width, &[0]));
        let (costs, unknown) = self.counted.costs();
        if !costs.is_empty() {
            let sums: Vec<String> = costs.iter().map(ToString::to_string).collect();
            let rest = match unknown {
                0 => String::new(),
                n => format!(", and {} without a pack or price", many(n as u64, "kind")),
            };
            text.push_str(&self.lines(&format!("In all {}{rest}.", sums.join(" and ")), ""));
        } else {
            text.push_str(
                &self.lines("For packs and costs, add the columns pack and price to the tray.", ""),
            );
        }
        text
    }

    /// Text in lines that fit, each set in.
    fn lines(&self, text: &str, indent: &str) -> String {
        let room = self.width.saturating_sub(indent.len());
        wrapped(&plain(text), room).lines().map(|line| format!("{indent}{line}\n")).collect()
    }
}

fn enough(need: &Need) -> String {
    match (need.owned, need.short()) {
        (Owned::NotTold, _) => String::new(),
        (_, 0) => "enough".into(),
        (_, short) => format!("{short} short"),
    }
}

/// Neighbours that are the same figure, with how often.
fn in_runs(made: &[usize]) -> Vec<(usize, usize)> {
    let mut runs: Vec<(usize, usize)> = Vec::new();
    for &figure in made {
        match runs.last_mut() {
            Some((last, times)) if *last == figure => *times += 1,
            _ => runs.push((figure, 1)),
        }
    }
    runs
}

fn many(count: u64, what: &str) -> String {
    format!("{count} {what}{}", if count == 1 { "" } else { "s" })
}
