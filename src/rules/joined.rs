//! How beads hold together: they fuse only where they touch side to side (common practice, no source).

use std::sync::OnceLock;

use crate::grid::{Grid, reached};
use crate::units::{Column, Row};

/// A bead's place.
pub(super) type Place = (Row, Column);

/// Which pegs hold beads, and the pieces they fuse to.
#[derive(Debug)]
pub(super) struct Joined {
    filled: Grid<bool>,
    /// The piece of each bead, an index into `pieces`.
    piece: Grid<usize>,
    pieces: Vec<Vec<Place>>,
    /// Found when first asked for: two rules ask.
    narrow: OnceLock<Vec<Narrow>>,
}

/// What comes off where fused sides give way.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct Cut {
    /// The fused sides that give way, each as the two beads it joins: first the one that stays.
    pub sides: Vec<(Place, Place)>,
    /// The beads that come off: the fewer of the two sides.
    pub carried: Vec<Place>,
}

/// A narrow place: the sides that give way, and how many beads come off.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct Narrow {
    pub sides: Vec<(Place, Place)>,
    pub carried: usize,
}

/// Beads that fuse to one piece.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Piece {
    /// Their places.
    pub beads: Vec<(Row, Column)>,
    /// One of them and a bead of another piece that touches it at a corner alone, where there is one.
    pub corner: Option<((Row, Column), (Row, Column))>,
}

/// The pieces that beads fuse to, the largest first; equal ones from the top.
pub fn pieces(filled: &Grid<bool>) -> Vec<Piece> {
    let joined = Joined::new(filled);
    let piece = |beads: &Vec<Place>| Piece { beads: beads.clone(), corner: joined.corner_of(beads) };
    joined.pieces().into_iter().map(piece).collect()
}

impl Joined {
    pub(super) fn new(filled: &Grid<bool>) -> Self {
        let filled = filled.clone();
        let piece = filled.map(|_, _, _| usize::MAX);
        let mut joined = Self { piece, filled, pieces: Vec::new(), narrow: OnceLock::new() };
        let places: Vec<Place> = joined.places().collect();
        for place in places {
            if joined.piece[place] == usize::MAX {
                let piece = joined.reached_from(place);
                joined.pieces.push(piece);
            }
        }
        joined
    }

    /// The beads fused to one, which are marked as the next piece: no place is looked at for two pieces, so that a scene of
    /// many pieces costs no more than its pegs.
    fn reached_from(&mut self, bead: Place) -> Vec<Place> {
        let number = self.pieces.len();
        self.piece[bead] = number;
        reached(vec![bead], |(row, column), reached| {
            for (row, column, filled) in self.filled.beside(row, column) {
                if *filled && self.piece[(row, column)] == usize::MAX {
                    self.piece[(row, column)] = number;
                    reached.push((row, column));
                }
            }
        })
    }

    /// A bead of a piece and one of another piece that touches it at a corner, where there is one.
    pub(super) fn corner_of(&self, piece: &[Place]) -> Option<(Place, Place)> {
        let touches = |bead: Place| self.at_corners(bead).find(|&other| !self.is_one_piece(bead, other));
        piece.iter().find_map(|&bead| touches(bead).map(|other| (bead, other)))
    }

    /// Every bead's place, row by row.
    pub(super) fn places(&self) -> impl Iterator<Item = Place> {
        self.filled.iter().filter(|(_, _, filled)| **filled).map(|(row, column, _)| (row, column))
    }

    pub(super) fn is_bead(&self, (row, column): Place) -> bool {
        self.filled.get(row, column).is_some_and(|filled| *filled)
    }

    /// The beads fused to a bead.
    pub(super) fn beside(&self, (row, column): Place) -> impl Iterator<Item = Place> {
        self.filled.beside(row, column).filter(|(_, _, filled)| **filled).map(|(r, c, _)| (r, c))
    }

    /// The beads that touch a bead only at a corner of it.
    pub(super) fn at_corners(&self, (Row(r), Column(c)): Place) -> impl Iterator<Item = Place> {
        let (up, down) = (r.wrapping_sub(1), r + 1);
        let (left, right) = (c.wrapping_sub(1), c + 1);
        [(up, left), (up, right), (down, left), (down, right)]
            .into_iter()
            .map(|(r, c)| (Row(r), Column(c)))
            .filter(|&place| self.is_bead(place))
    }

    /// The fused pieces, the largest first; equal ones from the top.
    pub(super) fn pieces(&self) -> Vec<&Vec<Place>> {
        let mut pieces: Vec<&Vec<Place>> = self.pieces.iter().collect();
        // The sort is stable, and pieces were found from the top.
        pieces.sort_by_key(|piece| std::cmp::Reverse(piece.len()));
        pieces
    }

    /// Whether two beads are of one piece.
    pub(super) fn is_one_piece(&self, one: Place, other: Place) -> bool {
        self.piece[one] == self.piece[other]
    }

