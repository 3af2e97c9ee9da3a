//! Changes by the maker's hand: one small set, each written as one line.
//!
//! [`crate::help::changes`] lists them; a history also knows `raise` and `lower`, as `over` and `under` were called.
//!
//! A place may be a block: `11-14,1-2` is every peg of rows 11 to 14 in columns 1 to 2. Rows and columns count from 1
//! and are those of the figure as shown, all parts together. Names with blanks are "quoted". What was placed by hand changes only where a line names it.

mod at_hand;
mod beads;
mod change;
mod chosen;
mod columns;
mod compared;
mod fit;
mod layers;
mod legend;
mod line;
mod parts;
mod places;
mod rematch;
mod rows;
mod slips;
mod take;
mod written;

use super::Figure;
use crate::error::{Error, Result};
use crate::tray::Tray;
use crate::units::{Column, Row};
pub use at_hand::{AtHand, NoOthers, Others};
pub use change::{ColumnIn, Edit, RowIn, Side, Spot, Way};
use compared::{differences, gaps};
use layers::Layers;
use parts::Order;
use take::Taken;

/// A figure after a change.
#[derive(Clone, Debug, PartialEq)]
pub struct Edited {
    /// The figure.
    pub figure: Figure,
    /// Beads placed by hand that the change would have met and that stayed.
    pub kept_by_hand: usize,
    /// The places, in the new figure, where another bead shows than before, or it is settled otherwise.
    pub changed: Vec<(Row, Column)>,
    /// How far the old figure moved in the grid, down and to the right, so that the first peg stays the first.
    pub moved: (usize, usize),
    /// Pegs between beads that became empty, as a part moved away from them.
    pub gaps: usize,
    /// What was done, in a sentence or two.
    pub said: String,
}

/// Why a line is refused that leaves the figure as it is.
pub(crate) const NOTHING_CHANGES: &str = "nothing would change";

/// Why a change cannot be made, and what would be right.
type Refused = (String, String);

/// The words of a change that was made.
struct Done {
    said: String,
    kept_by_hand: usize,
    /// Where of these a bead lies in the way of what was taken.
    in_the_way: Vec<Spot>,
}

impl From<String> for Done {
    fn from(said: String) -> Self {
        Self { said, kept_by_hand: 0, in_the_way: Vec::new() }
    }
}

impl Figure {
    /// This figure after a change. Nothing but what the line names is touched, but that grid, zones, class and
    /// notes follow where rows or columns come or go.
    ///
    /// # Errors
    /// [`Error::Edit`] with the line, why it cannot be, and the names that were likely meant; what
    /// [`Others::figure`] says.
    pub fn edited(&self, edit: &Edit, at_hand: &AtHand) -> Result<Edited> {
        let refused = |(why, right): Refused| Error::Edit { line: edit.to_string(), why, right };
        let mut layers = Layers::of(self);
        let done = match edit {
            Edit::Take { part, from, name, at } => {
                let other = at_hand.others.figure(from)?;
                let name = name.as_deref();
                layers.take(self, &Taken { other: &other, part, from, name, at: *at })
            }
            _ => layers.change(edit, at_hand.tray),
        };
        let done = done.map_err(refused)?;
        let (figure, moved, followed) = layers.finish(self, at_hand.classes).map_err(refused)?;
        let turns = matches!(edit, Edit::Mirror { .. } | Edit::MirrorThese { .. });
        if figure == *self || (turns && self.lies_like(&figure)) {
            return Err(refused((NOTHING_CHANGES.into(), "leave it out".into())));
        }
        let changed = differences(&self.shown(), &figure.shown(), moved);
        let counted_anew = counted_anew(&figure, moved);
        let opened = matches!(edit, Edit::Shift { .. }).then(|| gaps(&figure.shown(), &changed));
        let gaps = opened.unwrap_or(0);
        let stayed = in_the_way_in_words(done.in_the_way, moved, edit);
        let said = [done.said]
            .into_iter()
            .chain(stayed)
            .chain(counted_anew)
            .chain(gaps_in_words(gaps))
            .chain(followed);
        let said = said.collect::<Vec<_>>().join("; ");
        Ok(Edited { figure, kept_by_hand: done.kept_by_hand, changed, moved, gaps, said })
    }
}

