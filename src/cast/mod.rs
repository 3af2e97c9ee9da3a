//! A cast: figures in one folder, to one scale, with what they share.
//!
//! The folder's `cast.toml` says which tray, guide figure, pitch and board serve, which height classes there are beside
//! the trade's, which groups have a look of their own, and which named thing has which bead. A figure is named there by
//! its file's name without `.figure.toml`.

mod fault;
mod file;
mod folder;
mod groups;
mod like;
mod likeness;
mod lines;
mod lineup;
mod plain;
mod reuse;
mod scale;
mod start;

pub(crate) use fault::{Fault, Form, Place};
pub use file::{FILE, name_fault, read};
pub(crate) use file::{measure, name_in, text_of};
pub use folder::{CastFolder, unique_names};
pub use like::{PartChange, Sought, Start, Swap, apart, rank};
pub use likeness::{AT_A_GLANCE, Crowd, Difference, MOST_SHIFT, Pair, TOO_ALIKE};
pub use lineup::{By, Member, fewest};
pub use plain::{Named, Outfit, plain_figure};
pub use reuse::{Height, Reused, Wish, beginning, reuse};
pub use scale::scale_of;
pub use start::{Beginning, GUIDE_FILE, TRAY_FILE, laid_out};

use std::collections::BTreeSet;
use std::path::Path;

use crate::plan::{Board, Classes, Look};
use crate::units::Millimetres;

/// What a figure file's name ends in.
pub const FIGURE: &str = crate::figure::ENDING;

/// The group whose look all others begin with; the usual look where no group has that name.
pub const EVERYONE: &str = "everyone";

/// The name by which a cast speaks of a figure: its file's, before `.figure.toml`.
pub fn stem(figure: &Path) -> String {
    let name = figure.file_name().unwrap_or_default().to_string_lossy();
    name.strip_suffix(FIGURE).unwrap_or(&name).to_owned()
}

/// What the figures of a folder share; see the module.
#[derive(Clone, Debug, PartialEq)]
pub struct Cast {
    /// Its name.
    pub name: String,
    /// The tray's file, as it is found from the folder; the embedded tray serves without one.
    pub tray: Option<String>,
    /// The guide figure's file, as it is found from the folder; the trade's guide serves without one.
    pub guide: Option<String>,
    /// From bead to bead; regular beads without it.
    pub pitch: Option<Millimetres>,
    /// The pegs of one board; the usual board without it.
    pub board: Option<Board>,
    /// The height classes: the folder's own, then the trade's of other names.
    pub classes: Classes,
    /// The groups, in the file's order; a figure is in one of them at most.
    pub groups: Vec<Group>,
    /// Named things that have one bead wherever they appear.
    pub things: Vec<Thing>,
    /// Rules that `check` leaves out.
    pub skip: Vec<String>,
}

/// Figures with a look of their own.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Group {
    /// Its name.
    pub name: String,
    /// Its figures; a cast may have thousands.
    pub figures: BTreeSet<String>,
    /// Their look, with what it takes from another group filled in.
    pub look: Look,
}

/// A named thing, such as somebody's hair: one bead wherever it appears.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Thing {
    /// Its name.
    pub name: String,
    /// The bead it has.
    pub bead: String,
    /// The figures it appears in.
    pub figures: BTreeSet<String>,
}

impl Cast {
    /// A cast of which nothing is said but its name.
    pub fn named(name: &str) -> Self {
        Self {
            name: name.into(),
            tray: None,
            guide: None,
            pitch: None,
            board: None,
            classes: Classes::trade(),
            groups: Vec::new(),
            things: Vec::new(),
            skip: Vec::new(),
        }
    }

    /// The group a figure is in.
    pub fn group_of(&self, figure: &str) -> Option<&Group> {
        self.groups.iter().find(|group| group.figures.contains(figure))
    }

    /// The look of a figure: its group's, else that of the group called [`EVERYONE`], else the usual one.
    pub fn look_of(&self, figure: &str) -> Look {
        self.group_of(figure).map_or_else(|| self.usual_look(), |group| group.look)
    }

    /// The look of figures in no group.
    pub fn usual_look(&self) -> Look {
        self.group(EVERYONE).map_or(Look::USUAL, |group| group.look)
    }

    /// The group of that name.
    pub fn group(&self, name: &str) -> Option<&Group> {
        self.groups.iter().find(|group| group.name == name)
    }
}
