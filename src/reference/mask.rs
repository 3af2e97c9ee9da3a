//! Masks of pixels: grown, worn down, parted into what hangs together.

use ndarray::Array2;

/// The mask grown by a square of so many pixels to each side.
pub(crate) fn grown(mask: &Array2<bool>, reach: usize) -> Array2<bool> {
    let (rows, columns) = mask.dim();
    // More than the longer side reaches no further.
    let reach = reach.min(rows.max(columns));
    let width = columns + 2 * reach;
    let mut wide = vec![false; width * (rows + 2 * reach)];
    for (row, line) in mask.outer_iter().zip(wide.chunks_exact_mut(width.max(1)).skip(reach)) {
        line[reach..].iter_mut().zip(row).for_each(|(to, from)| *to = *from);
    }
    let length = 2 * reach + 1;
    let wide = any_of_next(any_of_next(wide, 1, length), width, length);
    let mut big = Array2::from_elem((rows, columns), false);
    for (mut row, line) in big.outer_iter_mut().zip(wide.chunks_exact(width.max(1))) {
        row.iter_mut().zip(line).for_each(|(to, from)| *to = *from);
    }
    big
}

/// The mask worn down by a square of so many pixels to each side; what lies beyond the picture wears nothing.
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

/// Everything that can be reached from the border without crossing the mask.
pub(crate) fn outside_of(mask: &Array2<bool>) -> Array2<bool> {
    let mut open = Framed::of(mask, |set| !set, true);
    let mut queue = vec![0];
    open.set[0] = false;
    while let Some(at) = queue.pop() {
        open.take_beside(at, |next| queue.push(next));
    }
    // What is left open was not reached.
    let mut outside = mask.map(|set| !set);
    outside.iter_mut().zip(open.inner()).for_each(|(outside, left)| *outside &= !left);
    outside
}

/// Pieces that hang together side to side, in reading order of their first pixel.
pub(crate) fn pieces(mask: &Array2<bool>) -> Vec<Piece> {
    let mut open = Framed::of(mask, |set| set, false);
    let mut found = Vec::new();
    for start in 0..open.set.len() {
        if !std::mem::take(&mut open.set[start]) {
            continue;
        }
        let mut piece = vec![start];
        let mut next = 0;
        while let Some(&at) = piece.get(next) {
            next += 1;
            open.take_beside(at, |near| piece.push(near));
        }
        found.push(piece.into_iter().map(|at| open.place(at)).collect());
    }
    found
}

/// A mask in one row after another with a frame one pixel wide, so that every pixel has four neighbours.
struct Framed {
    set: Vec<bool>,
    width: usize,
}

impl Framed {
    fn of(mask: &Array2<bool>, value: impl Fn(bool) -> bool, frame: bool) -> Self {
        let (rows, columns) = mask.dim();
        let width = columns + 2;
        let mut set = vec![frame; width * (rows + 2)];
        for (row, line) in mask.outer_iter().zip(set.chunks_exact_mut(width).skip(1)) {
            line[1..].iter_mut().zip(row).for_each(|(to, from)| *to = value(*from));
        }
        Self { set, width }
    }

    /// Unsets the neighbours of a pixel that are set and names them: above, left, right, below.
    fn take_beside(&mut self, at: usize, mut taken: impl FnMut(usize)) {
        // The frame has no neighbours beyond itself.
        let near = [at.wrapping_sub(self.width), at.wrapping_sub(1), at + 1, at + self.width];
        for next in near {
            if self.set.get_mut(next).is_some_and(std::mem::take) {
                taken(next);
            }
        }
    }

    fn place(&self, at: usize) -> (usize, usize) {
        (at / self.width - 1, at % self.width - 1)
    }

    /// The pixels within the frame, in reading order.
    fn inner(&self) -> impl Iterator<Item = bool> {
        let rows = self.set.len() / self.width - 2;
        self.set
            .chunks_exact(self.width)
            .skip(1)
            .take(rows)
            .flat_map(|line| line[1..line.len() - 1].iter().copied())
    }
}

/// Pieces that hang together by a given kind of neighbour.
pub(crate) fn pieces_by<N: Iterator<Item = (usize, usize)>>(
    mask: &Array2<bool>,
    neighbours: impl Fn((usize, usize), (usize, usize)) -> N,
) -> Vec<Piece> {
    let mut seen = Array2::from_elem(mask.dim(), false);
    let mut found = Vec::new();
    for (start, _) in mask.indexed_iter().filter(|(_, set)| **set) {
        if std::mem::replace(&mut seen[start], true) {
            continue;
        }
        let mut piece = vec![start];
        let mut next = 0;
        while let Some(&place) = piece.get(next) {
            next += 1;
            for neighbour in neighbours(place, mask.dim()) {
                if mask[neighbour] && !std::mem::replace(&mut seen[neighbour], true) {
                    piece.push(neighbour);
                }
            }
        }
        found.push(piece);
    }
    found
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

/// The up to eight pixels around one.
pub(crate) fn around_one(
    (y, x): (usize, usize),
    (rows, columns): (usize, usize),
) -> impl Iterator<Item = (usize, usize)> {
    let ys = y.saturating_sub(1)..(y + 2).min(rows);
    let xs = x.saturating_sub(1)..(x + 2).min(columns);
    ys.flat_map(move |ny| xs.clone().map(move |nx| (ny, nx))).filter(move |&place| place != (y, x))
}

#[cfg(test)]
mod tests {
    use super::*;

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
        square.slice_mut(ndarray::s![2..7, 3..8]).fill(true);
        let worn = worn(&square, 2);
        assert!(worn.indexed_iter().all(|(p, set)| *set == (p == (4, 5))));
    }
}
