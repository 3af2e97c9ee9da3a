//! A figure as the rules look at it: what shows, in which colours.

use std::borrow::Cow;
use std::collections::HashMap;
use std::sync::OnceLock;

use super::joined::Joined;
use super::member::{Entrant, Member};
use crate::cast::Group;
use crate::colour::Lab;
use crate::figure::{Anatomy, Figure, LegendEntry, Mark, Sure};
use crate::grid::Grid;
use crate::plan::{BodyPart, Classes};
use crate::tray::{BeadId, Tray};
use crate::units::{Column, Row};

/// A bead that shows.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Peg {
    /// The first mark of the legend that stands for this bead: beads of one name have one mark here.
    pub mark: Mark,
    /// Which bead of the tray it is; nothing where the tray has none of that name.
    pub bead: Option<BeadId>,
    /// Its colour: the tray's, else what the reference asked for, where that is known.
    pub lab: Option<Lab>,
    /// How settled it is.
    pub sure: Option<Sure>,
}

/// A figure beside the tray it is to be made from, and the cast it belongs to. What is looked up of it is looked up when
/// it is first asked for: of ten thousand figures in a cast nobody asks for all at once.
#[derive(Debug)]
pub struct Subject<'a> {
    figure: &'a Figure,
    member: Option<Member<'a>>,
    tray: &'a Tray,
    beads: OnceLock<Grid<Option<Peg>>>,
    joined: OnceLock<Joined>,
    parts: OnceLock<Grid<Option<BodyPart>>>,
}

impl<'a> Subject<'a> {
    /// A figure whose beads are looked up in a tray.
    pub fn new(entrant: impl Into<Entrant<'a>>, tray: &'a Tray) -> Self {
        let Entrant { figure, member } = entrant.into();
        let (beads, joined, parts) = (OnceLock::new(), OnceLock::new(), OnceLock::new());
        Self { figure, member, tray, beads, joined, parts }
    }

    fn looked_up(&self) -> Grid<Option<Peg>> {
        let legend = self.figure.legend();
        let first =
            |entry: &LegendEntry| legend.iter().find(|e| e.bead == entry.bead).map_or(entry.mark, |e| e.mark);
        let peg = |entry: &LegendEntry| {
            let bead = self.tray.find(&entry.bead);
            let lab = bead.map(|id| self.tray.bead(id).lab).or(entry.aim);
            (entry.mark, Peg { mark: first(entry), bead, lab, sure: None })
        };
        let known: HashMap<Mark, Peg> = legend.iter().map(peg).collect();
        self.figure.beads().map(|_, _, placed| {
            let placed = placed.as_ref()?;
            known.get(&placed.mark).map(|peg| Peg { sure: placed.sure, ..*peg })
        })
    }

    /// The figure.
    pub fn figure(&self) -> &Figure {
        self.figure
    }

    /// Its place in a cast, where it has one.
    pub fn member(&self) -> Option<Member<'a>> {
        self.member
    }

    /// The height classes of its cast, else the trade's.
    pub(super) fn classes(&self) -> Cow<'a, Classes> {
        self.member.map_or_else(|| Cow::Owned(Classes::trade()), |member| Cow::Borrowed(&member.cast.classes))
    }

    /// Its group in the cast; nothing where it is in none.
    pub(super) fn group(&self) -> Option<&'a Group> {
        let member = self.member?;
        member.cast.group_of(member.name)
    }

    /// The tray.
    pub fn tray(&self) -> &Tray {
        self.tray
    }

    /// The beads that show.
    pub fn beads(&self) -> &Grid<Option<Peg>> {
        self.beads.get_or_init(|| self.looked_up())
    }

    /// The part of the body that each bead belongs to.
    pub(super) fn parts(&self) -> &Grid<Option<BodyPart>> {
        self.parts.get_or_init(|| Anatomy::of(self.figure).parts().clone())
    }

    /// How they hold together.
    pub(super) fn joined(&self) -> &Joined {
        self.joined.get_or_init(|| Joined::new(&self.beads().map(|_, _, peg| peg.is_some())))
    }

    /// The name of a mark's bead.
    pub(super) fn name(&self, mark: Mark) -> &str {
        self.figure.entry(mark).map_or("a bead", |entry| &entry.bead)
    }

    /// The bead at a place.
    pub(super) fn peg(&self, (row, column): (Row, Column)) -> Option<&Peg> {
        self.beads().get(row, column).and_then(Option::as_ref)
    }

    /// The places side to side that hold beads, each with its bead.
    pub(super) fn beside(&self, (row, column): (Row, Column)) -> impl Iterator<Item = ((Row, Column), &Peg)> {
        self.beads().beside(row, column).filter_map(|(r, c, peg)| peg.as_ref().map(|peg| ((r, c), peg)))
    }

    /// Every bead with its place, row by row.
    pub(super) fn pegs(&self) -> impl Iterator<Item = ((Row, Column), &Peg)> {
        self.beads().iter().filter_map(|(r, c, peg)| peg.as_ref().map(|peg| ((r, c), peg)))
    }
}
