//! smallcast drafts fuse-bead figures from reference pictures.
//!
//! One way through: picture file -> [`mod@reference`] -> `sample` -> `matching` -> [`figure`] -> `sheet`.

pub mod colour;
pub mod error;
pub mod figure;
pub mod grid;
pub mod plan;
pub mod reference;
pub mod tray;
pub mod units;
