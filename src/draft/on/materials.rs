//! What each material of a drawing in wax or pencil is, with the older figure saying where one ends.
//!
//! Strokes of several waxes, thinly laid, pass for one colour of the drawing, and strokes of one for several. The older
//! figure knows which pegs are of one thing: their pixels, read together, say which wax that is, and windows that lead
//! another way from the paper are none of it.

use std::collections::{BTreeMap, BTreeSet};

use super::laid::{Cell, Laid};
use super::windows::place;
use crate::colour::{Lab, ciede2000};
use crate::draft::Draft;
use crate::figure::Mark;
use crate::reference::Cover;
use crate::reference::middle::median;
use crate::sample::{Cluster, WaxMarks};
use crate::tray::{BeadId, Tray};

/// Windows of one wax lie no farther apart than this, in CIEDE2000 at the same strength.
const ONE_WAX: f64 = 10.0;

/// What lies beside a material is of it where it lies no farther off than this.
const GOES_ON: f64 = 5.0;

/// What goes on beside a material is at least this strong beside it.
const AS_STRONG: f64 = 0.5;

/// The older figure's bead stays where it lies no more than this farther from the wax than the nearest does, in CIEDE2000
/// and what a cover of the paper costs: dark waxes, thinly laid, come out a step or two too light.
const STAYS: f64 = 6.0;

/// Part of a window's side that is left out at each end: outlines lie there.
const RIM: f64 = 0.2;

/// Fewer pixels than these lead no way.
const LEAST_PIXELS: usize = 30;

/// A region's material is that of at least this much of it.
const MOST: f64 = 0.5;

/// The materials of a drawing in strokes; none of any other.
pub(super) struct Materials {
    colours: Vec<Cluster>,
    beads: BTreeMap<Cell, (usize, BeadId)>,
}

impl Materials {
    /// Reads the materials of the places where something lies.
    pub fn of(draft: &Draft, laid: &Laid, spots: &BTreeSet<Cell>, tray: &Tray) -> Self {
        if !draft.samples.is_stroked() {
            return Self { colours: Vec::new(), beads: BTreeMap::new() };
        }
        let strokes = Strokes::of(draft, spots);
        let mut of_mark: BTreeMap<Mark, Vec<Cell>> = BTreeMap::new();
        for (spot, old) in &laid.beads {
            of_mark.entry(old.mark).or_default().push(*spot);
        }
        // What is one thing in the older figure is read as one; a region of it that is another thing now by itself.
        let groups = of_mark.into_values().chain(laid.regions.iter().cloned());
        let (mut found, mut of): (Vec<Wax>, BTreeMap<Cell, usize>) = (Vec::new(), BTreeMap::new());
        for group in groups {
            let open: Vec<Cell> = group.into_iter().filter(|spot| !of.contains_key(spot)).collect();
            let Some((marks, members)) = strokes.material(&open) else { continue };
            let Some(bead) = bead_of(&marks, laid.beads[&open[0]].bead, tray) else { continue };
            of.extend(members.into_iter().map(|spot| (spot, found.len())));
            found.push(Wax { marks, bead });
        }
        for (spot, window) in strokes.windows.iter().filter(|(spot, _)| spots.contains(spot)) {
            let near = || found.iter().enumerate().filter_map(|(at, wax)| Some((wax.beside(window)?, at)));
            if let (false, Some((_, at))) = (of.contains_key(spot), near().min_by(|a, b| a.0.total_cmp(&b.0)))
            {
                of.insert(*spot, at);
            }
        }
        let mut colours: Vec<Cluster> = found.iter().map(Wax::colour).collect();
        for (spot, at) in &of {
            colours[*at].pixels += strokes.windows.get(spot).map_or(0, |window| window.pixels.len());
        }
        let beads = of.into_iter().map(|(spot, at)| (spot, (at, found[at].bead))).collect();
        Self { colours, beads }
    }

    /// The material of a place, and its bead.
    pub fn at(&self, spot: Cell) -> Option<(usize, BeadId)> {
        self.beads.get(&spot).copied()
    }

    /// The colours of the materials.
    pub fn into_colours(self) -> Vec<Cluster> {
        self.colours
    }
}

struct Wax {
    marks: WaxMarks,
    bead: BeadId,
}

impl Wax {
    /// How far a window lies off; none where it is none of this wax.
    fn beside(&self, window: &Window) -> Option<f64> {
        let marks = window.marks.as_ref()?;
        let apart = self.marks.apart(marks);
        (apart <= GOES_ON && self.marks.strength_beside(marks) >= AS_STRONG).then_some(apart)
    }

