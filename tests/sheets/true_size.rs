//! Measured in the printed pixels: beads and rulers are as long as they say.
//!
//! Paper sizes: A4 by ISO 216 (210 x 297 mm), Letter 8.5 x 11 in (215.9 x 279.4 mm), the inch 25.4 mm.

use image::{GrayImage, RgbImage};
use smallcast::sheet::{Paper, PrinterScale, SheetOptions, Subject, build_sheet, pdf, test_page};
use smallcast::tray::Tray;
use smallcast::units::Millimetres;

use super::figures::block;
use super::tools::{Desk, are_there, run};

const RESOLUTION: u32 = 300;

/// How far a length may be off, in millimetres: a pixel is 0.085.
const OFF: f64 = 0.1;

fn millimetres(pixels: f64) -> f64 {
    pixels * 25.4 / f64::from(RESOLUTION)
}

/// Where a row of values first and last crosses half of its darkest, between pixels.
fn first_and_last_edge(darkness: &[f64]) -> (f64, f64) {
    let half = darkness.iter().copied().fold(0.0, f64::max) / 2.0;
    let first = darkness.iter().position(|d| *d >= half).unwrap();
    let last = darkness.iter().rposition(|d| *d >= half).unwrap();
    let share = |dark: usize, light: usize| (darkness[dark] - half) / (darkness[dark] - darkness[light]);
    (first as f64 + 0.5 - share(first, first - 1), last as f64 + 0.5 + share(last, last + 1))
}

/// Height and width of the red beads of the field.
fn red_area(page: &RgbImage) -> (f64, f64) {
    // Poppy is the only red; black ink and grey rules have no chroma. The legend and the finished look lie
    // below the first gap.
    let red = |x: u32, y: u32| i32::from(page.get_pixel(x, y)[0]) - i32::from(page.get_pixel(x, y)[1]);
    let (width, height) = page.dimensions();
    let is_red = |y: u32| (0..width).any(|x| red(x, y) > 60);
    let top = (0..height).find(|&y| is_red(y)).unwrap();
    let bottom = (top..height).find(|&y| !is_red(y)).unwrap();
    let in_column = |x: u32| (top..bottom).any(|y| red(x, y) > 60);
    let left = (0..width).find(|&x| in_column(x)).unwrap();
    let right = (0..width).rfind(|&x| in_column(x)).unwrap() + 1;
    // The edges themselves by green light, which neither bead nor rim gives back; a little white all round,
    // less than the way to the nearest number.
    const ROUND: u32 = 6;
    let dark = |x: u32, y: u32| 255.0 - f64::from(page.get_pixel(x, y)[1]);
    let (xs, ys) = (left - ROUND..right + ROUND, top - ROUND..bottom + ROUND);
    let down: Vec<f64> = ys.clone().map(|y| (left..right).map(|x| dark(x, y)).fold(0.0, f64::max)).collect();
    let across: Vec<f64> = xs.map(|x| (top..bottom).map(|y| dark(x, y)).fold(0.0, f64::max)).collect();
    let length = |(first, last): (f64, f64)| millimetres(last - first);
    (length(first_and_last_edge(&down)), length(first_and_last_edge(&across)))
}

/// Middles of the dark strokes along a line of pixels.
fn strokes(values: &[u8]) -> Vec<f64> {
    let mut middles = Vec::new();
    let mut at = 0;
    while at < values.len() {
        let end = values[at..].iter().position(|v| *v > 200).map_or(values.len(), |n| at + n);
        if end > at {
            let weight = |i: usize| 255.0 - f64::from(values[i]);
            let sum: f64 = (at..end).map(weight).sum();
            middles.push((at..end).map(|i| i as f64 * weight(i)).sum::<f64>() / sum);
        }
        at = end + 1;
    }
    middles
}

/// From the first to the last of the eleven longest strokes, in whichever line shows just these.
fn ruler(lines: impl Iterator<Item = Vec<u8>>) -> f64 {
    let even = |middles: &Vec<f64>| {
        let steps: Vec<f64> = middles.windows(2).map(|pair| pair[1] - pair[0]).collect();
        middles.len() == 11 && steps.iter().all(|step| (step - steps[0]).abs() < 2.0) && steps[0] > 50.0
    };
    let middles = lines.map(|line| strokes(&line)).find(even).expect("a ruler of eleven long strokes");
    millimetres(middles[10] - middles[0])
}

