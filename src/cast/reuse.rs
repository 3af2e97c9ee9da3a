//! A new figure from an older one: the changes that lead from its body to another height class or build, and what the
//! maker asks beside. Every change is a line as [`Edit`] has it, so that each can be undone. A bead that is swapped is
//! swapped wherever it lies, by hand too.
//!
//! Rows come and go where the plan says, the least seen ones first. Beads keep how settled they were: what the maker
//! placed by hand in the older figure is no doubt in the new one, and no row of it is taken out. Only the reference is
//! not the new figure's, and stays behind.

mod body;
mod columns;
mod rows;

use crate::error::{Error, Result};
use crate::figure::{AtHand, Edit, Figure, NOTHING_CHANGES, Placed, Sure};
use crate::plan::{BuildKind, Look, ZoneRows};
use crate::units::Centimetres;

/// The height a new figure is to have.
#[derive(Clone, Debug, PartialEq)]
pub struct Height {
    /// Its rows by zone. Headwear is what the older figure wears: rows of it are added and never taken.
    pub rows: ZoneRows,
    /// Its height class, where it has one.
    pub class: Option<String>,
    /// How tall it stands, where that was said.
    pub stature: Option<Centimetres>,
}

/// What a maker wants of a new figure.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Wish {
    /// Its name.
    pub name: Option<String>,
    /// Its height; else the older figure's.
    pub height: Option<Height>,
    /// Whether rows may go with beads placed by hand on them, where every row of a zone has some.
    pub rows_may_go: bool,
    /// Its build, with the limbs of its group's look; else the older figure's.
    pub build: Option<(BuildKind, Look)>,
    /// What is changed once it has height and build, in order.
    pub lines: Vec<Edit>,
}

/// A new figure, and the changes that lead to it.
#[derive(Clone, Debug, PartialEq)]
pub struct Reused {
    /// The figure.
    pub figure: Figure,
    /// The changes, in order; [`Figure::edited`] makes each.
    pub edits: Vec<Edit>,
    /// What the maker should look at.
    pub notes: Vec<String>,
}

/// A new figure's beginning: an older figure without its reference, which is not the new one's.
pub fn beginning(older: &Figure) -> Figure {
    older.clone().without_picture()
}

/// The changes from an older figure's [`beginning`] to the figure that is wished for: height, build, the lines, and the
/// name last.
///
/// # Errors
/// [`Error::BadValue`] for a height or build the figure cannot be brought to; what [`Figure::edited`] says.
pub fn reuse(beginning: &Figure, wish: &Wish, at_hand: &AtHand) -> Result<Reused> {
    let reused = Reused { figure: beginning.clone(), edits: Vec::new(), notes: Vec::new() };
    let mut made = Making { reused, at_hand: *at_hand };
    if let Some(height) = &wish.height {
        rows::bring_to(&mut made, height, wish.rows_may_go)?;
    }
    if let Some(build) = wish.build {
        columns::bring_to(&mut made, build)?;
    }
    wish.lines.iter().try_for_each(|line| made.make(swapping_all(line, made.figure())))?;
    if let Some(name) = wish.name.as_ref().filter(|name| made.figure().name() != name.as_str()) {
        made.make(Edit::Name { name: name.clone() })?;
    }
    Ok(made.reused)
}

/// A swap that meets beads placed by hand changes them too: they were placed for the older figure, and the new one's
/// maker names the bead that is to go.
fn swapping_all(line: &Edit, figure: &Figure) -> Edit {
    let Edit::Swap { old, new, part, by_hand: false } = line else { return line.clone() };
    let parts = figure.parts().iter().filter(|own| part.as_ref().is_none_or(|part| *part == own.name));
    let beads = parts.flat_map(|part| part.beads.iter().filter_map(|(.., placed)| *placed));
    let mut by_hand = beads.filter(|placed| placed.sure == Some(Sure::ByHand));
    let is_old = |placed: Placed| figure.entry(placed.mark).is_some_and(|entry| entry.bead == *old);
    let by_hand = by_hand.any(is_old);
    Edit::Swap { old: old.clone(), new: new.clone(), part: part.clone(), by_hand }
}

/// A figure while it is made.
struct Making<'a> {
    reused: Reused,
    at_hand: AtHand<'a>,
}

impl Making<'_> {
    /// As far as it is made.
    fn figure(&self) -> &Figure {
        &self.reused.figure
    }

    /// Makes a change where there is something to change: an empty column at the figure's edge has nothing to double.
    fn make_if_any(&mut self, edit: Edit) -> Result<()> {
        match self.make(edit) {
            Err(Error::Edit { why, .. }) if why == NOTHING_CHANGES => Ok(()),
            made => made,
        }
    }

    fn make(&mut self, edit: Edit) -> Result<()> {
        self.reused.figure = self.figure().edited(&edit, &self.at_hand)?.figure;
        self.reused.edits.push(edit);
        Ok(())
    }

    /// Its rows by zone; `option` asked for them.
    fn zones(&self, option: &'static str, value: &str) -> Result<ZoneRows> {
        self.figure().rows().copied().ok_or_else(|| Error::BadValue {
            option,
            value: value.into(),
            why: format!("{} was drafted as drawn: it has no zones to add rows to", self.figure().name()),
            right: "draft it to a class first, or give its rows by zone under [rows] in its file".into(),
        })
    }
}
