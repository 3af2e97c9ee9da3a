//! The cast in a line: every figure to one scale on one ground line beside the guide, on paper laid across.
//!
//! `lines.rs` shares figures out over lines, `links.rs` joins those that are too alike, `pages.rs` shares lines out over
//! pages and finds the scale, `draw.rs` puts it all down. Nothing is told by colour alone: heights, groups and likeness
//! are lines with words.

mod draw;
mod lines;
mod links;
mod pages;

use rayon::prelude::*;

use self::lines::Body;
use self::pages::Plan;
use super::drawing::Sheet;
use super::font::settable;
use super::kinds::figure_colours;
use super::layout::Paper;
use crate::cast::Pair;
use crate::error::Warning;
use crate::figure::Figure;
use crate::grid::Grid;
use crate::plan::{Build, BuildKind, Classes, HeightClass, Look, PlainBody};
use crate::tray::Tray;

/// This many figures stand on one page, unless they are uncommonly wide.
pub const ON_A_PAGE: usize = 60;

/// A figure of a line-up.
#[derive(Clone, Copy, Debug)]
pub struct Standee<'a> {
    /// The figure.
    pub figure: &'a Figure,
    /// What it is called.
    pub name: &'a str,
    /// Its group, by its place in [`Lineup::groups`].
    pub group: Option<usize>,
}

/// The figure that all others are measured against.
#[derive(Clone, Debug, PartialEq)]
pub struct Guide {
    /// What it is called.
    pub name: String,
    /// Where it has beads.
    pub beads: Grid<bool>,
}

impl Guide {
    /// The shape of the maker's own guide, else of the trade's.
    pub fn of(own: Option<&Figure>) -> Self {
        if let Some(own) = own {
            return Self { name: own.name().into(), beads: own.beads().map(|_, _, bead| bead.is_some()) };
        }
        let (zones, look) = (HeightClass::GUIDE.rows, Look::USUAL);
        let body = PlainBody::new(&zones, Build::of(BuildKind::Usual, &zones, look), look);
        Self { name: "the guide".into(), beads: body.beads().map(|_, _, bead| bead.is_some()) }
    }

    /// Rows from its crown to its sole.
    pub fn rows(&self) -> usize {
        let rows = || self.beads.iter().filter(|(_, _, bead)| **bead).map(|(row, _, _)| row.0);
        rows().max().zip(rows().min()).map_or(0, |(sole, crown)| sole - crown + 1)
    }
}

/// A line-up, before it is laid out.
#[derive(Clone, Debug)]
pub struct Lineup<'a> {
    /// What stands above it.
    pub title: &'a str,
    /// The figures, from the left.
    pub figures: Vec<Standee<'a>>,
    /// The guide; it stands at the head of every line.
    pub guide: &'a Guide,
    /// The heights to draw lines at.
    pub classes: &'a Classes,
    /// The names of the groups.
    pub groups: Vec<&'a str>,
    /// Whether those of one group stand together, and one bracket names them.
    pub by_group: bool,
    /// Figures too alike to be told apart, by their places.
    pub pairs: &'a [Pair],
    /// The paper.
    pub paper: Paper,
    /// Whether a single page is no larger than what stands on it: a picture, not a page to print.
    pub trimmed: bool,
}

/// Lays a line-up out; the same figures give the same sheet. Its warnings say which beads the tray lacks and which
/// letters cannot be set.
pub fn build_lineup(lineup: &Lineup, tray: &Tray) -> Sheet {
    let bodies: Vec<Body> =
        lineup.figures.par_iter().map(|one| Body::of(&figure_colours(one.figure, tray))).collect();
    let guide = Body::of(&lineup.guide.beads.map(|_, _, bead| bead.then_some(draw::GHOST)));
    let names: Vec<String> = lineup.figures.iter().map(|one| settable(one.name).0).collect();
    let plan = Plan::new(lineup, names, bodies, guide);
    let mut sheet = draw::sheet(&plan);
    sheet.warnings = warnings(lineup, tray);
    sheet
}

fn warnings(lineup: &Lineup, tray: &Tray) -> Vec<Warning> {
    let owned: std::collections::HashSet<&str> = tray.iter().map(|(_, bead)| bead.name.as_str()).collect();
    let mut lacking = std::collections::BTreeSet::new();
    let mut warnings = Vec::new();
    for one in &lineup.figures {
        let shows =
            |mark| one.figure.beads().iter().any(|(_, _, bead)| bead.is_some_and(|bead| bead.mark == mark));
        let missing = one.figure.legend().iter().filter(|entry| !owned.contains(entry.bead.as_str()));
        lacking.extend(missing.filter(|entry| shows(entry.mark)).map(|entry| entry.bead.clone()));
        let (shown, lacks) = settable(one.name);
        warnings.extend(lacks.then(|| Warning::LettersLacking { text: one.name.into(), shown }));
    }
    if !lacking.is_empty() {
        warnings.push(Warning::NotInTray { beads: lacking.into_iter().collect() });
    }
    warnings
}
