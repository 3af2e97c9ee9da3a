//! Older figures against a changed tray: which colours another bead is nearer to now, what would be lost, and which
//! beads would help most if they were bought.
//!
//! A figure keeps the colour that each line of its legend was asked for (its aim). Against a tray, [`plan`] says of each
//! line whether another bead is nearer by a step that can be seen ([`WORTH`]) and nothing is lost by it; the bead of a line
//! that the tray has no longer comes first, with the best that is left. What a hand has set stays, and a named thing of
//! the cast changes everywhere or nowhere. [`suggest`] finds the beads of a catalogue that bring a cast nearest to its
//! aims, [`ledger`] says which bead a thing has in which figure. Nothing here changes a figure: [`Plan::edit`] is the one
//! step that does.
//!
//! ```
//! use smallcast::{figure, tray::Tray};
//! use smallcast::rematch::{Fate, Older, Request, plan};
//! let text = "format = 1\nname = \"Dot\"\n[[legend]]\nmark = \"r\"\nbead = \"rust\"\naim = [40.0, 50.0, 30.0]\n\
//!             by = \"match\"\n[[part]]\nname = \"body\"\nbeads = \"rrr\"\n";
//! let dot = figure::read("dot", text)?;
//! let tray = Tray::parse("new", b"name,L,a,b\nrust,40,38,40\nbrick,40,49,31\n")?;
//! let plan = plan(&[Older { stem: "dot", figure: &dot }], &Request::against(&tray));
//! assert!(matches!(plan.judged()[0].fate, Fate::Changes(ref other) if tray.bead(other.bead).name == "brick"));
//! assert_eq!(plan.edit(0, &tray).map(|edit| edit.to_string()).as_deref(), Some("rematch r brick"));
//! # Ok::<(), smallcast::error::Error>(())
//! ```

mod choose;
mod ledger;
mod lines;
mod search;
mod seen;
mod suggest;
mod units;

pub use ledger::{Held, Ledger, Serves, ledger};
pub use search::{Found, MOST_SOUGHT, best_of};
pub use suggest::{Help, Suggested, Suggestion, suggest};

use std::collections::BTreeSet;

use choose::Choice;
use lines::Lines;

use crate::cast::Thing;
use crate::figure::{Edit, Figure, Mark};
use crate::tray::{BeadId, SEEN, Tray};
use crate::units::DeltaE;

/// A colour that comes nearer by less is left as it is: a change that half of all people would not see side by side is
/// no gain (the perceptibility threshold, see [`SEEN`] for its source).
pub const WORTH: DeltaE = SEEN;

/// An older figure.
#[derive(Clone, Copy, Debug)]
pub struct Older<'a> {
    /// Its name in the cast: its file's, before `.figure.toml`.
    pub stem: &'a str,
    /// The figure.
    pub figure: &'a Figure,
}

/// What figures are looked at against, and what of them may change.
#[derive(Clone, Debug)]
pub struct Request<'a> {
    /// The tray as it is now.
    pub tray: &'a Tray,
    /// Trays that know the colours of beads that it has no longer, the first first.
    pub older_trays: Vec<&'a Tray>,
    /// Named things of the cast.
    pub things: &'a [Thing],
    /// The lines that may change, by their figure's place and their mark; every line without it.
    pub only: Option<BTreeSet<(usize, Mark)>>,
    /// Figures of the cast that are not looked at, by name: a thing that is in one of them changes nowhere.
    pub elsewhere: BTreeSet<String>,
    /// Whether beads that a hand settled may change where the tool had chosen the line's bead.
    pub by_hand: bool,
}

impl<'a> Request<'a> {
    /// All that a tray can do for figures that share nothing.
    pub fn against(tray: &'a Tray) -> Self {
        Self {
            tray,
            older_trays: Vec::new(),
            things: &[],
            only: None,
            elsewhere: BTreeSet::new(),
            by_hand: false,
        }
    }
}

/// A line of a figure's legend that has beads.
#[derive(Clone, Debug, PartialEq)]
pub struct Line {
    /// The figure, by its place in the list.
    pub figure: usize,
    /// Its mark.
    pub mark: Mark,
    /// Its bead.
    pub bead: String,
    /// Whether the tray has that bead no longer.
    pub gone: bool,
    /// CIEDE2000 from the colour asked for to the bead; none where either is not known.
    pub apart: Option<DeltaE>,
    /// Beads that may change, of all layers.
    pub free: usize,
    /// How many of those show.
    pub shown: usize,
    /// Beads of all layers that a hand settled and that stay.
    pub by_hand: usize,
    /// Names of the things it is.
    pub things: Vec<String>,
}

