//! A figure as sheets and pictures see it: kinds of bead, each with a colour, a mark that can be printed
//! and its count.

use std::collections::BTreeSet;

use super::font::{Face, settable};
use crate::colour::{Lab, Srgb};
use crate::error::Warning;
use crate::figure::{Figure, LegendEntry, Mark};
use crate::grid::Grid;
use crate::plan::ZoneRows;
use crate::tray::Tray;

/// For a bead that is not in the tray and that no picture asked for.
const UNKNOWN: Srgb = Srgb::new(128, 128, 128);

/// One kind of bead of a figure.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Kind {
    /// The mark as it is printed.
    pub mark: char,
    /// The bead's name, in letters of the font.
    pub name: String,
    /// Its colour on a screen.
    pub colour: Srgb,
    /// How many show; at least 1.
    pub count: usize,
}

/// A figure's beads by kind.
#[derive(Clone, Debug)]
pub(super) struct Kinds {
    /// The figure's name, in letters of the font.
    pub name: String,
    /// Which kind stands at each peg.
    pub beads: Grid<Option<usize>>,
    /// The kinds that show, in the legend's order.
    pub kinds: Vec<Kind>,
    /// Rows by zone.
    pub zones: Option<ZoneRows>,
}

/// The colour of each bead of a figure; of a bead the tray lacks, the colour the reference asked for.
pub fn figure_colours(figure: &Figure, tray: &Tray) -> Grid<Option<Srgb>> {
    figure.beads().map(|_, _, placed| {
        placed.map(|placed| figure.entry(placed.mark).map_or(UNKNOWN, |entry| colour(entry, tray)))
    })
}

fn colour(entry: &LegendEntry, tray: &Tray) -> Srgb {
    let owned = tray.find(&entry.bead).map(|bead| tray.bead(bead).lab);
    owned.or(entry.aim).map_or(UNKNOWN, Lab::srgb)
}

impl Kinds {
    /// A figure's kinds, and what of it cannot be printed as it is.
    pub fn of(figure: &Figure, tray: &Tray) -> (Self, Vec<Warning>) {
        let mut warnings = Vec::new();
        let counts: Vec<_> = figure.counts().into_iter().filter(|(_, count)| *count > 0).collect();
        let marks: Vec<Mark> = counts.iter().map(|(entry, _)| entry.mark).collect();
        let mut taken: BTreeSet<char> = marks.iter().map(|mark| mark.get()).collect();
        let mut kinds = Vec::new();
        for &(entry, count) in &counts {
            let name = printable(&entry.bead, &mut warnings);
            let mark = printable_mark(entry, &mut taken, &mut warnings);
            kinds.push(Kind { mark, name, colour: colour(entry, tray), count });
        }
        let unknown = counts.iter().map(|(entry, _)| &entry.bead).filter(|bead| tray.find(bead).is_none());
        let unknown: BTreeSet<&String> = unknown.collect();
        if !unknown.is_empty() {
            warnings.push(Warning::NotInTray { beads: unknown.into_iter().cloned().collect() });
        }
        let place = |mark: Mark| marks.iter().position(|other| *other == mark);
        let beads = figure.beads().map(|_, _, placed| placed.and_then(|placed| place(placed.mark)));
        let name = printable(figure.name(), &mut warnings);
        (Self { name, beads, kinds, zones: figure.rows().copied() }, warnings)
    }

    /// How many beads show in all.
    pub fn total(&self) -> usize {
        self.kinds.iter().map(|kind| kind.count).sum()
    }

    /// The colour of each bead.
    pub fn colours(&self) -> Grid<Option<Srgb>> {
        self.beads.map(|_, _, kind| kind.map(|kind| self.kinds[kind].colour))
    }
}

/// A name in letters of the font, a boundless one cut; what is lacking is said.
fn printable(name: &str, warnings: &mut Vec<Warning>) -> String {
    /// Longer than any name that is read, short enough to stand in every run of a large figure.
    const LONGEST: usize = 60;
    let mut name: String = name.into();
    if let Some((end, _)) = name.char_indices().nth(LONGEST) {
        name.truncate(end);
        name.push('…');
    }
    let (shown, lacking) = settable(&name);
    if lacking {
        warnings.push(Warning::LettersLacking { text: name, shown: shown.clone() });
    }
    shown
}

/// A mark the font has; another free one, and a word about it, where it does not.
fn printable_mark(entry: &LegendEntry, taken: &mut BTreeSet<char>, warnings: &mut Vec<Warning>) -> char {
    let mark = entry.mark.get();
    if Face::Bold.has(mark) {
        return mark;
    }
    let further = Mark::ORDER.chars().chain('\u{00C0}'..='\u{024F}');
    let free = further.filter(|&c| Face::Bold.has(c)).find(|c| !taken.contains(c));
    let shown = free.unwrap_or(super::font::MISSING);
    taken.insert(shown);
    warnings.push(Warning::MarkLacking { mark, bead: entry.bead.clone(), shown });
    shown
}
