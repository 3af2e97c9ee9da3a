//! The page's server: who gets in, what leaves the folder (nothing), what is on disk and when.

#![cfg(feature = "page")]

mod cast;
mod changes;
mod corpus;
mod drafting;
#[path = "../engine/mutate.rs"]
mod mutate;
mod names;
mod safety;
#[cfg(unix)]
mod sockets;
mod tables;
mod visitor;
