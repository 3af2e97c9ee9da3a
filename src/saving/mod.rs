//! How files are saved, by every command and by the page.

mod file;
mod lock;

pub use file::save_all;
pub(crate) use lock::Lock;
