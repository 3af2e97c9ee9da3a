//! PDF, SVG and PNG of one sheet show the same, as two rasterisers that are not ours see the first two:
//! poppler (PDF) and librsvg (SVG).

use std::sync::Arc;

use image::{Rgb, RgbImage, Rgba, RgbaImage};
use smallcast::sheet::{Page, Sheet, SheetOptions, Steps, Subject, build_sheet, pdf, png_page, svg};
use smallcast::tray::Tray;
use smallcast::units::Millimetres;

use super::figures::{figure, shipped};
use super::tools::{Desk, are_there};

const RESOLUTION: u32 = 100;

/// Poppler moves thin lines and letters to whole pixels; at so many times the resolution that is little.
const FINE: u32 = 4;

/// The measure: each picture is smoothed by the mean of 3 x 3 pixels, since rasterisers differ in how they
/// soften an edge, but not in where it lies. Of the smoothed pixels a channel may differ by more than a
/// quarter in no more than this share of pixels: 20 of a page's million. On the pages below none did
/// (2026-11-25); a word lost or a page shifted by half a millimetre is hundreds.
const LOUD: i32 = 64;
const MOST_LOUD: f64 = 0.00002;

/// And the mean difference of all channels may be no more than this, of 255; seen were 0.1 to 1.9, the most
/// on pages full of small words, whose edges are softened differently.
const MOST_MEAN: f64 = 2.5;

/// A picture of fewer pixels, each the mean of so many by so many.
fn averaged(picture: &RgbImage, by: u32) -> RgbImage {
    let side = |pixels: u32| (f64::from(pixels) / f64::from(by)).round() as u32;
    RgbImage::from_fn(side(picture.width()), side(picture.height()), |x, y| {
        let mut sum = [0; 3];
        let inside = |v: u32, most: u32| v.min(most - 1);
        for (dx, dy) in (0..by).flat_map(|dy| (0..by).map(move |dx| (dx, dy))) {
            let (px, py) = (inside(x * by + dx, picture.width()), inside(y * by + dy, picture.height()));
            let pixel = picture.get_pixel(px, py);
            (0..3).for_each(|c| sum[c] += u32::from(pixel[c]));
        }
        Rgb(sum.map(|sum| (sum / (by * by)) as u8))
    })
}

fn smoothed(picture: &RgbImage) -> RgbImage {
    RgbImage::from_fn(picture.width() - 2, picture.height() - 2, |x, y| {
        let channel = |c: usize| {
            let nine = (0..3).flat_map(|dy| (0..3).map(move |dx| (dx, dy)));
            (nine.map(|(dx, dy)| u32::from(picture.get_pixel(x + dx, y + dy)[c])).sum::<u32>() / 9) as u8
        };
        Rgb([channel(0), channel(1), channel(2)])
    })
}

/// The share of loud pixels, and the mean difference.
fn difference(one: &RgbImage, other: &RgbImage) -> (f64, f64) {
    let sides = |a: u32, b: u32| a.abs_diff(b) <= 1;
    assert!(sides(one.width(), other.width()) && sides(one.height(), other.height()));
    let (width, height) = (one.width().min(other.width()), one.height().min(other.height()));
    let cut = |p: &RgbImage| smoothed(&image::imageops::crop_imm(p, 0, 0, width, height).to_image());
    let (one, other) = (cut(one), cut(other));
    let (mut loud, mut sum) = (0_u64, 0_u64);
    for (a, b) in one.pixels().zip(other.pixels()) {
        let apart = [0, 1, 2].map(|c| (i32::from(a[c]) - i32::from(b[c])).abs());
        loud += u64::from(apart.iter().any(|d| *d > LOUD));
        sum += apart.iter().map(|d| *d as u64).sum::<u64>();
    }
    let pixels = one.pixels().len() as f64;
    (loud as f64 / pixels, sum as f64 / pixels / 3.0)
}

