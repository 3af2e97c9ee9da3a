//! The engine, room by room, in one program: each program of tests costs a build of its own.

mod anatomy;
mod cast;
mod colour_print;
mod corpus;
mod count;
#[cfg(feature = "trial")]
mod detectors;
mod dialects;
mod figure_file;
#[cfg(not(feature = "trial"))]
#[path = "../left_out/mod.rs"]
mod left_out;
mod likeness;
mod mutate;
#[cfg(feature = "trial")]
mod photographs;
mod plain_body;
mod plan;
mod properties;
mod published;
mod reduction;
mod rematch;
mod reuse;
mod rules;
mod rules_of_a_cast;
mod sheet_reliability;
mod tray;
#[cfg(feature = "trial")]
mod trial;
mod whereabouts;

#[cfg(not(feature = "trial"))]
#[test]
fn drawn_trials_are_built_in_or_said_to_be_left_out() {
    left_out::left_out("the feature trial", "cargo test --all-features has its tests too");
}
