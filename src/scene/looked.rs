//! What a scene is looked over for: who hides whom, who lies over a seam, what would fuse to one piece.

use std::collections::{BTreeMap, BTreeSet};
use std::ops::Range;

use super::{Scene, Standing};
use crate::rules::pieces;
use crate::units::{Column, Row};

/// Beads of one figure that another hides.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Overlap {
    /// Who hides them, by its place in [`Scene::standings`].
    pub over: usize,
    /// Whose they are.
    pub under: usize,
    /// How many of which bead, by name; the most first.
    pub hidden: Vec<(String, usize)>,
}

impl Overlap {
    /// How many beads are hidden.
    pub fn beads(&self) -> usize {
        self.hidden.iter().map(|(_, count)| count).sum()
    }
}

/// A figure that shows on several boards.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Crossing {
    /// The figure, by its place in [`Scene::standings`].
    pub standing: usize,
    /// The boards, counted from 0, and how many of its beads show on each.
    pub boards: Vec<(usize, usize)>,
    /// The seams it lies over.
    pub seams: Vec<Seam>,
}

/// Where two boards meet.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Seam {
    /// At the left of a column.
    Upright(Column),
    /// Above a row.
    Level(Row),
}

/// Beads that would come off once all is fused.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct LoosePiece {
    /// How many beads.
    pub beads: usize,
    /// Its rows and columns.
    pub rows: Range<usize>,
    /// Its columns.
    pub columns: Range<usize>,
    /// Whose beads they are, by their places in [`Scene::standings`], the most first; a ground's are nobody's.
    pub of: Vec<usize>,
    /// Where it touches the rest at a corner alone: its own bead and the other's.
    pub corner: Option<((Row, Column), (Row, Column))>,
}

impl Scene {
    /// Who hides whom, by who is hidden, the back ones first; the grounds are not told of.
    pub fn overlaps(&self) -> Vec<Overlap> {
        let mut found: BTreeMap<(usize, usize), BTreeMap<usize, usize>> = BTreeMap::new();
        for (under, standing) in self.standings.iter().enumerate() {
            for (peg, kind) in self.beads_of(standing) {
                let over = self.shown[peg].and_then(|shown| shown.of).filter(|over| *over != under);
                if let Some(over) = over {
                    *found.entry((under, over)).or_default().entry(kind).or_default() += 1;
                }
            }
        }
        let overlap = |((under, over), kinds): (_, BTreeMap<usize, usize>)| {
            let named = |(kind, count): (usize, usize)| (self.legend[kind].bead.clone(), count);
            let mut hidden: Vec<(String, usize)> = kinds.into_iter().map(named).collect();
            hidden.sort_by(|one, other| other.1.cmp(&one.1).then_with(|| one.0.cmp(&other.0)));
            Overlap { over, under, hidden }
        };
        found.into_iter().map(overlap).collect()
    }

    /// How many beads of each figure there are, and how many of them show.
    pub fn showing(&self) -> Vec<(usize, usize)> {
        let one = |(at, standing): (usize, &Standing)| {
            let shows =
                |(peg, _): &((Row, Column), usize)| self.shown[*peg].is_some_and(|s| s.of == Some(at));
            (self.beads_of(standing).count(), self.beads_of(standing).filter(shows).count())
        };
        self.standings.iter().enumerate().map(one).collect()
    }

    /// The figures of each board, from the back: those of which beads show there, with how many.
    pub fn on_boards(&self) -> Vec<Vec<(usize, usize)>> {
        let mut found = vec![BTreeMap::<usize, usize>::new(); self.boards.count()];
        for (row, column, shown) in self.shown.iter() {
            if let Some(of) = shown.and_then(|shown| shown.of) {
                *found[self.boards.at(row, column)].entry(of).or_default() += 1;
            }
        }
        found.into_iter().map(|figures| figures.into_iter().collect()).collect()
    }

    /// The figures that show on several boards, from the back.
    pub fn crossings(&self) -> Vec<Crossing> {
        let mut boards: Vec<Vec<(usize, usize)>> = vec![Vec::new(); self.standings.len()];
        for (board, figures) in self.on_boards().into_iter().enumerate() {
            figures.into_iter().for_each(|(standing, beads)| boards[standing].push((board, beads)));
        }
        let several = boards.into_iter().enumerate().filter(|(_, boards)| boards.len() > 1);
        several
            .map(|(standing, boards)| Crossing { standing, seams: self.seams_of(&boards), boards })
            .collect()
    }

    fn seams_of(&self, boards: &[(usize, usize)]) -> Vec<Seam> {
        let parts: Vec<(Range<usize>, Range<usize>)> =
            boards.iter().map(|(board, _)| self.boards.part(*board)).collect();
        let (first_row, first_column) = (
            parts.iter().map(|part| part.0.start).min().unwrap_or(0),
            parts.iter().map(|part| part.1.start).min().unwrap_or(0),
        );
        let upright = parts.iter().map(|part| part.1.start).filter(|start| *start > first_column);
        let level = parts.iter().map(|part| part.0.start).filter(|start| *start > first_row);
        let seams = upright.map(|start| Seam::Upright(Column(start)));
        let all: BTreeSet<Seam> = seams.chain(level.map(|start| Seam::Level(Row(start)))).collect();
        all.into_iter().collect()
    }

    /// Into how many pieces all would fuse, and those that are not the largest. Beads fuse only where they touch side to
    /// side (common practice, no source).
    pub fn pieces(&self) -> (usize, Vec<LoosePiece>) {
        let all = pieces(&self.shown.map(|_, _, shown| shown.is_some()));
        let loose = all.iter().skip(1).map(|piece| {
            let mut of: BTreeMap<usize, usize> = BTreeMap::new();
            for own in piece.beads.iter().filter_map(|peg| self.shown[*peg]).filter_map(|shown| shown.of) {
                *of.entry(own).or_default() += 1;
            }
            let mut of: Vec<(usize, usize)> = of.into_iter().collect();
            of.sort_by_key(|(at, beads)| (std::cmp::Reverse(*beads), *at));
            LoosePiece {
                beads: piece.beads.len(),
                rows: span(piece.beads.iter().map(|peg| peg.0.0)),
                columns: span(piece.beads.iter().map(|peg| peg.1.0)),
                of: of.into_iter().map(|(at, _)| at).collect(),
                corner: piece.corner,
            }
        });
        (all.len(), loose.collect())
    }
}

/// From the least to the greatest; nothing of nothing.
fn span(numbers: impl Iterator<Item = usize> + Clone) -> Range<usize> {
    let (least, most) = (numbers.clone().min(), numbers.max());
    least.zip(most).map_or(0..0, |(least, most)| least..most + 1)
}