/// The ruler at the foot, and the one at the right.
fn rulers(page: &RgbImage) -> (f64, f64) {
    let grey: GrayImage = image::DynamicImage::ImageRgb8(page.clone()).to_luma8();
    let (width, height) = grey.dimensions();
    // The level ruler is left of this; words stand right of it.
    let words = (114.0 / millimetres(1.0)) as u32;
    let rows = (height * 9 / 10..height).map(|y| (0..words).map(|x| grey.get_pixel(x, y)[0]).collect());
    let columns =
        (width * 9 / 10..width).map(|x| (0..height * 8 / 10).map(|y| grey.get_pixel(x, y)[0]).collect());
    (ruler(rows), ruler(columns))
}

fn near(measured: f64, wanted: f64, what: &str) {
    assert!((measured - wanted).abs() <= OFF, "{what}: {measured:.3} mm instead of {wanted}");
}

#[test]
fn beads_and_rulers_have_their_true_size_on_both_papers() {
    if !are_there(&["pdftoppm"]) {
        return;
    }
    let (desk, tray) = (Desk::new(), Tray::embedded());
    let figure = block(24, 13);
    // Five and 2.6 millimetres: the trade's two sizes (common practice, no source).
    for (paper, size) in [(Paper::A4, (210.0, 297.0)), (Paper::Letter, (215.9, 279.4))] {
        for pitch in [5.0, 2.6] {
            let options = SheetOptions { paper, pitch: Millimetres(pitch), ..SheetOptions::default() };
            let subjects = [Subject { figure: &figure, reference: None }];
            let file = desk.keep("size.pdf", &pdf(&build_sheet(&subjects, &tray, &options)));
            let page = desk.pdf_page(&file, 1, RESOLUTION);
            near(millimetres(f64::from(page.width())), size.0, "the paper's width");
            near(millimetres(f64::from(page.height())), size.1, "the paper's height");
            let (high, wide) = red_area(&page);
            near(high, 24.0 * pitch, "24 rows");
            near(wide, 13.0 * pitch, "13 columns");
            let (level, upright) = rulers(&page);
            near(level, 100.0, "the level ruler");
            near(upright, 100.0, "the upright ruler");
        }
    }
}

#[test]
fn the_paper_is_named_to_the_printer_in_its_exact_size() {
    if !are_there(&["pdfinfo"]) {
        return;
    }
    let desk = Desk::new();
    for (paper, size) in [(Paper::A4, (595.276, 841.89)), (Paper::Letter, (612.0, 792.0))] {
        let sheet = test_page(&SheetOptions { paper, ..SheetOptions::default() });
        let said = run("pdfinfo", &["-box", &desk.keep("paper.pdf", &pdf(&sheet))]);
        let of = |name: &str| -> Vec<f64> {
            let line = said.lines().find(|line| line.starts_with(name)).unwrap_or_else(|| panic!("{said}"));
            line.split_whitespace().filter_map(|word| word.parse().ok()).collect()
        };
        for name in ["MediaBox:", "CropBox:", "TrimBox:"] {
            let numbers = of(name);
            assert_eq!(numbers[..2], [0.0, 0.0], "{name}");
            assert!((numbers[2] - size.0).abs() < 0.02 && (numbers[3] - size.1).abs() < 0.02, "{numbers:?}");
        }
    }
}

/// A printer that makes 98.5 mm of 100 across and 99 down gets what becomes 100 mm both ways.
#[test]
fn the_printer_s_own_scale_is_made_up_for() {
    if !are_there(&["pdftoppm"]) {
        return;
    }
    let desk = Desk::new();
    let printer = PrinterScale::parse("0.985,0.99").unwrap();
    let options = SheetOptions { printer, ..SheetOptions::default() };
    let file = desk.keep("scaled.pdf", &pdf(&test_page(&options)));
    let (level, upright) = rulers(&desk.pdf_page(&file, 1, RESOLUTION));
    near(level * printer.across, 100.0, "the level ruler as printed");
    near(upright * printer.down, 100.0, "the upright ruler as printed");
    assert!(level > 101.0 && upright > 100.5, "{level} {upright}");
}
