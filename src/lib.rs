//! smallcast drafts fuse-bead figures from reference pictures.
//!
//! One way through: picture file -> [`mod@reference`] -> [`sample`] -> [`matching`] -> [`figure`] -> [`sheet`];
//! [`mod@draft`] is that line as one function. Here it is from a shipped sketch to a sheet to peg from:
//!
//! ```
//! use std::path::Path;
//!
//! use smallcast::draft::{DraftOptions, draft};
//! use smallcast::figure;
//! use smallcast::reference::{Limits, open};
//! use smallcast::tray::Tray;
//!
//! let file = "demo/early-street/milk-carter.png";
//! let picture = open::open(Path::new(file), &Limits::default())?;
//! let tray = Tray::open(Path::new("demo/early-street/tray.csv"))?;
//!
//! let options = DraftOptions::default(); // the guide's class: 24 rows and what headwear needs
//! let found = draft(file, &picture, &options, &tray)?;
//! let carter = found.figure("Milk carter", "milk-carter.png", &options, &tray)?;
//!
//! assert!((24..=30).contains(&carter.beads().rows()));
//! for (entry, count) in carter.counts() {
//!     println!("{count:>4} {}", entry.bead);
//! }
//! assert!(figure::write(&carter).starts_with("format = 1"));
//! # Ok::<(), smallcast::error::Error>(())
//! ```
//!
//! Programs of one's own: a folder of pictures is drafted in [`mod@draft`], and a rule beside those of the trade is
//! checked in [`rules`]. What a maker reads stands in [`help`]: the files' formats, the JSON documents, how all is
//! measured. The engine touches no file, clock or terminal but where a function takes a path.

pub mod cast;
pub mod colour;
pub mod count;
pub mod draft;
pub mod error;
pub mod figure;
pub mod files;
pub mod grid;
pub mod help;
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
pub mod score;
pub mod seen_beads;
pub mod sheet;
pub mod tray;
#[cfg(feature = "trial")]
pub mod trial;
pub mod units;
