//! A reliability diagram: how sure drafts were against how often they were right.

use image::RgbaImage;

use super::beads::{WHITE, mixed};
use super::drawing::{Anchor, Pen, Point as Place, Type, at as place_at};
use super::font::Face;
use super::ground::Ground;
use super::picture::{LETTERS, MARGIN, picture_of};
use crate::colour::Srgb;
use crate::score::{Bin, Judged, calibration_error, reliability};

/// Each side of the square, in pixels.
const SIDE: f64 = 720.0;

/// Room left of the square for the numbers of its upright axis.
const NUMBERS: f64 = 74.0;

/// Room right of the square: half of its last number, and a margin.
const RIGHT: f64 = 26.0 + MARGIN;

/// Height of a line of words, in pixels, and of the letters on axes and bars.
const LINE: f64 = 38.0;
const SMALL: f64 = 19.0;

/// Lines of words above and below the square.
const ABOVE: f64 = MARGIN + LINE;
const BELOW: f64 = 34.0 + 3.4 * LINE + MARGIN;

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
    let mut pen = Pen::default();
    pen.block(place_at(0.0, 0.0), (width, height), Ground::Light.colour());
    axes(&mut pen);
    let bins = reliability(beads);
    bins.iter().enumerate().for_each(|(at, bin)| bar(&mut pen, at, bin));
    pen.veil(at(0.0, 0.0), at(1.0, 1.0), 2.0, (Ground::Light.ink(), 150));
    bins.iter().filter(|bin| bin.count > 0).for_each(|bin| point(&mut pen, bin));
    bins.iter().enumerate().for_each(|(at, bin)| count(&mut pen, at, bin));
    words(&mut pen, beads);
    picture_of((width as u32, height as u32), pen)
}

/// Where a confidence and a share, both 0 to 1, lie in the picture.
fn at(confidence: f64, share: f64) -> Place {
    place_at(MARGIN + NUMBERS + confidence * SIDE, ABOVE + (1.0 - share) * SIDE)
}

/// White ground, a faint line for each fifth, and its number.
fn axes(pen: &mut Pen) {
    pen.block(at(0.0, 1.0), (SIDE, SIDE), WHITE);
    let ink = Ground::Light.ink();
    for fifth in 0..=5 {
        let part = f64::from(fifth) / 5.0;
        let strength = if fifth == 0 { 255 } else { 38 };
        pen.veil(at(0.0, part), at(1.0, part), 1.5, (ink, strength));
        pen.veil(at(part, 0.0), at(part, 1.0), 1.5, (ink, strength));
        let number = format!("{} %", fifth * 20);
        let Place { x, y } = at(0.0, part);
        pen.text(place_at(x - 12.0, y + 0.36 * SMALL), Anchor::Right, set(SMALL, ink), &number);
        let Place { x, y } = at(part, 0.0);
        pen.text(place_at(x, y + 12.0 + SMALL), Anchor::Middle, set(SMALL, ink), &number);
    }
}

/// Left and right edge of a bin's bar: bars stand a little apart.
fn edges(place: usize) -> (f64, f64) {
    const GAP: f64 = 3.0;
    let (left, right) = (at(place as f64 / 10.0, 0.0).x, at((place + 1) as f64 / 10.0, 0.0).x);
    (left + GAP, right - GAP)
}

fn bar(pen: &mut Pen, place: usize, bin: &Bin) {
    let (left, right) = edges(place);
    let (foot, top) = (at(0.0, 0.0).y, at(0.0, bin.kept).y);
    pen.block(place_at(left, top), (right - left, foot - top), BAR);
}

fn point(pen: &mut Pen, bin: &Bin) {
    let (here, there) = (at(bin.predicted, bin.kept), at(bin.predicted, bin.predicted));
    pen.line(here, there, 4.0, OFF);
    pen.disc(here, 8.0, POINT);
    pen.ring(here, 8.0, 2.0, WHITE);
}

/// How many beads a bin has, at the foot of its bar; above everything else where that is too low for it.
fn count(pen: &mut Pen, place: usize, bin: &Bin) {
    /// Under this share the point would lie on the number.
    const LOW: f64 = 0.06;
    let (left, right) = edges(place);
    let text = grouped(bin.count);
    let size = SMALL * ((right - left - 2.0) / Face::Regular.width(&text, SMALL)).min(1.0);
    let low = bin.count > 0 && bin.kept.min(bin.predicted) < LOW;
    let foot = if low { at(0.0, bin.kept.max(bin.predicted)).y - 8.0 } else { at(0.0, 0.0).y };
    let ink = Ground::Light.ink();
    // An empty bin is no news.
    let ink = if bin.count == 0 { mixed(ink, WHITE, 0.5) } else { ink };
    pen.text(place_at((left + right) / 2.0, foot - 9.0), Anchor::Middle, set(size, ink), &text);
}

fn words(pen: &mut Pen, beads: &[Judged]) {
    let ink = Ground::Light.ink();
    let Place { x: left, y: foot } = at(0.0, 0.0);
    let mut say = |x: f64, y: f64, anchor: Anchor, kind: Type, text: &str| {
        pen.text(place_at(x, y), anchor, kind, text);
    };
    say(MARGIN, MARGIN + LETTERS - 6.0, Anchor::Left, set(LETTERS, ink), "how often it was right");
    let baseline = foot + 34.0 + LINE;
    let across = "how sure the draft was of a bead";
    say(left + SIDE, baseline - 4.0, Anchor::Right, set(LETTERS, ink), across);
    let caption = match calibration_error(beads) {
        Some(error) => format!("{} beads; calibration error (ECE) {error:.3}", grouped(beads.len())),
        None => "no beads".into(),
    };
    say(MARGIN, baseline + 1.2 * LINE, Anchor::Left, set(LETTERS, ink), &caption);
    let reading = "On the line it is as sure as it should be, above it too modest, below it too bold.";
    say(MARGIN, baseline + 2.1 * LINE, Anchor::Left, set(SMALL, mixed(ink, WHITE, 0.1)), reading);
}

fn set(size: f64, ink: Srgb) -> Type {
    Type { face: Face::Regular, size, ink }
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
