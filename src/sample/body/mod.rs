//! A sketch in its own proportions brought to the plan of the figure's class.
//!
//! Most references never lay on a grid of beads. There a lattice gains nothing: the plan gives the rows of each
//! zone and the widths of a build, the drawing gives where the zones begin and end and what colours they have.
//! Landmarks come from outline and colour (`landmarks`), each row is divided into the body's beads and what
//! lies beside them (`columns`; legs that walk as they are drawn, `stride`), shaded sides join their garments
//! (`flat`), signs smaller than a bead keep one (`signs`), a pole stands in one column (`poles`), a face has its
//! eyes and its mouth (`face`) or its glasses (`glasses`), and what the drawing joins is joined side to side (`join`).

mod buttons;
mod columns;
mod face;
mod flat;
mod glasses;
mod head;
mod join;
mod landmarks;
mod pale;
mod poles;
mod signs;
mod silhouette;
mod skin;
mod socks;
mod stride;
mod vivid;

use std::collections::{BTreeMap, BTreeSet};

use ndarray::Array2;

pub use landmarks::Sighted;

use crate::colour::Lab;
use crate::grid::Grid;
use crate::plan::{Marks, Measured, Zone, ZoneRows};
use crate::reference::ground::middle_colour;
use crate::reference::{Area, Reference, Step};
use crate::sample::labels::{GROUND, Labels};
use crate::sample::lattice::{Lattice, Proportions, Raised};
use crate::sample::reduce::{colours_by_share, weighed_shares};
use crate::sample::thin;
use crate::sample::{BeadSample, Cluster, Share, Supposed};
use crate::units::{Column, Row};
use columns::Stretch;
use landmarks::Landmarks;
use signs::{Drawn, Peg, Sign};
use silhouette::Silhouette;

/// A body brought to its plan.
pub(crate) struct Body {
    pub labels: Labels,
    pub lattice: Lattice,
    pub beads: Grid<BeadSample>,
    pub landmarks: Vec<Sighted>,
    pub measured: Measured,
    /// The plan, with the rows of what is above the head.
    pub zones: ZoneRows,
}

/// A bead outside the body's own needs this share of its window.
const COVERED: f64 = 0.5;

/// A bead of the body takes the colour that covers at least so much of its window.
const SHOWS: f64 = 0.3;

/// Brings a body to the plan; what is supposed is heard where the maker said nothing. None where nothing is drawn.
pub(crate) fn read(
    reference: &Reference,
    labels: Labels,
    (zones, raised): (&ZoneRows, Raised),
    marks: Option<&Marks>,
    supposed: &Supposed,
) -> Option<Body> {
    let mut labels = labels;
    let first = Silhouette::of(&labels.plane, zones.total())?;
    // Where a picture is clear nothing is drawn, pale cloth neither.
    let clear = reference.step() == Step::CutOut;
    if !clear {
        pale::open_frames(&mut labels, reference, first.pitch);
        pale::clear_halos(&mut labels, reference);
    }
    thin::keep(&mut labels, reference);
    if !clear {
        pale::clear_ground(&mut labels, reference, first.bottom, first.pitch);
        socks::fill(&mut labels, reference, first.bottom, first.pitch);
        let first = Silhouette::of(&labels.plane, zones.total())?;
        pale::keep_cloth(&mut labels, reference, first.axis, first.pitch);
    }
    flat::join_shades(&mut labels);
    let told = supposed.marks_with(marks);
    let Stance { outline, found, zones } =
        Stance::of(&labels.plane, (zones, raised), told.as_ref().or(marks), reference)?;
    let zones = &zones;
    let lines = found.row_lines(zones);
    let columns = columns::lay(&labels.plane, &outline, &found, zones, &lines, supposed.build);
    let pale_is_cloth = |row| !clear && is_closed(zones, row, columns.legs_seen);
    let mut reading = Reading::new(labels, zones, &lines, &columns.rows, pale_is_cloth);
    reading.take_signs(outline.pitch);
    reading.settle_lone_beads();
    reading.give_feet_one_colour();
    reading.give_legs_one_colour();
    reading.take_fair_face(reference);
    let (skin, kin) = (reading.skin(), reading.skins());
    let buttons = reading.find_buttons(reference, outline.pitch);
    vivid::strengthen(&mut reading.labels, skin, &kin);
    reading.take_buttons(buttons);
    reading.take_eyes(reference);
    reading.take_one_skin();
    reading.take_dark_shoes(skin);
    reading.take_pale_cloth(reference);
    reading.join_what_is_joined(&outline);
    let proportions = if marks.is_some() { Proportions::MarksGiven } else { Proportions::MarksGuessed };
    let (lattice, beads) = reading.finish(outline.pitch, proportions);
    Some(Body {
        labels: reading.labels,
        lattice,
        beads,
        landmarks: found.sighted(),
        measured: columns.measured,
        zones: *zones,
    })
}

