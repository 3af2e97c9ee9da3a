//! Sheets to peg from: true size, words that can be found, three writers that agree, nothing lost.

mod agree;
mod command;
mod figures;
mod layout;
#[path = "../left_out/mod.rs"]
mod left_out;
mod lineup;
mod tools;
mod true_size;
mod words;
