//! The page on the demo, from its start over the first table to the first change on disk, against the 0.3 s that the first
//! table may take; a change of 60 x 60 beads in 30 parts, answered with its table, against 50 ms; and a draft on the page
//! against the same draft without it.

use std::fs;
use std::path::Path;
use std::time::{Duration, Instant};

use criterion::{Criterion, criterion_group, criterion_main};
use hyper::Request;
use hyper::body::Bytes;
use image::imageops::FilterType;
use smallcast::draft::{DraftOptions, Size, draft};
use smallcast::page::{Page, Wishes};
use smallcast::plan::Classes;
use smallcast::reference::{Limits, open};
use smallcast::tray::Tray;

const READY: Duration = Duration::from_millis(300);
const CHANGED: Duration = Duration::from_millis(50);

/// The port the page believes it is called on.
const PORT: u16 = 4711;

fn ask(page: &Page, method: &str, path: &str, body: &str) -> serde_json::Value {
    serde_json::from_slice(&asked(page, method, path, body)).expect("a document")
}

fn asked(page: &Page, method: &str, path: &str, body: &str) -> Bytes {
    let address = page.address();
    let token = address.split_once('#').expect("an address with a token").1;
    let request = Request::builder()
        .method(method)
        .uri(path)
        .header("host", format!("127.0.0.1:{PORT}"))
        .header("origin", format!("http://127.0.0.1:{PORT}"))
        .header("content-type", "application/json")
        .header("authorization", format!("Bearer {token}"))
        .body(Bytes::from(body.to_owned()))
        .expect("a request");
    page.answer(&request).into_body()
}

fn opened(file: &Path) -> Page {
    Page::new(file, Tray::embedded(), Wishes::default(), PORT).expect("a figure")
}

fn change(page: &Page, file: &str, version: &str, line: &str) -> String {
    let body = serde_json::json!({"file": file, "version": version, "do": line}).to_string();
    let table = ask(page, "POST", "/api/edit", &body);
    table["version"].as_str().unwrap_or_else(|| panic!("{table}")).to_owned()
}

fn large() -> String {
    let mut text = String::from("format = 1\nname = \"Large\"\n");
    for (mark, bead) in [("c", "coal"), ("n", "navy"), ("h", "hazel")] {
        text.push_str(&format!("\n[[legend]]\nmark = \"{mark}\"\nbead = \"{bead}\"\nby = \"match\"\n"));
    }
    for part in 0..30 {
        let beads = format!("{}\n", "cnh".repeat(10)).repeat(4);
        let at = format!("[{}, {}]", part / 2 * 4, part % 2 * 30);
        text.push_str(&format!(
            "\n[[part]]\nname = \"part {part}\"\nat = {at}\nbeads = \"\"\"\n{beads}\"\"\"\n"
        ));
    }
    text
}

fn page(criterion: &mut Criterion) {
    let folder = tempfile::tempdir().expect("a folder");
    let demo = Path::new(env!("CARGO_MANIFEST_DIR")).join("demo/early-street");
    for file in ["milk-carter.figure.toml", "milk-carter.png"] {
        fs::copy(demo.join(file), folder.path().join(file)).expect("the demo");
    }
    let file = "milk-carter.figure.toml";
    let mut turn = 0;
    let mut ready = || {
        let page = opened(&folder.path().join(file));
        let table = ask(&page, "GET", &format!("/api/figure?file={file}"), "");
        turn += 1;
        let line = ["place 1,8 poppy", "place 1,8 moss"][turn % 2];
        change(&page, file, table["version"].as_str().expect("a version"), line);
    };
    let mut times: Vec<Duration> = (0..20).map(|_| timed(&mut ready)).collect();
    times.sort();
    println!("ready, first change included: median {:.3} of {READY:?}", times[10].div_duration_f64(READY));
    criterion.bench_function("ready, first change included", |b| b.iter(&mut ready));

    fs::write(folder.path().join("large.figure.toml"), large()).expect("the folder can be written");
    let page = opened(&folder.path().join("large.figure.toml"));
    let table = ask(&page, "GET", "/api/figure?file=large.figure.toml", "");
    let mut version = table["version"].as_str().expect("a version").to_owned();
    let mut again = || {
        turn += 1;
        let line = ["place 3,2 poppy", "place 3,2 coal"][turn % 2];
        version = change(&page, "large.figure.toml", &version, line);
    };
    let mut times: Vec<Duration> = (0..100).map(|_| timed(&mut again)).collect();
    times.sort();
    let part = |time: Duration| time.div_duration_f64(CHANGED);
    println!(
        "60 x 60 beads in 30 parts: median {:.3}, 99th percentile {:.3} of {CHANGED:?}",
        part(times[50]),
        part(times[98])
    );
    criterion.bench_function("change of 60 x 60 beads in 30 parts", |b| b.iter(&mut again));
}

