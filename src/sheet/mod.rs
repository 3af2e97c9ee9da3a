//! What is drawn for a person to look at.

mod beads;
mod lettering;
mod picture;
mod reliability;

pub use picture::{candidates_picture, draft_picture, png};
pub use reliability::reliability_picture;
