//! Commands as a maker types them, with pipes.
#![cfg(feature = "cli")]

mod cast;
mod check;
mod corners;
mod demo;
mod draft;
mod each;
mod help;
mod lineup;
mod measure;
mod narrow;
mod plan;
mod refused;
mod rematch;
mod reuse;
mod scene;
mod show;
mod tray;
mod tray_photo;
mod typing;
