//! Which of the pieces that differ from the ground belong to the figure.

use ndarray::Array2;

use crate::reference::mask::{Piece, grown, pieces, spans};
use crate::reference::subject::Cover;

/// Pieces smaller than this share of the largest are specks.
const SPECK: f64 = 0.015;

/// Keeps the largest piece and those not much smaller.
pub(super) fn without_specks(mask: &Array2<bool>, pieces: &[Piece]) -> Array2<bool> {
    let largest = pieces.iter().map(Vec::len).max().unwrap_or(0);
    let mut kept = Array2::from_elem(mask.dim(), false);
    for piece in pieces.iter().filter(|p| p.len() as f64 >= SPECK * largest as f64) {
        piece.iter().for_each(|&p| kept[p] = true);
    }
    kept
}

/// From this part of the largest piece's size on, another piece is a figure of its own; props held apart from
/// the body are smaller.
const LIKE_SIZE: f64 = 0.5;

/// Keeps the largest piece and what lies close to it or within it: a lantern on its cord, a head whose neck is as
/// pale as the paper, a collar in a white bib. A doodle, a caption and a punched hole lie further off. Also tells how high the largest is, and whether
/// another figure was left out.
pub(super) fn the_figure(
    mask: &Array2<bool>,
    rows: usize,
    lets: &dyn Fn(&Piece) -> bool,
) -> (Array2<bool>, usize, bool) {
    /// How far a part may lie from the rest and still belong to it, in beads.
    const NEAR: f64 = 1.1;
    /// Or how much of it has the rest to its left and right.
    const WITHIN: f64 = 0.1;
    let mut pieces = pieces(mask);
    pieces.retain(lets);
    let Some(main) = pieces.iter().max_by_key(|piece| piece.len()) else {
        return (mask.map(|_| false), 1, false);
    };
    let height = spans(main).0.len();
    let reach = (NEAR * height as f64 / rows as f64).round() as usize;
    let mut kept = Array2::from_elem(mask.dim(), false);
    main.iter().for_each(|&p| kept[p] = true);
    let close = grown(&kept, reach);
    let spans = spans_of(&kept);
    let is_within = |&&(y, x): &&(usize, usize)| spans[y].is_some_and(|(left, right)| left < x && x < right);
    let mut several = false;
    for piece in pieces.iter().filter(|p| p.len() as f64 >= SPECK * main.len() as f64) {
        let within = piece.iter().filter(is_within).count();
        if piece.iter().any(|&p| close[p]) || within as f64 >= WITHIN * piece.len() as f64 {
            piece.iter().for_each(|&p| kept[p] = true);
        } else {
            several |= piece.len() as f64 >= LIKE_SIZE * main.len() as f64;
        }
    }
    (kept, height, several)
}

/// The first and last set column of each row.
fn spans_of(mask: &Array2<bool>) -> Vec<Option<(usize, usize)>> {
    let span = |row: ndarray::ArrayView1<bool>| {
        let mut set = row.iter().enumerate().filter(|(_, set)| **set).map(|(x, _)| x);
        let first = set.next()?;
        Some((first, set.next_back().unwrap_or(first)))
    };
    mask.outer_iter().map(span).collect()
}

/// Whether a second piece is nearly as large as the largest: two figures on a page, rather than a
/// figure and its lantern.
pub(super) fn has_several_pieces(cover: &Array2<Cover>) -> bool {
    let mut sizes: Vec<usize> = pieces(&cover.map(|c| *c == Cover::Subject)).iter().map(Vec::len).collect();
    sizes.sort_unstable_by(|a, b| b.cmp(a));
    matches!(sizes.as_slice(), [largest, second, ..] if *second as f64 >= LIKE_SIZE * *largest as f64)
}
