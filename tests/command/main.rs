//! Commands as a maker types them, with pipes.
#![cfg(feature = "cli")]

mod check;
mod corners;
mod demo;
mod draft;
mod each;
mod measure;
mod reuse;
mod show;
mod tray;
mod typing;
