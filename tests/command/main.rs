//! Commands as a maker types them, with pipes.
#![cfg(feature = "cli")]

mod cast;
mod check;
mod corners;
mod demo;
mod draft;
mod each;
mod lineup;
mod measure;
mod plan;
mod readme;
mod refused;
mod rematch;
mod reuse;
mod scene;
mod show;
mod tray;
mod tray_photo;
mod typing;
mod words;
