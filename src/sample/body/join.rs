//! Beads hold only where they touch side to side (common practice, no source): what the drawing joins is joined.
//!
//! Rows are laid one by one, so that a thin arm, a hand or a foot may come to lie beside the bead it hangs from by
//! a corner only, or a peg away. Where the drawing goes on from one to the other a bead is laid between; a ball
//! that flies free stays apart.

use std::cmp::Reverse;
use std::collections::{BTreeMap, BTreeSet, BinaryHeap};

use super::resolve::Beads;
use super::scene::{Peg, SHOWS, most};
use super::silhouette::Silhouette;
use crate::grid::reached;
use crate::sample::reduce::weighed_shares;

/// What a bead laid between costs: where the drawing fills as much of its window as shows it is as good as seen, where
/// it fills less it follows something thin, and where it fills nothing it is laid only to hold.
const SEEN: (f64, u32) = (SHOWS, 2);
const THIN: (f64, u32) = (0.06, 3);
const BARE: u32 = 6;

/// No more than so much is spent on joining one piece: a corner, a peg that is missed, a stick of four beads.
const MOST: u32 = 13;

/// What lies at a peg of the drawing.
pub(super) struct Seen {
    /// How much of its window the figure covers, 0 to 1.
    pub cover: f64,
    /// The piece of the outline that covers most of it; none where nothing does.
    pub piece: Option<usize>,
}

/// The pegs to be filled, each with the peg whose colour it takes where its own window shows none.
pub(super) fn find(filled: &BTreeSet<Peg>, rows: usize, see: impl Fn(Peg) -> Seen) -> Vec<(Peg, Peg)> {
    let mut all = filled.clone();
    let mut laid = Vec::new();
    let mut kept_apart: BTreeSet<Peg> = BTreeSet::new();
    loop {
        let mut pieces = pieces(&all);
        pieces.sort_by_key(|piece| (piece.len(), piece.first().copied()));
        pieces.pop();
        let Some(piece) = pieces.into_iter().find(|piece| !kept_apart.contains(&piece[0])) else {
            return laid;
        };
        let way = way_out(&piece, &all, rows, &see);
        if way.is_empty() {
            kept_apart.extend(piece);
            continue;
        }
        let from = way[0];
        for &peg in &way[1..] {
            all.insert(peg);
            laid.push((peg, from));
        }
    }
}

/// Pegs that touch side to side, piece by piece.
fn pieces(filled: &BTreeSet<Peg>) -> Vec<Vec<Peg>> {
    let mut left = filled.clone();
    let mut found = Vec::new();
    while let Some(start) = left.pop_first() {
        found.push(reached(vec![start], |peg, piece| {
            piece.extend(beside(peg).into_iter().filter(|peg| left.remove(peg)));
        }));
    }
    found
}

fn beside((row, column): Peg) -> [Peg; 4] {
    [(row.wrapping_sub(1), column), (row, column - 1), (row, column + 1), (row + 1, column)]
}

