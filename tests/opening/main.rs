//! Opening picture files: formats and depths, orientation, colour profiles, and what is refused.

mod colour;
mod encode;
mod faults;
mod formats;
mod hostile;
mod large;
mod orientation;
