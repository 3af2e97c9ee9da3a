//! What a large scene costs: a hundred figures over forty boards beside ten over four, laid, looked over, counted and drawn.
//! Compare ratios within one run.

use std::collections::BTreeMap;
use std::path::PathBuf;
use std::time::{Duration, Instant};

use criterion::{Criterion, criterion_group, criterion_main};
use smallcast::count::{Batch, Spare, count};
use smallcast::figure::{self, Figure};
use smallcast::scene::{Said, Scene, read};
use smallcast::sheet::{SceneLook, png_page, scene_picture};
use smallcast::tray::Tray;

/// What a scene ten times as large may cost, in times.
const ASKED: f64 = 11.0;

/// Each is measured so often, in turn; the least counts.
const TIMES: usize = 7;

/// Figures in a line, and columns from one to the next: a board and a little, so that some lie over a seam.
const IN_LINE: usize = 5;

fn figures() -> BTreeMap<String, Figure> {
    let files = std::fs::read_dir("src/trial/figures").expect("the repository is there");
    let mut files: Vec<PathBuf> = files.map(|entry| entry.expect("it can be read").path()).collect();
    files.sort();
    let texts = files.iter().map(|file| std::fs::read_to_string(file).expect("it can be read"));
    let read = |text: String| figure::read("bench", &text).expect("shipped figures are whole");
    texts.map(read).enumerate().map(|(at, figure)| (format!("figure-{at}"), figure)).collect()
}

/// Figures over so many boards, two boards high: lines of them over a ground, spread over two boards at a time.
fn said(lines: usize, boards_across: usize, known: usize) -> Said {
    let mut text = format!(
        "format = 1\nname = \"Bench\"\nboards = {{ across = {boards_across}, down = 2 }}\n\
         [[ground]]\nbead = \"slate\"\nrows = [50, 58]\n[[ground]]\nbead = \"sky\"\nrows = [1, 20]\n"
    );
    for line in 0..lines {
        let names = (0..IN_LINE).map(|at| format!("\"figure-{}\"", (line * IN_LINE + at) % known));
        let (row, first) = (29 + 25 * (line % 2), 1 + 58 * (line / 2));
        text += &format!(
            "[[line]]\nrow = {row}\nspread = true\nbetween = [{first}, {}]\nfigures = [{}]\n",
            first + 57,
            names.collect::<Vec<_>>().join(", ")
        );
    }
    read("bench", &text).expect("made to be read")
}

/// Laid, looked over, counted and drawn.
fn whole(said: &Said, figures: &BTreeMap<String, Figure>, tray: &Tray) {
    let scene = Scene::laid("bench", said, figures).expect("it fits");
    let looked = (scene.overlaps(), scene.crossings(), scene.pieces());
    let boards = scene.by_board().expect("a board is a figure");
    let batches: Vec<Batch> = boards.iter().map(|figure| Batch { figure, times: 1 }).collect();
    let counted = count(&batches, tray, Spare::NONE);
    let look = SceneLook { bead: Some(8), fused: false };
    let sheet = scene_picture(&scene, tray, &look).expect("it is small enough");
    let picture = png_page(&sheet, &sheet.pages[0], 1.0);
    std::hint::black_box((looked, counted, picture));
}

fn scenes(criterion: &mut Criterion) {
    let (tray, figures) = (Tray::embedded(), figures());
    let small = said(2, 2, figures.len());
    let large = said(20, 20, figures.len());
    assert_eq!((small.boards.count(), small.figures().count()), (4, 10));
    assert_eq!((large.boards.count(), large.figures().count()), (40, 100));
    let mut least = [Duration::MAX; 2];
    for _ in 0..TIMES {
        for (said, least) in [&small, &large].into_iter().zip(&mut least) {
            let begun = Instant::now();
            whole(said, &figures, &tray);
            *least = begun.elapsed().min(*least);
        }
    }
    let ratio = least[1].as_secs_f64() / least[0].as_secs_f64();
    println!("100 figures over 40 boards cost {ratio:.1} times 10 over 4: {least:?} (at most: {ASKED})");
    let mut group = criterion.benchmark_group("scene");
    group.sample_size(10).measurement_time(Duration::from_secs(1)).warm_up_time(Duration::from_millis(100));
    group.bench_function("10 over 4", |b| b.iter(|| whole(&small, &figures, &tray)));
    group.bench_function("100 over 40", |b| b.iter(|| whole(&large, &figures, &tray)));
    group.finish();
}

criterion_group!(benches, scenes);
criterion_main!(benches);
