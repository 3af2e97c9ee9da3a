//! What the page is made of, built into the program: every file of it, with its kind.

use hyper::StatusCode;

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

macro_rules! asset {
    ($path:literal, $kind:literal, $file:literal) => {
        Asset { path: $path, kind: $kind, bytes: include_bytes!(concat!("assets/", $file)) }
    };
}

/// Every file of the page. Nothing else is served.
const ASSETS: &[Asset] = &[asset!("/", "text/html; charset=utf-8", "index.html")];

/// The file of the page at a path.
pub fn asset(path: &str) -> Option<Answer> {
    let asset = ASSETS.iter().find(|asset| asset.path == path)?;
    Some(answer::bytes(StatusCode::OK, asset.kind, asset.bytes))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn all_of_the_page_stays_small() {
        /// A page that a contributor can read, and that opens at once.
        const MOST: usize = 150 << 10;
        assert!(ASSETS.iter().map(|asset| asset.bytes.len()).sum::<usize>() < MOST);
    }
}