/// Where a body stands, and the plan with rows for what it has above its head.
struct Stance {
    outline: Silhouette,
    found: Landmarks,
    zones: ZoneRows,
}

impl Stance {
    fn of(
        plane: &Array2<u8>,
        (zones, raised): (&ZoneRows, Raised),
        told: Option<&Marks>,
        reference: &Reference,
    ) -> Option<Self> {
        let outline = Silhouette::of(plane, zones.total())?;
        let find = |outline: &Silhouette, zones| landmarks::find(plane, outline, zones, told, reference);
        let found = find(&outline, zones);
        let above = match raised {
            Raised::GetsRows => found.rows_above_head(&outline, zones),
            Raised::LeftOut => 0,
        };
        let Some(taller) = (above > 0).then(|| zones.raised(above)).flatten() else {
            return Some(Self { outline, found, zones: *zones });
        };
        let outline = Silhouette::of(plane, taller.total())?;
        let found = find(&outline, zones).raised_to(outline.top, zones);
        Some(Self { outline, found, zones: taller })
    }
}

/// Beads on their way to the figure, by row and column from the axis.
struct Reading<'a> {
    labels: Labels,
    lines: &'a [f64],
    rows: &'a [Vec<Stretch>],
    zones: &'a ZoneRows,
    /// The label each bead takes; [`GROUND`] where cloth as pale as the ground must lie.
    colours: BTreeMap<Peg, u8>,
    shares: BTreeMap<Peg, Vec<f64>>,
    /// Beads set for something smaller than their windows, each with how much speaks for it.
    signs: BTreeMap<Peg, f64>,
}

impl<'a> Reading<'a> {
    fn new(
        labels: Labels,
        zones: &'a ZoneRows,
        lines: &'a [f64],
        rows: &'a [Vec<Stretch>],
        pale_is_cloth: impl Fn(usize) -> bool,
    ) -> Self {
        let mut shares = BTreeMap::new();
        let mut colours = BTreeMap::new();
        for (row, stretches) in rows.iter().enumerate() {
            for stretch in stretches {
                let seen = weighed_shares(&labels, window(lines, row, *stretch));
                let cover = 1.0 - seen[usize::from(GROUND)];
                let (label, share) = most(&seen);
                let peg = (row, stretch.column);
                if share > 0.0 && (cover >= COVERED || share >= SHOWS && is_body(zones, row, *stretch)) {
                    colours.insert(peg, label);
                } else if is_body(zones, row, *stretch) && pale_is_cloth(row) && is_inner(stretches, *stretch)
                {
                    colours.insert(peg, GROUND);
                }
                shares.insert(peg, seen);
            }
        }
        Self { labels, lines, rows, zones, colours, shares, signs: BTreeMap::new() }
    }

    fn take_signs(&mut self, pitch: f64) {
        let feet = self
            .zones
            .spans()
            .find(|(zone, ..)| *zone == Zone::Feet)
            .map_or(self.rows.len(), |(_, first, _)| first);
        let drawn = Drawn { lines: self.lines, rows: self.rows, colours: &self.colours, pitch };
        let signs = signs::find(&self.labels, &drawn, feet);
        signs.into_iter().for_each(|(peg, sign)| self.set(peg, sign));
    }

