//! A maker's signs: buttons, braces, a buckle, a patch, far smaller than a bead or thinner than one, set as
//! whole beads where they lie.

use std::collections::BTreeMap;
use std::ops::Range;

use super::columns::Stretch;
use super::detect::{Asked, Claim, Detector, Rank};
use super::scene::{Peg, Scene};
use super::silhouette::Span;
use crate::colour::{Lab, ciede2000};
use crate::plan::Zone;
use crate::sample::piece::{Piece, sides};

/// A sign covers at least so much of a bead,
const LEAST: f64 = 0.12;

/// ... differs at least so much (CIEDE2000) from the bead it takes the place of.
pub(super) const STANDS_OUT: f64 = 25.0;

/// From so much difference on (CIEDE2000) a mark cannot stand out more: a black dot on fair skin.
pub(super) const CLEARLY: f64 = 60.0;

/// A line is at least so long, in beads, and on the mean at most so thick.
const LONG_DOWN: f64 = 1.8;
const LONG_ACROSS: f64 = 1.6;
const THIN: f64 = 0.8;

/// A row belongs to an upright line that reaches over so much of it,
const REACHES: f64 = 0.6;

/// ... a bead to a lying one that covers so much of its width.
const COVERS: f64 = 0.55;

/// A bead set for something smaller than its window.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Sign {
    pub label: u8,
    /// How much speaks for it, 0 to 1: it stands for the share of the window that a sign has not.
    pub stands: f64,
}

/// Small marks.
pub(super) const DETECTOR: Detector = Detector {
    name: "marks",
    what: "A piece of one colour far smaller than a bead, or a thin line, that stands out from the bead it lies in.",
    why: "Buttons, braces, a patch or a string make the character, and no window is filled by them.",
    source: "Both designs by eye of each of our sketches; common practice, no source.",
    example: "Red braces over a blue shirt, each half a bead wide.",
    limits: "At least 0.12 beads large and 25 CIEDE2000 from its bead; a line is at most 0.8 beads thick and at least 1.6 \
             long; none among the feet.",
    find: |scene| {
        let claim = |(peg, sign): (&Peg, &Sign)| Claim {
            pegs: vec![*peg],
            asked: Asked::Mark(sign.label),
            rank: Rank::Blob,
            stands: sign.stands,
        };
        scene.blobs.iter().map(claim).collect()
    },
};

/// Pegs whose bead a sign takes, each with the sign's label. Rows at the feet have none.
pub(super) fn find(scene: &Scene) -> BTreeMap<Peg, Sign> {
    let feet_from = scene.zones.first(Zone::Feet);
    // Of two signs on one peg the larger shows.
    let mut found: BTreeMap<Peg, (Sign, usize)> = BTreeMap::new();
    for piece in Piece::all(&scene.labels) {
        let pegs = scene.pegs_of(&piece);
        for &peg in &pegs {
            let Some(&under) = scene.colours.get(&peg) else { continue };
            let differs = apart(scene.colour(piece.label), scene.colour(under));
            if peg.0 < feet_from && under != piece.label && differs >= STANDS_OUT {
                let sign = Sign { label: piece.label, stands: stands(differs, pegs.len()) };
                let best = found.entry(peg).or_insert((sign, piece.pixels.len()));
                if piece.pixels.len() > best.1 {
                    *best = (sign, piece.pixels.len());
                }
            }
        }
    }
    found.into_iter().map(|(peg, (sign, _))| (peg, sign)).collect()
}

/// How much speaks for a mark, 0 to 1: it differs so much (CIEDE2000) from what is about it, and is seen in so many
/// beads. One bead may be a blot, a line that goes on from bead to bead is none.
fn stands(differs: f64, beads: usize) -> f64 {
    (differs / CLEARLY).min(1.0) * beads as f64 / (beads as f64 + 1.0)
}

fn apart(one: Lab, other: Lab) -> f64 {
    ciede2000(one, other).0
}

impl Scene<'_> {
    /// Where a piece should show, if it is a sign.
    fn pegs_of(&self, piece: &Piece) -> Vec<Peg> {
        let size = piece.pixels.len() as f64 / (self.pitch * self.pitch);
        if size < LEAST {
            return Vec::new();
        }
        let span = |range: Range<usize>| Span { from: range.start as f64, to: range.end as f64 };
        let (down, across) = sides(&piece.pixels);
        let (down, across) = (span(down), span(across));
        let (height, width) = (down.width() / self.pitch, across.width() / self.pitch);
        if height >= LONG_DOWN && size / height < THIN {
            return self.upright(piece);
        }
        if self.shows(piece.label, down, across) {
            return Vec::new();
        }
        let (y, x) = piece.middle();
        if width >= LONG_ACROSS && size / width < THIN {
            return self.lying(y, across);
        }
        self.peg_at(y, x).into_iter().collect()
    }

    /// Whether a bead of that label lies on a piece already.
    fn shows(&self, label: u8, down: Span, across: Span) -> bool {
        self.rows.iter().enumerate().any(|(row, stretches)| {
            let lies = Span { from: self.lines[row], to: self.lines[row + 1] }.shared(down) > 0.0;
            lies && stretches
                .iter()
                .any(|s| self.colours.get(&(row, s.column)) == Some(&label) && s.span.shared(across) > 0.0)
        })
    }

    /// A line from row to row, one bead in each.
    fn upright(&self, piece: &Piece) -> Vec<Peg> {
        let rows = 0..self.rows.len();
        rows.filter_map(|row| {
            let (above, below) = (self.lines[row], self.lines[row + 1]);
            let inside: Vec<&(usize, usize)> =
                piece.pixels.iter().filter(|(y, _)| (above..below).contains(&(*y as f64))).collect();
            let mut ys: Vec<usize> = inside.iter().map(|p| p.0).collect();
            ys.dedup();
            let reaches = ys.len() as f64 >= REACHES * (below - above);
            let middle = inside.iter().map(|p| p.1 as f64 + 0.5).sum::<f64>() / inside.len().max(1) as f64;
            reaches.then(|| self.peg_at(f64::midpoint(above, below), middle)).flatten()
        })
        .collect()
    }

    /// A line along a row.
    fn lying(&self, y: f64, across: Span) -> Vec<Peg> {
        let Some(row) = self.row_at(y) else { return Vec::new() };
        let covered = |s: &&Stretch| s.span.shared(across) >= COVERS * s.span.width();
        self.rows[row].iter().filter(covered).map(|s| (row, s.column)).collect()
    }

    fn row_at(&self, y: f64) -> Option<usize> {
        (0..self.rows.len()).find(|&row| (self.lines[row]..self.lines[row + 1]).contains(&y))
    }

    fn peg_at(&self, y: f64, x: f64) -> Option<Peg> {
        let row = self.row_at(y)?;
        let holds = |s: &&Stretch| (s.span.from..s.span.to).contains(&x);
        self.rows[row].iter().find(holds).map(|s| (row, s.column))
    }
}
