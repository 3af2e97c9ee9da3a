//! The line-up put down: heights, figures, names, brackets, links and notes.

use std::collections::BTreeMap;

use rayon::prelude::*;

use super::super::beads::rim;
use super::super::drawing::{Anchor, Item, Page, Pen, Sheet, SymbolId, Unit, at};
use super::super::font::{Face, POINT, settable};
use super::super::layout::{FAINT, INK, cut, words};
use super::lines::{BRACKET, Body, LEADING, LEVEL, Line, NAME, OVER_HEADS, SMALL, Slot, TO_NAME, Who, Words};
use super::pages::{GUTTER, MARGIN, NOTE, NOTES_ACROSS, Note, PagePlan, Plan};
use crate::colour::Srgb;

/// The guide's beads: a shape to measure by, no figure of the cast.
pub(super) const GHOST: Srgb = Srgb::new(214, 213, 208);

/// What figures stand before: white beads are seen on it.
const STAGE: Srgb = Srgb::new(243, 242, 238);

/// Lines at the heights of the classes.
const HEIGHT_LINE: Srgb = Srgb::new(200, 199, 193);

/// Widths of lines, in millimetres.
const HAIR: f64 = 0.12;
const THIN: f64 = 0.22;
const GROUND: f64 = 0.35;

/// A bead's rim and hole, from bead to bead 1; smaller beads than this many millimetres have no hole to be seen.
const RIM: f64 = 0.05;
const HOLE: f64 = 0.14;
const HOLE_FROM: f64 = 1.3;

/// Before the first figure and after the last, in millimetres.
const AIR: f64 = 2.0;

/// Letters of the title, in points.
const TITLE: f64 = 13.0;

/// From one name of a height to the next.
const LABELS_APART: f64 = 2.5;

/// What a note takes beside its two names, in millimetres.
const NOTE_FIXED: f64 = 24.0;

/// What joins two figures, in words.
const JOINED: &str =
    "Joined: too alike to be told apart at a glance. The number is how much of the two differs.";

/// Beads drawn once a colour, in the order of colours.
struct Beads(BTreeMap<Srgb, SymbolId>);

impl Beads {
    fn of(plan: &Plan) -> Self {
        let mut places = BTreeMap::new();
        for body in plan.bodies.iter().chain([&plan.guide]) {
            let colours = body.colours.iter().filter_map(|(_, _, colour)| *colour);
            colours.for_each(|colour| {
                places.insert(colour, SymbolId(0));
            });
        }
        places.values_mut().enumerate().for_each(|(number, place)| *place = SymbolId(number));
        Self(places)
    }

    fn items(&self, pitch: f64) -> Vec<Vec<Item>> {
        self.0.keys().map(|colour| bead(*colour, pitch)).collect()
    }
}

/// A bead about its middle.
fn bead(colour: Srgb, pitch: f64) -> Vec<Item> {
    let mut pen = Pen::default();
    let rim = rim(colour, (0.25, 0.4));
    pen.disc(at(0.0, 0.0), pitch / 2.0, colour);
    pen.ring(at(0.0, 0.0), (0.5 - RIM / 2.0) * pitch, RIM * pitch, rim);
    if pitch >= HOLE_FROM {
        pen.disc(at(0.0, 0.0), HOLE * pitch, rim);
    }
    pen.items
}

/// All pages.
pub(super) fn sheet(plan: &Plan) -> Sheet {
    let beads = Beads::of(plan);
    let count = plan.pages.len();
    let title = settable(plan.lineup.title).0;
    let page = |(number, page): (usize, &PagePlan)| {
        let mut pen = Pen::default();
        furniture(&mut pen, plan, &title, (number + 1, count));
        for (top, line) in &page.lines {
            OneLine { plan, line, top: *top }.draw(&mut pen, &beads);
        }
        notes(&mut pen, plan, page);
        Page { size: plan.size, scale: (1.0, 1.0), ground: None, items: pen.items }
    };
    let pages = plan.pages.par_iter().enumerate().map(page).collect();
    let symbols = beads.items(plan.pitch);
    Sheet { title, unit: Unit::Millimetre, symbols, pages, warnings: Vec::new() }
}

fn furniture(pen: &mut Pen, plan: &Plan, title: &str, (number, count): (usize, usize)) {
    let (width, height) = plan.size;
    let figures = plan.lineup.figures.len();
    let right = match count {
        1 => format!("{figures} figure{}", if figures == 1 { "" } else { "s" }),
        _ => format!("{figures} figures, page {number} of {count}"),
    };
    let small = words(Face::Regular, 8.0, FAINT);
    let taken = Face::Regular.width(&right, small.size) + 5.0;
    let shown = cut(title, Face::Bold, TITLE * POINT, width - 2.0 * MARGIN - taken);
    pen.text(at(MARGIN, 15.0), Anchor::Left, words(Face::Bold, TITLE, INK), &shown);
    pen.text(at(width - MARGIN, 15.0), Anchor::Right, small, &right);
    let rows = plan.guide.rows();
    // A picture has no millimetres.
    let scale = match plan.lineup.trimmed {
        true => format!("To one scale; the guide has {rows} rows."),
        false => format!("To one scale: one row is {:.2} mm here; the guide has {rows}.", plan.pitch),
    };
    let foot = words(Face::Regular, 7.0, FAINT);
    pen.text(at(MARGIN, height - 8.0), Anchor::Left, foot, &scale);
    if !plan.lineup.pairs.is_empty() {
        pen.text(at(MARGIN, height - 8.0 - NOTE), Anchor::Left, foot, JOINED);
    }
}

