//! What a large cast costs: on one core and on two, and a thousand figures beside ten thousand. Compare ratios within one
//! run.

use std::path::PathBuf;
use std::time::{Duration, Instant};

use criterion::{
    BatchSize, BenchmarkGroup, Criterion, criterion_group, criterion_main, measurement::WallTime,
};
use rayon::{ThreadPool, ThreadPoolBuilder};
use smallcast::cast::Crowd;
use smallcast::count::{Batch, Spare, count};
use smallcast::figure::{self, Figure};
use smallcast::grid::Grid;
use smallcast::plan::Classes;
use smallcast::rules::{RULES, Rule, check};
use smallcast::sheet::{Guide, Lineup, Paper, Standee, build_lineup, pdf};
use smallcast::tray::Tray;

const FEW: usize = 1_000;
const MANY: usize = 10_000;

/// What two cores are asked to be worth.
const ASKED: f64 = 1.8;

/// Numbers without a pattern, the same each time (the minimal standard of S. K. Park and K. W. Miller, CACM 31, 1988).
struct Chance(u64);

impl Chance {
    fn below(&mut self, bound: usize) -> usize {
        self.0 = self.0 * 48_271 % 0x7fff_ffff;
        (self.0 / 7) as usize % bound
    }
}

/// Figure files of a cast: the shipped ones, each with some of its beads swapped and some of its pegs changed.
fn texts(count: usize) -> Vec<String> {
    let mut files: Vec<PathBuf> = std::fs::read_dir("src/trial/figures")
        .expect("the repository is there")
        .map(|entry| entry.expect("the folder can be read").path())
        .collect();
    files.sort();
    let bases: Vec<String> =
        files.iter().map(|file| std::fs::read_to_string(file).expect("it can be read")).collect();
    let names: Vec<String> = Tray::embedded().iter().map(|(_, bead)| bead.name.clone()).collect();
    let mut chance = Chance(2026);
    (0..count).map(|_| changed(&bases[chance.below(bases.len())], &names, &mut chance)).collect()
}

fn changed(base: &str, names: &[String], chance: &mut Chance) -> String {
    let (legend, beads) = base.split_once("beads = \"\"\"\n").expect("a figure has beads");
    let swapped = chance.below(10);
    let line = |line: &str| match line.starts_with("bead = ") && chance.below(10) < swapped {
        true => format!("bead = \"{}\"\n", names[chance.below(names.len())]),
        false => format!("{line}\n"),
    };
    let legend: String = legend.lines().map(line).collect();
    let mut beads: Vec<u8> = beads.as_bytes().to_vec();
    let pegs = beads.iter().position(|byte| *byte == b'"').unwrap_or(beads.len());
    for _ in 0..chance.below(30) {
        let (at, from) = (chance.below(pegs), chance.below(pegs));
        if beads[at] != b'\n' && beads[from] != b'\n' {
            beads[at] = beads[from];
        }
    }
    format!("{legend}beads = \"\"\"\n{}", String::from_utf8_lossy(&beads))
}

fn pool(threads: usize) -> ThreadPool {
    ThreadPoolBuilder::new().num_threads(threads).build().expect("a pool of threads")
}

/// Times a task on one core and on two, and says what the second is worth: the least of a few times each, taken in turn.
fn on_cores(group: &mut BenchmarkGroup<WallTime>, name: &str, task: impl Fn() + Sync) {
    const TIMES: usize = 5;
    let pools = [pool(1), pool(2)];
    let mut least = [Duration::MAX; 2];
    for _ in 0..TIMES {
        for (pool, least) in pools.iter().zip(&mut least) {
            let begun = Instant::now();
            pool.install(&task);
            *least = begun.elapsed().min(*least);
        }
    }
    let worth = least[0].as_secs_f64() / least[1].as_secs_f64();
    println!("{name}: {least:?}, two cores are worth {worth:.2} (asked: {ASKED})");
    for (pool, cores) in pools.iter().zip(1..) {
        let id = format!("{name}, cores {cores}");
        group
            .bench_function(id, |b| b.iter_batched(|| (), |()| pool.install(&task), BatchSize::PerIteration));
    }
}

fn line_up(figures: &[Figure], tray: &Tray) {
    let of: Vec<&Figure> = figures.iter().collect();
    let pairs = Crowd::new(&of, tray).too_alike();
    let guide = Guide { name: "guide".into(), beads: Grid::from_fn(24, 5, |_, _| true) };
    let lineup = Lineup {
        title: "Everybody",
        figures: figures.iter().map(|figure| Standee { figure, name: figure.name(), group: None }).collect(),
        guide: &guide,
        classes: &Classes::trade(),
        groups: Vec::new(),
        by_group: false,
        pairs: &pairs,
        paper: Paper::A4,
        trimmed: false,
    };
    pdf(&build_lineup(&lineup, tray));
}

fn casts(criterion: &mut Criterion) {
    let tray = Tray::embedded();
    let texts = texts(MANY);
    let read = |text: &String| figure::read("bench", text).expect("made to be read");
    let figures: Vec<Figure> = texts.iter().map(read).collect();
    let rules: Vec<&Rule> = RULES.iter().collect();
    let mut group = criterion.benchmark_group("cast");
    group.sample_size(10).measurement_time(Duration::from_secs(1)).warm_up_time(Duration::from_millis(100));
    let mut spent = Vec::new();
    for count_of in [FEW, MANY] {
        let some = &figures[..count_of];
        let of: Vec<&Figure> = some.iter().collect();
        let begun = Instant::now();
        let pairs = Crowd::new(&of, &tray).too_alike().len();
        spent.push(begun.elapsed().as_secs_f64());
        println!("{count_of} figures: {pairs} pairs too alike in {:.3} s", spent[spent.len() - 1]);
    }
    println!("ten times the figures take {:.1} times the time", spent[1] / spent[0]);
    let of: Vec<&Figure> = figures[..FEW].iter().collect();
    on_cores(&mut group, "1000 read", || {
        use rayon::prelude::*;
        texts[..FEW].par_iter().for_each(|text| drop(read(text)));
    });
    on_cores(&mut group, "1000 compared", || drop(Crowd::new(&of, &tray).too_alike()));
    on_cores(&mut group, "1000 checked", || drop(check(&of, &tray, &rules)));
    on_cores(&mut group, "1000 counted", || {
        let batches: Vec<Batch> = of.iter().map(|figure| Batch { figure, times: 1 }).collect();
        drop(count(&batches, &tray, Spare::NONE));
    });
    on_cores(&mut group, "1000 in line as PDF", || line_up(&figures[..FEW], &tray));
    group.finish();
}

criterion_group!(benches, casts);
criterion_main!(benches);
