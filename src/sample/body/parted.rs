//! A colour that stands for two materials, parted where they lie apart.
//!
//! Faint strokes are all alike: bare arms and pale tights, a hand and the pole it holds have one colour in the whole
//! drawing. Where what is joined has a tone of its own, it gets a colour of its own, as far from the common one as
//! its tone is from the common tone.

use std::collections::{BTreeMap, BTreeSet};

use super::reading::{Reading, window};
use super::signs::Peg;
use crate::colour::{Lab, ciede2000};
use crate::reference::ground::middle_colour;
use crate::reference::{Cover, Reference};
use crate::sample::labels::GROUND;

/// Fewer beads than these have no tone of their own.
const FEW: usize = 4;

/// Tones at least so far apart (CIEDE2000) are two materials, and at most so far are one.
const APART: f64 = 7.0;
const ALIKE: f64 = 3.5;

impl Reading<'_> {
    /// Parts the colours of strokes.
    pub fn part_colours(&mut self, reference: &Reference) {
        if !self.labels.stroked {
            return;
        }
        let ground = reference.colours().iter().zip(reference.cover()).filter(|(_, c)| **c != Cover::Subject);
        let paper = middle_colour(&ground.map(|(colour, _)| *colour).collect::<Vec<_>>());
        let white = Lab::new(paper.l, 0.0, 0.0);
        let pieces = self.pieces();
        let labels: BTreeSet<u8> = pieces.iter().map(|(label, _)| *label).collect();
        for label in labels {
            let of_label = || pieces.iter().filter(|(l, _)| *l == label).map(|(_, pegs)| pegs);
            let all: Vec<Peg> = of_label().flatten().copied().collect();
            let Some(common) = self.tone(reference, paper, label, &all) else { continue };
            let own = self.labels.clusters[usize::from(label) - 1].colour;
            let mut parted: Vec<(u8, Lab)> = Vec::new();
            for piece in of_label().filter(|piece| piece.len() >= FEW && piece.len() < all.len()) {
                let Some(tone) = self.tone(reference, paper, label, piece) else { continue };
                if ciede2000(tone, common).0 < APART {
                    continue;
                }
                let like =
                    parted.iter().find(|(_, other)| ciede2000(tone, *other).0 < ALIKE).map(|(l, _)| *l);
                let new = like.unwrap_or_else(|| {
                    // As far from the paper, as parts of their tones go, as the common colour is.
                    let part = (own.distance_squared(white) / common.distance_squared(white).max(1.0)).sqrt();
                    let seen = |of: fn(&Lab) -> f64| of(&white) + part * (of(&tone) - of(&white));
                    let colour = Lab::new(seen(|c| c.l).clamp(0.0, 100.0), seen(|c| c.a), seen(|c| c.b));
                    self.add_colour(colour, piece.len())
                });
                parted.push((new, tone));
                piece.iter().for_each(|peg| self.turn(*peg, new));
            }
        }
    }

    /// Beads of one colour that touch, corners too; signs are none.
    fn pieces(&self) -> Vec<(u8, Vec<Peg>)> {
        let mut open: BTreeMap<Peg, u8> = self
            .colours
            .iter()
            .filter(|(peg, label)| **label != GROUND && !self.signs.contains_key(peg))
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

    /// The mean of what the beads' windows show of one label, each mark by the square of its way from the paper.
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
                    let weight = colour.distance_squared(paper);
                    [colour.l, colour.a, colour.b, 1.0]
                        .iter()
                        .zip(&mut sum)
                        .for_each(|(v, s)| *s += v * weight);
                }
            }
        }
        let [l, a, b, weight] = sum;
        (weight > 0.0).then(|| Lab::new(l / weight, a / weight, b / weight).beside_white(paper))
    }
}

fn around(row: usize, column: i32) -> impl Iterator<Item = Peg> {
    (-1..=1_isize)
        .flat_map(move |dy| (-1..=1).filter_map(move |dx| Some((row.checked_add_signed(dy)?, column + dx))))
}
