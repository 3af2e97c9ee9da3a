//! What `smallcast lineup` prints for a person: the cast in rows of figures, each row begun by the guide.
//!
//! Where there are colours a letter's room holds two beads, one over the other; where there are none, each bead is the
//! mark of its kind, one mark for all figures.

use std::collections::{BTreeMap, BTreeSet};
use std::fmt::Write as _;

use rayon::prelude::*;
use smallcast::cast::{By, Member, Pair, fewest};
use smallcast::colour::Srgb;
use smallcast::figure::Mark;
use smallcast::grid::Grid;
use smallcast::sheet::figure_colours;
use smallcast::tray::Tray;
use smallcast::units::{Column, Row};
use unicode_width::UnicodeWidthStr;

use super::figures::Opened;
use super::lineup::Standing;
use super::output::Paint;
use super::report::plain;
use super::table::{cut, wrapped};

/// Columns for the names of the heights; narrower terminals do without.
const GUTTER: usize = 15;

/// Columns kept at the right for the name of a class where there is no room at the left: as long as "shorter".
const NAME_ROOM: usize = 7;
const NARROW: usize = 60;

/// Columns between two figures.
const APART: usize = 2;

/// A name makes a figure's room no wider than this.
const NAME: usize = 12;

/// Lines of a name at most.
const NAME_LINES: usize = 2;

/// A space at which no line is broken.
const TOGETHER: char = '\u{a0}';

/// Pairs that are told in words.
const MOST_TOLD: usize = 20;

/// The guide's beads, in colour and as a mark; what marks a height.
const GHOST: Srgb = Srgb::new(150, 150, 148);
const GUIDE: char = '#';
const HEIGHT: &str = "·";

/// A line-up and the room to show it in.
pub struct View<'a> {
    pub standing: &'a Standing,
    pub tray: &'a Tray,
    pub paint: Paint,
    pub width: usize,
}

/// A bead as it is shown.
#[derive(Clone, Copy)]
struct Bead {
    colour: Srgb,
    mark: char,
}

/// Who stands in a place, and where.
struct Slot {
    /// Its place among the figures; nothing for the guide.
    figure: Option<usize>,
    beads: Grid<Option<Bead>>,
    left: usize,
    width: usize,
    words: Vec<String>,
}

impl Slot {
    fn middle(&self) -> usize {
        self.left + self.width / 2
    }
}