    /// Rows of buttons on the trunk; not among strokes, where specks of paper are as bright.
    fn find_buttons(&self, reference: &Reference, pitch: f64) -> Vec<buttons::Buttons> {
        let torso = self.zones.spans().find(|(zone, ..)| *zone == Zone::Torso);
        let Some((_, first, rows)) = torso.filter(|_| !self.labels.stroked) else { return Vec::new() };
        let drawn = Drawn { lines: self.lines, rows: self.rows, colours: &self.colours, pitch };
        buttons::find(reference.colours(), &self.labels, &drawn, first..first + rows)
    }

    fn take_buttons(&mut self, found: Vec<buttons::Buttons>) {
        for buttons in found {
            let label = self.add_colour(vivid::metal(buttons.colour), buttons.pegs.len());
            for peg in buttons.pegs {
                if self.colours.contains_key(&peg) {
                    self.set(peg, Sign { label, stands: buttons.stands });
                }
            }
        }
    }

    /// Sets a sign as a whole bead.
    fn set(&mut self, peg: Peg, sign: Sign) {
        self.colours.insert(peg, sign.label);
        self.signs.insert(peg, sign.stands);
    }

    /// A bead that nothing beside it agrees with, amid three that agree, is a blot.
    fn settle_lone_beads(&mut self) {
        const AGREEING: usize = 3;
        let body =
            self.zones.spans().find(|(zone, ..)| *zone >= Zone::Torso).map_or(0, |(_, first, _)| first);
        let lone: Vec<(Peg, u8)> = self
            .colours
            .iter()
            .filter(|(peg, _)| peg.0 >= body && !self.signs.contains_key(peg))
            .filter_map(|(&(row, column), own)| {
                let beside =
                    [(row, column - 1), (row, column + 1), (row.wrapping_sub(1), column), (row + 1, column)];
                let near: Vec<u8> = beside.iter().filter_map(|peg| self.colours.get(peg).copied()).collect();
                let other =
                    near.iter().copied().find(|n| near.iter().filter(|m| *m == n).count() >= AGREEING)?;
                (!near.contains(own)).then_some(((row, column), other))
            })
            .collect();
        self.colours.extend(lone);
    }

    /// Feet are one row of one colour.
    fn give_feet_one_colour(&mut self) {
        let Some((_, first, _)) = self.zones.spans().find(|(zone, ..)| *zone == Zone::Feet) else { return };
        let feet = || self.colours.iter().filter(|(peg, label)| stands(peg, first) && **label != GROUND);
        let mut counts: BTreeMap<u8, usize> = BTreeMap::new();
        feet().for_each(|(_, label)| *counts.entry(*label).or_default() += 1);
        let Some((label, _)) =
            counts.into_iter().max_by_key(|(label, count)| (*count, std::cmp::Reverse(*label)))
        else {
            return;
        };
        let pegs: Vec<Peg> = feet().map(|(peg, _)| *peg).collect();
        self.colours.extend(pegs.into_iter().map(|peg| (peg, label)));
    }

    /// Of legs that walk the farther one lies in shade: both are one pair of trousers or of bare legs.
    fn give_legs_one_colour(&mut self) {
        /// The lesser colour has at least this part of the legs' beads; less is a patch.
        const PART: f64 = 0.15;
        let legs = self.zones.spans().find(|(zone, ..)| *zone == Zone::Legs);
        let Some((_, first, rows)) = legs else { return };
        let is_leg = |peg: &Peg| (first..first + rows).contains(&peg.0);
        let mut counts: BTreeMap<u8, usize> = BTreeMap::new();
        let beads = self.colours.iter().filter(|(peg, label)| is_leg(peg) && **label != GROUND);
        beads.for_each(|(_, label)| *counts.entry(*label).or_default() += 1);
        let all = counts.values().sum::<usize>() as f64;
        let mut order: Vec<(u8, usize)> = counts.into_iter().collect();
        order.sort_by_key(|&(label, count)| (std::cmp::Reverse(count), label));
        let [(main, _), (other, count), ..] = order[..] else { return };
        let colour = |label: u8| self.labels.clusters[usize::from(label) - 1].colour;
        // A bare leg under a skirt is none of it.
        let skins = self.skins();
        if skins.contains(&main) != skins.contains(&other) {
            return;
        }
        if (count as f64) < PART * all || !flat::is_shade(colour(main), colour(other)) {
            return;
        }
        let shaded = self.colours.iter_mut().filter(|(peg, label)| is_leg(peg) && **label == other);
        shaded.for_each(|(_, label)| *label = main);
    }