/// Another bead for a line.
#[derive(Clone, Debug, PartialEq)]
pub struct Other {
    /// The bead.
    pub bead: BeadId,
    /// CIEDE2000 from the colour asked for.
    pub apart: DeltaE,
    /// What would be lost by it; empty where nothing is.
    pub lost: Vec<Lost>,
}

/// What a change would lose.
#[derive(Clone, Debug, PartialEq)]
pub enum Lost {
    /// Some eyes told the line from one that it touches, and would no more.
    Contrast {
        /// The bead it touches.
        beside: String,
        /// CIEDE2000 between the two then.
        apart: DeltaE,
    },
    /// There are too few of the bead.
    Short {
        /// How many are missing for all figures looked at.
        missing: u64,
    },
}

/// What becomes of a line.
#[derive(Clone, Debug, PartialEq)]
pub enum Fate {
    /// It gets another bead.
    Changes(Other),
    /// It stays: another bead is nearer, but something would be lost.
    AtALoss(Other),
    /// It stays: the maker chose its bead, or settled each of its beads. The bead that would be nearer, where one is.
    ByHand(Option<Other>),
    /// It stays: no reference colour is stored for it.
    NoAim,
    /// It stays with the thing it is, which cannot change everywhere. The bead that would be nearer, where one is.
    Together {
        /// The thing.
        thing: String,
        /// What holds it.
        why: Holds,
        /// The bead that would serve it everywhere.
        nearer: Option<Other>,
    },
    /// It stays: another bead is nearer, by a step that is not worth it.
    Slight,
    /// It stays: no bead is nearer.
    Best,
}

/// What keeps a thing from changing everywhere.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Holds {
    /// Its bead is set by hand in this figure, by its place.
    Hand(usize),
    /// No colour is kept for it in this figure, by its place.
    NoAim(usize),
    /// It is also in this figure, by name, which is not looked at or not chosen.
    NotChosen(String),
}

/// A line and what becomes of it.
#[derive(Clone, Debug, PartialEq)]
pub struct Judged {
    /// The line.
    pub line: Line,
    /// What becomes of it.
    pub fate: Fate,
}

/// What a tray can do for figures.
#[derive(Clone, Debug, PartialEq)]
pub struct Plan {
    judged: Vec<Judged>,
    by_hand: bool,
}

impl Plan {
    /// Every line that may change, figure by figure in the legend's order.
    pub fn judged(&self) -> &[Judged] {
        &self.judged
    }

    /// The figures that change, by their places: those first that have a bead the tray has no longer.
    pub fn changed(&self) -> Vec<usize> {
        let changes = |judged: &&Judged| matches!(judged.fate, Fate::Changes(_));
        let all: BTreeSet<usize> = self.judged.iter().filter(changes).map(|j| j.line.figure).collect();
        let lacks = |figure: &usize| self.judged.iter().any(|j| j.line.figure == *figure && j.line.gone);
        let (first, then): (Vec<usize>, Vec<usize>) = all.into_iter().partition(lacks);
        first.into_iter().chain(then).collect()
    }

    /// The one step that changes a figure, with beads of the tray it was judged against; none where it stays as it is.
    pub fn edit(&self, figure: usize, tray: &Tray) -> Option<Edit> {
        let own = self.judged.iter().filter(|judged| judged.line.figure == figure);
        let beads: Vec<(String, String)> = own
            .filter_map(|judged| match &judged.fate {
                Fate::Changes(other) => {
                    Some((judged.line.mark.get().to_string(), tray.bead(other.bead).name.clone()))
                }
                _ => None,
            })
            .collect();
        (!beads.is_empty()).then_some(Edit::Rematch { beads, by_hand: self.by_hand })
    }

    /// The sum over the beads that change of how much nearer each comes, in CIEDE2000. Beads that are gone and whose
    /// colour nobody knows are left out.
    pub fn gained(&self) -> f64 {
        let gain = |judged: &Judged| match &judged.fate {
            Fate::Changes(other) => {
                judged.line.apart.map_or(0.0, |now| (now.0 - other.apart.0) * judged.line.shown as f64)
            }
            _ => 0.0,
        };
        self.judged.iter().map(gain).sum()
    }
}

/// Judges every line of figures that belong together.
pub fn plan(figures: &[Older], request: &Request) -> Plan {
    let lines = Lines::of(figures, request);
    let choice = Choice::made(figures, &lines, request);
    Plan { judged: choice.judged(), by_hand: request.by_hand }
}