    /// As a colour of the drawing, its pixels not counted yet.
    fn colour(&self) -> Cluster {
        Cluster { colour: self.marks.wax(), pixels: 0, spread: 0.0, possible: self.marks.possible() }
    }
}

/// The bead of a wax: the older figure's where it may stay, else the nearest.
fn bead_of(marks: &WaxMarks, older: Option<BeadId>, tray: &Tray) -> Option<BeadId> {
    let possible = marks.possible();
    let aims: Vec<Lab> = possible.iter().map(|p| p.colour).collect();
    let far = |apart: &[f64]| {
        let far = possible.iter().zip(apart).map(|(p, apart)| p.cost + apart);
        far.fold(f64::INFINITY, f64::min)
    };
    let (nearest, least) = tray.nearest_by(&aims, far, 1).first().copied()?;
    let stays = |own: &BeadId| {
        let lab = tray.bead(*own).lab;
        let apart: Vec<f64> = aims.iter().map(|aim| ciede2000(*aim, lab).0).collect();
        far(&apart) <= least.0 + STAYS
    };
    Some(older.filter(stays).unwrap_or(nearest))
}

/// The marks in the middle of a window.
struct Window {
    pixels: Vec<Lab>,
    marks: Option<WaxMarks>,
}

/// The strokes of a drawing, window by window, on their paper.
struct Strokes {
    windows: BTreeMap<Cell, Window>,
    paper: Lab,
}

impl Strokes {
    fn of(draft: &Draft, spots: &BTreeSet<Cell>) -> Self {
        let paper = paper_of(draft);
        let window = |spot: &Cell| {
            let pixels = pixels_of(draft, *spot)?;
            let marks = WaxMarks::of(&pixels, paper);
            (pixels.len() >= LEAST_PIXELS).then_some((*spot, Window { pixels, marks }))
        };
        Self { windows: spots.iter().filter_map(window).collect(), paper }
    }

    /// The material of some places and those of them that are of it; none where they are of no one material.
    fn material(&self, group: &[Cell]) -> Option<(WaxMarks, Vec<Cell>)> {
        /// By then nothing changes in practice.
        const ROUNDS: usize = 3;
        let seen: Vec<Cell> = group.iter().copied().filter(|spot| self.windows.contains_key(spot)).collect();
        if seen.is_empty() || (seen.len() as f64) < MOST * group.len() as f64 {
            return None;
        }
        let mut members = seen.clone();
        let mut marks = self.marks_of(&members)?;
        for _ in 0..ROUNDS {
            let is_of_it = |spot: &Cell| {
                self.windows[spot].marks.as_ref().is_some_and(|own| own.apart(&marks) <= ONE_WAX)
            };
            let next: Vec<Cell> = seen.iter().copied().filter(is_of_it).collect();
            if next.is_empty() || next == members {
                break;
            }
            members = next;
            marks = self.marks_of(&members)?;
        }
        (members.len() as f64 >= MOST * seen.len() as f64).then_some((marks, members))
    }

    fn marks_of(&self, spots: &[Cell]) -> Option<WaxMarks> {
        let pixels: Vec<Lab> =
            spots.iter().flat_map(|spot| self.windows[spot].pixels.iter().copied()).collect();
        WaxMarks::of(&pixels, self.paper)
    }
}

/// The middle of a window, as far as it is the figure's.
fn pixels_of(draft: &Draft, spot: Cell) -> Option<Vec<Lab>> {
    let (row, column) = place(spot)?;
    let window = draft.samples.lattice().window(row, column);
    let (colours, cover) = (draft.reference.colours(), draft.reference.cover());
    let (high, wide) = colours.dim();
    let range = |start: f64, length: f64, most: usize| {
        let (first, last) = (start + RIM * length, start + (1.0 - RIM) * length);
        (first.round().max(0.0) as usize)..(last.round().clamp(0.0, most as f64) as usize)
    };
    let across = range(window.x, window.width, wide);
    let places = range(window.y, window.height, high).flat_map(|y| across.clone().map(move |x| (y, x)));
    Some(places.filter(|at| cover[*at] == Cover::Subject).map(|at| colours[at]).collect())
}

/// The paper's own colour.
fn paper_of(draft: &Draft) -> Lab {
    let (colours, cover) = (draft.reference.colours(), draft.reference.cover());
    let ground =
        || colours.iter().zip(cover).filter(|(_, c)| **c != Cover::Subject).map(|(colour, _)| colour);
    let middle = |of: fn(&Lab) -> f64| median(ground().map(of).collect());
    Lab::new(middle(|c| c.l), middle(|c| c.a), middle(|c| c.b))
}
