//! Lines on pages, and the scale at which sixty figures stand on one.

use std::collections::BTreeMap;
use std::ops::Range;

use rayon::prelude::*;

use super::super::font::Face;
use super::super::layout::cut;
use super::lines::{Body, Line, Row, SMALL, Who, Words, room_for};
use super::links::{levels, link};
use super::{Lineup, ON_A_PAGE};
use crate::cast::{Pair, fewest};

/// White all round, in millimetres.
pub(super) const MARGIN: f64 = 11.0;

/// Down to where the first line begins, and up to where the last one ends.
pub(super) const HEAD: f64 = 22.0;
pub(super) const FOOT: f64 = 17.0;

/// Left of the lines, for the names of the heights.
pub(super) const GUTTER: f64 = 22.0;

/// From one line to the next.
const BETWEEN: f64 = 5.0;

/// Height of a line of notes, and how many stand side by side.
pub(super) const NOTE: f64 = 3.2;
pub(super) const NOTES_ACROSS: usize = 3;

/// From bead to bead, in millimetres: at most, at least, and in steps of. Regular beads are 5 mm apart, which fills a
/// page with three figures; under the least nobody is recognised.
const PITCH: (f64, f64, f64) = (3.4, 0.6, 0.05);

/// A figure makes room for its name up to here, in millimetres; what does not fit is broken, then cut. Where figures
/// would be smaller than comfort allows for it, names have less.
const WIDEST_NAMES: [f64; 3] = [22.0, 17.0, 13.0];
const COMFORT: f64 = 0.9;

/// Two figures that are joined and do not stand in one line, or found no room over it.
#[derive(Clone, Copy, Debug)]
pub(super) struct Note {
    pub number: usize,
    pub pair: Pair,
}

/// One page: its lines, each with its top, and its notes.
#[derive(Debug, Default)]
pub(super) struct PagePlan {
    pub lines: Vec<(f64, Line)>,
    /// Where its notes begin.
    pub notes_top: f64,
    pub notes: Vec<Note>,
    /// How far down it is filled.
    pub bottom: f64,
}

/// A line-up with its places.
pub(super) struct Plan<'a> {
    pub lineup: &'a Lineup<'a>,
    pub names: Vec<String>,
    pub bodies: Vec<Body>,
    pub guide: Body,
    /// Room for each name.
    rooms: Vec<f64>,
    /// From bead to bead.
    pub pitch: f64,
    /// The paper, laid across; of a picture only as much as is used.
    pub size: (f64, f64),
    pub pages: Vec<PagePlan>,
}

impl<'a> Plan<'a> {
    pub fn new(lineup: &'a Lineup<'a>, names: Vec<String>, bodies: Vec<Body>, guide: Body) -> Self {
        let (height, width) = lineup.paper.size();
        let size = (width, height);
        let (rooms, pages) = (Vec::new(), Vec::new());
        let mut plan = Self { lineup, names, bodies, guide, rooms, pitch: PITCH.1, size, pages };
        for widest in WIDEST_NAMES {
            plan.rooms = plan.names.par_iter().map(|name| room_for(name, widest)).collect();
            plan.pitch = plan.in_one_line().or_else(|| plan.fitting()).unwrap_or(PITCH.1);
            if plan.pitch >= COMFORT {
                break;
            }
        }
        plan.pages = plan.laid(0..lineup.figures.len(), plan.pitch, lineup.pairs);
        if lineup.trimmed && plan.pages.len() == 1 {
            plan.trim();
        }
        plan
    }

    /// For the figures, across.
    fn width(&self) -> f64 {
        self.size.0 - 2.0 * MARGIN - GUTTER
    }

