//! Looks through a tilted sheet: each pixel is taken from its place in the photograph.

use imageproc::geometric_transformations::Projection;
use ndarray::Array2;
use rayon::prelude::*;

use super::shrink::{Area, Light, Look, Overview};
use super::sight::{Sight, View};

impl Sight {
    /// Looks at a part of a sheet: shrinks the part of the picture it lies in, then straightens that.
    pub(super) fn through(
        overview: &Overview,
        sheet: Projection,
        area: Area,
        rows: usize,
        columns: usize,
    ) -> Self {
        let view = View::Sheet { sheet, area, columns: columns as f64, rows: rows as f64 };
        let corner = |x: f64, y: f64| view.to_picture((x * columns as f64, y * rows as f64));
        let corners = [corner(0.0, 0.0), corner(1.0, 0.0), corner(1.0, 1.0), corner(0.0, 1.0)];
        let span = |values: [f64; 4]| {
            values.iter().fold((f64::MAX, f64::MIN), |(low, high), &v| (low.min(v), high.max(v)))
        };
        let ((left, right), (top, bottom)) = (span(corners.map(|c| c.0)), span(corners.map(|c| c.1)));
        let box_ = Area { x: left, y: top, width: (right - left).max(1.0), height: (bottom - top).max(1.0) };
        /// A box at most this many times as high as the sheet in it is looked at as finely as the sheet is.
        const MOST_TILTED: f64 = 4.0;
        /// Finer than the target, so that straightening blurs little.
        const FINER: f64 = 1.5;
        let fits = |length: usize, side: f64| FINER * length as f64 / side;
        // Turned on its side a sheet may need more rows; seen far aslant its box has far more than the sheet.
        let longest = columns.max(rows);
        let scale =
            fits(columns, box_.width).min(fits(longest, box_.height) * MOST_TILTED).min(overview.finest());
        // Means that would not be shrunk are taken as they are: a tent over them would only blur.
        let (near, [left, top]) = match (scale >= overview.finest()).then(|| overview.part(box_)).flatten() {
            Some(part) => part,
            None => {
                let size = |length: f64| ((length * scale) as usize).max(1);
                (overview.look(box_, size(box_.height), size(box_.width)), [left, top])
            }
        };
        let place = |x: usize, y: usize| {
            let (px, py) = view.to_picture((x as f64 + 0.5, y as f64 + 0.5));
            [((px - left) * scale - 0.5) as f32, ((py - top) * scale - 0.5) as f32]
        };
        let mut light = straighten(&near, (rows, columns), place);
        if corners.iter().any(|&corner| !overview.area.holds(corner)) {
            // What the frame cuts off is nobody's: it shows as white paper.
            for ((y, x), light) in light.indexed_iter_mut() {
                if !overview.area.holds(view.to_picture((x as f64 + 0.5, y as f64 + 0.5))) {
                    *light = [0.0; 4];
                }
            }
        }
        Self::new(light, scale, view, area)
    }
}

/// Takes each pixel from its place in a look. Over a few pixels the way there is as good as straight.
fn straighten(
    look: &Look,
    (rows, columns): (usize, usize),
    place: impl Fn(usize, usize) -> [f32; 2] + Sync,
) -> Array2<Light> {
    /// Pixels from one exact place to the next.
    const STRIDE: usize = 8;
    let mut light = Array2::from_elem((rows, columns), [0.0; 4]);
    light.outer_iter_mut().into_par_iter().enumerate().for_each(|(y, mut row)| {
        let mut from = place(0, y);
        for start in (0..columns).step_by(STRIDE) {
            // Beyond the look the way may bend at the horizon.
            let end = (start + STRIDE).min(columns);
            let to = place(end, y);
            let step = [0, 1].map(|i| (to[i] - from[i]) / (end - start) as f32);
            for (i, pixel) in row.iter_mut().skip(start).take(STRIDE).enumerate() {
                let along = i as f32;
                *pixel =
                    look.light(between(&look.values, from[0] + step[0] * along, from[1] + step[1] * along));
            }
            from = to;
        }
    });
    light
}

/// What lies between four pixels, edges repeated.
fn between(values: &Array2<[f32; 4]>, x: f32, y: f32) -> [f32; 4] {
    let (rows, columns) = values.dim();
    let split = |v: f32, most: usize| {
        let v = v.max(0.0).min((most - 1) as f32);
        let low = v as usize;
        (low, (low + 1).min(most - 1), v - low as f32)
    };
    let ((x0, x1, fx), (y0, y1, fy)) = (split(x, columns), split(y, rows));
    let (upper, lower) = (values.row(y0), values.row(y1));
    let (a, b, c, d) = (&upper[x0], &upper[x1], &lower[x0], &lower[x1]);
    let mut out = [0.0; 4];
    for i in 0..4 {
        let (top, bottom) = (a[i] + (b[i] - a[i]) * fx, c[i] + (d[i] - c[i]) * fx);
        out[i] = top + (bottom - top) * fy;
    }
    out
}
