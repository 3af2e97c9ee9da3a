//! What bears on the choice of beads beside the drawing's own colours.

use crate::sample::Cluster;
use crate::tray::BeadId;

/// What bears on the choice of beads beside the drawing's own colours; nothing by default.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Wishes {
    /// What other references show where the drawing has each of its colours, by place in
    /// [`crate::sample::SampleGrid::clusters`]; colours past the end were seen nowhere else.
    pub elsewhere: Vec<Vec<Cluster>>,
    /// Beads that colours are to have, by the same places, whichever bead is nearer.
    pub given: Vec<(usize, BeadId)>,
    /// Whether every colour takes its nearest bead, though a colour it touches has that one too.
    pub nearest: bool,
}

impl Wishes {
    /// What other references show of a colour.
    pub fn elsewhere(&self, colour: usize) -> &[Cluster] {
        self.elsewhere.get(colour).map_or(&[], Vec::as_slice)
    }

    /// The bead a colour is to have.
    pub fn given(&self, colour: usize) -> Option<BeadId> {
        self.given.iter().find(|(of, _)| *of == colour).map(|(_, bead)| *bead)
    }
}