    /// The label most of the face's middle has.
    fn skin(&self) -> Option<u8> {
        let row = face::eye_row(self.zones)?;
        let middle = [row, row + 1].into_iter().flat_map(|row| (-1..=1).map(move |column| (row, column)));
        let seen: Vec<u8> =
            middle.filter_map(|peg| self.colours.get(&peg).copied()).filter(|l| *l != GROUND).collect();
        seen.iter().copied().max_by_key(|l| (seen.iter().filter(|m| *m == l).count(), std::cmp::Reverse(*l)))
    }

    /// The labels that are skin: those of the face's rows that can be, and those that are their kin.
    fn skins(&self) -> BTreeSet<u8> {
        /// A label of fewer beads there has none.
        const FEW: usize = 2;
        // Strokes are all as faint as skin.
        let row = face::eye_row(self.zones).filter(|_| !self.labels.stroked);
        let Some(row) = row else { return BTreeSet::new() };
        let face = (row - 1..=row + 2).flat_map(|row| (-2..=2).map(move |column| (row, column)));
        let mut counts: BTreeMap<u8, usize> = BTreeMap::new();
        let seen = face.filter_map(|peg| self.colours.get(&peg).copied()).filter(|label| *label != GROUND);
        seen.for_each(|label| *counts.entry(label).or_default() += 1);
        let colour = |label: u8| self.labels.clusters[usize::from(label) - 1].colour;
        let faces: Vec<Lab> = counts
            .iter()
            .filter(|(_, n)| **n >= FEW)
            .map(|(l, _)| colour(*l))
            .filter(|c| face::is_skin(*c))
            .collect();
        let all = 1..=self.labels.clusters.len() as u8;
        all.filter(|&label| faces.iter().any(|face| vivid::is_kin(*face, colour(label)))).collect()
    }

    fn take_eyes(&mut self, reference: &Reference) {
        let Some(skin) = self.skin() else { return };
        let colour = self.labels.clusters[usize::from(skin) - 1].colour;
        let Some(eyes) = face::find_eyes(reference, self.zones, self.lines, self.rows, Some(colour)) else {
            return;
        };
        let label = self.add_colour(eyes.colour, face::EYES.len());
        // Hair beside the nose in both rows: a face seen from the side shows one eye.
        let may_be_skin = |label: &u8| {
            *label == skin
                || *label != GROUND && skin::may_be_skin(self.labels.clusters[usize::from(*label) - 1].colour)
        };
        let is_face = |column: i32| {
            [eyes.row, eyes.row + 1].iter().any(|row| self.colours.get(&(*row, column)).is_some_and(may_be_skin))
        };
        let seen = face::EYES.map(is_face);
        let sides = face::EYES.into_iter().zip(seen).filter(|(_, is_seen)| *is_seen || !seen.contains(&true));
        let sides: Vec<i32> = sides.map(|(column, _)| column).collect();
        for column in sides {
            self.set((eyes.row, column), Sign { label, stands: eyes.stands });
        }
        // Hair over the nose would join the eyes.
        self.colours.insert((eyes.row, 0), skin);
        self.take_glasses(reference, eyes.row, colour);
        let Some(mouth) = face::find_mouth(reference, self.zones, self.lines, self.rows, colour) else {
            return;
        };
        // A moustache leaves the mouth a row lower.
        let below =
            [eyes.row + 1, eyes.row + 2].into_iter().find(|row| self.colours.get(&(*row, 0)) == Some(&skin));
        let is_head =
            |row: usize| self.zones.spans().any(|(z, f, n)| z == Zone::Head && (f..f + n).contains(&row));
        if let Some(row) = below.filter(|row| is_head(*row)) {
            let label = self.add_colour(vivid::lips(mouth.colour), 1);
            self.set((row, 0), Sign { label, stands: mouth.stands });
        }
    }

