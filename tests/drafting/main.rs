//! Drafts of drawings that the tests make themselves, so that every bead is known.

mod about;
mod choices;
mod clutter;
mod common;
mod corners;
mod decisions;
mod design;
mod finding;
mod like;
mod line;
mod marks;
mod net;
mod older;

mod pale;
mod paper;
mod patterns;
mod people;
mod pictures;
mod reading;
mod refusal;
mod several;
mod sketch;
mod strokes;
mod table;
