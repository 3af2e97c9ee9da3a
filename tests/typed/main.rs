//! Commands as a maker types them, with pipes.
#![cfg(feature = "cli")]

mod check;
mod tray;
mod typing;
