//! A cast's folder: its `cast.toml`, with the tray and the guide figure that it names.

mod file;

pub use file::{CastFolder, unique_names};
