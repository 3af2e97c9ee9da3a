//! What is drawn for a person to look at.

mod beads;
mod lettering;
mod picture;

pub use picture::{candidates_picture, draft_picture, png};
