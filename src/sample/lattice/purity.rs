//! How purely windows hold one label each: what the search for a lattice makes small.

use ndarray::Array3;

use super::Lattice;
use crate::reference::Area;
use crate::sample::labels::{GROUND, Labels};
use crate::units::{Column, Row};

/// Sums of each label over any window, from summed-area tables.
pub(super) struct Purity {
    tables: Array3<f32>,
    labels: usize,
    all_subject: f64,
}

impl Purity {
    pub fn new(labels: &Labels) -> Self {
        let (rows, columns) = labels.plane.dim();
        let count = labels.clusters.len() + 1;
        let mut tables = Array3::zeros((rows + 1, columns + 1, count));
        let mut line = vec![0.0_f32; count];
        for y in 0..rows {
            line.fill(0.0);
            for x in 0..columns {
                line[labels.plane[(y, x)] as usize] += 1.0;
                for (l, sum) in line.iter().enumerate() {
                    tables[(y + 1, x + 1, l)] = tables[(y, x + 1, l)] + sum;
                }
            }
        }
        let all_subject = (1..count).map(|l| f64::from(tables[(rows, columns, l)])).sum();
        Self { tables, labels: count, all_subject }
    }

    /// Pixels of the window that are not its winner's, and pixels of subject in it. What lies beyond
    /// the picture counts as ground.
    pub fn impurity(&self, window: Area) -> (f64, f64) {
        let mut most = 0.0_f64;
        let mut all = 0.0;
        let mut ground = 0.0;
        let corners = self.corners(window);
        for label in 0..self.labels {
            let share =
                corners.iter().map(|&(p, weight)| weight * self.tables[(p.0, p.1, label)]).sum::<f32>();
            let share = f64::from(share.max(0.0));
            most = most.max(share);
            all += share;
            if label == GROUND as usize {
                ground = share;
            }
        }
        (all - most, all - ground)
    }

    /// The sixteen table entries a window with broken edges is made of, four a corner.
    fn corners(&self, window: Area) -> [((usize, usize), f32); 16] {
        let (rows, columns, _) = self.tables.dim();
        let split = |v: f64, most: usize| {
            let v = v.clamp(0.0, (most - 1) as f64);
            let low = (v.floor() as usize).min(most - 1);
            let high = (low + 1).min(most - 1);
            let part = (v - low as f64) as f32;
            [(low, 1.0 - part), (high, part)]
        };
        let ys = [split(window.y, rows), split(window.y + window.height, rows)];
        let xs = [split(window.x, columns), split(window.x + window.width, columns)];
        let mut out = [((0, 0), 0.0); 16];
        let mut i = 0;
        for (iy, y) in ys.iter().enumerate() {
            for (ix, x) in xs.iter().enumerate() {
                let sign = if iy == ix { 1.0 } else { -1.0 };
                for &(py, wy) in y {
                    for &(px, wx) in x {
                        out[i] = ((py, px), sign * wy * wx);
                        i += 1;
                    }
                }
            }
        }
        out
    }

    /// The share of the subject's pixels that the windows of some rows misread, plus what of the
    /// subject they leave out.
    pub fn cost_of_rows(&self, lattice: &Lattice, rows: std::ops::Range<usize>) -> (f64, f64) {
        let (mut wrong, mut inside) = (0.0_f64, 0.0_f64);
        for row in rows {
            for column in 0..lattice.columns {
                let (impure, subject) = self.impurity(lattice.window(Row(row), Column(column)));
                wrong += impure;
                inside += subject;
            }
        }
        (wrong, inside)
    }

    pub fn cost(&self, lattice: &Lattice) -> f64 {
        let (wrong, inside) = self.cost_of_rows(lattice, 0..lattice.rows());
        (wrong + (self.all_subject - inside).max(0.0)) / self.all_subject.max(1.0)
    }
}
