//! How files are saved, by every command and by the page.

mod file;

pub use file::save_all;
