//! Drafts of drawings that the tests make themselves, so that every bead is known.

mod common;
mod finding;
mod line;
mod paper;
mod pictures;
mod reading;
