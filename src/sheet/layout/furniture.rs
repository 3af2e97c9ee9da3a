//! What stands on every page: rulers both ways, the cautions, the page's number.

use super::super::drawing::{Anchor, Pen, Point, at};
use super::super::font::{Face, POINT};
use super::pages::{FAINT, INK, MARGIN, words};
use super::words::wrapped;

/// The rulers' length.
const LENGTH: usize = 100;

/// Widths of a ruler's lines.
const STROKE: f64 = 0.2;

/// The cautions: the bead maker's word, the iron, the air, small parts (the age is that of 16 CFR 1501.4, the United
/// States' rule on them), toys.
const CAUTIONS: [&str; 2] = [
    "The bead maker's instructions and your local rules come first. Hot iron: an adult irons. Air the room; stop \
     if beads smoke.",
    "Small parts: not for children under three. A figure is not a safety-tested toy.",
];
const SMALL: f64 = 7.0;
const LEADING: f64 = 3.3;

/// White under the last line.
const UNDER: f64 = 8.0;

/// From the first caution's baseline up to the ruler's line, and from there up to the page's room.
const TO_RULER: f64 = 8.0;
const OVER_RULER: f64 = 7.0;

/// Where the upright ruler begins and how far it stands from the paper's edge.
const UPRIGHT_TOP: f64 = 42.0;
const UPRIGHT_RIGHT: f64 = 6.0;

const TRUE_SIZE: &str = "This ruler is 100 mm long if the page is printed at 100 %, not fitted to the paper. If it \
                         is not: smallcast sheet --test-page.";

fn caution_lines(width: f64) -> Vec<String> {
    // The page's number stands at the end of the last line.
    const NUMBER: f64 = 22.0;
    let size = SMALL * POINT;
    let wrap = |text: &str| wrapped(text, Face::Regular, size, width - 2.0 * MARGIN - NUMBER);
    CAUTIONS.iter().flat_map(|text| wrap(text)).collect()
}

/// Height at the foot of a page of a width that is taken.
pub(super) fn foot(width: f64) -> f64 {
    UNDER + LEADING * (caution_lines(width).len() - 1) as f64 + TO_RULER + OVER_RULER
}

/// Puts it all on a page; `number` of how many.
pub(super) fn lay(pen: &mut Pen, (width, height): (f64, f64), (number, count): (usize, usize)) {
    let lines = caution_lines(width);
    let first = height - UNDER - LEADING * (lines.len() - 1) as f64;
    let small = words(Face::Regular, SMALL, INK);
    for (i, line) in lines.iter().enumerate() {
        pen.text(at(MARGIN, first + LEADING * i as f64), Anchor::Left, small, line);
    }
    let page = format!("page {number} of {count}");
    let faint = words(Face::Regular, SMALL, FAINT);
    pen.text(at(width - MARGIN, height - UNDER), Anchor::Right, faint, &page);
    let line = first - TO_RULER;
    level_ruler(pen, at(MARGIN, line));
    let beside = MARGIN + LENGTH as f64 + 7.0;
    let notes = wrapped(TRUE_SIZE, Face::Regular, faint.size, width - MARGIN - beside);
    let above = LEADING * (notes.len() as f64 - 1.0);
    for (i, note) in notes.iter().enumerate() {
        pen.text(at(beside, line + 0.6 - above + LEADING * i as f64), Anchor::Left, faint, note);
    }
    upright_ruler(pen, at(width - UPRIGHT_RIGHT, UPRIGHT_TOP));
}

/// Length of the stroke at this many millimetres.
fn stroke(mm: usize) -> f64 {
    match mm {
        _ if mm.is_multiple_of(10) => 3.4,
        _ if mm.is_multiple_of(5) => 2.4,
        _ => 1.4,
    }
}

/// A ruler from left to right, its strokes upwards.
pub(super) fn level_ruler(pen: &mut Pen, zero: Point) {
    pen.line(
        at(zero.x - STROKE / 2.0, zero.y),
        at(zero.x + LENGTH as f64 + STROKE / 2.0, zero.y),
        STROKE,
        INK,
    );
    for mm in 0..=LENGTH {
        let x = zero.x + mm as f64;
        pen.line(at(x, zero.y), at(x, zero.y - stroke(mm)), STROKE, INK);
        if mm.is_multiple_of(10) {
            let kind = words(Face::Regular, 6.0, INK);
            pen.text(at(x, zero.y + 2.7), Anchor::Middle, kind, &mm.to_string());
        }
    }
}

/// A ruler from top to bottom, its strokes to the left.
pub(super) fn upright_ruler(pen: &mut Pen, zero: Point) {
    pen.line(
        at(zero.x, zero.y - STROKE / 2.0),
        at(zero.x, zero.y + LENGTH as f64 + STROKE / 2.0),
        STROKE,
        INK,
    );
    for mm in 0..=LENGTH {
        let y = zero.y + mm as f64;
        pen.line(at(zero.x, y), at(zero.x - stroke(mm), y), STROKE, INK);
        if mm.is_multiple_of(10) {
            let kind = words(Face::Regular, 6.0, INK);
            pen.text(at(zero.x - 4.0, y + 0.75), Anchor::Right, kind, &mm.to_string());
        }
    }
}
