//! Masks of pixels: grown, worn down, parted into what hangs together.

use std::ops::Range;

use ndarray::{Array2, ArrayView1, ArrayView2, Axis};

/// Some rows and columns of a plane, both inside it. Says what `ndarray::s!` says, whose own text is not free of
/// `unsafe`.
pub(crate) fn window<T>(plane: &Array2<T>, rows: Range<usize>, columns: Range<usize>) -> ArrayView2<'_, T> {
    let of_rows = plane.view().split_at(Axis(0), rows.start).1.split_at(Axis(0), rows.len()).0;
    of_rows.split_at(Axis(1), columns.start).1.split_at(Axis(1), columns.len()).0
}

/// The mask grown by a square of this many pixels to each side.
pub(crate) fn grown(mask: &Array2<bool>, reach: usize) -> Array2<bool> {
    let (rows, columns) = mask.dim();
    // More than the longer side reaches no further.
    let reach = reach.min(rows.max(columns));
    let width = columns + 2 * reach;
    let mut wide = vec![false; width * (rows + 2 * reach)];
    for (row, line) in mask.outer_iter().zip(wide.chunks_exact_mut(width.max(1)).skip(reach)) {
        copy(row, &mut line[reach..][..columns]);
    }
    let length = 2 * reach + 1;
    let wide = any_of_next(any_of_next(wide, 1, length), width, length);
    let mut big = Array2::from_elem((rows, columns), false);
    for (mut row, line) in big.outer_iter_mut().zip(wide.chunks_exact(width.max(1))) {
        if let Some(row) = row.as_slice_mut() {
            row.copy_from_slice(&line[..columns]);
        }
    }
    big
}

/// Copies a row of a mask, at once where it lies in one piece.
fn copy(row: ArrayView1<bool>, to: &mut [bool]) {
    match row.as_slice() {
        Some(row) => to.copy_from_slice(row),
        None => to.iter_mut().zip(row).for_each(|(to, from)| *to = *from),
    }
}

/// The mask worn down by a square of this many pixels to each side; what lies beyond the picture wears nothing.
pub(crate) fn worn(mask: &Array2<bool>, reach: usize) -> Array2<bool> {
    grown(&mask.map(|set| !set), reach).map(|set| !set)
}

/// Each value becomes whether any is set of `length`, itself and those after it, `apart` from one to the next.
/// The reach doubles with each round.
fn any_of_next(mut values: Vec<bool>, apart: usize, length: usize) -> Vec<bool> {
    let mut next = values.clone();
    let mut reached = 1;
    while reached < length {
        let step = reached.min(length - reached);
        let later = values.get(step * apart..).unwrap_or_default();
        for ((to, here), later) in next.iter_mut().zip(&values).zip(later) {
            *to = *here | *later;
        }
        std::mem::swap(&mut values, &mut next);
        // Those at the end have none after them.
        let end = values.len().saturating_sub(step * apart);
        values[end..].copy_from_slice(&next[end..]);
        reached += step;
    }
    values
}

/// Pixels that hang together.
pub(crate) type Piece = Vec<(usize, usize)>;

/// The rows and the columns that some pixels span; empty of none.
pub(crate) fn spans(pixels: &[(usize, usize)]) -> (Range<usize>, Range<usize>) {
    let Some(&(y, x)) = pixels.first() else { return (0..0, 0..0) };
    let around = |span: Range<usize>, at: usize| span.start.min(at)..span.end.max(at + 1);
    let start = (y..y + 1, x..x + 1);
    pixels.iter().fold(start, |(rows, columns), &(y, x)| (around(rows, y), around(columns, x)))
}

/// Everything that can be reached from the border without crossing the mask.
pub(crate) fn outside_of(mask: &Array2<bool>) -> Array2<bool> {
    let (rows, columns) = mask.dim();
    let mut joined = Joined::apart(OUTSIDE + 1);
    // Stretches of each row that are free, each with its place among the joined.
    let mut stretches: Vec<Vec<(Range<usize>, usize)>> = Vec::with_capacity(rows);
    for (y, row) in mask.outer_iter().enumerate() {
        let mut here: Vec<(Range<usize>, usize)> = Vec::new();
        let above = stretches.last().map_or(&[][..], Vec::as_slice);
        let mut near = above.iter().peekable();
        for free in free_stretches(row.iter().copied()) {
            let own = joined.add();
            if y == 0 || y + 1 == rows || free.start == 0 || free.end == columns {
                joined.join(own, OUTSIDE);
            }
            // Those above that end before this one ends touch no later one.
            while let Some((other, of)) = near.peek().filter(|(other, _)| other.start < free.end) {
                if other.end > free.start {
                    joined.join(own, *of);
                }
                if other.end > free.end {
                    break;
                }
                near.next();
            }
            here.push((free, own));
        }
        stretches.push(here);
    }
    let mut outside = Array2::from_elem((rows, columns), false);
    for (mut row, stretches) in outside.outer_iter_mut().zip(stretches) {
        for (free, _) in stretches.into_iter().filter(|(_, own)| joined.root(*own) == joined.root(OUTSIDE)) {
            row.iter_mut().skip(free.start).take(free.len()).for_each(|out| *out = true);
        }
    }
    outside
}

