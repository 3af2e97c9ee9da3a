//! smallcast drafts fuse-bead figures from reference pictures.
//!
//! One way through: picture file -> [`mod@reference`] -> [`sample`] -> [`matching`] -> [`figure`] -> `sheet`.

pub mod colour;
pub mod draft;
pub mod error;
pub mod figure;
pub mod grid;
pub mod matching;
pub mod plan;
pub mod reference;
pub mod sample;
pub mod sheet;
pub mod tray;
pub mod units;