fn notes(pen: &mut Pen, plan: &Plan, page: &PagePlan) {
    let wide = (plan.size.0 - 2.0 * MARGIN) / NOTES_ACROSS as f64;
    for (place, Note { number, pair }) in page.notes.iter().enumerate() {
        let (down, across) = (place / NOTES_ACROSS, place % NOTES_ACROSS);
        let kind = words(Face::Regular, 7.0, INK);
        let half = (wide - NOTE_FIXED) / 2.0;
        let name = |figure: usize| cut(&plan.names[figure], Face::Regular, kind.size, half);
        let shown = format!("{number}  {} and {}: {}", name(pair.one), name(pair.other), pair.difference);
        let place = at(MARGIN + across as f64 * wide, page.notes_top + (down as f64 + 1.0) * NOTE);
        pen.text(place, Anchor::Left, kind, &shown);
    }
}

/// A line of figures at its place.
struct OneLine<'a> {
    plan: &'a Plan<'a>,
    line: &'a Line,
    top: f64,
}

impl OneLine<'_> {
    fn draw(&self, pen: &mut Pen, beads: &Beads) {
        let ground = self.ground();
        // A bead of air over the tallest.
        let top =
            self.top + self.line.ground(self.plan.pitch) - (self.line.rows + 1) as f64 * self.plan.pitch;
        let (from, to) = self.stage();
        pen.block(at(from, top), (to - from, ground - top), STAGE);
        self.heights(pen);
        pen.line(at(from, ground), at(to, ground), GROUND, INK);
        for slot in &self.line.slots {
            self.figure(pen, beads, slot);
            self.words(pen, slot);
        }
        self.brackets(pen);
        self.links(pen);
    }

    fn left(&self) -> f64 {
        MARGIN + GUTTER
    }

    /// The ends of what figures stand before: air on both sides of the outermost.
    fn stage(&self) -> (f64, f64) {
        (self.left() - AIR, self.plan.size.0 - MARGIN + AIR)
    }

    fn ground(&self) -> f64 {
        self.top + self.line.ground(self.plan.pitch)
    }

    fn body(&self, who: Who) -> &Body {
        match who {
            Who::Guide => &self.plan.guide,
            Who::Figure(at) => &self.plan.bodies[at],
        }
    }

    /// Where a figure's highest bead begins.
    fn crown(&self, who: Who) -> f64 {
        self.ground() - self.body(who).rows() as f64 * self.plan.pitch
    }

    /// A line across at every class's height, named at the left.
    fn heights(&self, pen: &mut Pen) {
        let mut named: BTreeMap<usize, Vec<&str>> = BTreeMap::new();
        for class in self.plan.lineup.classes.iter().filter(|class| class.rows.total() <= self.line.rows) {
            named.entry(class.rows.total()).or_default().push(&class.name);
        }
        // The tallest first: from the top down.
        let heights: Vec<(f64, String)> = named
            .iter()
            .rev()
            .map(|(rows, names)| {
                (self.ground() - *rows as f64 * self.plan.pitch, format!("{} {rows}", names.join(", ")))
            })
            .collect();
        let wanted: Vec<f64> = heights.iter().map(|height| height.0).collect();
        let kind = words(Face::Regular, SMALL / POINT, FAINT);
        let (from, to) = self.stage();
        for ((y, name), label) in heights.iter().zip(spread(&wanted, LABELS_APART)) {
            pen.line(at(from, *y), at(to, *y), HAIR, HEIGHT_LINE);
            pen.line(at(from - 3.0, label), at(from, *y), HAIR, HEIGHT_LINE);
            let shown = cut(&settable(name).0, Face::Regular, kind.size, GUTTER - AIR - 3.6);
            pen.text(at(from - 3.4, label + 0.7), Anchor::Right, kind, &shown);
        }
    }

    fn figure(&self, pen: &mut Pen, beads: &Beads, slot: &Slot) {
        let (body, pitch) = (self.body(slot.who), self.plan.pitch);
        let left = self.left() + slot.middle() - body.columns() as f64 * pitch / 2.0;
        let top = self.crown(slot.who);
        for (row, column, colour) in body.colours.iter() {
            let Some(colour) = *colour else { continue };
            let middle = at(left + (column.0 as f64 + 0.5) * pitch, top + (row.0 as f64 + 0.5) * pitch);
            // Every colour of a body has its symbol.
            pen.symbol(beads.0[&colour], middle);
        }
    }

    fn words(&self, pen: &mut Pen, slot: &Slot) {
        let middle = self.left() + slot.middle();
        for (number, said) in slot.words.iter().enumerate() {
            let (text, size, ink) = match said {
                Words::Name(text) if slot.who == Who::Guide => (text, NAME, FAINT),
                Words::Name(text) => (text, NAME, INK),
                Words::Beside(text) => (text, SMALL, FAINT),
            };
            let y = self.ground() + TO_NAME + number as f64 * LEADING;
            pen.text(at(middle, y), Anchor::Middle, words(Face::Regular, size / POINT, ink), text);
        }
    }

    /// One bracket under those of one group that stand together.
    fn brackets(&self, pen: &mut Pen) {
        if !self.line.bracketed {
            return;
        }
        let group = |slot: &Slot| match slot.who {
            Who::Guide => None,
            Who::Figure(at) => self.plan.lineup.figures[at].group,
        };
        let y = self.ground() + TO_NAME + self.line.word_lines() as f64 * LEADING;
        for together in self.line.slots.chunk_by(|one, other| group(one) == group(other)) {
            let [first, ..] = together else { continue };
            let last = &together[together.len() - 1];
            let Some(name) = group(first).and_then(|group| self.plan.lineup.groups.get(group)) else {
                continue;
            };
            let (from, to) = (self.left() + first.left, self.left() + last.left + last.width);
            for x in [from, to] {
                pen.line(at(x, y - 1.4), at(x, y + THIN / 2.0), THIN, INK);
            }
            pen.line(at(from, y), at(to, y), THIN, INK);
            let kind = words(Face::Bold, NAME / POINT, INK);
            let shown = cut(&settable(name).0, Face::Bold, kind.size, to - from);
            pen.text(at((from + to) / 2.0, y + BRACKET - 2.4), Anchor::Middle, kind, &shown);
        }
    }

    /// A line from head to head, with what it says over it.
    fn links(&self, pen: &mut Pen) {
        let heads = self.ground() - self.line.rows as f64 * self.plan.pitch;
        for link in &self.line.links {
            let y = heads - OVER_HEADS - link.level as f64 * LEVEL;
            let (left, right) = (self.left() + link.left, self.left() + link.right);
            let middle = |who: Who| self.line.slots.iter().find(|slot| slot.who == who).map(Slot::middle);
            let (one, other) = (Who::Figure(link.pair.one), Who::Figure(link.pair.other));
            let one_is_left = middle(one) <= middle(other);
            let (at_left, at_right) = if one_is_left { (one, other) } else { (other, one) };
            for (x, who) in [(left, at_left), (right, at_right)] {
                let foot = self.crown(who) - 0.9;
                pen.line(at(x, y - THIN / 2.0), at(x, foot), THIN, INK);
                pen.disc(at(x, foot), 0.5, INK);
            }
            pen.line(at(left, y), at(right, y), THIN, INK);
            let kind = words(Face::Bold, SMALL / POINT, INK);
            let text = link.pair.difference.to_string();
            pen.text(at((left + right) / 2.0, y - 0.7), Anchor::Middle, kind, &text);
        }
    }
}

