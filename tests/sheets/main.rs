//! Sheets to peg from: true size, words that can be found, three writers that agree, nothing lost.

mod agree;
mod command;
mod figures;
mod layout;
mod lineup;
mod tools;
mod true_size;
mod words;