    /// A face whose strokes ran together with a sack's or a hat's is told by the fair skin that shows between them.
    fn take_fair_face(&mut self, reference: &Reference) {
        /// So much of a window shows skin where it is skin; elsewhere it is a beard or a sack.
        const SHOWS: f64 = 0.3;
        let colour = |reading: &Self, label: u8| reading.labels.clusters[usize::from(label) - 1].colour;
        let Some(had) = self.skin().filter(|had| !skin::may_be_fair(colour(self, *had))) else { return };
        let windows = skin::face_pegs(self.zones).filter(|peg| self.colours.get(peg) == Some(&had));
        let fair: Vec<(Peg, Vec<Lab>)> = windows
            .filter_map(|peg| Some((peg, self.stretch(peg)?)))
            .filter_map(|(peg, stretch)| {
                let (seen, all) = skin::fair_in(reference, &window(self.lines, peg.0, stretch));
                (seen.len() as f64 >= SHOWS * all as f64).then_some((peg, seen))
            })
            .collect();
        let seen: Vec<Lab> = fair.iter().flat_map(|(_, seen)| seen.iter().copied()).collect();
        if fair.len() < skin::LEAST_FACE {
            return;
        }
        let label = self.add_colour(middle_colour(&seen), seen.len());
        for (peg, _) in fair {
            self.turn(peg, label);
        }
    }

    /// A face has one skin and a designer's outline.
    fn take_one_skin(&mut self) {
        let Some(skin) = self.skin() else { return };
        let one = skin::one_skin(&self.colours, &self.signs, &self.labels.clusters, self.zones, skin);
        for peg in one {
            self.turn(peg, skin);
        }
        for peg in skin::beyond_outline(&self.colours, &self.labels.clusters, self.zones, skin) {
            self.colours.remove(&peg);
        }
    }

    /// Shoes are one dark row, whatever light falls on them (both designs by eye of every sketch); bare feet, white
    /// and colourful ones stay.
    fn take_dark_shoes(&mut self, skin: Option<u8>) {
        /// What is lighter or more colourful stays.
        const LIGHTNESS: f64 = 60.0;
        const CHROMA: f64 = 48.0;
        let Some((_, first, _)) = self.zones.spans().find(|(zone, ..)| *zone == Zone::Feet) else { return };
        let feet = || self.colours.iter().filter(|(peg, label)| stands(peg, first) && **label != GROUND);
        let Some(own) = feet().map(|(_, label)| *label).next().filter(|label| Some(*label) != skin) else {
            return;
        };
        let colour = self.labels.clusters[usize::from(own) - 1].colour;
        if colour.l > LIGHTNESS || colour.a.hypot(colour.b) > CHROMA {
            return;
        }
        let shoes: Vec<Peg> = feet().filter(|(_, label)| **label == own).map(|(peg, _)| *peg).collect();
        let label = self.add_colour(vivid::leather(colour), shoes.len());
        for peg in shoes {
            self.turn(peg, label);
        }
    }

    /// Gives a bead another label; what speaks for the one it had speaks for the new one.
    fn turn(&mut self, peg: Peg, label: u8) {
        let Some(had) = self.colours.insert(peg, label) else { return };
        let Some(shares) = self.shares.get_mut(&peg) else { return };
        let (had, label) = (usize::from(had), usize::from(label));
        shares.resize(shares.len().max(had + 1).max(label + 1), 0.0);
        shares[label] += std::mem::take(&mut shares[had]);
    }

    /// Lenses instead of eyes, and the frame's bridge between them.
    fn take_glasses(&mut self, reference: &Reference, row: usize, skin: Lab) {
        let beads = [face::EYES[0], 0, face::EYES[1]].map(|column| self.stretch((row, column)));
        let [Some(left), Some(nose), Some(right)] = beads else { return };
        let (above, below) = (self.lines[row], self.lines[row + 1]);
        let face = glasses::Face {
            colours: reference.colours(),
            skin,
            down: silhouette::Span { from: above, to: below },
            across: silhouette::Span { from: left.span.from, to: right.span.to },
            nose: nose.span.middle(),
            pitch: below - above,
        };
        let Some(found) = glasses::find(&face) else { return };
        let lens = self.add_colour(glasses::LENS, face::EYES.len());
        for column in face::EYES {
            self.set((row, column), Sign { label: lens, stands: found.alike });
        }
        let frame = self.add_colour(found.frame, 1);
        self.set((row, 0), Sign { label: frame, stands: found.alike });
    }