impl Layers {
    fn change(&mut self, edit: &Edit, tray: &Tray) -> std::result::Result<Done, Refused> {
        match edit {
            Edit::Place { spots, bead, part } => self.place(spots, bead, part.as_deref(), tray),
            Edit::PlaceSeveral { beads, part } => self.place_several(beads, part.as_deref(), tray),
            Edit::Lift { spots, part } => self.lift(spots, part.as_deref()),
            Edit::Swap { old, new, part, by_hand } => self.swap(old, new, part.as_deref(), *by_hand, tray),
            Edit::Rematch { beads, by_hand } => self.rematch(beads, *by_hand, tray),
            Edit::Fill { at, bead, part } => self.fill(*at, bead, part.as_deref(), tray),
            Edit::Move { spots, to, mirrored } => self.move_chosen(spots, *to, *mirrored),
            Edit::Copy { spots, to, mirrored, part } => {
                self.copy_chosen(spots, *to, *mirrored, part.as_deref())
            }
            Edit::MirrorThese { spots } => self.mirror_chosen(spots),
            Edit::PartOf { name, spots } => self.part_of(name, spots),
            Edit::Shift { part, way, by } => self.shift(part, *way, i32::from(*by)),
            Edit::Mirror { part } => self.mirror(part),
            Edit::AddRow(row) => self.add_row(*row),
            Edit::DropRow(row) => self.drop_row(*row),
            Edit::AddColumn(column) => self.add_column(*column),
            Edit::DropColumn(column) => self.drop_column(*column),
            Edit::NewPart { name } => self.new_part(name),
            Edit::Remove { part } => self.remove(part),
            Edit::Call { part, name } => self.call(part, name),
            Edit::Over { part, other } => self.reorder(part, other.as_deref(), Order::Over),
            Edit::Under { part, other } => self.reorder(part, other.as_deref(), Order::Under),
            // Its figure is read before anything is changed.
            Edit::Take { from, .. } => Err((format!("{from} was not read"), "name a figure's file".into())),
            Edit::Mark { old, new } => self.remark(old, *new),
            Edit::Keep { spots } => self.keep(spots),
            Edit::KeepBead { bead } => self.keep_bead(bead),
            Edit::Doubt { spots } => self.doubt(spots),
            Edit::Meant { rule, at, why } => self.meant(rule, *at, why),
            Edit::NotMeant { rule, at } => self.not_meant(rule, *at),
            Edit::Name { name } => self.rename(name),
            Edit::Reference { picture } => self.drafted_from(picture),
            Edit::Class { name } => self.classed(name),
            Edit::Stands { millimetres } => self.stands(*millimetres),
        }
    }
}

/// What is said where something begins above or left of the first peg now, and all else is counted from there.
fn counted_anew(figure: &Figure, (down, right): (usize, usize)) -> Option<String> {
    let beads = figure.beads();
    let lines = [
        ("row", down, format!("{} tall", counted(beads.rows(), "row"))),
        ("column", right, format!("{} wide", counted(beads.columns(), "column"))),
    ];
    let moved = lines.into_iter().filter(|(_, by, _)| *by > 0);
    let said = moved.map(|(line, by, size)| {
        format!("every other {line} is now numbered {by} higher; the figure is {size}")
    });
    Some(said.collect::<Vec<_>>().join("; ")).filter(|said| !said.is_empty())
}

/// What is said of beads settled by hand that lie where a part was taken to: where, and how they make room for it.
fn in_the_way_in_words(spots: Vec<Spot>, (down, right): (usize, usize), edit: &Edit) -> Option<String> {
    let by = |moved: usize| i32::try_from(moved).unwrap_or(0);
    let spots: Vec<Spot> = spots
        .into_iter()
        .map(|spot| Spot { row: spot.row + by(down), column: spot.column + by(right) })
        .collect();
    (!spots.is_empty()).then(|| {
        let doubt = Edit::Doubt { spots };
        format!("where they are in its way, let go of them and take it again: --do '{doubt}' --do '{edit}'")
    })
}

/// What is said of pegs that became empty between beads.
fn gaps_in_words(gaps: usize) -> Option<String> {
    let became = |pegs: String| {
        format!(
            "{pegs} between beads became empty: where something should show there, lay beads in the part below"
        )
    };
    (gaps > 0).then(|| became(counted(gaps, "peg")))
}

/// `1 bead`, `3 beads`.
fn counted(count: usize, what: &str) -> String {
    format!("{count} {what}{}", if count == 1 { "" } else { "s" })
}

/// `row 4, column 6`, counted from 1.
fn place_in_words(spot: Spot) -> String {
    format!("row {}, column {}", spot.row + 1, spot.column + 1)
}
