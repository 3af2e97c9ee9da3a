//! A colour that stands for two materials, parted where they lie apart.
//!
//! Faint strokes are all alike: bare arms and pale tights, a hand and the pole it holds have one colour in the whole
//! drawing. Where what is joined has a tone of its own, it gets a colour of its own, as far from the common one as
//! its tone is from the common tone.

use std::collections::{BTreeMap, BTreeSet};

use super::paper::paper_of;
use super::reading::{Reading, window};
use super::signs::Peg;
use crate::colour::{Lab, ciede2000};
use crate::plan::Zone;
use crate::reference::Reference;
use crate::sample::labels::GROUND;

/// Fewer beads than these have no tone of their own.
const FEW: usize = 4;

/// Tones at least so far apart (CIEDE2000) are two materials, and at most so far are one.
const STROKES_APART: f64 = 7.0;
const FILLED_APART: f64 = 10.0;
const ALIKE: f64 = 3.5;

impl Reading<'_> {
    /// Parts the colours that stand for two materials.
    pub fn part_colours(&mut self, reference: &Reference) {
        let paper = paper_of(reference);
        let pieces = self.pieces();
        let labels: BTreeSet<u8> = pieces.iter().map(|(label, _)| *label).collect();
        for label in labels {
            let own: Vec<&[Peg]> =
                pieces.iter().filter(|(l, _)| *l == label).map(|(_, pegs)| pegs.as_slice()).collect();
            self.part_colour(reference, paper, label, &own);
        }
    }

    fn part_colour(&mut self, reference: &Reference, paper: Lab, label: u8, pieces: &[&[Peg]]) {
        let apart = if self.labels.stroked { STROKES_APART } else { FILLED_APART };
        let all = pieces.concat();
        let Some(common) = self.tone(reference, paper, label, &all) else { return };
        let mut parted: Vec<(u8, Lab)> = Vec::new();
        for piece in pieces.iter().filter(|piece| piece.len() >= FEW && piece.len() < all.len()) {
            let Some(tone) = self.tone(reference, paper, label, piece) else { continue };
            if ciede2000(tone, common).0 < apart {
                continue;
            }
            let like = parted.iter().find(|(_, other)| ciede2000(tone, *other).0 < ALIKE).map(|(l, _)| *l);
            let new = like.unwrap_or_else(|| {
                let colour = self.as_seen(label, paper, common, tone);
                self.add_colour(colour, piece.len())
            });
            parted.push((new, tone));
            piece.iter().for_each(|peg| self.turn(*peg, new));
        }
    }

    /// A tone as the drawing's colours are seen: in strokes as far from the paper, as parts go, as the common colour
    /// of the label is.
    fn as_seen(&self, label: u8, paper: Lab, common: Lab, tone: Lab) -> Lab {
        if !self.labels.stroked {
            return tone;
        }
        let white = Lab::new(paper.l, 0.0, 0.0);
        let own = self.labels.clusters[usize::from(label) - 1].colour;
        let part = (own.distance_squared(white) / common.distance_squared(white).max(1.0)).sqrt();
        let seen = |of: fn(&Lab) -> f64| of(&white) + part * (of(&tone) - of(&white));
        Lab::new(seen(|c| c.l).clamp(0.0, 100.0), seen(|c| c.a), seen(|c| c.b))
    }

    /// Beads of one colour that touch, corners too; signs are none, nor are feet, which have one colour.
    fn pieces(&self) -> Vec<(u8, Vec<Peg>)> {
        let feet = self.zones.spans().find(|(zone, ..)| *zone == Zone::Feet).map(|(_, first, _)| first);
        let mut open: BTreeMap<Peg, u8> = self
            .colours
            .iter()
            .filter(|(peg, label)| **label != GROUND && !self.signs.contains_key(peg))
            .filter(|(peg, _)| feet.is_none_or(|feet| peg.0 < feet))
            .map(|(peg, label)| (*peg, *label))
            .collect();
        let mut pieces = Vec::new();
        while let Some((first, label)) = open.pop_first() {
            let mut piece = vec![first];
            let mut next = 0;
            while let Some(&(row, column)) = piece.get(next) {
                next += 1;
                for beside in around(row, column) {
                    if open.get(&beside) == Some(&label) {
                        open.remove(&beside);
                        piece.push(beside);
                    }
                }
            }
            pieces.push((label, piece));
        }
        pieces
    }

    /// The mean of what the beads' windows show of one label; of strokes each mark by the square of its way from the
    /// paper, whose tint is taken out.
    fn tone(&self, reference: &Reference, paper: Lab, label: u8, pegs: &[Peg]) -> Option<Lab> {
        let colours = reference.colours();
        let mut sum = [0.0; 4];
        for peg in pegs {
            let Some(stretch) = self.stretch(*peg) else { continue };
            let area = window(self.lines, peg.0, stretch);
            let clamp = |v: f64, most: usize| (v.max(0.0) as usize).min(most);
            for y in clamp(area.y, colours.nrows())..clamp(area.y + area.height, colours.nrows()) {
                for x in clamp(area.x, colours.ncols())..clamp(area.x + area.width, colours.ncols()) {
                    if self.labels.plane[(y, x)] != label {
                        continue;
                    }
                    let colour = colours[(y, x)];
                    let weight = if self.labels.stroked { colour.distance_squared(paper) } else { 1.0 };
                    [colour.l, colour.a, colour.b, 1.0]
                        .iter()
                        .zip(&mut sum)
                        .for_each(|(v, s)| *s += v * weight);
                }
            }
        }
        let [l, a, b, weight] = sum;
        let mean = (weight > 0.0).then(|| Lab::new(l / weight, a / weight, b / weight))?;
        Some(if self.labels.stroked { mean.beside_white(paper) } else { mean })
    }
}

fn around(row: usize, column: i32) -> impl Iterator<Item = Peg> {
    (-1..=1_isize)
        .flat_map(move |dy| (-1..=1).filter_map(move |dx| Some((row.checked_add_signed(dy)?, column + dx))))
}