    /// Cloth as pale as the ground takes the colour its windows have.
    fn take_pale_cloth(&mut self, reference: &Reference) {
        let pale: Vec<Peg> =
            self.colours.iter().filter(|(_, l)| **l == GROUND).map(|(peg, _)| *peg).collect();
        let colours = reference.colours();
        let mut sum = ([0.0; 3], 0.0);
        for peg in &pale {
            let Some(stretch) = self.stretch(*peg) else { continue };
            let Area { x, y, width, height } = window(self.lines, peg.0, stretch);
            let middle = ((y + height / 2.0).max(0.0) as usize, (x + width / 2.0).max(0.0) as usize);
            if let Some(c) = colours.get(middle) {
                sum = ([sum.0[0] + c.l, sum.0[1] + c.a, sum.0[2] + c.b], sum.1 + 1.0);
            }
        }
        if sum.1 > 0.0 {
            let [l, a, b] = sum.0.map(|v| v / sum.1);
            let label = self.add_colour(Lab::new(l, a, b), pale.len());
            self.colours.extend(pale.into_iter().map(|peg| (peg, label)));
        }
    }

    /// Lays a bead where a piece of the figure would hang by a corner or by nothing, and the drawing goes on.
    fn join_what_is_joined(&mut self, outline: &Silhouette) {
        let filled = self.colours.keys().copied().collect();
        let pieces = outline.pieces();
        let see = |peg: Peg| {
            let area = self.window_at(peg.0, peg.1, outline.pitch);
            let (cover, piece) = pieces.in_window(area);
            join::Seen { cover, piece }
        };
        for (peg, from) in join::find(&filled, self.rows.len(), see) {
            let shares = weighed_shares(&self.labels, self.window_at(peg.0, peg.1, outline.pitch));
            let (label, share) = most(&shares);
            let own = self.colours[&from];
            self.colours.insert(peg, if share >= SHOWS { label } else { own });
            self.shares.insert(peg, shares);
        }
    }

    fn stretch(&self, (row, column): Peg) -> Option<Stretch> {
        self.rows.get(row)?.iter().copied().find(|s| s.column == column)
    }

    /// A colour beside those of the drawing; its label.
    fn add_colour(&mut self, colour: Lab, pixels: usize) -> u8 {
        self.labels.clusters.push(Cluster { colour, pixels, spread: 0.0, possible: Vec::new() });
        self.labels.clusters.len() as u8
    }

    /// The windows of all beads and what each shows.
    fn finish(&self, pitch: f64, proportions: Proportions) -> (Lattice, Grid<BeadSample>) {
        let columns = || self.colours.keys().map(|peg| peg.1);
        let (first, last) = (columns().min().unwrap_or(0), columns().max().unwrap_or(0));
        let count = (last - first + 1) as usize;
        let windows = Grid::from_fn(self.rows.len(), count, |row, column| {
            self.window_at(row.0, first + column.0 as i32, pitch)
        });
        let beads = Grid::from_fn(self.rows.len(), count, |row: Row, column: Column| {
            self.sample((row.0, first + column.0 as i32))
        });
        (Lattice::of_windows(self.lines.to_vec(), windows, proportions), beads)
    }

    /// The window of any place: its own stretch, or where it would lie beside the row's others.
    fn window_at(&self, row: usize, column: i32, pitch: f64) -> Area {
        let stretches = &self.rows[row];
        let own = stretches.iter().find(|s| s.column == column).map(|s| s.span);
        let before = stretches.iter().rfind(|s| s.column < column);
        let after = stretches.iter().find(|s| s.column > column);
        let span = own.unwrap_or_else(|| match (before, after) {
            (Some(b), Some(a)) => {
                let width = (a.span.from - b.span.to).max(1.0) / f64::from(a.column - b.column - 1).max(1.0);
                let from = b.span.to + width * f64::from(column - b.column - 1);
                silhouette::Span { from, to: from + width }
            }
            (Some(b), None) => {
                let from = b.span.to + pitch * f64::from(column - b.column - 1);
                silhouette::Span { from, to: from + pitch }
            }
            (None, Some(a)) => {
                let to = a.span.from - pitch * f64::from(a.column - column - 1);
                silhouette::Span { from: to - pitch, to }
            }
            (None, None) => silhouette::Span { from: 0.0, to: pitch },
        });
        window(self.lines, row, Stretch { column, span, core: false })
    }

