//! smallcast drafts fuse-bead figures from reference pictures.
//!
//! One way through: picture file -> [`mod@reference`] -> [`sample`] -> [`matching`] -> [`figure`] -> [`sheet`];
//! [`mod@draft`] is that line as one function.
//!
//! ```
//! use smallcast::draft::{DraftOptions, Size, draft};
//! use smallcast::figure;
//! use smallcast::reference::Picture;
//! use smallcast::tray::Tray;
//!
//! // A red square on white paper; a picture file comes from `reference::open::open`.
//! let paper = image::Rgba([250, 250, 248, 255]);
//! let mut pixels = image::RgbaImage::from_pixel(80, 80, paper);
//! for (x, y) in (20..60).flat_map(|y| (20..60).map(move |x| (x, y))) {
//!     pixels.put_pixel(x, y, image::Rgba([190, 40, 40, 255]));
//! }
//! let picture = Picture::of(pixels);
//!
//! let tray = Tray::embedded();
//! let options = DraftOptions { size: Size::Rows(4), ..DraftOptions::default() };
//! let found = draft("square.png", &picture, &options, &tray)?;
//! let square = found.figure("Square", "square.png", &options, &tray)?;
//!
//! assert_eq!(square.counts()[0].1, 16);
//! assert!(figure::write(&square).starts_with("format = 1"));
//! # Ok::<(), smallcast::error::Error>(())
//! ```

pub mod cast;
pub mod colour;
pub mod count;
pub mod draft;
pub mod error;
pub mod figure;
pub mod files;
pub mod grid;
pub mod matching;
#[cfg(feature = "page")]
pub mod page;
pub mod plan;
pub mod reference;
pub mod rematch;
pub mod rules;
pub mod sample;
pub mod saving;
pub mod scene;
pub mod seen_beads;
pub mod sheet;
pub mod tray;
pub mod trial;
pub mod units;
