//! What each stage costs, on drawings made here and on a drawn photograph of a sheet. Compare ratios within one run:
//! decoding a 12 megapixel JPEG is the measure, machines differ. Asked of the whole line: at most 1.5 of it
//! for 12 megapixels, at most 0.2 of it for 512 pixels.

use std::hint::black_box;

use criterion::{BatchSize, Criterion, criterion_group, criterion_main};
use image::codecs::jpeg::JpegEncoder;
use image::{DynamicImage, Rgb, RgbImage};
use palette::color_difference::Ciede2000;
use smallcast::colour::{Lab, Srgb, ciede2000};
use smallcast::draft::{DraftOptions, Size, draft};
use smallcast::matching::MatchedGrid;
use smallcast::reference::open::decode;
use smallcast::reference::{Area, Limits, Picture, Reference, ReferenceOptions, resample};
use smallcast::sample::{Layout, SampleGrid, cluster_colours};
use smallcast::tray::Tray;
use smallcast::trial::{Manner, Trial, known_figures};

const ROWS: usize = 24;

/// A figure of blocks, `scale` pixels a bead, on paper; every seventh pixel a little off, as a scan is.
fn drawing(scale: u32, margin: u32) -> RgbImage {
    const CLOTHES: [[u8; 3]; 6] =
        [[27, 39, 71], [240, 195, 165], [168, 69, 47], [65, 48, 42], [76, 87, 99], [245, 169, 47]];
    let (columns, rows) = (9, ROWS as u32);
    RgbImage::from_fn(columns * scale + 2 * margin, rows * scale + 2 * margin, |x, y| {
        let noise = ((x * 31 + y * 17) % 7) as u8;
        let inside = x >= margin && y >= margin && x < margin + columns * scale && y < margin + rows * scale;
        let (column, row) = (x.saturating_sub(margin) / scale, y.saturating_sub(margin) / scale);
        let waist = if row < 6 { 2..7 } else { 1..8 };
        let gap = row > 14 && column == 4;
        if !inside || gap || !waist.contains(&column) {
            return Rgb([246 + noise, 246 + noise, 244 + noise]);
        }
        let [r, g, b] = CLOTHES[(row / 4) as usize % CLOTHES.len()];
        Rgb([r.saturating_add(noise), g.saturating_add(noise), b.saturating_add(noise)])
    })
}

fn jpeg(picture: &RgbImage) -> Vec<u8> {
    let mut bytes = Vec::new();
    // Writing to memory fails only for sizes JPEG cannot hold.
    JpegEncoder::new_with_quality(&mut bytes, 92).encode_image(picture).expect("a JPEG in memory");
    bytes
}

/// A sheet on a table at 12 megapixels.
fn photograph(tray: &Tray) -> Vec<u8> {
    let figures = known_figures(tray).expect("the known figures fit the embedded tray");
    let trial = Trial { figure: &figures[0], manner: Manner::Photo, seed: 0 };
    jpeg(&DynamicImage::from(trial.drawing(tray).pixels).into_rgb8())
}

fn opened(bytes: &[u8]) -> Picture {
    decode("bench.jpg", bytes, &Limits::default()).expect("a whole JPEG")
}

fn stages(c: &mut Criterion) {
    let tray = Tray::embedded();
    let small = jpeg(&drawing(18, 40));
    let large = jpeg(&drawing(120, 500));
    let options = ReferenceOptions::of_rows(ROWS);
    let photograph = photograph(&tray);
    for (name, bytes) in [("512 pixels", &small), ("12 megapixels", &large), ("photograph", &photograph)] {
        let picture = opened(bytes);
        let reference = Reference::new(name, &picture, &options).expect("a subject");
        let samples = SampleGrid::read(&reference, Layout::AsDrawn(ROWS), 7);
        let mut group = c.benchmark_group(name);
        group.sample_size(10);
        group.bench_function("0 decode alone", |b| b.iter(|| image::load_from_memory(black_box(bytes))));
        group.bench_function("1 open", |b| b.iter(|| opened(black_box(bytes))));
        group.bench_function("2 reference", |b| {
            b.iter(|| Reference::new(name, black_box(&picture), &options))
        });
        group.bench_function("3 samples", |b| {
            b.iter(|| SampleGrid::read(black_box(&reference), Layout::AsDrawn(ROWS), 7));
        });
        group.bench_function("4 match", |b| b.iter(|| MatchedGrid::new(black_box(&samples), &tray)));
        let draft_options = DraftOptions { size: Size::Rows(ROWS), ..DraftOptions::default() };
        group.bench_function("5 whole line", |b| {
            b.iter(|| draft(name, &opened(black_box(bytes)), &draft_options, &tray));
        });
        group.finish();
    }
}

fn parts(c: &mut Criterion) {
    let colours: Vec<Lab> = (0..4096_u32)
        .map(|i| Srgb::new((i * 7) as u8, ((i * 13) >> 2) as u8, ((i * 29) >> 4) as u8).lab())
        .collect();
    let mut group = c.benchmark_group("parts");
    group.sample_size(10);
    group.bench_function("CIEDE2000, ours", |b| {
        b.iter(|| colours.windows(2).map(|w| ciede2000(w[0], w[1]).0).sum::<f64>());
    });
    let theirs: Vec<palette::Lab<palette::white_point::D65, f64>> =
        colours.iter().map(|c| palette::Lab::new(c.l, c.a, c.b)).collect();
    group.bench_function("CIEDE2000, palette", |b| {
        b.iter(|| theirs.windows(2).map(|w| w[0].difference(w[1])).sum::<f64>());
    });
    group.bench_function("clusters of 4096", |b| b.iter(|| cluster_colours(black_box(&colours), 8, 7)));
    let picture = opened(&jpeg(&drawing(60, 100))).into_pixels();
    group.bench_function("resample to 400 rows", |b| {
        b.iter_batched(|| &picture, |p| resample(p, Area::whole(p), 400, 200), BatchSize::SmallInput);
    });
    group.finish();
}

criterion_group!(benches, stages, parts);
criterion_main!(benches);
