//! A change by hand, from the line to both files on disk, against the 50 ms it may take; and how it grows with
//! the figure, 60 x 60 beads in 30 parts beside a figure of the cast, and with what was done to it before.

use std::fs;
use std::hint::black_box;
use std::path::{Path, PathBuf};
use std::time::{Duration, Instant};

use criterion::{Criterion, criterion_group, criterion_main};
use smallcast::figure::{AtHand, Edit, MOST_STEPS, NoOthers, Workbench};
use smallcast::tray::Tray;

/// What a confirmed change may take until it is on disk.
const BOUND: Duration = Duration::from_millis(50);

/// A figure file of `parts` parts, each `rows` x `columns` beads, two abreast.
fn figure(parts: usize, rows: usize, columns: usize) -> String {
    let mut text = String::from("format = 1\nname = \"Bench\"\n");
    for (mark, bead) in [("c", "coal"), ("n", "navy"), ("h", "hazel")] {
        text.push_str(&format!("\n[[legend]]\nmark = \"{mark}\"\nbead = \"{bead}\"\nby = \"match\"\n"));
    }
    for part in 0..parts {
        let at = format!("[{}, {}]", part / 2 * rows, part % 2 * columns);
        let row = "cnh".chars().cycle().skip(part).take(columns).collect::<String>();
        let beads = format!("{row}\n").repeat(rows);
        text.push_str(&format!(
            "\n[[part]]\nname = \"part {part}\"\nat = {at}\nbeads = \"\"\"\n{beads}\"\"\"\n"
        ));
    }
    text
}

/// A bench with the figure, and two changes that undo one another in beads.
fn desk(folder: &Path, name: &str, text: &str) -> Workbench {
    let file: PathBuf = folder.join(name);
    fs::write(&file, text).expect("the folder can be written");
    Workbench::open(&file).expect("the figure was made to be read")
}

fn edits(criterion: &mut Criterion) {
    let folder = tempfile::tempdir().expect("a folder for the figures");
    let tray = Tray::embedded();
    let at_hand = AtHand::new(&tray, &NoOthers);
    let lines = ["place 3,2 poppy", "place 3,2 coal"].map(|line| Edit::parse(line).expect("a line"));
    for (name, text, steps) in [
        ("cast-24x16", figure(2, 24, 8), 0),
        ("large-60x60", figure(30, 4, 30), 0),
        ("half-30x60", figure(14, 4, 30), 0),
        ("large-60x60 with all steps kept", figure(30, 4, 30), MOST_STEPS),
    ] {
        let file = format!("{}.figure.toml", name.replace(' ', "-"));
        let mut bench = desk(folder.path(), &file, &text);
        let before: Vec<Edit> = lines.iter().cycle().take(steps).cloned().collect();
        if !before.is_empty() {
            bench.apply(&before, &at_hand).expect("changes that take turns");
        }
        let mut turn = 0;
        let mut change = || {
            turn += 1;
            bench.apply(std::slice::from_ref(&lines[(turn - 1) % 2]), &at_hand).expect("a change")
        };
        let mut times: Vec<Duration> = (0..200)
            .map(|_| {
                let start = Instant::now();
                black_box(change());
                start.elapsed()
            })
            .collect();
        times.sort();
        let part = |time: Duration| time.as_secs_f64() / BOUND.as_secs_f64();
        println!(
            "{name}: of the bound of {BOUND:?} the median change takes {:.3}, the 99th percentile {:.3}",
            part(times[100]),
            part(times[198])
        );
        criterion.bench_function(&format!("change, {name}"), |b| b.iter(&mut change));
    }
}

criterion_group!(benches, edits);
criterion_main!(benches);
