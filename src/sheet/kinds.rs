//! A figure as sheets and pictures see it: kinds of bead, each with a colour, a mark that can be printed
//! and its count.

use std::collections::{BTreeMap, BTreeSet};
use std::ops::Range;

use super::font::{Face, settable};
use crate::colour::{Lab, Srgb};
use crate::error::Warning;
use crate::figure::{Figure, LegendEntry, Mark};
use crate::grid::Grid;
use crate::plan::ZoneRows;
use crate::scene::Scene;
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
    /// How many the tray has, where it counts them.
    pub owned: Option<usize>,
    /// Whether the tray lists it.
    pub in_tray: bool,
}

impl Kind {
    /// Its name for a list: with how many are short, where the tray has too few or none.
    pub fn listed(&self) -> String {
        if !self.in_tray {
            return format!("{}, not in the tray", self.name);
        }
        match self.owned.map_or(0, |owned| self.count.saturating_sub(owned)) {
            0 => self.name.clone(),
            short => format!("{}, {short} short", self.name),
        }
    }
}

/// A figure's place on a board it may share.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Place {
    /// Its name, in letters of the font.
    pub name: String,
    /// The columns that are its own.
    pub columns: Range<usize>,
}

/// The beads of a figure by kind, or of several that stand side by side.
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
    /// Each figure, from the left; at least one.
    pub figures: Vec<Place>,
}

/// The colour of each bead of a figure; of a bead the tray lacks, the colour the reference asked for.
pub fn figure_colours(figure: &Figure, tray: &Tray) -> Grid<Option<Srgb>> {
    let of_legend: BTreeMap<Mark, Srgb> =
        figure.legend().iter().map(|entry| (entry.mark, colour(entry, tray))).collect();
    figure
        .beads()
        .map(|_, _, placed| placed.map(|placed| of_legend.get(&placed.mark).copied().unwrap_or(UNKNOWN)))
}

/// The colour of each bead of a scene, over all boards; of a bead the tray lacks, the colour its reference asked for.
pub(super) fn scene_colours(scene: &Scene, tray: &Tray) -> Grid<Option<Srgb>> {
    let of_legend: Vec<Srgb> = scene.legend().iter().map(|entry| colour(entry, tray)).collect();
    scene.shown().map(|_, _, shown| shown.map(|shown| of_legend[shown.kind]))
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
            let own = tray.find(&entry.bead);
            let owned = own.and_then(|bead| tray.bead(bead).count).map(|owned| owned as usize);
            let in_tray = own.is_some();
            kinds.push(Kind { mark, name, colour: colour(entry, tray), count, owned, in_tray });
        }
        let unknown = counts.iter().map(|(entry, _)| &entry.bead).filter(|bead| tray.find(bead).is_none());
        let unknown: BTreeSet<&String> = unknown.collect();
        if !unknown.is_empty() {
            warnings.push(Warning::NotInTray { beads: unknown.into_iter().cloned().collect() });
        }
        let place = |mark: Mark| marks.iter().position(|other| *other == mark);
        let beads = figure.beads().map(|_, _, placed| placed.and_then(|placed| place(placed.mark)));
        let name = printable(figure.name(), &mut warnings);
        let figures = vec![Place { name: name.clone(), columns: 0..beads.columns() }];
        (Self { name, beads, kinds, zones: figure.rows().copied(), figures }, warnings)
    }

    /// Figures side by side, their first rows level, this many empty columns between them. Their marks are one set
    /// ([`share_marks`]).
    pub fn beside(figures: &[Self], gap: usize) -> Self {
        let (mut places, mut kinds, mut end) = (Vec::new(), Vec::<Kind>::new(), 0);
        let mut beads: BTreeMap<(usize, usize), usize> = BTreeMap::new();
        for figure in figures {
            let first = if places.is_empty() { 0 } else { end + gap };
            end = first + figure.beads.columns();
            places.push(Place { name: figure.name.clone(), columns: first..end });
            for (row, column, kind) in figure.beads.iter() {
                let Some(own) = kind.and_then(|kind| figure.kinds.get(kind)) else { continue };
                let at = kinds.iter().position(|kind| kind.mark == own.mark).unwrap_or(kinds.len());
                match kinds.get_mut(at) {
                    Some(kind) => kind.count += 1,
                    None => kinds.push(Kind { count: 1, ..own.clone() }),
                }
                beads.insert((row.0, first + column.0), at);
            }
        }
        let rows = figures.iter().map(|figure| figure.beads.rows()).max().unwrap_or(0);
        let names: Vec<&str> = figures.iter().map(|figure| figure.name.as_str()).collect();
        Self {
            name: names.join(" · "),
            beads: Grid::from_fn(rows, end, |row, column| beads.get(&(row.0, column.0)).copied()),
            kinds,
            zones: None,
            figures: places,
        }
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

/// Marks that are taken for one another in print, each line by its first (common practice, no source).
const ALIKE: [&str; 2] = ["l1I|ǀΙІӀ", "O0ΟО"];

/// What a mark is read as: one of those it looks like stands for them all.
fn read_as(mark: char) -> char {
    let alike = ALIKE.iter().find(|alike| alike.contains(mark));
    alike.and_then(|alike| alike.chars().next()).unwrap_or(mark)
}

/// Gives a bead one mark on all figures, and each mark to one bead, none of them like another; the first figure that has
/// them decides.
pub(super) fn share_marks(figures: &mut [Kinds]) {
    let (mut known, mut taken) = (BTreeMap::new(), BTreeSet::new());
    // A bead that needs another mark takes none that a later bead has.
    let kept: BTreeSet<char> =
        figures.iter().flat_map(|figure| &figure.kinds).map(|kind| read_as(kind.mark)).collect();
    for kind in figures.iter_mut().flat_map(|figure| &mut figure.kinds) {
        let Srgb { r, g, b } = kind.colour;
        // What the tray lacks may have one name and two colours.
        let mark = known.entry((kind.name.clone(), [r, g, b])).or_insert_with(|| {
            let further = Mark::ORDER.chars().chain('\u{00C0}'..='\u{024F}');
            let unused = further.clone().filter(|&c| !kept.contains(&read_as(c)));
            let candidates = std::iter::once(kind.mark).chain(unused).chain(further);
            let mut candidates = candidates.filter(|&c| Face::Bold.has(c));
            let free = candidates.find(|c| !taken.contains(&read_as(*c))).unwrap_or(super::font::MISSING);
            taken.insert(read_as(free));
            free
        });
        kind.mark = *mark;
    }
}

/// A name in letters of the font, a boundless one cut; what is lacking is said.
pub(super) fn printable(name: &str, warnings: &mut Vec<Warning>) -> String {
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

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_list_says_what_is_short() {
        let kind = |count, owned| Kind {
            mark: 'c',
            name: "coal".into(),
            colour: UNKNOWN,
            count,
            owned,
            in_tray: true,
        };
        assert_eq!(kind(9, Some(4)).listed(), "coal, 5 short");
        assert_eq!(kind(9, Some(9)).listed(), "coal");
        assert_eq!(kind(9, None).listed(), "coal");
        assert_eq!(Kind { in_tray: false, ..kind(9, None) }.listed(), "coal, not in the tray");
    }
}
