//! Commands as a maker types them, with pipes.
#![cfg(feature = "cli")]

mod check;
mod corners;
mod draft;
mod each;
mod measure;
mod plan;
mod show;
mod tray;
mod typing;