impl View<'_> {
    /// The whole report.
    pub fn report(&self) -> String {
        format!("{}{}{}", self.heading(), self.figures(), self.alike())
    }

    /// What is said beside a line-up that was saved: the figures are looked at there.
    pub fn report_of_saved(&self) -> String {
        format!("{}{}", self.heading(), self.alike())
    }

    fn heading(&self) -> String {
        let lines = wrapped(&self.summary(), self.width);
        lines.lines().map(|line| format!("{}\n", self.paint.heading(line))).collect()
    }

    fn figures(&self) -> String {
        let marks = self.marks();
        // Drawn side by side: a cast may have thousands.
        let rows: Vec<String> = self.rows(&marks).par_iter().map(|slots| self.row(slots)).collect();
        let mut text: String = rows.iter().flat_map(|row| ["\n", row]).collect();
        if !self.paint.is_coloured() {
            // A mark stays with its bead.
            let named = marks.iter().map(|(bead, mark)| format!("{}{TOGETHER}{bead}", mark.get()));
            let named = plain(&named.collect::<Vec<_>>().join(", "));
            let _ = writeln!(text, "\n{}", wrapped(&named, self.width).replace(TOGETHER, " "));
        }
        text
    }

    fn summary(&self) -> String {
        let figures = &self.standing.figures;
        let rows = || figures.iter().map(|(_, member)| member.rows);
        let (least, most) = (rows().min().unwrap_or(0), rows().max().unwrap_or(0));
        let tall = if least == most { format!("{most} rows") } else { format!("{least} to {most} rows") };
        let name = match self.standing.cast.name.trim() {
            "" => String::new(),
            name => format!("{}: ", plain(name)),
        };
        let s = if figures.len() == 1 { "" } else { "s" };
        format!("{name}{} figure{s} by {}, {tall} tall", figures.len(), self.standing.by.name())
    }

    /// One mark for each kind of bead, the same in all figures; needed only where there are no colours.
    fn marks(&self) -> BTreeMap<String, Mark> {
        let mut marks = BTreeMap::new();
        if self.paint.is_coloured() {
            return marks;
        }
        let mut taken: BTreeSet<Mark> = Mark::new(GUIDE).into_iter().collect();
        // In the order of the files, so that a bead has one mark however the figures stand.
        let mut figures: Vec<&(Opened, Member)> = self.standing.figures.iter().collect();
        figures.sort_by_key(|(one, _)| &one.file);
        let shown = figures.par_iter().flat_map_iter(|(one, _)| one.figure.counts()).filter(|of| of.1 > 0);
        for (entry, _) in shown.collect::<Vec<_>>() {
            if !marks.contains_key(&entry.bead) {
                let free = !taken.contains(&entry.mark);
                let mark = if free { entry.mark } else { Mark::free_for(&entry.bead, &taken) };
                taken.insert(mark);
                marks.insert(entry.bead.clone(), mark);
            }
        }
        marks
    }

    fn gutter(&self) -> usize {
        if self.width < NARROW { 0 } else { GUTTER + 1 }
    }

    /// The figures in rows as wide as the terminal, each begun by the guide.
    fn rows(&self, marks: &BTreeMap<String, Mark>) -> Vec<Vec<Slot>> {
        let mut rows: Vec<Vec<Slot>> = Vec::new();
        let mut right = usize::MAX - APART;
        let names = if self.gutter() == 0 { NAME_ROOM } else { 0 };
        let room = self.width - self.gutter() - names;
        let figures = (0..self.standing.figures.len()).into_par_iter();
        for mut slot in figures.map(|at| self.figure(at, marks)).collect::<Vec<_>>() {
            if right.saturating_add(APART + slot.width) > room {
                let guide = self.guide();
                right = guide.width;
                rows.push(vec![guide]);
            }
            slot.left = right + APART;
            right = slot.left + slot.width;
            if let Some(row) = rows.last_mut() {
                row.push(slot);
            }
        }
        rows
    }

    fn guide(&self) -> Slot {
        let guide = &self.standing.guide;
        let bead = Bead { colour: GHOST, mark: GUIDE };
        slot(None, &guide.beads.map(|_, _, is_bead| is_bead.then_some(bead)), &guide.name)
    }

    fn figure(&self, at: usize, marks: &BTreeMap<String, Mark>) -> Slot {
        let (one, member) = &self.standing.figures[at];
        let figure = &one.figure;
        let colours = figure_colours(figure, self.tray);
        let beads = figure.beads().map(|row, column, placed| {
            let entry = figure.entry(placed.as_ref()?.mark)?;
            let mark = marks.get(&entry.bead).map_or('?', |mark| mark.get());
            Some(Bead { colour: colours[(row, column)]?, mark })
        });
        let mut slot = slot(Some(at), &beads, &member.name);
        if let Some(group) = self.standing.group_of(member).filter(|_| self.standing.by != By::Group) {
            slot.words.push(cut(&plain(group), slot.width));
        }
        slot
    }

    fn row(&self, slots: &[Slot]) -> String {
        let mut text = self.links(slots);
        let high = slots.iter().map(|slot| slot.beads.rows()).max().unwrap_or(0);
        let wide = slots.last().map_or(0, |slot| slot.left + slot.width);
        let step = if self.paint.is_coloured() { 2 } else { 1 };
        let mut canvas: Grid<Option<Bead>> = Grid::from_fn(high.next_multiple_of(step), wide, |_, _| None);
        for slot in slots {
            let left = slot.middle() - slot.beads.columns() / 2;
            let top = canvas.rows() - slot.beads.rows();
            for (row, column, bead) in slot.beads.iter() {
                canvas[(Row(top + row.0), Column(left + column.0))] = *bead;
            }
        }
        for row in (0..canvas.rows()).step_by(step) {
            text.push_str(&self.line(&canvas, row, step));
        }
        text.push_str(&self.words(slots));
        text.push_str(&self.brackets(slots));
        text
    }

    /// One line of the terminal: `step` rows of beads.
    fn line(&self, canvas: &Grid<Option<Bead>>, row: usize, step: usize) -> String {
        let heights = row..row + step;
        let classes = self.standing.cast.classes.iter();
        let here = classes.filter(|class| heights.contains(&canvas.rows().wrapping_sub(class.rows.total())));
        let names: Vec<&str> = here.map(|class| class.name.as_ref()).collect();
        let named = names.join(", ");
        let mut text = String::new();
        if self.gutter() > 0 {
            let label = format!("{:>GUTTER$} ", cut(&plain(&named), GUTTER));
            text.push_str(&if names.is_empty() { label } else { self.paint.faint(&label) });
        }
        // A line without its name says nothing.
        let room = self.width.saturating_sub(self.gutter() + canvas.columns() + 1);
        let is_named = !names.is_empty() && (self.gutter() > 0 || room >= NAME_ROOM);
        let filling = if is_named { self.paint.faint(HEIGHT) } else { " ".into() };
        for column in (0..canvas.columns()).map(Column) {
            let upper = canvas[(Row(row), column)];
            let lower = canvas.get(Row(row + step - 1), column).copied().flatten();
            match upper.or(lower) {
                None => text.push_str(&filling),
                Some(bead) if step == 1 => text.push(bead.mark),
                Some(_) => {
                    let colour = |bead: Option<Bead>| bead.map(|bead| bead.colour);
                    text.push_str(&self.paint.halves(colour(upper), colour(lower)));
                }
            }
        }
        if is_named && self.gutter() == 0 {
            text.push_str(&self.paint.faint(&format!(" {}", cut(&plain(&named), room))));
        }
        format!("{}\n", text.trim_end_matches(' '))
    }

    fn words(&self, slots: &[Slot]) -> String {
        let lines = slots.iter().map(|slot| slot.words.len()).max().unwrap_or(0);
        let mut text = String::new();
        for number in 0..lines {
            let mut line = " ".repeat(self.gutter());
            for slot in slots {
                let word = slot.words.get(number).map_or("", String::as_str);
                let left = self.gutter() + slot.middle().saturating_sub(word.width() / 2).max(slot.left);
                line.push_str(&" ".repeat(left.saturating_sub(line.width())));
                line.push_str(word);
            }
            let _ = writeln!(text, "{}", line.trim_end());
        }
        text
    }

    /// One bracket under those of one group that stand together.
    fn brackets(&self, slots: &[Slot]) -> String {
        let group = |slot: &Slot| self.standing.figures[slot.figure?].1.group;
        if self.standing.by != By::Group || slots.iter().all(|slot| group(slot).is_none()) {
            return String::new();
        }
        let mut line = " ".repeat(self.gutter());
        for together in slots.chunk_by(|one, other| group(one) == group(other)) {
            let (first, last) = (&together[0], &together[together.len() - 1]);
            let Some(of) = group(first).and_then(|group| self.standing.cast.groups.get(group)) else {
                continue;
            };
            let wide = last.left + last.width - first.left;
            line.push_str(&" ".repeat((self.gutter() + first.left).saturating_sub(line.width())));
            line.push_str(&spanned(('└', '┘'), &plain(&of.name), wide));
        }
        format!("{}\n", line.trim_end())
    }

    /// Lines over the heads of figures of this row that are too alike.
    fn links(&self, slots: &[Slot]) -> String {
        let place = |figure: usize| slots.iter().find(|slot| slot.figure == Some(figure)).map(Slot::middle);
        let here: Vec<Pair> = self.pairs_within(slots);
        if here.is_empty() {
            return String::new();
        }
        let kept = fewest(&here, self.standing.figures.len(), |pair| {
            (pair.difference.share().to_bits(), pair.other - pair.one)
        });
        let mut spans: Vec<(usize, usize, String)> = kept
            .iter()
            .filter_map(|pair| {
                let (one, other) = (place(pair.one)?, place(pair.other)?);
                Some((one.min(other), one.max(other), pair.difference.to_string()))
            })
            .collect();
        spans.sort();
        let mut lines: Vec<String> = Vec::new();
        for (left, right, label) in spans {
            let left = left + self.gutter();
            let free = lines.iter_mut().find(|line| line.width() <= left);
            let bracket = spanned(('┌', '┐'), &label, right + self.gutter() + 1 - left);
            let line = match free {
                Some(line) => line,
                None => {
                    lines.push(String::new());
                    let last = lines.len() - 1;
                    &mut lines[last]
                }
            };
            line.push_str(&" ".repeat(left - line.width()));
            line.push_str(&bracket);
        }
        lines.iter().rev().map(|line| format!("{line}\n")).collect()
    }

    fn pairs_within(&self, slots: &[Slot]) -> Vec<Pair> {
        let figures = || slots.iter().filter_map(|slot| slot.figure);
        let Some((first, last)) = figures().min().zip(figures().max()) else { return Vec::new() };
        // Pairs stand in the order of their first figure.
        let from = self.standing.pairs.partition_point(|pair| pair.one < first);
        let begun = self.standing.pairs[from..].iter().take_while(|pair| pair.one <= last);
        begun.filter(|pair| pair.other <= last).copied().collect()
    }

    /// Who is too alike, in words.
    fn alike(&self) -> String {
        if self.standing.pairs.is_empty() {
            return String::new();
        }
        let mut pairs: Vec<&Pair> = self.standing.pairs.iter().collect();
        pairs.sort_by(|one, other| one.difference.share().total_cmp(&other.difference.share()));
        let title = "Too alike to be told apart at a glance, and how much of the two differs:";
        let mut text = format!("\n{}\n", wrapped(title, self.width));
        let name = |at: usize| plain(&self.standing.figures[at].1.name);
        for pair in pairs.iter().take(MOST_TOLD) {
            let turned = if pair.turned { ", one turned round" } else { "" };
            let said = format!("{} and {}: {}{turned}", name(pair.one), name(pair.other), pair.difference);
            let _ = writeln!(text, "  {}", cut(&said, self.width - 2));
        }
        if pairs.len() > MOST_TOLD {
            let _ = writeln!(text, "  and {} pairs more: see --json", pairs.len() - MOST_TOLD);
        }
        text
    }
}

/// A place for a figure with its name in lines.
fn slot(figure: Option<usize>, beads: &Grid<Option<Bead>>, name: &str) -> Slot {
    let beads = beads.trimmed();
    let name = plain(name);
    let widest = name.split(' ').map(UnicodeWidthStr::width).max().unwrap_or(0).min(NAME);
    let width = beads.columns().max(widest).max(1);
    let lines = wrapped(&name, width);
    let mut words: Vec<String> = lines.lines().take(NAME_LINES).map(|line| cut(line, width)).collect();
    if lines.lines().count() > NAME_LINES {
        let rest: Vec<&str> = lines.lines().skip(NAME_LINES - 1).collect();
        words[NAME_LINES - 1] = cut(&rest.join(" "), width);
    }
    Slot { figure, beads, left: 0, width, words }
}

/// A bracket this wide with words in its middle.
fn spanned((left, right): (char, char), words: &str, wide: usize) -> String {
    let words = match wide.saturating_sub(4) {
        0 => String::new(),
        room => format!(" {} ", cut(words, room)),
    };
    let line = wide.saturating_sub(2 + words.width());
    format!("{left}{}{words}{}{right}", "─".repeat(line / 2), "─".repeat(line - line / 2))
}