/// Places as near to those wanted as can be, no two nearer to each other than `apart`; they come in their order.
///
/// The least sum of squares of what each is moved by: those that push one another are moved as one (pool adjacent
/// violators: R. E. Barlow and others, "Statistical inference under order restrictions", 1972).
fn spread(wanted: &[f64], apart: f64) -> Vec<f64> {
    // Of each block that moves as one: the sum of what its places want, less what parts them, and how many.
    let mut blocks: Vec<(f64, usize)> = Vec::new();
    for (number, place) in wanted.iter().enumerate() {
        blocks.push((place - number as f64 * apart, 1));
        while let [.., before, last] = blocks.as_mut_slice()
            && before.0 / before.1 as f64 > last.0 / last.1 as f64
        {
            *before = (before.0 + last.0, before.1 + last.1);
            blocks.pop();
        }
    }
    let places = blocks.iter().flat_map(|&(sum, count)| std::iter::repeat_n(sum / count as f64, count));
    places.enumerate().map(|(number, place)| place + number as f64 * apart).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_lies_too_near_is_spread_about_its_middle_and_the_rest_stays() {
        assert_eq!(spread(&[0.0, 10.0, 10.5, 30.0], 2.0), [0.0, 9.25, 11.25, 30.0]);
        assert_eq!(spread(&[], 2.0), Vec::<f64>::new());
        let many = spread(&[5.0; 7], 2.5);
        assert!(many.windows(2).all(|two| (two[1] - two[0] - 2.5).abs() < 1e-9), "{many:?}");
        assert!((many.iter().sum::<f64>() / 7.0 - 5.0).abs() < 1e-9);
    }
}
