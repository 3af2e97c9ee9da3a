//! Scenes: what a file says, how figures are laid, who hides whom, what it takes. All figures here are invented.

mod common;
mod faults;
mod laid;
mod laws;
mod sheets;