    fn sample(&self, peg: Peg) -> BeadSample {
        let none = Vec::new();
        let shares = self.shares.get(&peg).unwrap_or(&none);
        let cover = 1.0 - shares.first().copied().unwrap_or(1.0);
        let mut colours = colours_by_share(shares);
        let Some(&label) = self.colours.get(&peg) else {
            return BeadSample { filled: false, cover, colours, is_mark: false };
        };
        let colour = usize::from(label) - 1;
        let place = colours.iter().position(|c| c.colour == colour).unwrap_or_else(|| {
            colours.push(Share { colour, share: 0.0 });
            colours.len() - 1
        });
        colours[..=place].rotate_right(1);
        let stands = self.signs.get(&peg).copied();
        if let Some(stands) = stands {
            give_share(&mut colours, stands);
        }
        BeadSample { filled: true, cover, colours, is_mark: stands.is_some() }
    }
}

/// Gives the first colour at least a share of its own; the others keep what is left.
fn give_share(colours: &mut [Share], least: f64) {
    let Some((first, others)) = colours.split_first_mut() else { return };
    first.share = first.share.max(least);
    let sum: f64 = others.iter().map(|o| o.share).sum();
    let left = 1.0 - first.share;
    if sum > left {
        others.iter_mut().for_each(|o| o.share *= left / sum);
    }
}

/// Whether a bead of the row of feet is a foot's; what stands farther out is a pole.
fn stands(peg: &Peg, feet: usize) -> bool {
    const FARTHEST: i32 = 4;
    peg.0 >= feet && peg.1.abs() <= FARTHEST
}

fn window(lines: &[f64], row: usize, stretch: Stretch) -> Area {
    let (top, bottom) = (lines[row], lines[row + 1]);
    Area {
        x: stretch.span.from,
        y: top,
        width: stretch.span.width().max(1.0),
        height: (bottom - top).max(1.0),
    }
}

/// The label but ground that fills most of a window, and its share.
fn most(shares: &[f64]) -> (u8, f64) {
    let first = (GROUND, 0.0);
    shares.iter().enumerate().skip(1).fold(
        first,
        |best, (label, &share)| {
            if share > best.1 { (label as u8, share) } else { best }
        },
    )
}

/// Whether the plan has a bead there whatever the outline says: the body itself, the face, not what the hair
/// rounds off.
fn is_body(zones: &ZoneRows, row: usize, stretch: Stretch) -> bool {
    let zone = zones.spans().find(|(_, first, rows)| row < first + rows);
    let Some((zone, first, rows)) = zone else { return false };
    let is_face = || (first + 1..first + rows).contains(&row) && stretch.column.abs() <= 1;
    match zone {
        Zone::Headwear | Zone::Neck | Zone::Feet => false,
        Zone::Head => stretch.core && is_face(),
        Zone::Torso | Zone::Legs => stretch.core,
    }
}

/// Whether the body goes on to both sides; at its outside a rounded shoulder leaves a bead out.
fn is_inner(row: &[Stretch], stretch: Stretch) -> bool {
    let core = |at: i32| row.iter().any(|s| s.core && s.column == at);
    core(stretch.column - 1) && core(stretch.column + 1)
}

/// Whether what is as pale as the ground is cloth there: in the trunk, and below it where no legs part.
fn is_closed(zones: &ZoneRows, row: usize, legs_seen: bool) -> bool {
    let zone = zones.spans().find(|(_, first, rows)| row < first + rows).map(|(zone, ..)| zone);
    match zone {
        Some(Zone::Torso) => true,
        Some(Zone::Legs) => !legs_seen,
        _ => false,
    }
}
