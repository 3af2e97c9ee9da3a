//! Beads read from photographs: drawn ones, with beads of published reflectances in published lights.

#[cfg(feature = "trial")]
mod drawn;
#[cfg(not(feature = "trial"))]
#[path = "../left_out/mod.rs"]
mod left_out;
mod names;
#[cfg(feature = "trial")]
mod reading;
mod spectra;

#[cfg(not(feature = "trial"))]
#[test]
fn drawn_trials_are_built_in_or_said_to_be_left_out() {
    left_out::left_out("the feature trial", "cargo test --all-features has its tests too");
}