/// The cheapest way from a piece to another bead that the drawing joins to it: the bead of the piece it starts from,
/// then the pegs to be filled. Empty where there is none.
fn way_out(piece: &[Peg], all: &BTreeSet<Peg>, rows: usize, see: &impl Fn(Peg) -> Seen) -> Vec<Peg> {
    let own: BTreeSet<Peg> = piece.iter().copied().collect();
    let drawn: BTreeSet<usize> = piece.iter().filter_map(|&peg| see(peg).piece).collect();
    let columns = || all.iter().map(|peg| peg.1);
    let (first, last) = (columns().min().unwrap_or(0), columns().max().unwrap_or(0));
    let mut spent: BTreeMap<Peg, u32> = BTreeMap::new();
    let mut before: BTreeMap<Peg, Peg> = BTreeMap::new();
    let mut open: BinaryHeap<Reverse<(u32, Peg)>> = piece.iter().map(|&peg| Reverse((0, peg))).collect();
    while let Some(Reverse((cost, peg))) = open.pop() {
        if spent.get(&peg).is_some_and(|less| *less < cost) {
            continue;
        }
        if all.contains(&peg) && !own.contains(&peg) {
            if see(peg).piece.is_some_and(|other| drawn.contains(&other)) {
                let way = std::iter::successors(before.get(&peg).copied(), |at| before.get(at).copied());
                let mut way: Vec<Peg> = way.collect();
                way.reverse();
                return way;
            }
            continue;
        }
        for next in beside(peg) {
            if own.contains(&next) || next.0 >= rows || !(first..=last).contains(&next.1) {
                continue;
            }
            let step = match all.contains(&next) {
                true => 0,
                false => match see(next).cover {
                    cover if cover >= SEEN.0 => SEEN.1,
                    cover if cover >= THIN.0 => THIN.1,
                    _ => BARE,
                },
            };
            let cost = cost + step;
            if cost <= MOST && spent.get(&next).is_none_or(|less| cost < *less) {
                spent.insert(next, cost);
                before.insert(next, peg);
                open.push(Reverse((cost, next)));
            }
        }
    }
    Vec::new()
}

impl Beads<'_> {
    /// Lays a bead where a piece of the figure would hang by a corner or by nothing, and the drawing goes on.
    pub fn join_what_is_joined(&mut self, outline: &Silhouette) {
        let filled = self.scene.colours.keys().copied().collect();
        let pieces = outline.pieces();
        let see = |peg: Peg| {
            let area = self.window_at(peg.0, peg.1, outline.pitch);
            let (cover, piece) = pieces.in_window(area);
            Seen { cover, piece }
        };
        for (peg, from) in find(&filled, self.scene.rows.len(), see) {
            let shares = weighed_shares(&self.scene.labels, self.window_at(peg.0, peg.1, outline.pitch));
            let (label, share) = most(&shares);
            let own = self.scene.colours[&from];
            self.scene.colours.insert(peg, if share >= SHOWS { label } else { own });
            self.scene.shares.insert(peg, shares);
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Pegs of `#`; the drawing fills `#` and `o` and is one piece but for what is under `b`, a ball apart.
    fn laid(rows: &[&str]) -> Vec<Peg> {
        let mark = |(row, column): Peg| {
            usize::try_from(column)
                .ok()
                .and_then(|column| rows.get(row)?.as_bytes().get(column).copied())
                .unwrap_or(b'.')
        };
        let places = (0..rows.len()).flat_map(|row| (0..rows[row].len() as i32).map(move |c| (row, c)));
        let filled = places.filter(|&peg| matches!(mark(peg), b'#' | b'b')).collect();
        let see = |peg: Peg| match mark(peg) {
            b'#' => Seen { cover: 1.0, piece: Some(0) },
            b'o' => Seen { cover: 0.4, piece: Some(0) },
            b'b' => Seen { cover: 1.0, piece: Some(1) },
            _ => Seen { cover: 0.0, piece: None },
        };
        find(&filled, rows.len(), see).into_iter().map(|(peg, _)| peg).collect()
    }

    #[test]
    fn a_hand_that_hangs_by_a_corner_is_joined_where_the_drawing_fills_more() {
        assert_eq!(laid(&["##..", "##o.", "..##"]), [(1, 2)]);
        assert_eq!(laid(&["##..", "##..", ".o##"]), [(2, 1)]);
    }

    #[test]
    fn a_stick_is_followed_and_a_ball_stays_apart() {
        assert_eq!(laid(&["##oo#"]).len(), 2);
        assert_eq!(laid(&["##..", "##.b"]), []);
        assert_eq!(laid(&["##......#"]), [], "too far for a slip of the rows");
    }

    #[test]
    fn what_holds_is_left_alone() {
        assert_eq!(laid(&[".##.", "####", ".##."]), []);
    }
}
