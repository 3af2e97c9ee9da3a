//! Which claim is heard at which peg: the only place where beads of a sketch are written.

use std::collections::{BTreeMap, BTreeSet};

use super::columns::Stretch;
use super::detect::{Asked, Claim};
use super::scene::{Peg, Scene, window};
use super::silhouette::Span;
use crate::colour::{Lab, ciede2000};
use crate::grid::Grid;
use crate::reference::Area;
use crate::sample::lattice::{Lattice, Proportions};
use crate::sample::reduce::colours_by_share;
use crate::sample::{BeadSample, Share};
use crate::units::{Column, Row};

/// A colour of the drawing within so much (CIEDE2000) of one that is claimed is the same.
const SAME: f64 = 8.0;

/// The beads of a sketch, by row and column from the axis.
pub(super) struct Beads<'a> {
    pub scene: Scene<'a>,
    /// Labels whose colour is known by what they are, not by how they are drawn.
    pub known: BTreeSet<u8>,
    /// The detector that set a bead.
    why: BTreeMap<Peg, &'static str>,
    /// How much speaks for a bead that means more than its area.
    stands: BTreeMap<Peg, f64>,
}

/// Settles who is heard: by rank, then by strength; the order in which claims come makes no difference.
pub(super) fn resolve<'a>(scene: Scene<'a>, mut claims: Vec<(&'static str, Claim)>) -> Beads<'a> {
    weakest_first(&mut claims);
    let skin = scene.skin();
    let mut beads = Beads { scene, known: BTreeSet::new(), why: BTreeMap::new(), stands: BTreeMap::new() };
    claims.iter().for_each(|(name, claim)| beads.hear(name, claim, skin));
    beads
}

/// Brings claims into the order they are heard in: of two to one peg the later stays.
fn weakest_first(claims: &mut [(&'static str, Claim)]) {
    claims.sort_by(|(a, one), (b, other)| {
        let rank = one.rank.cmp(&other.rank).then(one.stands.total_cmp(&other.stands));
        rank.then(a.cmp(b)).then_with(|| one.pegs.cmp(&other.pegs))
    });
}

impl Beads<'_> {
    fn hear(&mut self, name: &'static str, claim: &Claim, skin: Option<u8>) {
        let label = match claim.asked {
            Asked::Bare => {
                for peg in &claim.pegs {
                    self.scene.colours.remove(peg);
                }
                return;
            }
            Asked::Label(label) => {
                claim.pegs.iter().for_each(|peg| self.turn(*peg, label, name));
                return;
            }
            Asked::Mark(label) => label,
            Asked::Drawn(colour) => self.label_of(colour, claim.pegs.len(), skin),
            Asked::Known(colour) => {
                let label = self.scene.labels.add_colour(colour, claim.pegs.len());
                self.known.insert(label);
                label
            }
        };
        for peg in &claim.pegs {
            self.scene.colours.insert(*peg, label);
            self.stands.insert(*peg, claim.stands);
            self.why.insert(*peg, name);
        }
    }

    fn turn(&mut self, peg: Peg, label: u8, name: &'static str) {
        let Some(had) = self.scene.turn(peg, label) else { return };
        if had != label {
            self.why.insert(peg, name);
        }
        self.stands.remove(&peg);
    }

    /// The drawing's own label of a colour; a new one where it has none. A face's may turn to skin's colour.
    fn label_of(&mut self, colour: Lab, beads: usize, skin: Option<u8>) -> u8 {
        let far = |label: &u8| ciede2000(self.scene.colour(*label), colour).0;
        let is_open = |label: &u8| Some(*label) != skin && !self.known.contains(label);
        let own = self.scene.colours.values().copied().filter(is_open);
        let nearest = own.min_by(|a, b| far(a).total_cmp(&far(b)));
        nearest
            .filter(|label| far(label) <= SAME)
            .unwrap_or_else(|| self.scene.labels.add_colour(colour, beads))
    }

    /// The windows of all beads and what each shows.
    pub fn finish(&self, pitch: f64, proportions: Proportions) -> (Lattice, Grid<BeadSample>) {
        let Scene { colours, rows, lines, .. } = &self.scene;
        let columns = || colours.keys().map(|peg| peg.1);
        let (first, last) = (columns().min().unwrap_or(0), columns().max().unwrap_or(0));
        let count = (last - first + 1) as usize;
        let windows = Grid::from_fn(rows.len(), count, |row, column| {
            self.window_at(row.0, first + column.0 as i32, pitch)
        });
        let beads = Grid::from_fn(rows.len(), count, |row: Row, column: Column| {
            self.sample((row.0, first + column.0 as i32))
        });
        (Lattice::of_windows(lines.to_vec(), windows, proportions), beads)
    }

    /// The window of any place: its own stretch, or where it would lie beside the row's others.
    pub fn window_at(&self, row: usize, column: i32, pitch: f64) -> Area {
        let stretches = &self.scene.rows[row];
        let own = stretches.iter().find(|s| s.column == column).map(|s| s.span);
        let before = stretches.iter().rfind(|s| s.column < column);
        let after = stretches.iter().find(|s| s.column > column);
        let span = own.unwrap_or_else(|| {
            let width = match (before, after) {
                (Some(b), Some(a)) => {
                    (a.span.from - b.span.to).max(1.0) / f64::from(a.column - b.column - 1).max(1.0)
                }
                _ => pitch,
            };
            let from = match (before, after) {
                (Some(b), _) => b.span.to + width * f64::from(column - b.column - 1),
                (None, Some(a)) => a.span.from - width * f64::from(a.column - column),
                (None, None) => 0.0,
            };
            Span { from, to: from + width }
        });
        window(self.scene.lines, row, Stretch { column, span, core: false })
    }

    fn sample(&self, peg: Peg) -> BeadSample {
        let none = Vec::new();
        let shares = self.scene.shares.get(&peg).unwrap_or(&none);
        let cover = 1.0 - shares.first().copied().unwrap_or(1.0);
        let mut colours = colours_by_share(shares);
        let set_by = self.why.get(&peg).copied();
        let Some(&label) = self.scene.colours.get(&peg) else {
            return BeadSample { filled: false, cover, colours, is_mark: false, set_by: None };
        };
        let colour = usize::from(label) - 1;
        let place = colours.iter().position(|c| c.colour == colour).unwrap_or_else(|| {
            colours.push(Share { colour, share: 0.0 });
            colours.len() - 1
        });
        colours[..=place].rotate_right(1);
        let stands = self.stands.get(&peg).copied();
        if let Some(stands) = stands {
            give_share(&mut colours, stands);
        }
        BeadSample { filled: true, cover, colours, is_mark: stands.is_some(), set_by }
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

#[cfg(test)]
mod tests {
    use super::*;
    use crate::sample::body::detect::Rank;

    #[test]
    fn claims_are_heard_by_rank_then_strength_whatever_order_they_come_in() {
        let claim = |name, rank, stands, column| {
            (name, Claim { pegs: vec![(3, column)], asked: Asked::Mark(1), rank, stands })
        };
        let heard = [
            claim("skin", Rank::Skin, 0.9, 0),
            claim("eyes", Rank::Eyes, 0.2, 0),
            claim("eyes", Rank::Eyes, 0.7, 0),
            claim("other eyes", Rank::Eyes, 0.7, 0),
            claim("other eyes", Rank::Eyes, 0.7, 1),
            claim("mouth", Rank::Mouth, 0.1, 0),
        ];
        for first in 0..heard.len() {
            let (mut turned, mut mirrored) = (heard.to_vec(), heard.to_vec());
            turned.rotate_left(first);
            mirrored.rotate_left(first);
            mirrored.reverse();
            weakest_first(&mut turned);
            weakest_first(&mut mirrored);
            assert_eq!((turned, mirrored), (heard.to_vec(), heard.to_vec()));
        }
    }
}
