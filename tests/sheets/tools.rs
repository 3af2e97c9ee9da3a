//! The programs that read our files back. They are no part of smallcast: what they see, a maker's printer
//! and reader see.

use std::path::{Path, PathBuf};
use std::process::Command;

use image::RgbImage;

use crate::left_out::left_out;

/// What to install where a tool is missing.
const PACKAGES: [(&str, &str); 6] = [
    ("pdftoppm", "poppler-utils"),
    ("pdftotext", "poppler-utils"),
    ("pdffonts", "poppler-utils"),
    ("pdfinfo", "poppler-utils"),
    ("qpdf", "qpdf"),
    ("rsvg-convert", "librsvg2-bin"),
];

/// Whether all these tools can be run; says which of them cannot, so that the test is left out.
pub fn are_there(tools: &[&'static str]) -> bool {
    let runs = |tool: &str| Command::new(tool).arg("--version").output().is_ok();
    let missing = tools.iter().find(|tool| !runs(tool));
    if let Some(tool) = missing {
        let package = PACKAGES.iter().find(|known| known.0 == *tool).map_or(*tool, |known| known.1);
        left_out(tool, &format!("install it, on Debian by apt-get install {package}"));
    }
    missing.is_none()
}

/// Runs a tool and gives what it said; it must be there and be content.
pub fn run(tool: &str, arguments: &[&str]) -> String {
    let output = Command::new(tool).args(arguments).output();
    let output = output.unwrap_or_else(|error| panic!("{tool} cannot be run: {error}"));
    let said = String::from_utf8_lossy(&output.stdout).into_owned();
    let complaint = String::from_utf8_lossy(&output.stderr);
    assert!(output.status.success(), "{tool} {arguments:?}: {said}{complaint}");
    said
}

/// A folder of a test's own.
pub struct Desk(tempfile::TempDir);

impl Desk {
    pub fn new() -> Self {
        Self(tempfile::tempdir().unwrap())
    }

    pub fn path(&self, name: &str) -> PathBuf {
        self.0.path().join(name)
    }

    /// Saves a file and gives its path as text.
    pub fn keep(&self, name: &str, bytes: &[u8]) -> String {
        let path = self.path(name);
        std::fs::write(&path, bytes).unwrap();
        path.to_str().unwrap().to_owned()
    }

    /// A page of a PDF as pixels.
    pub fn pdf_page(&self, pdf: &str, page: usize, resolution: u32) -> RgbImage {
        let (page, resolution) = (page.to_string(), resolution.to_string());
        let stem = self.path("page");
        let stem = stem.to_str().unwrap();
        run("pdftoppm", &["-png", "-r", &resolution, "-f", &page, "-l", &page, "-singlefile", pdf, stem]);
        opened(&self.path("page.png"))
    }

    /// An SVG as pixels.
    pub fn svg_page(&self, svg: &str, resolution: u32) -> RgbImage {
        let (resolution, png) = (resolution.to_string(), self.path("svg.png"));
        run("rsvg-convert", &["-d", &resolution, "-p", &resolution, svg, "-o", png.to_str().unwrap()]);
        opened(&png)
    }
}

pub fn opened(path: &Path) -> RgbImage {
    image::open(path).unwrap().to_rgb8()
}
