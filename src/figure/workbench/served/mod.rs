//! The tray that served a figure last: its history keeps it, so that it need not be named again.

mod file;

pub use file::{last_tray, served_with};
