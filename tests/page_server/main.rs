//! The page's server: who gets in, what leaves the folder (nothing), what is on disk and when.

#![cfg(feature = "page")]

mod cast;
mod changes;
mod drafting;
mod names;
mod safety;
#[cfg(unix)]
mod sockets;
mod tables;
mod visitor;
