//! The maker's owned beads.

mod alike;
mod columns;
mod dialect;
mod embedded;
mod file;
mod nearest;
mod number;
mod price;
mod row;
mod written;

pub use alike::{ACCEPTED, AlikePair, Eyes, HARD_TO_TELL, KIN, Likeness, SEEN};
pub(crate) use dialect::decoded;
pub use file::{MOST_BEADS, MOST_BYTES};
pub use price::{NotAPrice, Price};

use crate::colour::{Colours, Lab};
use crate::error::{Error, Result};
use crate::units::DeltaE;

/// One kind of bead the maker owns.
#[derive(Clone, Debug, PartialEq)]
pub struct Bead {
    /// The maker's name for it; unique in its tray.
    pub name: String,
    /// Its colour, Lab under D65.
    pub lab: Lab,
    /// How far that may be from the bead's true colour, where it is known: two in three such colours lie within this,
    /// nineteen in twenty within twice as much.
    pub uncertainty: Option<DeltaE>,
    /// How many are owned, where the maker counts.
    pub count: Option<u32>,
    /// Glossy, matt, clear, or whatever the maker writes.
    pub finish: Option<String>,
    /// Beads in a pack.
    pub pack: Option<u32>,
    /// Price of a pack, in the maker's currency.
    pub price: Option<Price>,
    /// Free text.
    pub note: Option<String>,
    /// Columns of the maker's own that mean nothing here: each name with what stands there, where something does.
    pub own_columns: Vec<(String, String)>,
}

impl Bead {
    /// A bead known by its name and colour alone.
    pub fn new(name: impl Into<String>, lab: Lab) -> Self {
        Self {
            name: name.into(),
            lab,
            uncertainty: None,
            count: None,
            finish: None,
            pack: None,
            price: None,
            note: None,
            own_columns: Vec::new(),
        }
    }
}

/// A bead's place in its tray.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct BeadId(usize);

/// The maker's owned beads: never empty, names unique.
#[derive(Clone, Debug, PartialEq)]
pub struct Tray {
    beads: Vec<Bead>,
    /// Theirs, in the same order.
    colours: Colours,
}

impl Tray {
    /// A tray of these beads. `file` names their source in errors.
    ///
    /// # Errors
    /// [`Error::TrayFile`] if there is no bead or a name stands twice.
    pub fn new(file: &str, beads: Vec<Bead>) -> Result<Self> {
        let fault =
            |why: String, right: &str| Err(Error::TrayFile { file: file.into(), why, right: right.into() });
        if beads.is_empty() {
            return fault("the tray holds no beads".into(), "give it at least one line of name and hex");
        }
        let mut seen = std::collections::HashSet::new();
        if let Some(twice) = beads.iter().find(|b| !seen.insert(&b.name)) {
            return fault(format!("the bead {} is listed twice", twice.name), "give each bead its own name");
        }
        let colours = Colours::new(beads.iter().map(|bead| bead.lab));
        Ok(Self { beads, colours })
    }

    /// The bead at a place.
    pub fn bead(&self, id: BeadId) -> &Bead {
        &self.beads[id.0]
    }

    /// The bead of that name.
    pub fn find(&self, name: &str) -> Option<BeadId> {
        self.beads.iter().position(|b| b.name == name).map(BeadId)
    }

    /// Every bead with its place, in the tray's order.
    pub fn iter(&self) -> impl Iterator<Item = (BeadId, &Bead)> {
        self.beads.iter().enumerate().map(|(i, b)| (BeadId(i), b))
    }

    /// The names of columns of the maker's own, in the order in which they are met.
    pub fn own_columns(&self) -> Vec<&str> {
        let mut names: Vec<&str> = Vec::new();
        for (name, _) in self.beads.iter().flat_map(|bead| &bead.own_columns) {
            if !names.contains(&name.as_str()) {
                names.push(name);
            }
        }
        names
    }

    /// How many kinds of bead; at least 1.
    #[expect(clippy::len_without_is_empty, reason = "a tray is never empty")]
    pub fn len(&self) -> usize {
        self.beads.len()
    }
}
