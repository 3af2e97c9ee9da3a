//! What the figures of one start of the page share.

use crate::cast::scale_of;
use crate::figure::Figure;
use crate::plan::{Board, Classes, Guide};
use crate::tray::Tray;
use crate::units::Millimetres;

/// What serves every figure: of their cast, where they are in one.
#[derive(Clone, Debug)]
pub struct Shared {
    /// The beads.
    pub tray: Tray,
    /// The height classes.
    pub classes: Classes,
    /// The maker's own guide; the trade's without it.
    pub guide: Option<Figure>,
    /// From bead to bead on sheets; regular beads without it.
    pub pitch: Option<Millimetres>,
    /// The pegs of one board; the usual board without it.
    pub board: Option<Board>,
}

impl Shared {
    /// What standing heights are measured against; the trade's guide where the maker's own says no rows by zone.
    pub fn scale(&self) -> Guide {
        self.guide.as_ref().and_then(scale_of).unwrap_or(Guide::TRADE)
    }
}

impl From<Tray> for Shared {
    /// Figures in no cast.
    fn from(tray: Tray) -> Self {
        Self { tray, classes: Classes::trade(), guide: None, pitch: None, board: None }
    }
}
