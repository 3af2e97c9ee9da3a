//! Figures as they are and as they would be, each pair side by side with its words.

use image::RgbaImage;

use super::beads;
use super::choices::lines;
use super::drawing::{Anchor, Pen, Type, at};
use super::font::{Face, settable};
use super::ground::Ground;
use super::picture::{LETTERS, MARGIN, picture_of};
use crate::colour::Srgb;
use crate::grid::Grid;

/// Height of the tallest figure in pixels, as far as beads keep a whole pitch between these bounds.
const HEIGHT: f64 = 560.0;
const PITCH: (f64, f64) = (5.0, 30.0);

/// Pairs in a row: more would be too small on a screen.
const IN_ROW: usize = 3;

/// Columns of beads between the two of a pair.
const BETWEEN: f64 = 2.0;

/// Letters of a name, height of its strip, and of a line of words, in pixels.
const NAME: f64 = 30.0;
const HEAD: f64 = 60.0;
const LINE: f64 = 30.0;

/// Least width of a pair: room for its words.
const LEAST_WIDE: f64 = 420.0;

/// Most pixels each way of a picture; pairs beyond it are left out.
const MOST_SIDE: f64 = 16_000.0;

/// A figure before and after a change, of one size.
#[derive(Clone, Debug)]
pub struct Pair {
    /// What stands over it.
    pub name: String,
    /// The beads as they are.
    pub before: Grid<Option<Srgb>>,
    /// The beads as they would be.
    pub after: Grid<Option<Srgb>>,
    /// What stands under it, each on lines of its own.
    pub words: Vec<String>,
}

/// Pairs in rows, all to one scale: the figure as it is at the left, as it would be at the right. Says how many of the
/// first pairs found room.
pub fn pairs_picture(pairs: &[Pair]) -> (RgbaImage, usize) {
    let most = |of: fn(&Pair) -> usize| pairs.iter().map(of).max().unwrap_or(0).max(1) as f64;
    let (rows, columns) = (most(|pair| pair.before.rows()), most(|pair| pair.before.columns()));
    let pitch = (HEIGHT / rows).clamp(PITCH.0, PITCH.1).floor();
    let across = IN_ROW.min(pairs.len()).max(1);
    let wide =
        ((2.0 * columns + BETWEEN) * pitch).max(LEAST_WIDE).min(MOST_SIDE / across as f64 - 2.0 * MARGIN);
    let words: Vec<Vec<String>> = pairs
        .iter()
        .map(|pair| pair.words.iter().flat_map(|text| lines(&settable(text).0, wide)).collect())
        .collect();
    // Each row is as high as its longest words ask for.
    let mut tops = vec![0.0];
    for row in words.chunks(across) {
        let longest = row.iter().map(Vec::len).max().unwrap_or(0) as f64;
        let next = tops[tops.len() - 1] + HEAD + rows * pitch + longest * LINE + 2.0 * MARGIN;
        if next > MOST_SIDE {
            break;
        }
        tops.push(next);
    }
    let shown = pairs.len().min((tops.len() - 1) * across);
    let ground = Ground::suiting_all(pairs.iter().flat_map(|pair| [pair.before.clone(), pair.after.clone()]));
    let size = ((wide + 2.0 * MARGIN) * across as f64, tops[tops.len() - 1].max(1.0));
    let mut pen = Pen::default();
    pen.block(at(0.0, 0.0), size, ground.colour());
    for (place, pair) in pairs.iter().take(shown).enumerate() {
        let left = (wide + 2.0 * MARGIN) * (place % across) as f64 + MARGIN;
        let top = tops[place / across];
        let name = Type { face: Face::Bold, size: NAME, ink: ground.ink() };
        pen.text(at(left, top + HEAD - MARGIN / 2.0), Anchor::Left, name, &settable(&pair.name).0);
        // Feet on one line.
        let down = top + HEAD + (rows - pair.before.rows() as f64) * pitch;
        let right = left + (pair.before.columns() as f64 + BETWEEN) * pitch;
        beads::pegged(&mut pen, &pair.before, at(left, down), pitch, ground, false);
        beads::pegged(&mut pen, &pair.after, at(right, down), pitch, ground, false);
        for (line, text) in words[place].iter().enumerate() {
            let kind = Type { face: Face::Regular, size: LETTERS, ink: ground.ink() };
            let baseline = top + HEAD + rows * pitch + MARGIN / 2.0 + LETTERS + line as f64 * LINE;
            pen.text(at(left, baseline), Anchor::Left, kind, text);
        }
    }
    (picture_of((size.0.ceil() as u32, size.1.ceil() as u32), pen), shown)
}