fn three(desk: &Desk, sheet: &Sheet, number: usize, page: &Page) -> [(&'static str, RgbImage); 3] {
    let of_pdf = desk.pdf_page(&desk.keep("a.pdf", &pdf(sheet)), number, FINE * RESOLUTION);
    let of_pdf = averaged(&of_pdf, FINE);
    let of_svg = desk.svg_page(&desk.keep("a.svg", svg(sheet, page).as_bytes()), RESOLUTION);
    let png = png_page(sheet, page, f64::from(RESOLUTION));
    let of_png = image::load_from_memory(&png).unwrap().to_rgb8();
    [("PDF", of_pdf), ("SVG", of_svg), ("PNG", of_png)]
}

pub fn assert_agree(sheet: &Sheet) {
    let desk = Desk::new();
    // Every third page of a long sheet: its pages are alike, and drawing them six times takes long.
    let step = if sheet.pages.len() > 3 { 3 } else { 1 };
    for (number, page) in sheet.pages.iter().enumerate().step_by(step) {
        let pictures = three(&desk, sheet, number + 1, page);
        for (a, b) in [(0, 1), (0, 2), (1, 2)] {
            let (loud, mean) = difference(&pictures[a].1, &pictures[b].1);
            let what =
                format!("{} page {}: {} and {}", sheet.title, number + 1, pictures[a].0, pictures[b].0);
            assert!(loud <= MOST_LOUD && mean <= MOST_MEAN, "{what}: loud {loud:.6}, mean {mean:.3}");
        }
    }
}

/// A reference with hard and soft places and a clear corner.
fn reference() -> Arc<RgbaImage> {
    Arc::new(RgbaImage::from_fn(120, 200, |x, y| {
        let clear = if x + y < 60 { 0 } else { 255 };
        Rgba([(x * 2) as u8, (y / 2 + 60) as u8, if x / 30 % 2 == 0 { 200 } else { 90 }, clear])
    }))
}

#[test]
fn one_sheet_looks_the_same_in_all_three() {
    if !are_there(&["pdftoppm", "rsvg-convert"]) {
        return;
    }
    let tray = Tray::embedded();
    let figures = shipped();
    let subjects: Vec<_> =
        figures.iter().take(2).map(|(_, figure)| Subject { figure, reference: Some(reference()) }).collect();
    assert_agree(&build_sheet(&subjects, &tray, &SheetOptions::default()));
    let options =
        SheetOptions { pitch: Millimetres(2.6), steps: Some(Steps::Colour), ..SheetOptions::default() };
    assert_agree(&build_sheet(&subjects[..1], &tray, &options));
}

#[test]
fn so_do_the_parts_of_a_large_figure_and_letters_of_other_scripts() {
    if !are_there(&["pdftoppm", "rsvg-convert"]) {
        return;
    }
    let rows: Vec<String> =
        (0..50).map(|r| if r % 2 == 0 { "aŽж.".repeat(9) } else { ".Žaя".repeat(9) }).collect();
    let legend = [('a', "coal"), ('Ž', "Ζαφείρι čšž"), ('ж', "moss"), ('я', "chalk")];
    let large = figure("Ålesund – Łódź – Київ", "", &legend, &rows);
    let sheet = build_sheet(
        &[Subject { figure: &large, reference: None }],
        &Tray::embedded(),
        &SheetOptions::default(),
    );
    assert!(sheet.pages.len() >= 2);
    assert_agree(&sheet);
}

/// The measure itself sees what it is for: a letter lost, and everything moved by half a millimetre.
#[test]
fn the_measure_tells_a_lost_letter_and_a_shift() {
    if !are_there(&["pdftoppm", "rsvg-convert"]) {
        return;
    }
    let figures = shipped();
    let subjects = [Subject { figure: &figures[0].1, reference: None }];
    let mut sheet = build_sheet(&subjects, &Tray::embedded(), &SheetOptions::default());
    let page = |sheet: &Sheet| {
        let png = png_page(sheet, &sheet.pages[0], f64::from(RESOLUTION));
        image::load_from_memory(&png).unwrap().to_rgb8()
    };
    let whole = page(&sheet);
    assert_eq!(difference(&whole, &whole), (0.0, 0.0));
    let title = sheet.pages[0]
        .items
        .iter()
        .position(|item| matches!(item, smallcast::sheet::Item::Text { text, .. } if text == "Milk carter"));
    let removed = sheet.pages[0].items.remove(title.unwrap());
    assert!(difference(&whole, &page(&sheet)).0 > MOST_LOUD);
    sheet.pages[0].items.push(removed);
    let moved = image::imageops::crop_imm(&whole, 2, 0, whole.width() - 2, whole.height()).to_image();
    let rest = image::imageops::crop_imm(&whole, 0, 0, whole.width() - 2, whole.height()).to_image();
    assert!(difference(&rest, &moved).0 > MOST_LOUD);
}
