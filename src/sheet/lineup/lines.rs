//! Figures in lines: who stands on which, and how much room each takes.

use std::ops::Range;

use super::super::font::{Face, POINT, settable};
use super::super::layout::{cut, wrapped};
use super::Lineup;
use super::links::Link;
use crate::colour::Srgb;
use crate::grid::Grid;

/// Letters of names, of what is said beside them, and from one line of letters to the next, in millimetres.
pub(super) const NAME: f64 = 7.0 * POINT;
pub(super) const SMALL: f64 = 6.0 * POINT;
pub(super) const LEADING: f64 = 2.9;

/// A name has this many lines at most.
const NAME_LINES: usize = 2;

/// The guide's name has this much room, in millimetres.
const GUIDE_NAME: f64 = 14.0;

/// Between two figures: this many beads, and no less than this many millimetres.
const APART: (f64, f64) = (2.0, 2.4);

/// From the ground line down to the names' first baseline, and the height of a bracket with its name.
pub(super) const TO_NAME: f64 = 3.6;
pub(super) const BRACKET: f64 = 5.6;

/// Height of a level of links, and from the highest head to the lowest.
pub(super) const LEVEL: f64 = 3.6;
pub(super) const OVER_HEADS: f64 = 1.6;

/// A figure's beads and nothing round them.
#[derive(Debug)]
pub(super) struct Body {
    pub colours: Grid<Option<Srgb>>,
}

impl Body {
    pub fn of(colours: &Grid<Option<Srgb>>) -> Self {
        Self { colours: colours.trimmed() }
    }

    pub fn rows(&self) -> usize {
        self.colours.rows()
    }

    pub fn columns(&self) -> usize {
        self.colours.columns()
    }
}

/// Who stands in a place.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Who {
    Guide,
    Figure(usize),
}

/// A place in a line.
#[derive(Debug)]
pub(super) struct Slot {
    pub who: Who,
    /// From the line's left end.
    pub left: f64,
    /// For figure and name, without what parts it from the next.
    pub width: f64,
    /// What is said under it.
    pub words: Vec<Words>,
}

/// A line under a figure.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) enum Words {
    /// Of its name.
    Name(String),
    /// What is said beside the name, set smaller.
    Beside(String),
}

impl Slot {
    pub fn middle(&self) -> f64 {
        self.left + self.width / 2.0
    }
}

/// One line of figures.
#[derive(Debug)]
pub(super) struct Line {
    pub slots: Vec<Slot>,
    /// Rows of its tallest.
    pub rows: usize,
    pub links: Vec<Link>,
    pub levels: usize,
    /// Whether a bracket stands under it.
    pub bracketed: bool,
}

impl Line {
    /// From its top down to the ground line.
    pub fn ground(&self, pitch: f64) -> f64 {
        let links = if self.levels > 0 { OVER_HEADS + LEVEL * self.levels as f64 } else { 0.0 };
        links + self.rows as f64 * pitch
    }

    /// Under the ground line.
    pub fn below(&self) -> f64 {
        TO_NAME + self.word_lines() as f64 * LEADING + if self.bracketed { BRACKET } else { 0.0 }
    }

    pub fn word_lines(&self) -> usize {
        self.slots.iter().map(|slot| slot.words.len()).max().unwrap_or(0)
    }

    pub fn height(&self, pitch: f64) -> f64 {
        self.ground(pitch) + self.below()
    }

    /// Where its last figure ends.
    pub fn right(&self) -> f64 {
        self.slots.last().map_or(0.0, |slot| slot.left + slot.width)
    }
}

/// What lines are made of.
pub(super) struct Row<'a> {
    pub lineup: &'a Lineup<'a>,
    pub names: &'a [String],
    pub bodies: &'a [Body],
    pub guide: &'a Body,
    /// Room for each name.
    pub rooms: &'a [f64],
}