    fn row(&self) -> Row<'_> {
        Row {
            lineup: self.lineup,
            names: &self.names,
            bodies: &self.bodies,
            guide: &self.guide,
            rooms: &self.rooms,
        }
    }

    /// The scale at which a few stand in one line, where that is no great loss: a second line for one or two looks as if
    /// they did not belong.
    fn in_one_line(&self) -> Option<f64> {
        /// Smaller than this a single line is too small for its page, in millimetres from bead to bead.
        const LEAST: f64 = 2.4;
        let width = self.width();
        let steps = (0..).map(|step| PITCH.0 - f64::from(step) * PITCH.2);
        let all = 0..self.lineup.figures.len();
        let few = all.len() <= ON_A_PAGE;
        steps.take_while(|pitch| few && *pitch >= LEAST).find(|pitch| {
            let lines = self.row().lines(all.clone(), *pitch, width);
            lines.len() <= 1 && lines.iter().all(|line| line.right() <= width)
        })
    }

    /// The largest scale at which any sixty figures that stand together fill no more than a page, if there is one.
    fn fitting(&self) -> Option<f64> {
        let pitch = |step: usize| PITCH.0 - step as f64 * PITCH.2;
        let mut steps = 0..=((PITCH.0 - PITCH.1) / PITCH.2).round() as usize;
        let count = self.lineup.figures.len();
        for from in (0..count).step_by(ON_A_PAGE) {
            let span = from..(from + ON_A_PAGE).min(count);
            // Pairs stand in the order of their first figure.
            let first = self.lineup.pairs.partition_point(|pair| pair.one < span.start);
            let own = self.lineup.pairs[first..].iter().take_while(|pair| pair.one < span.end);
            let own: Vec<Pair> = own.filter(|pair| pair.other < span.end).copied().collect();
            let fits = |step: usize| {
                let pages = self.laid(span.clone(), pitch(step), &own);
                let within =
                    |page: &PagePlan| page.lines.iter().all(|(_, line)| line.right() <= self.width());
                pages.len() <= 1 && pages.iter().all(within)
            };
            let (mut large, mut small) = (*steps.start(), *steps.end());
            if !fits(small) {
                return None;
            }
            while large < small {
                let middle = large.midpoint(small);
                if fits(middle) { small = middle } else { large = middle + 1 }
            }
            steps = small..=*steps.end();
        }
        Some(pitch(*steps.start()))
    }

    /// The figures of a span on their pages.
    fn laid(&self, span: Range<usize>, pitch: f64, pairs: &[Pair]) -> Vec<PagePlan> {
        let row = self.row();
        let mut lines = row.lines(span, pitch, self.width());
        let notes = self.joined(&mut lines, pairs);
        let bottom = self.size.1 - FOOT;
        let fresh = || PagePlan { bottom: HEAD, notes_top: HEAD, ..PagePlan::default() };
        let mut pages = vec![fresh()];
        for line in lines {
            let height = line.height(pitch);
            let full = |page: &PagePlan| !page.lines.is_empty() && page.bottom + BETWEEN + height > bottom;
            if pages.last().is_some_and(full) {
                pages.push(fresh());
            }
            let Some(page) = pages.last_mut() else { continue };
            let top = if page.lines.is_empty() { HEAD } else { page.bottom + BETWEEN };
            page.bottom = top + height;
            page.lines.push((top, line));
        }
        let mut notes = notes.into_iter().peekable();
        while notes.peek().is_some() {
            let last = pages.len() - 1;
            let page = &mut pages[last];
            page.notes_top = page.bottom + BETWEEN;
            let room = ((bottom - page.notes_top) / NOTE).floor().max(0.0) as usize * NOTES_ACROSS;
            page.notes = notes.by_ref().take(room).collect();
            page.bottom = page.notes_top + page.notes.len().div_ceil(NOTES_ACROSS) as f64 * NOTE;
            if notes.peek().is_some() {
                pages.push(fresh());
            }
        }
        pages
    }

    /// Joins who is too alike: in its own line where it can be, else in notes, which the figures then name.
    fn joined(&self, lines: &mut [Line], pairs: &[Pair]) -> Vec<Note> {
        if pairs.is_empty() {
            return Vec::new();
        }
        let mut line_of = vec![usize::MAX; self.lineup.figures.len()];
        for (number, line) in lines.iter().enumerate() {
            line.slots.iter().for_each(|slot| {
                if let Who::Figure(at) = slot.who {
                    line_of[at] = number;
                }
            });
        }
        let kept = fewest(pairs, line_of.len(), |pair| {
            let (one, other) = (line_of[pair.one], line_of[pair.other]);
            // Shares are never negative: their bits are in their order.
            (one != other, pair.difference.share().to_bits(), pair.other - pair.one)
        });
        let mut noted = Vec::new();
        let mut of_line: BTreeMap<usize, Vec<Pair>> = BTreeMap::new();
        for pair in kept {
            if line_of[pair.one] == line_of[pair.other] {
                of_line.entry(line_of[pair.one]).or_default().push(pair);
            } else {
                noted.push(pair);
            }
        }
        for (number, pairs) in of_line {
            let line = &mut lines[number];
            let links = pairs.iter().filter_map(|pair| link(line, *pair)).collect();
            (line.links, line.levels) = levels(links);
            let is_laid = |pair: &Pair| line.links.iter().any(|link| link.pair == *pair);
            noted.extend(pairs.iter().filter(|pair| !is_laid(pair)));
        }
        noted.sort_by_key(|pair| (pair.one, pair.other));
        let notes: Vec<Note> =
            noted.into_iter().enumerate().map(|(at, pair)| Note { number: at + 1, pair }).collect();
        name_notes(lines, &notes);
        notes
    }

    /// Cuts the paper to what stands on it.
    fn trim(&mut self) {
        /// The title and the foot need this much in any case.
        const LEAST: f64 = 150.0;
        let Some(page) = self.pages.first() else { return };
        let right = page.lines.iter().map(|(_, line)| line.right()).fold(0.0, f64::max);
        self.size.0 = (2.0 * MARGIN + GUTTER + right).max(LEAST).min(self.size.0);
        self.size.1 = (page.bottom + FOOT).min(self.size.1);
    }
}

/// Writes under every figure of a note where to look.
fn name_notes(lines: &mut [Line], notes: &[Note]) {
    let mut numbers: BTreeMap<usize, Vec<String>> = BTreeMap::new();
    for note in notes {
        for figure in [note.pair.one, note.pair.other] {
            numbers.entry(figure).or_default().push(note.number.to_string());
        }
    }
    for slot in lines.iter_mut().flat_map(|line| &mut line.slots) {
        if let Who::Figure(at) = slot.who
            && let Some(numbers) = numbers.get(&at)
        {
            let text = format!("see {}", numbers.join(", "));
            slot.words.push(Words::Beside(cut(&text, Face::Regular, SMALL, slot.width)));
        }
    }
}
