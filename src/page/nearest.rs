//! The beads nearest to a colour that the maker points at.

use hyper::StatusCode;
use serde::Serialize;

use super::answer::{self, Answer, Refusal};
use super::session::Told;
use crate::colour::Srgb;
use crate::tray::Tray;

/// As many as a maker compares at a glance.
const SHOWN: usize = 5;

#[derive(Serialize)]
struct Nearest<'a> {
    nearest: Vec<Near<'a>>,
}

#[derive(Serialize)]
struct Near<'a> {
    bead: &'a str,
    /// CIEDE2000, to a tenth.
    distance: f64,
}

/// The nearest beads of a tray to a colour such as `#a05a2c`, the nearest first.
///
/// # Errors
/// The refusal to answer with, where that is no colour.
pub fn nearest(tray: &Tray, colour: &str) -> Told<Answer> {
    let is_none = |_| Refusal::unread(format!("{colour} is not a colour such as #a05a2c"));
    let colour: Srgb = colour.parse().map_err(is_none)?;
    let near = tray.nearest(colour.lab(), SHOWN).into_iter();
    let near = near
        .map(|(bead, apart)| Near { bead: &tray.bead(bead).name, distance: (apart.0 * 10.0).round() / 10.0 });
    Ok(answer::json(StatusCode::OK, &Nearest { nearest: near.collect() }))
}
