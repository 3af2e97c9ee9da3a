//! Buttons: bright spots far smaller than a bead, one under the other down the front.
//!
//! One spot may be anything; three or more at even distances are a row of buttons. A bead stands for each second
//! row of beads, so that they stay buttons and become no stripe (both designs by eye of each of our sketches with
//! buttons).

use ndarray::Array2;

use super::signs::{CLEARLY, Drawn, Peg};
use crate::colour::{Lab, ciede2000};
use crate::reference::ground::middle_colour;
use crate::reference::mask::beside;
use crate::sample::labels::{GROUND, Labels};

/// Buttons are looked for in the columns up to so far from the axis.
const FRONT: i32 = 1;

/// A pixel of a button differs at least so much (CIEDE2000) from its garment,
const DIFFERS: f64 = 18.0;

/// ... and is lighter by so much of L*: folds, seams and outlines are darker.
const LIGHTER: f64 = 8.0;

/// A button's size, in beads, and how much longer it may be than wide.
const SIZE: (f64, f64) = (0.012, 0.4);
const LONGER: f64 = 2.5;

/// Buttons of a row lie within so many beads of one upright line,
const IN_LINE: f64 = 0.35;

/// ... are alike in colour within so much (CIEDE2000),
const ALIKE: f64 = 22.0;

/// ... are at least so many,
const LEAST: usize = 3;

/// ... and the widest of the ways between them is at most so many times the narrowest.
const EVEN: f64 = 1.8;

/// A row of buttons as beads.
#[derive(Clone, Debug)]
pub(super) struct Buttons {
    pub pegs: Vec<Peg>,
    pub colour: Lab,
    /// How much speaks for them, 0 to 1.
    pub stands: f64,
}

#[derive(Clone, Copy, Debug)]
struct Spot {
    y: f64,
    x: f64,
    colour: Lab,
    differs: f64,
}

/// Rows of buttons on the body's front, in the rows of beads that are given.
pub(super) fn find(
    colours: &Array2<Lab>,
    labels: &Labels,
    drawn: &Drawn,
    rows: std::ops::Range<usize>,
) -> Vec<Buttons> {
    let mut spots = spots(colours, labels, drawn, rows);
    spots.sort_by(|a, b| a.y.total_cmp(&b.y).then(a.x.total_cmp(&b.x)));
    let mut found = Vec::new();
    while let Some(first) = (!spots.is_empty()).then(|| spots.remove(0)) {
        let in_line = |spot: &Spot| {
            (spot.x - first.x).abs() <= IN_LINE * drawn.pitch
                && ciede2000(spot.colour, first.colour).0 <= ALIKE
        };
        let (row, others): (Vec<Spot>, Vec<Spot>) = spots.iter().partition(|spot| in_line(spot));
        let row: Vec<Spot> = std::iter::once(first).chain(row).collect();
        if is_even(&row) {
            spots = others;
            found.extend(buttons(drawn, &row));
        }
    }
    found
}

/// Whether spots, from the top, are enough and lie at even distances.
fn is_even(row: &[Spot]) -> bool {
    let ways: Vec<f64> = row.windows(2).map(|pair| pair[1].y - pair[0].y).collect();
    let widest = ways.iter().copied().fold(0.0, f64::max);
    let narrowest = ways.iter().copied().fold(f64::INFINITY, f64::min);
    row.len() >= LEAST && widest <= EVEN * narrowest
}

/// A bead for each second row of beads from the first button to the last.
fn buttons(drawn: &Drawn, row: &[Spot]) -> Option<Buttons> {
    let (first, last) = (row.first()?, row.last()?);
    let x = row.iter().map(|spot| spot.x).sum::<f64>() / row.len() as f64;
    let (from, column) = drawn.peg_at(first.y, x)?;
    let to = drawn.row_at(last.y)?;
    let differs = row.iter().map(|spot| spot.differs).sum::<f64>() / row.len() as f64;
    Some(Buttons {
        pegs: (from..=to).step_by(2).map(|row| (row, column)).collect(),
        colour: middle_colour(&row.iter().map(|spot| spot.colour).collect::<Vec<_>>()),
        stands: (differs / CLEARLY).min(1.0) * row.len() as f64 / (row.len() as f64 + 1.0),
    })
}

fn spots(colours: &Array2<Lab>, labels: &Labels, drawn: &Drawn, rows: std::ops::Range<usize>) -> Vec<Spot> {
    let mut differs = Array2::from_elem(colours.dim(), 0.0_f64);
    let clamp = |v: f64, most: usize| (v.max(0.0) as usize).min(most);
    for row in rows {
        for stretch in drawn.rows[row].iter().filter(|s| s.column.abs() <= FRONT) {
            let under = drawn.colours.get(&(row, stretch.column)).copied().unwrap_or(GROUND);
            if under == GROUND {
                continue;
            }
            let garment = labels.clusters[usize::from(under) - 1].colour;
            for y in clamp(drawn.lines[row], colours.nrows())..clamp(drawn.lines[row + 1], colours.nrows()) {
                for x in clamp(stretch.span.from, colours.ncols())..clamp(stretch.span.to, colours.ncols()) {
                    let own = colours[(y, x)];
                    if own.l >= garment.l + LIGHTER {
                        differs[(y, x)] = ciede2000(own, garment).0;
                    }
                }
            }
        }
    }
    let mut seen = differs.map(|d| *d < DIFFERS);
    let starts: Vec<(usize, usize)> =
        seen.indexed_iter().filter(|(_, seen)| !**seen).map(|(p, _)| p).collect();
    starts.into_iter().filter_map(|start| spot(start, colours, &differs, &mut seen, drawn.pitch)).collect()
}

/// The spot that begins at a pixel, if it is as large and as round as a button.
fn spot(
    start: (usize, usize),
    colours: &Array2<Lab>,
    differs: &Array2<f64>,
    seen: &mut Array2<bool>,
    pitch: f64,
) -> Option<Spot> {
    if std::mem::replace(&mut seen[start], true) {
        return None;
    }
    let mut pixels = vec![start];
    let mut next = 0;
    while let Some(&place) = pixels.get(next) {
        next += 1;
        pixels.extend(beside(place, seen.dim()).filter(|p| !std::mem::replace(&mut seen[*p], true)));
    }
    let span = |of: fn(&(usize, usize)) -> usize| {
        let (low, high) = pixels.iter().map(of).fold((usize::MAX, 0), |(l, h), v| (l.min(v), h.max(v)));
        (low as f64, (high + 1) as f64)
    };
    let (down, across) = (span(|p| p.0), span(|p| p.1));
    let (height, width) = (down.1 - down.0, across.1 - across.0);
    let size = pixels.len() as f64 / (pitch * pitch);
    if !(SIZE.0..=SIZE.1).contains(&size) || height.max(width) > LONGER * height.min(width) {
        return None;
    }
    // The half that differs most: the rest is blurred with the garment.
    pixels.sort_by(|a, b| differs[*b].total_cmp(&differs[*a]).then(a.cmp(b)));
    pixels.truncate(pixels.len().div_ceil(2));
    let colour = middle_colour(&pixels.iter().map(|p| colours[*p]).collect::<Vec<_>>());
    let strongest = differs[pixels[0]];
    Some(Spot {
        y: f64::midpoint(down.0, down.1),
        x: f64::midpoint(across.0, across.1),
        colour,
        differs: strongest,
    })
}