/// A draft that the page is asked for again, of another class each time, against the command's own way from file to figure;
/// and so the way from nothing: the page started, its picture shown, its first draft answered.
fn drafts(criterion: &mut Criterion) {
    let folder = tempfile::tempdir().expect("a folder");
    let small = Path::new(env!("CARGO_MANIFEST_DIR")).join("demo/early-street/lamplighter.png");
    // Of twelve megapixels, as a telephone's are.
    let large = image::open(&small).expect("the demo").resize_exact(3000, 4000, FilterType::Triangle);
    large.to_rgb8().save(folder.path().join("large.jpg")).expect("the folder can be written");
    fs::copy(&small, folder.path().join("small.png")).expect("the demo");
    for name in ["small.png", "large.jpg"] {
        let file = folder.path().join(name);
        let mut turn = 0;
        let mut class = || {
            turn += 1;
            ["guide", "taller", "child"][turn % 3]
        };
        let page = opened(&file);
        draft_on(&page, name, class());
        let mut times: [Vec<Duration>; 3] = Default::default();
        for _ in 0..DRAFTS {
            let class = class();
            times[0].push(timed(&mut || draft_without(&file, class)));
            times[1].push(timed(&mut || draft_on(&page, name, class)));
            times[2].push(timed(&mut || {
                let page = opened(&file);
                assert!(!asked(&page, "GET", &format!("/api/picture?file={name}"), "").is_empty());
                draft_on(&page, name, class);
            }));
        }
        times.iter_mut().for_each(|times| times.sort());
        let [without, again, first] = times.map(|times| times[DRAFTS / 2]);
        println!(
            "{name}: a draft on the page takes {:.2} of one without it ({without:?}); the first, with its picture, {:.2}",
            again.div_duration_f64(without),
            first.div_duration_f64(without)
        );
        criterion.bench_function(&format!("draft on the page, {name}"), |b| {
            b.iter(|| draft_on(&page, name, class()));
        });
    }
}

/// Times each way is gone: the median of a busy machine.
const DRAFTS: usize = 12;

fn draft_on(page: &Page, name: &str, class: &str) {
    let body = serde_json::json!({"picture": name, "class": class}).to_string();
    assert!(ask(page, "POST", "/api/draft", &body)["table"].is_object());
}

fn draft_without(file: &Path, class: &str) {
    let size = Size::Class(Classes::trade().named(class).expect("a class"));
    let options = DraftOptions { size, ..DraftOptions::default() };
    let picture = open::open(file, &Limits::default()).expect("a picture");
    let tray = Tray::embedded();
    let found = draft("bench", &picture, &options, &tray).expect("a draft");
    found.figure("Bench", "bench", &options, &tray).expect("a figure");
}

fn timed(work: &mut impl FnMut()) -> Duration {
    let start = Instant::now();
    work();
    start.elapsed()
}

criterion_group!(benches, page, drafts);
criterion_main!(benches);
