//! What the page is made of, built into the program: every file of it, with its kind.

use std::io::Write;

use flate2::Compression;
use flate2::write::GzEncoder;
use hyper::StatusCode;
use hyper::header::{ACCEPT_ENCODING, CONTENT_ENCODING, HeaderMap, HeaderValue, VARY};

use super::answer::{self, Answer};

/// A file of the page.
struct Asset {
    /// Its path.
    path: &'static str,
    /// Its media type.
    kind: &'static str,
    /// What is in it.
    bytes: &'static [u8],
}

/// Media types, by the registry of IANA.
const PAGE: &str = "text/html; charset=utf-8";
const SCRIPT: &str = "text/javascript; charset=utf-8";
const STYLE: &str = "text/css; charset=utf-8";
const DRAWING: &str = "image/svg+xml";

macro_rules! asset {
    ($path:literal, $kind:expr, $file:literal) => {
        Asset { path: $path, kind: $kind, bytes: include_bytes!(concat!("assets/", $file)) }
    };
}

/// Every file of the page. Nothing else is served.
const ASSETS: &[Asset] = &[
    asset!("/", PAGE, "index.html"),
    asset!("/chosen.js", SCRIPT, "chosen.js"),
    asset!("/areas.js", SCRIPT, "areas.js"),
    asset!("/board.js", SCRIPT, "board.js"),
    asset!("/clash.js", SCRIPT, "clash.js"),
    asset!("/colour.js", SCRIPT, "colour.js"),
    asset!("/closeup.js", SCRIPT, "closeup.js"),
    asset!("/corners.js", SCRIPT, "corners.js"),
    asset!("/dom.js", SCRIPT, "dom.js"),
    asset!("/asked.js", SCRIPT, "asked.js"),
    asset!("/doubts.js", SCRIPT, "doubts.js"),
    asset!("/draw.js", SCRIPT, "draw.js"),
    asset!("/favicon.svg", DRAWING, "favicon.svg"),
    asset!("/findings.js", SCRIPT, "findings.js"),
    asset!("/handles.js", SCRIPT, "handles.js"),
    asset!("/help.js", SCRIPT, "help.js"),
    asset!("/keys.js", SCRIPT, "keys.js"),
    asset!("/line.js", SCRIPT, "line.js"),
    asset!("/look.css", STYLE, "look.css"),
    asset!("/main.js", SCRIPT, "main.js"),
    asset!("/marks.js", SCRIPT, "marks.js"),
    asset!("/outputs.js", SCRIPT, "outputs.js"),
    asset!("/parts.js", SCRIPT, "parts.js"),
    asset!("/pegs.js", SCRIPT, "pegs.js"),
    asset!("/people.js", SCRIPT, "people.js"),
    asset!("/picture.js", SCRIPT, "picture.js"),
    asset!("/rows.js", SCRIPT, "rows.js"),
    asset!("/seeing.js", SCRIPT, "seeing.js"),
    asset!("/shelf.js", SCRIPT, "shelf.js"),
    asset!("/size.js", SCRIPT, "size.js"),
    asset!("/sketch.js", SCRIPT, "sketch.js"),
    asset!("/steps.js", SCRIPT, "steps.js"),
    asset!("/store.js", SCRIPT, "store.js"),
    asset!("/swap.js", SCRIPT, "swap.js"),
    asset!("/table.css", STYLE, "table.css"),
    asset!("/taking.js", SCRIPT, "taking.js"),
    asset!("/tray.js", SCRIPT, "tray.js"),
    asset!("/wire.js", SCRIPT, "wire.js"),
    asset!("/zoom.js", SCRIPT, "zoom.js"),
    asset!("/words.js", SCRIPT, "words.js"),
];

/// The file of the page at a path, packed where the browser says that it unpacks (gzip, RFC 9110).
pub fn asset(path: &str, asked: &HeaderMap) -> Option<Answer> {
    // What a browser asks for before it has read which sign the page names.
    let path = if path == "/favicon.ico" { "/favicon.svg" } else { path };
    let asset = ASSETS.iter().find(|asset| asset.path == path)?;
    let mut answer = match unpacks(asked).then(|| packed(asset.bytes)).flatten() {
        Some(packed) => {
            let mut answer = answer::bytes(StatusCode::OK, asset.kind, packed);
            answer.headers_mut().insert(CONTENT_ENCODING, HeaderValue::from_static(GZIP));
            answer
        }
        None => answer::bytes(StatusCode::OK, asset.kind, asset.bytes),
    };
    answer.headers_mut().insert(VARY, HeaderValue::from_static("accept-encoding"));
    Some(answer)
}

const GZIP: &str = "gzip";

/// Whether a browser asks for gzip. One that has it with a weight, which may be none, gets the file as it is.
fn unpacks(asked: &HeaderMap) -> bool {
    let all = asked.get_all(ACCEPT_ENCODING).iter().filter_map(|value| value.to_str().ok());
    all.flat_map(|value| value.split(',')).any(|coding| coding.trim().eq_ignore_ascii_case(GZIP))
}

fn packed(bytes: &[u8]) -> Option<Vec<u8>> {
    let mut packer = GzEncoder::new(Vec::new(), Compression::default());
    packer.write_all(bytes).ok()?;
    packer.finish().ok()
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A file that is in the folder and not in the list would be missed by the page alone.
    #[test]
    fn every_file_of_the_folder_is_served() {
        let folder = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("src/page/assets");
        let mut files: Vec<String> = std::fs::read_dir(folder)
            .unwrap()
            .map(|entry| format!("/{}", entry.unwrap().file_name().into_string().unwrap()))
            .map(|path| if path == "/index.html" { "/".into() } else { path })
            .collect();
        files.sort();
        let mut served: Vec<&str> = ASSETS.iter().map(|asset| asset.path).collect();
        served.sort_unstable();
        assert_eq!(served, files);
    }

    #[test]
    fn all_of_the_page_stays_small() {
        /// A page that opens at once: what a browser is sent.
        const MOST_SENT: usize = 75 << 10;
        /// A page that a contributor can read: with its comments.
        const MOST_WRITTEN: usize = 174 << 10;
        let sent = ASSETS.iter().map(|asset| packed(asset.bytes).unwrap().len()).sum::<usize>();
        let written = ASSETS.iter().map(|asset| asset.bytes.len()).sum::<usize>();
        assert!(sent < MOST_SENT && written < MOST_WRITTEN, "{sent} bytes sent, {written} written");
    }

    #[test]
    fn a_file_is_packed_for_those_who_unpack() {
        let asked = |accepts: &'static str| {
            HeaderMap::from_iter([(ACCEPT_ENCODING, HeaderValue::from_static(accepts))])
        };
        let is_packed =
            |accepts| asset("/", &asked(accepts)).unwrap().headers().contains_key(CONTENT_ENCODING);
        assert!(is_packed("gzip, deflate, br"));
        assert!(is_packed("br,GZIP"));
        assert!(!is_packed("br"));
        assert!(!is_packed("gzip;q=0"));
        assert!(!is_packed(""));
    }
}
