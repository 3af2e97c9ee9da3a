//! A known figure and the ways it is drawn, shared by the tests of drafting.

use image::{Rgba, RgbaImage};
use smallcast::colour::{Linear, Srgb};
use smallcast::draft::{Draft, DraftOptions, Size, draft};
use smallcast::reference::Picture;
use smallcast::tray::{Bead, Tray};
use smallcast::units::{Column, Row};

pub const PAPER: Srgb = Srgb::new(252, 253, 250);

/// A watchman of 24 rows in the trade's zones: head 5, neck 1, torso 8, legs 9, feet 1 (common
/// practice, no source).
pub const WATCHMAN: [&str; 24] = [
    "...nnn...",
    "..nnnnn..",
    "..sesse..",
    "..sssss..",
    "...sss...",
    "...ss....",
    "..rryrr..",
    ".rrryrrr.",
    ".rrrrrrr.",
    ".rrryrrr.",
    ".rrrrrrr.",
    ".kkkgkkk.",
    ".rrryrrr.",
    ".srrrrrs.",
    "..bb.bb..",
    "..bb.bb..",
    "..bb.bb..",
    "..bb.bb..",
    "..bb.bb..",
    "..bb.bb..",
    "..bb.bb..",
    "..bb.bb..",
    "..bb.bb..",
    "..kk.kkk.",
];

const BEADS: [(char, &str, &str); 9] = [
    ('n', "night", "1b2747"),
    ('s', "skin", "f0c3a5"),
    ('e', "soot", "202124"),
    ('r', "rust", "a8452f"),
    ('y', "yolk", "f9d94a"),
    ('k', "bark", "41302a"),
    ('g', "gilt", "f5a92f"),
    ('b', "slate", "4c5763"),
    ('w', "chalk", "f4f4ee"),
];

pub fn tray() -> Tray {
    let mut beads: Vec<Bead> =
        BEADS.iter().map(|(_, name, hex)| Bead::new(*name, hex.parse::<Srgb>().unwrap().lab())).collect();
    beads.push(Bead::new("moss", Srgb::new(90, 97, 48).lab()));
    Tray::new("test", beads).unwrap()
}

pub fn colour_at(grid: &[&str], row: usize, column: usize) -> Option<Srgb> {
    let mark = grid.get(row)?.chars().nth(column)?;
    BEADS.iter().find(|b| b.0 == mark).map(|b| b.2.parse().unwrap())
}

/// Draws a grid, each bead `bead` pixels wide and high, a margin around it, its edges softened by
/// eight samples a pixel each way.
pub fn drawn(grid: &[&str], bead: (f64, f64), margin: f64) -> RgbaImage {
    let columns = grid[0].len();
    let size = |beads: usize, bead: f64| (beads as f64 * bead + 2.0 * margin).ceil() as u32;
    RgbaImage::from_fn(size(columns, bead.0), size(grid.len(), bead.1), |x, y| {
        const SAMPLES: u32 = 8;
        let mut sum = [0.0; 3];
        for i in 0..SAMPLES * SAMPLES {
            let at = |p: u32, s: u32| f64::from(p) + (f64::from(s) + 0.5) / f64::from(SAMPLES) - margin;
            let (u, v) = (at(x, i % SAMPLES) / bead.0, at(y, i / SAMPLES) / bead.1);
            let inside = u >= 0.0 && v >= 0.0;
            let colour = if inside { colour_at(grid, v as usize, u as usize) } else { None };
            let light = colour.unwrap_or(PAPER).linear();
            [light.r, light.g, light.b].iter().zip(&mut sum).for_each(|(l, s)| *s += l / 64.0);
        }
        let seen = Linear { r: sum[0], g: sum[1], b: sum[2] }.srgb();
        Rgba([seen.r, seen.g, seen.b, 255])
    })
}

pub fn as_picture(pixels: RgbaImage) -> Picture {
    Picture::of(pixels)
}

/// The draft's rows in the marks of the test's beads, empty columns at the sides cut off.
pub fn rows_of(draft: &Draft, tray: &Tray) -> Vec<String> {
    let beads = draft.matched.beads();
    let mark = |row, column| match &beads[(Row(row), Column(column))] {
        Some(bead) => {
            let name = &tray.bead(bead.bead).name;
            BEADS.iter().find(|b| b.1 == name).map_or('?', |b| b.0)
        }
        None => '.',
    };
    let lines: Vec<String> =
        (0..beads.rows()).map(|r| (0..beads.columns()).map(|c| mark(r, c)).collect()).collect();
    without_empty_sides(&lines.iter().map(String::as_str).collect::<Vec<_>>())
}

pub fn without_empty_sides(lines: &[&str]) -> Vec<String> {
    let columns = lines.iter().map(|l| l.len()).max().unwrap_or(0);
    let used = |c: usize| lines.iter().any(|l| l.chars().nth(c).is_some_and(|c| c != '.'));
    let first = (0..columns).find(|&c| used(c)).unwrap_or(0);
    let last = (0..columns).rev().find(|&c| used(c)).unwrap_or(0);
    lines.iter().map(|l| l.chars().skip(first).take(last + 1 - first).collect()).collect()
}

pub fn by_rows(rows: usize) -> DraftOptions {
    DraftOptions { size: Size::Rows(rows), ..DraftOptions::default() }
}

/// The watchman as the rows of a draft of it.
pub fn watchman() -> Vec<String> {
    without_empty_sides(&WATCHMAN)
}

/// Drafts a picture to so many rows; its rows in the marks of the test's beads.
pub fn drafted(pixels: RgbaImage, rows: usize) -> Vec<String> {
    let tray = tray();
    rows_of(&draft("test.png", &as_picture(pixels), &by_rows(rows), &tray).unwrap(), &tray)
}

/// Multiplies the light of every pixel.
pub fn lit(pixels: &mut RgbaImage, light: impl Fn(f64, f64) -> [f64; 3]) {
    let (width, height) = pixels.dimensions();
    for (x, y, pixel) in pixels.enumerate_pixels_mut() {
        let [r, g, b] = light(f64::from(x) / f64::from(width), f64::from(y) / f64::from(height));
        let seen = Srgb::new(pixel[0], pixel[1], pixel[2]).linear();
        let lit = Linear { r: seen.r * r, g: seen.g * g, b: seen.b * b }.srgb();
        *pixel = Rgba([lit.r, lit.g, lit.b, pixel[3]]);
    }
}

/// Draws an ink line four pixels wide along every border between figure and paper.
pub fn outline(pixels: &mut RgbaImage, grid: &[&str], bead: f64, margin: f64) {
    let filled = |row: i64, column: i64| {
        let line = usize::try_from(row).ok().and_then(|row| grid.get(row));
        let c = line.and_then(|line| usize::try_from(column).ok().and_then(|c| line.chars().nth(c)));
        c.is_some_and(|c| c != '.')
    };
    for (x, y, pixel) in pixels.enumerate_pixels_mut() {
        let at = |dx: f64, dy: f64| {
            let place = |p: u32, d: f64| ((f64::from(p) + 0.5 + d - margin) / bead).floor() as i64;
            filled(place(y, dy), place(x, dx))
        };
        let around = [(-2.0, 0.0), (2.0, 0.0), (0.0, -2.0), (0.0, 2.0)].map(|(dx, dy)| at(dx, dy));
        if around.iter().any(|a| *a) && !around.iter().all(|a| *a) {
            *pixel = Rgba([28, 26, 30, 255]);
        }
    }
}
