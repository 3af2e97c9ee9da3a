//! From a picture file to an upright sRGB picture whose subject is known.

mod contain;
mod container;
mod fault;
mod jpeg;
mod jpeg_marks;
mod kind;
pub mod open;
mod opened;
mod profile;
mod still;

pub use open::{Limits, Picture};
