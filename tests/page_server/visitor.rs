//! A page on a folder of its own, and a visitor who asks as the page's own browser would.

use std::path::{Path, PathBuf};
use std::time::{Duration, Instant};

use hyper::body::Bytes;
use hyper::{Request, StatusCode};
use serde_json::Value;
use smallcast::cast::CastFolder;
use smallcast::page::{Page, Shared, Wishes};
use smallcast::tray::Tray;

/// The port the page believes it is called on.
pub const PORT: u16 = 4711;

/// A small figure with a comment, two doubts and a bead by hand.
pub const ANNA: &str = r#"# my own words
format = 1
name = "Anna"

[[legend]]
mark = "c"
bead = "coal"   # hair
by = "match"

[[legend]]
mark = "b"
bead = "bone"
by = "match"

[[part]]
name = "body"
beads = """
cc
bb
bb
"""
sure = """
4J
J2
!J
"""
"#;

/// Figures in a folder, and a page on them.
pub struct House {
    pub page: Page,
    pub folder: tempfile::TempDir,
}

impl House {
    /// A page on `anna.figure.toml` alone in its folder.
    pub fn of_anna() -> Self {
        Self::with(&[("anna.figure.toml", ANNA)], "anna.figure.toml")
    }

    /// The same with the maker's own tray.
    pub fn of_anna_with(tray: Tray) -> Self {
        let house = Self::of_anna();
        let page = Page::new(&house.path("anna.figure.toml"), tray, Wishes::default(), PORT).unwrap();
        Self { page, ..house }
    }

    /// A page on `named` in a folder of these files.
    pub fn with(files: &[(&str, &str)], named: &str) -> Self {
        let folder = tempfile::tempdir().unwrap();
        for (name, text) in files {
            std::fs::write(folder.path().join(name), text).unwrap();
        }
        Self { page: page(&folder.path().join(named)), folder }
    }

    /// The same with the rules of the `cast.toml` among them.
    pub fn in_its_cast(files: &[(&str, &str)], named: &str) -> Self {
        let house = Self::with(files, named);
        let cast = CastFolder::open(&house.path("cast.toml")).unwrap().cast().clone();
        let shared = Shared { cast: Some(cast), ..Tray::embedded().into() };
        let page = Page::new(&house.path(named), shared, Wishes::default(), PORT).unwrap();
        Self { page, ..house }
    }

    pub fn path(&self, name: &str) -> PathBuf {
        self.folder.path().join(name)
    }

    pub fn text(&self, name: &str) -> String {
        std::fs::read_to_string(self.path(name)).unwrap()
    }

    pub fn get(&self, path: &str) -> Told {
        ask(&self.page, &Ask::get(path))
    }

    pub fn post(&self, path: &str, body: &Value) -> Told {
        ask(&self.page, &Ask::post(path, &body.to_string()))
    }

    /// The table of a figure.
    pub fn table(&self, file: &str) -> Value {
        let told = self.get(&format!("/api/figure?file={file}"));
        assert_eq!(told.status, StatusCode::OK, "{}", told.text());
        told.json()
    }

    /// One change of Anna, from the state the page shows.
    pub fn edit(&self, version: &str, line: &str) -> Told {
        self.post(
            "/api/edit",
            &serde_json::json!({"file": "anna.figure.toml", "version": version, "do": line}),
        )
    }
}

pub fn page(named: &Path) -> Page {
    Page::new(named, Tray::embedded(), Wishes::default(), PORT).unwrap()
}

/// A request to be sent, with what a browser sends of itself.
#[derive(Clone)]
pub struct Ask {
    pub method: &'static str,
    pub path: String,
    pub headers: Vec<(&'static str, String)>,
    pub body: String,
    /// Whether the page's token goes with it.
    pub token: bool,
}

impl Ask {
    pub fn get(path: &str) -> Self {
        let headers = vec![("host", format!("127.0.0.1:{PORT}")), ("sec-fetch-site", "same-origin".into())];
        Self { method: "GET", path: path.into(), headers, body: String::new(), token: true }
    }

    pub fn post(path: &str, body: &str) -> Self {
        let mut ask = Self { method: "POST", body: body.into(), ..Self::get(path) };
        ask.headers.push(("origin", format!("http://127.0.0.1:{PORT}")));
        ask.headers.push(("content-type", "application/json".into()));
        ask
    }

    /// The same with another value of a header.
    pub fn with(mut self, name: &'static str, value: &str) -> Self {
        self.headers.retain(|(known, _)| *known != name);
        self.and(name, value)
    }

    /// The same with one more header.
    pub fn and(mut self, name: &'static str, value: &str) -> Self {
        self.headers.push((name, value.into()));
        self
    }

    pub fn without(mut self, name: &str) -> Self {
        self.headers.retain(|(known, _)| *known != name);
        self
    }

    pub fn without_token(mut self) -> Self {
        self.token = false;
        self
    }
}

/// What came back.
pub struct Told {
    pub status: StatusCode,
    pub headers: hyper::HeaderMap,
    pub body: Bytes,
}

impl Told {
    pub fn json(&self) -> Value {
        serde_json::from_slice(&self.body).unwrap_or_else(|e| panic!("{e}: {}", self.text()))
    }

    pub fn text(&self) -> String {
        String::from_utf8_lossy(&self.body).into_owned()
    }

    pub fn header(&self, name: &str) -> &str {
        self.headers.get(name).map_or("", |value| value.to_str().unwrap())
    }
}

pub fn token_of(page: &Page) -> String {
    page.address().split_once('#').unwrap().1.to_owned()
}

pub fn ask(page: &Page, ask: &Ask) -> Told {
    let mut request = Request::builder().method(ask.method).uri(&ask.path);
    for (name, value) in &ask.headers {
        request = request.header(*name, value);
    }
    if ask.token {
        request = request.header("authorization", format!("Bearer {}", token_of(page)));
    }
    let answer = page.answer(&request.body(Bytes::from(ask.body.clone())).unwrap());
    Told { status: answer.status(), headers: answer.headers().clone(), body: answer.into_body() }
}

/// Asks until the answer is as wanted; a picture takes its time, and gets plenty.
pub fn until<T>(mut ask: impl FnMut() -> Option<T>) -> T {
    const PATIENCE: Duration = Duration::from_secs(120);
    let start = Instant::now();
    loop {
        if let Some(wanted) = ask() {
            return wanted;
        }
        assert!(start.elapsed() < PATIENCE, "it never came");
        std::thread::sleep(Duration::from_millis(50));
    }
}

/// The demo's folder as the repository has it.
pub fn demo() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("demo/early-street")
}
