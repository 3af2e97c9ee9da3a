//! A photograph of the maker's beads with each bead outlined and numbered, and below it each bead's name between the
//! colour that the photograph shows and the one that was read: a tray to check by eye.

use std::sync::Arc;

use image::RgbaImage;

use super::beads::{BLACK, WHITE};
use super::drawing::{Anchor, Page, Pen, Point, Sheet, Type, Unit, at};
use super::font::{Face, settable};
use super::ground::Ground;
use super::png::raster;
use crate::colour::Srgb;
use crate::seen_beads::{SeenBead, SeenBeads};

/// Width of the photograph in the picture, in pixels; a smaller one keeps its own.
const WIDEST: f64 = 1600.0;

/// Narrower, the list under it would have no room for a column.
const NARROWEST: f64 = 480.0;

const MARGIN: f64 = 28.0;

/// An entry of the list: its width at least, its height, its letters, and each of its two swatches.
const ENTRY: (f64, f64) = (250.0, 46.0);
const LETTERS: f64 = 20.0;
const SWATCH: (f64, f64) = (40.0, 34.0);

/// Room for the number before the swatches.
const NUMBER: f64 = 40.0;

/// The line around a bead, on a wider one under it: one of the two is seen on any colour.
const LINE: f64 = 2.0;
const UNDER: f64 = 4.5;

/// The patch's outline: a blue that neither paper nor grey has.
const PATCH: Srgb = Srgb::new(20, 90, 200);

/// What was seen, and the names where they are known, in the same order.
pub fn seen_beads_picture(photograph: &RgbaImage, seen: &SeenBeads, names: &[String]) -> RgbaImage {
    let (wide, high) = (f64::from(photograph.width()), f64::from(photograph.height()));
    let scale = (WIDEST / wide).min(1.0);
    let size = (wide * scale, high * scale);
    let width = size.0.max(NARROWEST);
    let columns = (width / ENTRY.0).floor().max(1.0) as usize;
    let lines = seen.beads.len().div_ceil(columns);
    let legend = MARGIN * 2.0 + size.1;
    let whole = (width + 2.0 * MARGIN, legend + LETTERS * 2.0 + lines as f64 * ENTRY.1 + MARGIN);
    let mut pen = Pen::default();
    pen.picture(at(MARGIN, MARGIN), size, Arc::new(photograph.clone()));
    let placed = |(x, y): (f64, f64)| at(MARGIN + x * scale, MARGIN + y * scale);
    if let Some(patch) = seen.patch {
        outline_patch(&mut pen, placed(patch.place), patch.half * scale);
    }
    for (number, bead) in seen.beads.iter().enumerate() {
        outline(&mut pen, placed(bead.place), bead.radius * scale, number + 1);
    }
    let said = "number, as the photograph shows it, as it was read, name and uncertainty (CIEDE2000)";
    pen.text(at(MARGIN, legend + LETTERS * 0.6), Anchor::Left, letters(Face::Regular), said);
    for (number, bead) in seen.beads.iter().enumerate() {
        let (column, line) = (number % columns, number / columns);
        let corner = at(
            MARGIN + column as f64 * width / columns as f64,
            legend + LETTERS * 1.6 + line as f64 * ENTRY.1,
        );
        let room = width / columns as f64;
        entry(&mut pen, corner, room, (number + 1, bead, names.get(number).map_or("", String::as_str)));
    }
    let page =
        Page { size: whole, scale: (1.0, 1.0), ground: Some(Ground::Light.colour()), items: pen.items };
    let sheet = Sheet {
        title: String::new(),
        unit: Unit::Pixel,
        symbols: Vec::new(),
        pages: Vec::new(),
        warnings: Vec::new(),
    };
    raster(&sheet, &page, 1.0)
}

fn letters(face: Face) -> Type {
    Type { face, size: LETTERS, ink: Ground::Light.ink() }
}

fn outline(pen: &mut Pen, middle: Point, radius: f64, number: usize) {
    /// Outside the bead, so that its colour is seen whole.
    const OUTSIDE: f64 = 1.12;
    let radius = radius * OUTSIDE;
    pen.ring(middle, radius, UNDER, WHITE);
    pen.ring(middle, radius, LINE, BLACK);
    let size = (radius * 1.1).clamp(13.0, 24.0);
    let text = number.to_string();
    let wide = Face::Bold.width(&text, size);
    // Below the bead, on a plate of white: what lies there would hide it.
    let place = at(middle.x, middle.y + radius + size);
    pen.block(at(place.x - wide / 2.0 - 3.0, place.y - size * 0.85), (wide + 6.0, size * 1.05), WHITE);
    pen.text(place, Anchor::Middle, Type { face: Face::Bold, size, ink: BLACK }, &text);
}

fn outline_patch(pen: &mut Pen, middle: Point, half: f64) {
    let corner = at(middle.x - half, middle.y - half);
    pen.frame(corner, (2.0 * half, 2.0 * half), UNDER, WHITE);
    pen.frame(corner, (2.0 * half, 2.0 * half), LINE + 1.0, PATCH);
    pen.text(
        at(middle.x, middle.y),
        Anchor::Middle,
        Type { face: Face::Bold, size: LETTERS, ink: PATCH },
        "white",
    );
}

/// A bead's line of the list, in this much room.
fn entry(pen: &mut Pen, corner: Point, room: f64, (number, bead, name): (usize, &SeenBead, &str)) {
    let base = corner.y + SWATCH.1 / 2.0 + LETTERS * 0.35;
    pen.text(at(corner.x + NUMBER - 10.0, base), Anchor::Right, letters(Face::Bold), &number.to_string());
    let shown = at(corner.x + NUMBER, corner.y);
    let read = at(shown.x + SWATCH.0, corner.y);
    pen.block(shown, SWATCH, bead.shown);
    let said = match bead.colour {
        Ok(colour) => {
            pen.block(read, SWATCH, colour.lab.srgb());
            let doubt = if bead.doubts.is_empty() { "" } else { " ?" };
            format!("±{}{doubt}", colour.uncertainty)
        }
        Err(why) => {
            // No colour is made up: an empty box, crossed.
            pen.line(at(read.x, read.y + SWATCH.1), at(read.x + SWATCH.0, read.y), 1.5, Ground::Light.ink());
            why.word().to_owned()
        }
    };
    pen.frame(shown, (SWATCH.0 * 2.0, SWATCH.1), 1.0, Ground::Light.ink());
    let left = read.x + SWATCH.0 + 10.0;
    let small = Type { size: LETTERS * 0.7, ..letters(Face::Regular) };
    if name.is_empty() {
        pen.text(at(left, base), Anchor::Left, letters(Face::Regular), &said);
    } else {
        let fits = cut(name, corner.x + room - left - 8.0);
        pen.text(at(left, corner.y + LETTERS * 0.8), Anchor::Left, letters(Face::Regular), &fits);
        pen.text(at(left, corner.y + LETTERS * 1.6), Anchor::Left, small, &said);
    }
}

/// As much of a name as there is room for.
fn cut(name: &str, room: f64) -> String {
    let (name, _) = settable(name);
    let fits = |text: &str| Face::Regular.width(text, LETTERS) <= room;
    if fits(&name) {
        return name;
    }
    let letters: Vec<char> = name.chars().collect();
    let ends = (1..letters.len()).rev().map(|end| letters[..end].iter().collect::<String>() + "…");
    ends.into_iter().find(|text| fits(text)).unwrap_or_else(|| "…".into())
}
