//! From a picture file to an upright sRGB picture whose subject is known.

pub mod open;

pub use open::{Limits, Picture};
