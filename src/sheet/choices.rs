//! The readings of a picture side by side, numbered, what differs ringed and said.

use std::sync::Arc;

use image::RgbaImage;

use super::beads::{self, BLACK, WHITE};
use super::drawing::{Anchor, Pen, Point, Type, at};
use super::font::{Face, settable};
use super::ground::Ground;
use super::picture::{LETTERS, MARGIN, cropped, middle_of, picture_of, span};
use crate::colour::Srgb;
use crate::draft::{Choice, Draft};
use crate::grid::Grid;
use crate::tray::Tray;
use crate::units::Column;

/// Height of the figures in pixels where they stand in one row, and in two.
const HEIGHTS: [f64; 2] = [760.0, 560.0];

/// Pixels from peg to peg, at least and at most.
const PITCH: (f64, f64) = (5.0, 40.0);

/// Panels in a row at most, the reference among them: more would be too small on a screen.
const IN_ROW: usize = 5;

/// Least width of a panel: room for its words.
const LEAST_WIDE: f64 = 250.0;

/// Most pixels across of all panels of a row.
const MOST_WIDE: f64 = 6000.0;

/// Letters of a number, height of its strip, and of a line of words, in pixels.
const NUMBER: f64 = 34.0;
const HEAD: f64 = 56.0;
const LINE: f64 = 30.0;

/// What stands under the reference and the first reading.
const REFERENCE: &str = "the reference";
const ORDINARY: &str = "the ordinary draft";

const GROUND: Ground = Ground::Light;

/// The reference and every reading of it, each with its number over it and what differs from the first under it;
/// beads that differ are ringed.
pub fn choices_picture(choices: &[Choice], tray: &Tray) -> RgbaImage {
    let Some(first) = choices.first() else { return RgbaImage::new(1, 1) };
    let frame = Frame::of(choices);
    let words: Vec<Vec<String>> = std::iter::once(REFERENCE.to_owned())
        .chain(choices.iter().map(in_words))
        .map(|text| lines(&settable(&text).0, frame.wide))
        .collect();
    let most = words.iter().map(Vec::len).max().unwrap_or(1);
    let band = HEAD + frame.high + MARGIN + most as f64 * LINE + MARGIN;
    let panel = frame.wide + 2.0 * MARGIN;
    let across = frame.across.min(words.len());
    let size = (panel * across as f64, band * words.len().div_ceil(frame.across) as f64);
    let mut pen = Pen::default();
    pen.block(at(0.0, 0.0), size, GROUND.colour());
    for (place, words) in words.iter().enumerate() {
        let (row, column) = (place / frame.across, place % frame.across);
        let corner = at(panel * column as f64 + MARGIN, band * row as f64);
        let top = at(corner.x, corner.y + HEAD);
        match place.checked_sub(1).and_then(|number| choices.get(number)) {
            None => {
                let shown = reference(&first.draft);
                let (wide, high) = (f64::from(shown.width()), f64::from(shown.height()));
                let scale = (frame.high / high).min(frame.wide / wide);
                pen.picture(top, (wide * scale, high * scale), Arc::new(shown));
            }
            Some(choice) => {
                let number = Type { face: Face::Bold, size: NUMBER, ink: GROUND.ink() };
                pen.text(
                    at(corner.x, corner.y + HEAD - MARGIN / 2.0),
                    Anchor::Left,
                    number,
                    &place.to_string(),
                );
                frame.draw(&mut pen, choice, top, tray);
            }
        }
        for (at_line, text) in words.iter().enumerate() {
            let kind = Type { face: Face::Regular, size: LETTERS, ink: GROUND.ink() };
            let baseline = top.y + frame.high + MARGIN / 2.0 + LETTERS + at_line as f64 * LINE;
            pen.text(at(corner.x, baseline), Anchor::Left, kind, text);
        }
    }
    picture_of((size.0.ceil() as u32, size.1.ceil() as u32), pen)
}