/// The stretches of a row in which nothing is set.
fn free_stretches(row: impl Iterator<Item = bool>) -> Vec<Range<usize>> {
    let mut found: Vec<Range<usize>> = Vec::new();
    for (x, _) in row.enumerate().filter(|(_, set)| !set) {
        match found.last_mut().filter(|last| last.end == x) {
            Some(last) => last.end += 1,
            None => found.push(x..x + 1),
        }
    }
    found
}

/// What hangs together, each named by the first it was joined to.
pub(crate) struct Joined(Vec<usize>);

/// The first of them stands for all beyond the border.
const OUTSIDE: usize = 0;

impl Joined {
    /// So many, each by itself.
    pub fn apart(count: usize) -> Self {
        Self((0..count).collect())
    }

    fn add(&mut self) -> usize {
        self.0.push(self.0.len());
        self.0.len() - 1
    }

    /// The first of those that one hangs together with.
    pub fn root(&mut self, mut at: usize) -> usize {
        while self.0[at] != at {
            self.0[at] = self.0[self.0[at]];
            at = self.0[at];
        }
        at
    }

    /// Joins two, with all that hangs together with them.
    pub fn join(&mut self, one: usize, other: usize) {
        let (one, other) = (self.root(one), self.root(other));
        self.0[one.max(other)] = one.min(other);
    }
}

/// Pieces that hang together side to side, in reading order of their first pixel.
pub(crate) fn pieces(mask: &Array2<bool>) -> Vec<Piece> {
    Framed::of(mask).pieces(Framed::take_beside)
}

/// Pieces that hang together side to side or by their corners, in reading order of their first pixel.
pub(crate) fn pieces_around(mask: &Array2<bool>) -> Vec<Piece> {
    Framed::of(mask).pieces(Framed::take_around)
}

/// A mask in one row after another with a frame one pixel wide, so that every pixel has four neighbours.
struct Framed {
    set: Vec<bool>,
    width: usize,
}

impl Framed {
    fn of(mask: &Array2<bool>) -> Self {
        let (rows, columns) = mask.dim();
        let width = columns + 2;
        let mut set = vec![false; width * (rows + 2)];
        for (row, line) in mask.outer_iter().zip(set.chunks_exact_mut(width).skip(1)) {
            copy(row, &mut line[1..=columns]);
        }
        Self { set, width }
    }

    /// Takes the mask apart into pieces; `take` takes the neighbours of a pixel that belong to its piece.
    fn pieces(mut self, take: impl Fn(&mut Self, usize, &mut Vec<usize>)) -> Vec<Piece> {
        let mut found = Vec::new();
        let mut piece = Vec::new();
        let mut from = 0;
        while let Some(start) = self.first_set(from) {
            self.set[start] = false;
            from = start + 1;
            piece.clear();
            piece.push(start);
            let mut next = 0;
            while let Some(&at) = piece.get(next) {
                next += 1;
                take(&mut self, at, &mut piece);
            }
            found.push(piece.iter().map(|at| self.place(*at)).collect());
        }
        found
    }

    /// The first pixel from a place on that is set.
    fn first_set(&self, from: usize) -> Option<usize> {
        /// Looked at side by side: most of a mask is bare.
        const SOME: usize = 32;
        let is_bare = |some: &&[bool]| !some.iter().fold(false, |any, set| any | set);
        let bare = self.set[from..].chunks_exact(SOME).take_while(is_bare).count();
        let from = from + bare * SOME;
        self.set[from..].iter().position(|set| *set).map(|after| from + after)
    }

    /// Unsets the neighbours side to side with a pixel that are set and adds them to the taken: above, left, right,
    /// below.
    fn take_beside(&mut self, at: usize, taken: &mut Vec<usize>) {
        self.take([at.wrapping_sub(self.width), at.wrapping_sub(1), at + 1, at + self.width], taken);
    }

    /// The same of all around it, in reading order.
    fn take_around(&mut self, at: usize, taken: &mut Vec<usize>) {
        let (above, below) = (at.wrapping_sub(self.width), at + self.width);
        let before = [above.wrapping_sub(1), above, above.wrapping_add(1), at.wrapping_sub(1)];
        self.take(before, taken);
        self.take([at + 1, below.wrapping_sub(1), below, below + 1], taken);
    }

