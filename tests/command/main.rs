//! Commands as a maker types them, with pipes.
#![cfg(feature = "cli")]

mod check;
mod corners;
mod demo;
mod draft;
mod each;
mod lineup;
mod measure;
mod show;
mod tray;
mod typing;
