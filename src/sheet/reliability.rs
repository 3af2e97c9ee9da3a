//! A reliability diagram: how sure drafts were against how often they were right.

use image::RgbaImage;
use tiny_skia::{Pixmap, PixmapMut};

use super::beads::{Board, disc, line, mixed, ring};
use super::lettering;
use super::picture::{LETTERS, MARGIN, straight};
use crate::colour::Srgb;
use crate::trial::{Bin, Judged, calibration_error, reliability};

/// Each side of the square, in pixels.
const SIDE: f32 = 720.0;

/// Room left of the square for the numbers of its upright axis.
const NUMBERS: f32 = 74.0;

/// Room right of the square: half of its last number, and a margin.
const RIGHT: f32 = 26.0 + MARGIN;

/// Height of a line of words, in pixels, and of the letters on axes and bars.
const LINE: f32 = 38.0;
const SMALL: f32 = 19.0;

/// Lines of words above and below the square.
const ABOVE: f32 = MARGIN + LINE;
const BELOW: f32 = 34.0 + 3.4 * LINE + MARGIN;

const WHITE: Srgb = Srgb::new(255, 255, 255);
/// The bars: a quiet blue, light enough for dark letters.
const BAR: Srgb = Srgb::new(178, 201, 219);
/// The points: a dark blue.
const POINT: Srgb = Srgb::new(30, 72, 112);
/// How far a point lies off the line: the red of doubts in a draft's picture.
const OFF: Srgb = Srgb::new(196, 40, 28);

/// Ten bins of confidence: a bar for the share of beads that was right, on it how many beads there are, a
/// point at their mean confidence, and from it a line to the diagonal, where both would be the same.
pub fn reliability_picture(beads: &[Judged]) -> RgbaImage {
    let (width, height) = (MARGIN + NUMBERS + SIDE + RIGHT, ABOVE + SIDE + BELOW);
    // Both sides are constants.
    let mut pixmap = Pixmap::new(width as u32, height as u32).expect("the diagram has a size");
    let mut canvas = pixmap.as_mut();
    line(&mut canvas, (0.0, height / 2.0), (width, height / 2.0), height, (Board::Light.colour(), 255));
    axes(&mut canvas);
    let bins = reliability(beads);
    bins.iter().enumerate().for_each(|(at, bin)| bar(&mut canvas, at, bin));
    line(&mut canvas, at(0.0, 0.0), at(1.0, 1.0), 2.0, (Board::Light.ink(), 150));
    bins.iter().filter(|bin| bin.count > 0).for_each(|bin| point(&mut canvas, bin));
    bins.iter().enumerate().for_each(|(at, bin)| count(&mut canvas, at, bin));
    words(&mut canvas, beads);
    straight(&pixmap)
}

/// Where a confidence and a share, both 0 to 1, lie in the picture.
fn at(confidence: f64, share: f64) -> (f32, f32) {
    (MARGIN + NUMBERS + confidence as f32 * SIDE, ABOVE + (1.0 - share as f32) * SIDE)
}

/// White ground, a faint line for each fifth, and its number.
fn axes(canvas: &mut PixmapMut) {
    let (left, middle) = at(0.0, 0.5);
    line(canvas, (left, middle), (left + SIDE, middle), SIDE, (WHITE, 255));
    let ink = Board::Light.ink();
    for fifth in 0..=5 {
        let part = f64::from(fifth) / 5.0;
        let strength = if fifth == 0 { 255 } else { 38 };
        line(canvas, at(0.0, part), at(1.0, part), 1.5, (ink, strength));
        line(canvas, at(part, 0.0), at(part, 1.0), 1.5, (ink, strength));
        let number = format!("{} %", fifth * 20);
        let wide = lettering::width_of(&number, SMALL);
        let (x, y) = at(0.0, part);
        lettering::write(canvas, &number, (x - wide - 12.0, y + 0.36 * SMALL), SMALL, ink);
        let (x, y) = at(part, 0.0);
        lettering::write(canvas, &number, (x - wide / 2.0, y + 12.0 + SMALL), SMALL, ink);
    }
}

/// Left and right edge of a bin's bar: bars stand a little apart.
fn edges(place: usize) -> (f32, f32) {
    const GAP: f32 = 3.0;
    let (left, right) = (at(place as f64 / 10.0, 0.0).0, at((place + 1) as f64 / 10.0, 0.0).0);
    (left + GAP, right - GAP)
}

fn bar(canvas: &mut PixmapMut, place: usize, bin: &Bin) {
    let (left, right) = edges(place);
    let middle = (left + right) / 2.0;
    let (foot, top) = (at(0.0, 0.0).1, at(0.0, bin.kept).1);
    line(canvas, (middle, foot), (middle, top), right - left, (BAR, 255));
}

fn point(canvas: &mut PixmapMut, bin: &Bin) {
    let (here, there) = (at(bin.predicted, bin.kept), at(bin.predicted, bin.predicted));
    line(canvas, here, there, 4.0, (OFF, 255));
    disc(canvas, here, 8.0, POINT);
    ring(canvas, here, 8.0, 2.0, WHITE);
}

/// How many beads a bin has, at the foot of its bar; above everything else where that is too low for it.
fn count(canvas: &mut PixmapMut, place: usize, bin: &Bin) {
    /// Under this share the point would lie on the number.
    const LOW: f64 = 0.06;
    let (left, right) = edges(place);
    let text = grouped(bin.count);
    let size = SMALL * ((right - left - 2.0) / lettering::width_of(&text, SMALL)).min(1.0);
    let x = (left + right - lettering::width_of(&text, size)) / 2.0;
    let low = bin.count > 0 && bin.kept.min(bin.predicted) < LOW;
    let foot = if low { at(0.0, bin.kept.max(bin.predicted)).1 - 8.0 } else { at(0.0, 0.0).1 };
    let ink = Board::Light.ink();
    // An empty bin is no news.
    let ink = if bin.count == 0 { mixed(ink, WHITE, 0.5) } else { ink };
    lettering::write(canvas, &text, (x, foot - 9.0), size, ink);
}

fn words(canvas: &mut PixmapMut, beads: &[Judged]) {
    let ink = Board::Light.ink();
    let (left, foot) = at(0.0, 0.0);
    lettering::write(canvas, "how often it was right", (MARGIN, MARGIN + LETTERS - 6.0), LETTERS, ink);
    let across = "how sure the draft was of a bead";
    let baseline = foot + 34.0 + LINE;
    let wide = lettering::width_of(across, LETTERS);
    lettering::write(canvas, across, (left + SIDE - wide, baseline - 4.0), LETTERS, ink);
    let caption = match calibration_error(beads) {
        Some(error) => format!("{} beads; calibration error (ECE) {error:.3}", grouped(beads.len())),
        None => "no beads".into(),
    };
    lettering::write(canvas, &caption, (MARGIN, baseline + 1.2 * LINE), LETTERS, ink);
    let reading = "On the line it is as sure as it should be, above it too modest, below it too bold.";
    lettering::write(canvas, reading, (MARGIN, baseline + 2.1 * LINE), SMALL, mixed(ink, WHITE, 0.1));
}

/// A count with its thousands apart.
fn grouped(count: usize) -> String {
    let digits = count.to_string();
    let mut text = String::new();
    for (at, digit) in digits.chars().enumerate() {
        if at > 0 && (digits.len() - at).is_multiple_of(3) {
            text.push(' ');
        }
        text.push(digit);
    }
    text
}