    fn take(&mut self, near: [usize; 4], taken: &mut Vec<usize>) {
        for next in near {
            // The frame has no neighbours beyond itself.
            if self.set.get_mut(next).is_some_and(std::mem::take) {
                taken.push(next);
            }
        }
    }

    fn place(&self, at: usize) -> (usize, usize) {
        // Half as wide a number divides far quicker; a mask is a few thousand pixels a side at most.
        let (at, width) = (at as u32, self.width as u32);
        ((at / width - 1) as usize, (at % width - 1) as usize)
    }
}

/// The column that half of what is set lies to the left of; none where nothing is set.
pub(crate) fn axis_of(mask: &Array2<bool>) -> Option<usize> {
    let weights: Vec<usize> =
        mask.columns().into_iter().map(|column| column.iter().filter(|set| **set).count()).collect();
    let half = weights.iter().sum::<usize>() / 2;
    let mut sum = 0;
    weights.iter().position(|weight| {
        sum += weight;
        sum > half
    })
}

/// The pixels of one value that have one of the other value beside them, in reading order.
pub(crate) fn edge_of(mask: &Array2<bool>, value: bool) -> Vec<(usize, usize)> {
    let has_other = |p| beside(p, mask.dim()).any(|n| mask[n] != value);
    mask.indexed_iter().filter(|&(p, &set)| set == value && has_other(p)).map(|(p, _)| p).collect()
}

/// The up to four pixels side to side with one.
pub(crate) fn beside(
    (y, x): (usize, usize),
    (rows, columns): (usize, usize),
) -> impl Iterator<Item = (usize, usize)> {
    // What lies before the first row or column wraps around and is beyond the last.
    let all = [(y.wrapping_sub(1), x), (y, x.wrapping_sub(1)), (y, x + 1), (y + 1, x)];
    all.into_iter().filter(move |&(y, x)| y < rows && x < columns)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn corners_hold_pieces_together_where_they_are_asked() {
        let mut mask = Array2::from_elem((4, 5), false);
        for place in [(0, 0), (1, 1), (2, 0), (0, 4), (3, 4)] {
            mask[place] = true;
        }
        assert_eq!(pieces(&mask).len(), 5);
        assert_eq!(pieces_around(&mask), [vec![(0, 0), (1, 1), (2, 0)], vec![(0, 4)], vec![(3, 4)]]);
    }

    #[test]
    fn outside_is_what_a_walk_from_the_border_reaches() {
        let mut state = 5_u32;
        for (rows, columns, one_in) in
            [(1, 1, 2), (1, 9, 3), (9, 1, 3), (23, 31, 2), (40, 17, 3), (30, 30, 4)]
        {
            let mask = Array2::from_shape_fn((rows, columns), |_| {
                state = state.wrapping_mul(1_664_525).wrapping_add(1_013_904_223);
                (state >> 16).is_multiple_of(one_in)
            });
            let at_border = |&(y, x): &(usize, usize)| y == 0 || x == 0 || y + 1 == rows || x + 1 == columns;
            let mut way: Vec<_> = mask.indexed_iter().map(|(p, _)| p).filter(at_border).collect();
            let mut reached = Array2::from_elem(mask.dim(), false);
            while let Some(p) = way.pop() {
                if !mask[p] && !std::mem::replace(&mut reached[p], true) {
                    way.extend(beside(p, mask.dim()));
                }
            }
            assert_eq!(outside_of(&mask), reached, "{mask:?}");
        }
    }

    #[test]
    fn a_pixel_grows_to_its_square_and_a_square_wears_to_its_pixel() {
        for reach in [0, 1, 2, 5, 30] {
            for place in [(0, 0), (3, 4), (8, 6)] {
                let mut mask = Array2::from_elem((9, 7), false);
                mask[place] = true;
                let big = grown(&mask, reach);
                for ((y, x), set) in big.indexed_iter() {
                    let near = y.abs_diff(place.0) <= reach && x.abs_diff(place.1) <= reach;
                    assert_eq!(*set, near, "{reach} around {place:?} at {y}, {x}");
                }
                assert!(worn(&big, reach)[place]);
            }
        }
        let mut square = Array2::from_elem((9, 9), false);
        (2..7).flat_map(|y| (3..8).map(move |x| (y, x))).for_each(|place| square[place] = true);
        let worn = worn(&square, 2);
        assert!(worn.indexed_iter().all(|(p, set)| *set == (p == (4, 5))));
    }
}