/// All of the subject, and what the lattice spans beyond it.
fn reference(draft: &Draft) -> RgbaImage {
    let (upper, lower, left, right) = draft.reference.extent();
    let lattice = span(draft);
    let whole = (
        lattice.0.min(left as f64),
        lattice.1.min(upper as f64),
        // The last row and column are shown, not the ones past them.
        lattice.2.max(right as f64 - 1.0),
        lattice.3.max(lower as f64 - 1.0),
    );
    cropped(&draft.reference.shown(), whole).0
}

/// What every reading's panel has in common.
struct Frame {
    rows: usize,
    columns: usize,
    pitch: f64,
    wide: f64,
    high: f64,
    /// Panels in a row.
    across: usize,
}

impl Frame {
    fn of(choices: &[Choice]) -> Self {
        let beads =
            |choice: &Choice| (choice.draft.matched.beads().rows(), choice.draft.matched.beads().columns());
        let rows = choices.iter().map(|c| beads(c).0).max().unwrap_or(0).max(1);
        // Where the first has a bead and another reading's grid ends, the place is looked at all the same.
        let ends = choices.iter().flat_map(|c| {
            std::iter::once(c.column + beads(c).1).chain(c.changed.iter().map(|(_, column)| column.0 + 1))
        });
        let columns = ends.max().unwrap_or(0).max(1);
        let panels = choices.len() + 1;
        let bands = panels.div_ceil(IN_ROW).min(HEIGHTS.len());
        let across = panels.div_ceil(bands);
        let room = MOST_WIDE / across as f64 - 2.0 * MARGIN;
        let pitch = (HEIGHTS[bands - 1] / rows as f64).clamp(PITCH.0, PITCH.1).min(room / columns as f64);
        let pitch = pitch.max(1.0).floor();
        let wide = (columns as f64 * pitch).max(LEAST_WIDE);
        Self { rows, columns, pitch, wide, high: rows as f64 * pitch, across }
    }

    fn draw(&self, pen: &mut Pen, choice: &Choice, corner: Point, tray: &Tray) {
        /// Radius and widths of the ring about a bead that differs, in pegs' distance: dark in light, so that it
        /// is seen on any bead; where a bead is gone, a thin one about the bare peg.
        const RADIUS: f64 = 0.45;
        const LIGHT: f64 = 0.17;
        const DARK: f64 = 0.08;
        const GONE: f64 = 0.04;
        let beads = choice.draft.matched.beads();
        let colours: Grid<Option<Srgb>> = Grid::from_fn(self.rows, self.columns, |row, column| {
            let own = Column(column.0.checked_sub(choice.column)?);
            let bead = beads.get(row, own)?.as_ref()?;
            Some(tray.bead(bead.bead).lab.srgb())
        });
        beads::pegged(pen, &colours, corner, self.pitch, GROUND, true);
        for &(row, column) in &choice.changed {
            let middle = middle_of(corner, self.pitch, row, column);
            if colours.get(row, column).copied().flatten().is_some() {
                pen.ring(middle, RADIUS * self.pitch, LIGHT * self.pitch, WHITE);
                pen.ring(middle, RADIUS * self.pitch, DARK * self.pitch, BLACK);
            } else {
                pen.ring(middle, RADIUS * self.pitch, GONE * self.pitch, GROUND.ink());
            }
        }
    }
}

fn in_words(choice: &Choice) -> String {
    if choice.differs.is_empty() {
        return ORDINARY.into();
    }
    let differs: Vec<String> = choice.differs.iter().map(ToString::to_string).collect();
    let count = choice.changed.len();
    let beads = if count == 1 { "bead differs" } else { "beads differ" };
    format!("{} ({count} {beads})", differs.join("; "))
}

/// Words in lines that a panel holds; a word longer than that has a line of its own.
pub(super) fn lines(text: &str, wide: f64) -> Vec<String> {
    let mut lines: Vec<String> = Vec::new();
    for word in text.split(' ') {
        let fits = |line: &String| Face::Regular.width(&format!("{line} {word}"), LETTERS) <= wide;
        match lines.last_mut().filter(|line| fits(line)) {
            Some(line) => {
                line.push(' ');
                line.push_str(word);
            }
            None => lines.push(word.to_owned()),
        }
    }
    lines
}
