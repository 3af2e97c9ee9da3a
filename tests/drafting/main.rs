//! Drafts of drawings that the tests make themselves, so that every bead is known.

mod about;
mod choices;
#[cfg(feature = "trial")]
mod clutter;
mod common;
mod corners;
#[cfg(feature = "trial")]
mod decisions;
mod design;
mod finding;
#[cfg(not(feature = "trial"))]
#[path = "../left_out/mod.rs"]
mod left_out;
#[cfg(feature = "trial")]
mod like;
mod line;
mod marks;
#[cfg(feature = "trial")]
mod net;
#[cfg(feature = "trial")]
mod older;
mod pale;
mod paper;
mod patterns;
#[cfg(feature = "trial")]
mod people;
mod pictures;
#[cfg(feature = "trial")]
mod reading;
mod refusal;
#[cfg(feature = "trial")]
mod several;
mod sketch;
mod strokes;
#[cfg(feature = "trial")]
mod table;

#[cfg(not(feature = "trial"))]
#[test]
fn drawn_trials_are_built_in_or_said_to_be_left_out() {
    left_out::left_out("the feature trial", "cargo test --all-features has its tests too");
}
