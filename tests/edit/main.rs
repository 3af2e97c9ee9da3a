//! Changes by hand: their laws, what is on disk, and the lines a maker types.

mod chosen;
mod common;
mod disk;
mod laws;
mod lines;
mod saving;
mod take;
mod typed;
mod why;
