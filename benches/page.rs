//! The page on the demo, from its start over the first table to the first change on disk, against the 0.3 s that the first
//! table may take; and a change of 60 x 60 beads in 30 parts, answered with its table, against 50 ms.

use std::fs;
use std::path::Path;
use std::time::{Duration, Instant};

use criterion::{Criterion, criterion_group, criterion_main};
use hyper::Request;
use hyper::body::Bytes;
use smallcast::page::{Page, Wishes};
use smallcast::tray::Tray;

const READY: Duration = Duration::from_millis(300);
const CHANGED: Duration = Duration::from_millis(50);

/// The port the page believes it is called on.
const PORT: u16 = 4711;

fn ask(page: &Page, method: &str, path: &str, body: &str) -> serde_json::Value {
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
    let answer = page.answer(&request).into_body();
    serde_json::from_slice(&answer).expect("a document")
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

fn timed(work: &mut impl FnMut()) -> Duration {
    let start = Instant::now();
    work();
    start.elapsed()
}

criterion_group!(benches, page);
criterion_main!(benches);