impl Row<'_> {
    pub fn body(&self, who: Who) -> &Body {
        match who {
            Who::Guide => self.guide,
            Who::Figure(at) => &self.bodies[at],
        }
    }

    /// The figures of a span in lines no wider than a width, each begun by the guide; without links. The lines are
    /// as few as can be, and about as long as one another.
    pub fn lines(&self, span: Range<usize>, pitch: f64, width: f64) -> Vec<Line> {
        /// To this many parts of the width lines are made as long as one another.
        const PARTS: i32 = 7;
        let apart = (APART.0 * pitch).max(APART.1);
        let guide = self.width(Who::Guide, pitch);
        let widths: Vec<f64> = span.clone().map(|at| self.width(Who::Figure(at), pitch) + apart).collect();
        let (least, mut most) = (count(&widths, width - guide), width - guide);
        let mut short = 0.0;
        for _ in 0..PARTS {
            let middle = f64::midpoint(short, most);
            if count(&widths, middle) == least { most = middle } else { short = middle }
        }
        self.filled(span, pitch, (guide + most).min(width))
    }

    fn filled(&self, span: Range<usize>, pitch: f64, width: f64) -> Vec<Line> {
        let apart = (APART.0 * pitch).max(APART.1);
        let mut lines: Vec<Line> = Vec::new();
        let mut right = f64::INFINITY;
        for at in span {
            let mut slot = self.slot(Who::Figure(at), pitch);
            if right + apart + slot.width > width + 1e-9 {
                let guide = self.slot(Who::Guide, pitch);
                right = guide.width;
                lines.push(Line {
                    slots: vec![guide],
                    rows: self.guide.rows(),
                    links: Vec::new(),
                    levels: 0,
                    bracketed: false,
                });
            }
            let Some(line) = lines.last_mut() else { continue };
            slot.left = right + apart;
            right = slot.left + slot.width;
            line.rows = line.rows.max(self.bodies[at].rows());
            line.bracketed |= self.lineup.by_group && self.lineup.figures[at].group.is_some();
            line.slots.push(slot);
        }
        lines
    }

    fn width(&self, who: Who, pitch: f64) -> f64 {
        (self.body(who).columns() as f64 * pitch).max(self.room_of(who))
    }

    fn slot(&self, who: Who, pitch: f64) -> Slot {
        let name = match who {
            Who::Guide => &self.lineup.guide.name,
            Who::Figure(at) => &self.names[at],
        };
        let width = self.width(who, pitch);
        let mut words: Vec<Words> = in_lines(name, width).into_iter().map(Words::Name).collect();
        if let Some(group) = self.group_beside(who) {
            words.push(Words::Beside(cut(&settable(group).0, Face::Regular, SMALL, width)));
        }
        Slot { who, left: 0.0, width, words }
    }

    fn room_of(&self, who: Who) -> f64 {
        match who {
            Who::Guide => room_for(&self.lineup.guide.name, GUIDE_NAME),
            Who::Figure(at) => self.rooms[at],
        }
    }

    /// The group that is named under a figure, where no bracket names it.
    fn group_beside(&self, who: Who) -> Option<&str> {
        let Who::Figure(at) = who else { return None };
        let group = self.lineup.figures[at].group.filter(|_| !self.lineup.by_group)?;
        self.lineup.groups.get(group).copied()
    }
}

/// How many lines things of these widths fill, none of them longer than a length but where one thing is.
fn count(widths: &[f64], length: f64) -> usize {
    let mut lines = 0;
    let mut right = f64::INFINITY;
    for width in widths {
        right += width;
        if right > length + 1e-9 {
            lines += 1;
            right = *width;
        }
    }
    lines
}

/// The least room that holds a name in its lines, up to a width.
pub(super) fn room_for(name: &str, widest: f64) -> f64 {
    /// Grown by this much at a time, in millimetres.
    const STEP: f64 = 1.0;
    let word = |word: &str| Face::Regular.width(word, NAME);
    let mut room = name.split(' ').map(word).fold(0.0, f64::max);
    while room < widest && wrapped(name, Face::Regular, NAME, room).len() > NAME_LINES {
        room += STEP;
    }
    room.min(widest)
}

/// A name in lines no wider than a width; what does not fit is cut.
fn in_lines(name: &str, width: f64) -> Vec<String> {
    let mut lines = wrapped(name, Face::Regular, NAME, width);
    if lines.len() > NAME_LINES {
        let rest = lines.split_off(NAME_LINES - 1).join(" ");
        let last = cut(&rest, Face::Regular, NAME, width);
        // Joined words may fit where their break did not fall at the line's end.
        lines.push(last);
    }
    lines
}
