//! Layers of beads, and how settled each bead is.

use std::collections::BTreeSet;

use super::Mark;
use crate::grid::Grid;
use crate::units::{Column, Confidence, Row};

/// A layer of beads with a name; an empty peg lets the part below show.
#[derive(Clone, Debug, PartialEq)]
pub struct Part {
    /// Its name.
    pub name: String,
    /// The figure it was copied from, where it was.
    pub from: Option<String>,
    /// Row and column of its first bead in the figure.
    pub at: (Row, Column),
    /// Its beads.
    pub beads: Grid<Option<Placed>>,
    /// Pegs of `beads` that the maker left empty on purpose. Never one that has a bead.
    pub bare: BTreeSet<(Row, Column)>,
}

impl Part {
    /// Whether anything is said of how settled its pegs are.
    pub(super) fn says_sure(&self) -> bool {
        let says = |placed: &Option<Placed>| placed.is_some_and(|placed| placed.sure.is_some());
        !self.bare.is_empty() || self.beads.iter().any(|(_, _, placed)| says(placed))
    }

    /// Whether a detector set any of its beads.
    pub(super) fn says_why(&self) -> bool {
        self.beads.iter().any(|(_, _, placed)| placed.is_some_and(|placed| placed.why.is_some()))
    }

    /// Whether anything is said of what else its beads could be.
    pub(super) fn says_or(&self) -> bool {
        self.beads.iter().any(|(_, _, placed)| placed.is_some_and(|placed| placed.or.is_some()))
    }

    /// Where it is said of some beads what else they could be, the others could be nothing else: the file's grid has
    /// a character for every bead. A bead is never itself instead.
    pub(super) fn fill_or(&mut self) {
        if !self.says_or() {
            return;
        }
        let filled = |placed: Placed| match placed.or {
            Some(or) if or != Second::Bead(placed.mark) => placed,
            _ => Placed { or: Some(Second::Itself), ..placed },
        };
        self.beads = self.beads.map(|_, _, placed| placed.map(filled));
    }
}

/// One bead of a part.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Placed {
    /// What it is, by the figure's legend.
    pub mark: Mark,
    /// How settled it is; absent where nobody said.
    pub sure: Option<Sure>,
    /// Which detector set it, by [`super::Figure::why`]; absent where its window did, or a hand.
    pub why: Option<Mark>,
    /// What it could be instead; absent where nobody said.
    pub or: Option<Second>,
}

impl Placed {
    /// A bead of which no more is said than how settled it is.
    pub fn new(mark: Mark, sure: Option<Sure>) -> Self {
        Self { mark, sure, why: None, or: None }
    }
}

/// What a bead could be instead.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Second {
    /// Nothing that lies in the figure.
    Itself,
    /// An empty peg.
    Empty,
    /// Another bead of the figure's legend.
    Bead(Mark),
}

/// How settled a bead is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Sure {
    /// The tool's confidence, in the steps a figure file has.
    Likely(Step),
    /// Settled by the maker's hand.
    ByHand,
}

/// A step of confidence: tenths below 0.9, hundredths from there, since most beads are surer than that.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Step(u8);

/// Tenths that have a step of their own: 0.0 to 0.8.
const TENTHS: u8 = 9;

/// Hundredths that have one: 0.90 to 0.99.
const HUNDREDTHS: u8 = 10;

impl Step {
    /// The step a confidence lies in; its lower bound never claims more than the confidence.
    pub fn of(confidence: Confidence) -> Self {
        // A grain above, so that 0.93 is the step of 0.93 in spite of binary fractions.
        const GRAIN: f64 = 1e-9;
        let p = confidence.get() + GRAIN;
        let step = if p < 0.9 {
            (p * 10.0) as u8
        } else {
            TENTHS + ((p * 100.0) as u8).saturating_sub(90).min(HUNDREDTHS - 1)
        };
        Self(step)
    }

    /// The middle of the step.
    pub fn confidence(self) -> Confidence {
        Confidence::new(if self.0 < TENTHS {
            (f64::from(self.0) + 0.5) / 10.0
        } else {
            0.905 + f64::from(self.0 - TENTHS) / 100.0
        })
    }
}

impl Sure {
    /// Its character in a figure file: `0` to `8`, `A` to `J`, or `!`.
    pub fn character(self) -> char {
        match self {
            Self::ByHand => '!',
            Self::Likely(Step(step)) if step < TENTHS => char::from(b'0' + step),
            Self::Likely(Step(step)) => char::from(b'A' + step - TENTHS),
        }
    }

    /// What a character of a figure file says; nothing for any other.
    pub fn from_character(c: char) -> Option<Self> {
        match c {
            '!' => Some(Self::ByHand),
            '0'..='8' => Some(Self::Likely(Step(c as u8 - b'0'))),
            'A'..='J' => Some(Self::Likely(Step(c as u8 - b'A' + TENTHS))),
            _ => None,
        }
    }
}
