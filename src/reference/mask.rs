//! Masks of pixels, grown and worn down.

use ndarray::Array2;

/// The mask grown by a square of so many pixels to each side.
pub(crate) fn grown(mask: &Array2<bool>, reach: usize) -> Array2<bool> {
    let (rows, columns) = mask.dim();
    if rows * columns == 0 || reach == 0 {
        return mask.clone();
    }
    let mut out: Vec<bool> = mask.iter().copied().collect();
    // More than the longer side reaches no further.
    let steps = (reach.min(rows.max(columns)) + 1) as u32;
    for row in out.chunks_exact_mut(columns) {
        along(row, steps);
    }
    let given = out.clone();
    let mut left = vec![0_u32; columns];
    let mut carry = |row: usize, left: &mut [u32]| {
        let span = row * columns..(row + 1) * columns;
        for ((out, given), left) in out[span.clone()].iter_mut().zip(&given[span]).zip(left) {
            *left = if *given { steps } else { left.saturating_sub(1) };
            *out |= *left > 0;
        }
    };
    (0..rows).for_each(|row| carry(row, &mut left));
    left.fill(0);
    (0..rows).rev().for_each(|row| carry(row, &mut left));
    let mut grown = mask.clone();
    grown.iter_mut().zip(out).for_each(|(to, from)| *to = from);
    grown
}

/// The mask worn down by a square of so many pixels to each side; what lies beyond the picture wears nothing.
pub(crate) fn worn(mask: &Array2<bool>, reach: usize) -> Array2<bool> {
    grown(&mask.map(|set| !set), reach).map(|set| !set)
}

/// Grows a row both ways; each set pixel sets `steps` with itself.
fn along(row: &mut [bool], steps: u32) {
    let mut left = 0;
    let mut back = vec![false; row.len()];
    for (out, &given) in back.iter_mut().zip(&*row).rev() {
        left = if given { steps } else { left.saturating_sub(1) };
        *out = left > 0;
    }
    left = 0;
    for (out, back) in row.iter_mut().zip(back) {
        left = if *out { steps } else { left.saturating_sub(1) };
        *out = back || left > 0;
    }
}
