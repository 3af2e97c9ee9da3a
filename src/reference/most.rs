//! The largest value around each place of a plane, in time that does not grow with how far is looked.

use std::collections::VecDeque;

use ndarray::{Array2, ArrayView1, Axis};

/// The largest value within a square of this many pixels to each side; no less than 0.
pub(super) fn most_around(values: &Array2<f64>, reach: usize) -> Array2<f64> {
    let mut most = values.clone();
    // The most of a square is the most of its rows' mosts.
    for axis in [Axis(1), Axis(0)] {
        for mut line in most.lanes_mut(axis) {
            let along = most_along(line.view(), reach);
            line.iter_mut().zip(along).for_each(|(value, most)| *value = most);
        }
    }
    most
}

/// The largest value up to `reach` places before and behind each place of a line.
fn most_along(line: ArrayView1<f64>, reach: usize) -> Vec<f64> {
    // Places whose values nothing behind them exceeds: the first has the most of all.
    let mut candidates: VecDeque<usize> = VecDeque::new();
    let mut next = 0;
    let most_at = |at: usize| {
        while next < line.len() && next <= at.saturating_add(reach) {
            while candidates.back().is_some_and(|&last| line[last] <= line[next]) {
                candidates.pop_back();
            }
            candidates.push_back(next);
            next += 1;
        }
        while candidates.front().is_some_and(|&first| first.saturating_add(reach) < at) {
            candidates.pop_front();
        }
        candidates.front().map_or(0.0, |&first| line[first].max(0.0))
    };
    (0..line.len()).map(most_at).collect()
}

#[cfg(test)]
mod tests {
    use ndarray::Array2;

    use super::most_around;

    /// Looked up place by place, for any reach: none, some, past both ends.
    #[test]
    fn it_is_the_most_of_the_square() {
        let mut state = 7_u32;
        let values = Array2::from_shape_fn((9, 14), |_| {
            state = state.wrapping_mul(1_664_525).wrapping_add(1_013_904_223);
            f64::from(state >> 24) - 40.0
        });
        for reach in [0, 1, 2, 5, 8, 13, 500, usize::MAX] {
            let most = most_around(&values, reach);
            for ((y, x), &most) in most.indexed_iter() {
                let near =
                    values.indexed_iter().filter(|((v, u), _)| v.abs_diff(y).max(u.abs_diff(x)) <= reach);
                assert_eq!(most, near.map(|(_, value)| *value).fold(0.0, f64::max), "{reach} at {y}, {x}");
            }
        }
    }
}
