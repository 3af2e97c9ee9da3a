//! A figure and its history on disk, as the command line and the page work on them.

mod file;

pub use file::{Beside, Change, ENDING, Workbench, history_file, last_tray};
