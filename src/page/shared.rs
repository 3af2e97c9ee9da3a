//! What the figures of one start of the page share.

use crate::cast::{Cast, scale_of, stem};
use crate::figure::Figure;
use crate::plan::{Board, Classes, Guide};
use crate::rules::{Entrant, Finding, Member, check, rules_of};
use crate::tray::Tray;
use crate::units::Millimetres;
use std::path::Path;

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
    /// The cast itself, whose rules serve.
    pub cast: Option<Cast>,
    /// The file of the tray, where it is remembered for figures in no cast.
    pub tray_file: Option<std::path::PathBuf>,
}

impl Shared {
    /// What the rules say of a figure, by its file's name, each with the maker's reason where it is meant so.
    pub fn findings(&self, file: &str, figure: &Figure) -> Vec<(Finding, Option<String>)> {
        let name = stem(Path::new(file));
        let guide = self.guide.as_ref();
        let member = self.cast.as_ref().map(|cast| Member { cast, name: &name, guide });
        let rules = rules_of(self.cast.as_ref());
        let checked = check(&[Entrant { figure, member }], &self.tray, &rules).into_iter();
        let told = checked.flat_map(|checked| {
            let open = checked.findings.into_iter().map(|finding| (finding, None));
            open.chain(checked.meant.into_iter().map(|(finding, why)| (finding, Some(why))))
        });
        told.collect()
    }
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
        Self {
            tray,
            classes: Classes::trade(),
            guide: None,
            pitch: None,
            board: None,
            cast: None,
            tray_file: None,
        }
    }
}