    /// The beads reached from one by sides that are `open`; nothing as soon as one that `ends` is reached.
    pub(super) fn flood(
        &self,
        from: Place,
        open: impl Fn(Place, Place) -> bool,
        ends: impl Fn(Place) -> bool,
    ) -> Option<Vec<Place>> {
        let mut seen = self.filled.map(|_, _, _| false);
        seen[from] = true;
        let mut reached = vec![from];
        let mut next = 0;
        while let Some(&bead) = reached.get(next) {
            next += 1;
            for beside in self.beside(bead).filter(|&beside| open(bead, beside)) {
                if ends(beside) {
                    return None;
                }
                if !seen[beside] {
                    seen[beside] = true;
                    reached.push(beside);
                }
            }
        }
        Some(reached)
    }

    /// What comes off if these sides give way; nothing if the piece still holds together.
    pub(super) fn cut(&self, sides: &[(Place, Place)]) -> Option<Cut> {
        let &(one, other) = sides.first()?;
        let open = |from, to| !sides.contains(&(from, to)) && !sides.contains(&(to, from));
        let near = self.flood(one, open, |bead| bead == other)?;
        let whole = self.pieces[self.piece[one]].len();
        if 2 * near.len() > whole {
            let carried = self.flood(other, open, |bead| bead == one)?;
            return Some(Cut { sides: sides.to_vec(), carried });
        }
        let turned = sides.iter().map(|&(from, to)| (to, from)).collect();
        Some(Cut { sides: turned, carried: near })
    }

    /// Every place where one or two fused sides carry something: one or two sides in a line with nothing
    /// fused to their left and right, and two sides of one bead round a corner.
    ///
    /// A cut by a single side is always in the list. Two sides whose cutting parts a piece lie in one square of
    /// four beads, or in two thin places of one ring; rings are held at both ends and not looked for.
    pub(super) fn narrow_places(&self) -> &[Narrow] {
        self.narrow.get_or_init(|| self.find_narrow_places())
    }

    fn find_narrow_places(&self) -> Vec<Narrow> {
        let lines = self.lines().filter(|line| line.len() <= 2);
        let lines = lines.filter_map(|line| self.cut(&line));
        let cuts = lines.chain(self.places().filter_map(|bead| self.corner_cut(bead)));
        // What comes off is only counted here: in a long thin figure all of it together would not fit in memory.
        cuts.map(|cut| Narrow { sides: cut.sides, carried: cut.carried.len() }).collect()
    }

    /// Runs of neighbouring fused sides, across rows and across columns.
    fn lines(&self) -> impl Iterator<Item = Vec<(Place, Place)>> + '_ {
        let (rows, columns) = (self.filled.rows(), self.filled.columns());
        let down = |r: usize, c: usize| ((Row(r), Column(c)), (Row(r + 1), Column(c)));
        let across = |c: usize, r: usize| ((Row(r), Column(c)), (Row(r), Column(c + 1)));
        let vertical = (0..rows).flat_map(move |r| self.runs((0..columns).map(move |c| down(r, c))));
        vertical.chain((0..columns).flat_map(move |c| self.runs((0..rows).map(move |r| across(c, r)))))
    }

    fn runs(&self, sides: impl Iterator<Item = (Place, Place)>) -> Vec<Vec<(Place, Place)>> {
        let mut runs = vec![Vec::new()];
        for (one, other) in sides {
            let fused = self.is_bead(one) && self.is_bead(other);
            match runs.last_mut() {
                Some(run) if fused => run.push((one, other)),
                Some(run) if !run.is_empty() => runs.push(Vec::new()),
                _ => {}
            }
        }
        runs.retain(|run| !run.is_empty());
        runs
    }

    /// Two squares that share one bead hang together by two sides of it.
    fn corner_cut(&self, bead: Place) -> Option<Cut> {
        let (Row(r), Column(c)) = bead;
        let (up, down) = ((Row(r.checked_sub(1)?), bead.1), (Row(r + 1), bead.1));
        let (left, right) = ((bead.0, Column(c.checked_sub(1)?)), (bead.0, Column(c + 1)));
        // With fewer than four sides, one of them alone parts what two would.
        if ![up, down, left, right].into_iter().all(|beside| self.is_bead(beside)) {
            return None;
        }
        // A bead in the corner between the two pairs joins them another way.
        let joins = |one: Place, other: Place| self.is_bead((one.0, other.1));
        let falling = || !joins(up, right) && !joins(down, left);
        let rising = || !joins(up, left) && !joins(down, right);
        let cut = |one, other| self.cut(&[(bead, one), (bead, other)]);
        falling().then(|| cut(up, left)).flatten().or_else(|| rising().then(|| cut(up, right)).flatten())
    }

    /// Whether a bead is part of a square of four, which cannot bend.
    pub(super) fn is_thick(&self, (Row(r), Column(c)): Place) -> bool {
        let corner = |r: usize, c: usize| {
            [(r, c), (r, c + 1), (r + 1, c), (r + 1, c + 1)]
                .into_iter()
                .all(|(r, c)| self.is_bead((Row(r), Column(c))))
        };
        let (up, left) = (r.checked_sub(1), c.checked_sub(1));
        let rows = [Some(r), up].into_iter().flatten();
        rows.flat_map(|r| [Some(c), left].into_iter().flatten().map(move |c| (r, c)))
            .any(|(r, c)| corner(r, c))
    }
}
