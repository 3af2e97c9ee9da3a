//! A figure to change, and what lies at hand.

use smallcast::error::Result;
use smallcast::figure::{AtHand, Edit, Edited, Figure, NoOthers, Placed, Sure, read};
use smallcast::tray::Tray;
use smallcast::units::{Column, Row};

/// A guide of a few rows with a cape over it: comments, beads by hand, zones, a note.
pub const WALKER: &str = include_str!("walker.figure.toml");

pub fn walker() -> Figure {
    read("walker.figure.toml", WALKER).unwrap()
}

/// The figure after a line, at the embedded tray.
pub fn after(figure: &Figure, line: &str) -> Result<Edited> {
    figure.edited(&Edit::parse(line)?, &AtHand::new(&Tray::embedded(), &NoOthers))
}

/// The bead that shows at a place counted from 1.
pub fn bead_at(figure: &Figure, row: usize, column: usize) -> Option<(String, bool)> {
    let placed: Placed = (*figure.beads().get(Row(row - 1), Column(column - 1))?)?;
    let bead = figure.entry(placed.mark)?.bead.clone();
    Some((bead, placed.sure == Some(Sure::ByHand)))
}

/// How many beads of a name show.
pub fn count(figure: &Figure, bead: &str) -> usize {
    figure.counts().iter().filter(|(entry, _)| entry.bead == bead).map(|(_, count)| count).sum()
}
