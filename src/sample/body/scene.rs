//! A sketch laid on its plan: what every bead's window shows, before any detector has looked.

use std::collections::BTreeMap;

use super::columns::Stretch;
use super::signs::{self, Sign};
use super::silhouette::{Span, pixels_of};
use super::{aim, skin};
use crate::colour::Lab;
use crate::plan::{Zone, ZoneRows};
use crate::reference::{Area, Cover, Reference, mask};
use crate::sample::labels::{GROUND, Labels};
use crate::sample::reduce::{COVERED, weighed_shares};

/// One place of the figure: its row, and its column from the axis.
pub(super) type Peg = (usize, i32);

/// A bead of the body takes the colour that covers at least so much of its window.
pub(super) const SHOWS: f64 = 0.3;

/// What detectors look at; none of them changes it.
pub(super) struct Scene<'a> {
    pub reference: &'a Reference,
    pub labels: Labels,
    pub lines: &'a [f64],
    pub rows: &'a [Vec<Stretch>],
    pub zones: &'a ZoneRows,
    /// Height of one bead, were all rows alike.
    pub pitch: f64,
    /// The label that each bead's window shows most; never [`GROUND`] once the scene is made.
    pub colours: BTreeMap<Peg, u8>,
    /// How much of each window every label fills; [`GROUND`] first.
    pub shares: BTreeMap<Peg, Vec<f64>>,
    /// Small blobs that stand out from what is around them, and thin lines, at the pegs they lie on.
    pub blobs: BTreeMap<Peg, Sign>,
}

impl<'a> Scene<'a> {
    /// Reads every window; `pale_is_cloth` tells the rows in which the body's own beads are cloth however pale.
    pub fn new(
        (reference, labels): (&'a Reference, Labels),
        zones: &'a ZoneRows,
        lines: &'a [f64],
        rows: &'a [Vec<Stretch>],
        pitch: f64,
        pale_is_cloth: impl Fn(usize) -> bool,
    ) -> Self {
        let (mut shares, mut colours) = (BTreeMap::new(), BTreeMap::new());
        for (row, stretches) in rows.iter().enumerate() {
            for stretch in stretches {
                let seen = weighed_shares(&labels, window(lines, row, *stretch));
                let cover = 1.0 - seen[usize::from(GROUND)];
                let (label, share) = most(&seen);
                let peg = (row, stretch.column);
                // Outside the body's own a bead is laid as on a lattice.
                if share > 0.0 && (cover >= COVERED || share >= SHOWS && is_body(zones, row, *stretch)) {
                    colours.insert(peg, label);
                } else if is_body(zones, row, *stretch)
                    && pale_is_cloth(row)
                    && is_inner(stretches, *stretch)
                    && !is_open(reference, window(lines, row, *stretch))
                {
                    colours.insert(peg, GROUND);
                }
                shares.insert(peg, seen);
            }
        }
        let blobs = BTreeMap::new();
        let mut scene = Self { reference, labels, lines, rows, zones, pitch, colours, shares, blobs };
        scene.name_pale_cloth();
        skin::name_fair_face(&mut scene);
        let face = scene.skin();
        aim::densest(&mut scene.labels, reference, face);
        scene.blobs = signs::find(&scene);
        scene
    }

    /// Cloth as pale as the ground gets a label of its own, with the colour its windows have.
    fn name_pale_cloth(&mut self) {
        let pale: Vec<Peg> =
            self.colours.iter().filter(|(_, label)| **label == GROUND).map(|(peg, _)| *peg).collect();
        let seen = pale.iter().filter_map(|peg| self.middle_of(*peg));
        let Some(colour) = Lab::mean(seen.map(|colour| (colour, 1.0))) else {
            // Beyond the picture nothing is known of it: no bead is asked for.
            self.colours.retain(|_, label| *label != GROUND);
            return;
        };
        let label = self.labels.add_colour(colour, pale.len());
        self.colours.extend(pale.into_iter().map(|peg| (peg, label)));
    }

    /// What is drawn in the very middle of a bead's window.
    fn middle_of(&self, peg: Peg) -> Option<Lab> {
        let Area { x, y, width, height } = self.window(peg)?;
        let middle = ((y + height / 2.0).max(0.0) as usize, (x + width / 2.0).max(0.0) as usize);
        self.reference.colours().get(middle).copied()
    }

    pub fn stretch(&self, (row, column): Peg) -> Option<Stretch> {
        self.rows.get(row)?.iter().copied().find(|s| s.column == column)
    }

    /// The window of a bead that is laid.
    pub fn window(&self, peg: Peg) -> Option<Area> {
        self.stretch(peg).map(|stretch| window(self.lines, peg.0, stretch))
    }

    /// The colour a label stands for.
    pub fn colour(&self, label: u8) -> Lab {
        self.labels.colour(label)
    }

    /// What is drawn between two rows and two columns of pixels.
    pub fn drawn(&self, down: Span, across: Span) -> impl Iterator<Item = Lab> {
        let colours = self.reference.colours();
        mask::window(colours, down.pixels(colours.nrows()), across.pixels(colours.ncols()))
            .into_iter()
            .copied()
    }

    /// The label that a small blob gives a bead, or else the one its window shows.
    pub fn seen(&self, peg: Peg) -> Option<u8> {
        self.blobs.get(&peg).map(|sign| sign.label).or_else(|| self.colours.get(&peg).copied())
    }

    /// Gives a bead another label; what spoke for the one it had, which comes back, speaks for the new one.
    pub fn turn(&mut self, peg: Peg, label: u8) -> Option<u8> {
        let had = self.colours.insert(peg, label)?;
        if let Some(shares) = self.shares.get_mut(&peg) {
            let (from, to) = (usize::from(had), usize::from(label));
            shares.resize(shares.len().max(from + 1).max(to + 1), 0.0);
            shares[to] += std::mem::take(&mut shares[from]);
        }
        Some(had)
    }
}

pub(super) fn window(lines: &[f64], row: usize, stretch: Stretch) -> Area {
    let (top, bottom) = (lines[row], lines[row + 1]);
    Area {
        x: stretch.span.from,
        y: top,
        width: stretch.span.width().max(1.0),
        height: (bottom - top).max(1.0),
    }
}

/// The label but ground that fills most of a window, and its share.
pub(super) fn most(shares: &[f64]) -> (u8, f64) {
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
    let Some((zone, rows)) = zones.at(row) else { return false };
    let is_face = || row > rows.start && stretch.column.abs() <= 1;
    match zone {
        Zone::Headwear | Zone::Neck | Zone::Feet => false,
        Zone::Head => stretch.core && is_face(),
        Zone::Torso | Zone::Legs => stretch.core,
    }
}

/// Whether a window shows the open ground, not what something shuts in.
fn is_open(reference: &Reference, window: Area) -> bool {
    /// All but a line's blur of it is.
    const OPEN: f64 = 0.9;
    let cover = reference.cover();
    let (down, across) = pixels_of(window, cover.dim());
    let seen = mask::window(cover, down, across);
    let open = seen.iter().filter(|cover| **cover == Cover::Ground).count();
    open as f64 >= OPEN * seen.len() as f64
}

/// Whether the body goes on to both sides; at its outside a rounded shoulder leaves a bead out.
fn is_inner(row: &[Stretch], stretch: Stretch) -> bool {
    let core = |at: i32| row.iter().any(|s| s.core && s.column == at);
    core(stretch.column - 1) && core(stretch.column + 1)
}
