//! Commands as a maker types them, with pipes.
#![cfg(feature = "cli")]

mod cast;
mod check;
mod corners;
mod demo;
mod draft;
mod each;
mod help;
mod last_tray;
#[cfg(not(feature = "trial"))]
#[path = "../left_out/mod.rs"]
mod left_out;
mod lineup;
#[cfg(target_os = "linux")]
mod little_memory;
mod measure;
#[cfg(feature = "trial")]
mod measure_drawn;
mod narrow;
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

#[cfg(not(feature = "trial"))]
#[test]
fn drawn_trials_are_built_in_or_said_to_be_left_out() {
    left_out::left_out("the feature trial", "cargo test --all-features has its tests too");
}
