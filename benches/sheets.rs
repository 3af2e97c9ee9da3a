//! What a sheet costs. Compare ratios within one run: a blank page written by the same library is the measure.

use std::hint::black_box;
use std::path::Path;

use criterion::{Criterion, criterion_group, criterion_main};
use pdf_writer::{Pdf, Rect, Ref};
use smallcast::figure::Figure;
use smallcast::sheet::{PRINT_RESOLUTION, SheetOptions, Subject, build_sheet, pdf, png_page, svg};
use smallcast::tray::Tray;

/// One empty page of A4.
fn blank() -> Vec<u8> {
    let (catalog, tree, page) = (Ref::new(1), Ref::new(2), Ref::new(3));
    let mut pdf = Pdf::new();
    pdf.catalog(catalog).pages(tree);
    pdf.pages(tree).kids([page]).count(1);
    pdf.page(page).parent(tree).media_box(Rect::new(0.0, 0.0, 595.276, 841.89));
    pdf.finish()
}

fn sheets(c: &mut Criterion) {
    let tray = Tray::embedded();
    let files = ["demo/early-street/milk-carter.figure.toml", "src/trial/figures/butcher.figure.toml"];
    let figures = files.map(|file| Figure::open(Path::new(file)).expect("a figure of the repository"));
    let subjects: Vec<Subject> = figures.iter().map(|figure| Subject { figure, reference: None }).collect();
    let options = SheetOptions::default();
    let sheet = build_sheet(&subjects, &tray, &options);
    assert_eq!(sheet.pages.len(), 2);
    let mut group = c.benchmark_group("two pages");
    group.sample_size(20);
    group.bench_function("0 a blank page", |b| b.iter(blank));
    group.bench_function("1 laid out", |b| b.iter(|| build_sheet(black_box(&subjects), &tray, &options)));
    group.bench_function("2 laid out and written as PDF", |b| {
        b.iter(|| pdf(&build_sheet(black_box(&subjects), &tray, &options)));
    });
    group.bench_function("3 one as SVG", |b| b.iter(|| svg(&sheet, &sheet.pages[0])));
    group.bench_function("4 one as PNG", |b| b.iter(|| png_page(&sheet, &sheet.pages[0], PRINT_RESOLUTION)));
    group.finish();
}

criterion_group!(benches, sheets);
criterion_main!(benches);
