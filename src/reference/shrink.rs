//! Pictures as light: shrinking and stretching without inventing colours.
//!
//! Averages are taken in linear light with alpha multiplied in, so that clear pixels lend no colour
//! and black beside white makes the grey that the eye sees from afar.

use std::ops::Range;

use image::RgbaImage;
use ndarray::{Array2, ArrayViewMut2, Axis, Zip};
use rayon::prelude::*;

use super::open::Picture;
use super::tally::{Counts, FULL, exact_rows, light_of, sum_rows};
use crate::colour::{Lab, Linear, labs};

/// A rectangle of pixels: x and y of its corner, width and height, all in pixels.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Area {
    /// Left edge.
    pub x: f64,
    /// Top edge.
    pub y: f64,
    /// Width, above 0.
    pub width: f64,
    /// Height, above 0.
    pub height: f64,
}

impl Area {
    /// The whole of a picture.
    pub fn whole(pixels: &RgbaImage) -> Self {
        Self { x: 0.0, y: 0.0, width: f64::from(pixels.width()), height: f64::from(pixels.height()) }
    }

    /// The box around some points; at least a pixel each way.
    pub fn around(points: impl IntoIterator<Item = (f64, f64)>) -> Self {
        let start = (f64::INFINITY, f64::INFINITY, f64::NEG_INFINITY, f64::NEG_INFINITY);
        let (left, top, right, bottom) =
            points.into_iter().fold(start, |(l, t, r, b), (x, y)| (l.min(x), t.min(y), r.max(x), b.max(y)));
        Self { x: left, y: top, width: (right - left).max(1.0), height: (bottom - top).max(1.0) }
    }

    /// Whether a place lies in this area, or on its edge.
    pub fn holds(self, (x, y): (f64, f64)) -> bool {
        (self.x..=self.x + self.width).contains(&x) && (self.y..=self.y + self.height).contains(&y)
    }

    /// The same area of a picture in which each pixel stands for `by` x `by`.
    fn in_means(self, by: u32) -> Self {
        let by = f64::from(by);
        Self { x: self.x / by, y: self.y / by, width: self.width / by, height: self.height / by }
    }

    /// This area grown by `margin` pixels on every side, kept inside `bounds`.
    pub fn grown_within(self, margin: f64, bounds: Area) -> Self {
        let left = (self.x - margin).max(bounds.x);
        let top = (self.y - margin).max(bounds.y);
        let right = (self.x + self.width + margin).min(bounds.x + bounds.width);
        let bottom = (self.y + self.height + margin).min(bounds.y + bounds.height);
        Self { x: left, y: top, width: right - left, height: bottom - top }
    }
}

/// One pixel of light: linear red, green and blue times alpha, and alpha; each 0 to 1.
pub type Light = [f32; 4];

/// Opacity from which a pixel counts as there at all when its colour is asked for.
const BARELY_THERE: f32 = 1.0 / 512.0;

/// The colour of a pixel of light, and black where it is clear.
pub fn colour_of(light: Light) -> Linear {
    let [r, g, b, alpha] = light;
    let scale = if alpha > BARELY_THERE { 1.0 / f64::from(alpha) } else { 0.0 };
    Linear { r: f64::from(r) * scale, g: f64::from(g) * scale, b: f64::from(b) * scale }
}

/// The colour of a pixel of light in single precision, and black where it is clear.
pub(super) fn straight([r, g, b, alpha]: Light) -> [f32; 3] {
    let scale = if alpha > BARELY_THERE { 1.0 / alpha } else { 0.0 };
    [r * scale, g * scale, b * scale]
}

/// The Lab of each pixel, once it is brought to plain light.
pub(super) fn labs_of(light: &Array2<Light>, shown: impl Fn(Light) -> [f32; 3] + Sync) -> Array2<Lab> {
    let mut colours = Array2::from_elem(light.dim(), Lab::new(0.0, 0.0, 0.0));
    Zip::from(colours.rows_mut()).and(light.rows()).par_for_each(|mut row, light| {
        let labs = labs(light.iter().map(|&light| shown(light)));
        row.iter_mut().zip(labs).for_each(|(out, lab)| *out = lab);
    });
    colours
}

/// Brings an area of a picture to `rows` x `columns` pixels of light.
///
/// Shrinking weighs with a tent two target pixels wide (its stray frequencies stay under 5 %, a plain
/// box lets 21 % through); stretching draws straight lines between pixel centres. Shrinking far, boxes of
/// source pixels are summed first and the tent is laid over the boxes.
pub fn resample(pixels: &RgbaImage, area: Area, rows: usize, columns: usize) -> Array2<Light> {
    look(pixels, area, rows, columns).into_light()
}

/// A shrunk picture whose pixels may still be counts, so that pixels can be mixed before they become light.
pub(super) struct Look {
    pub(super) values: Array2<[f32; 4]>,
    /// What full light counts; nothing where the values are light already.
    full: Option<f32>,
}

impl Look {
    /// The light of a value, or of a mixture of values.
    pub(super) fn light(&self, value: [f32; 4]) -> Light {
        self.full.map_or(value, |full| light_of(value, full))
    }

    pub(super) fn into_light(mut self) -> Array2<Light> {
        if let Some(full) = self.full {
            self.values.par_mapv_inplace(|value| light_of(value, full));
        }
        self.values
    }
}

fn look(pixels: &RgbaImage, area: Area, rows: usize, columns: usize) -> Look {
    let across = Side::new(area.x, area.width, columns, pixels.width() as usize);
    let down = Side::new(area.y, area.height, rows, pixels.height() as usize);
    if across.size * down.size == 1 {
        let fill = || |rows: Range<usize>, line: &mut [Light]| exact_rows(pixels, rows, across.first, line);
        return Look { values: tented(&down, &across, fill), full: None };
    }
    counted(&down, &across, f32::from(FULL), |rows, sums| sum_rows(pixels, rows, across.first, sums))
}

/// Lays tents over boxes of counts. `sum` gives the sums of some rows of the source, column by column, from the
/// first column on that is used; `full` is what full light counts in one of its pixels.
fn counted(down: &Side, across: &Side, full: f32, sum: impl Fn(Range<usize>, &mut [Counts]) + Sync) -> Look {
    let values = tented(down, across, || {
        let mut sums = vec![[0; 4]; across.end - across.first];
        let sum = &sum;
        move |rows: Range<usize>, line: &mut [[f32; 4]]| {
            sum(rows, &mut sums);
            gather(&sums, across.size, line);
        }
    });
    Look { values, full: Some(full * (down.size * across.size) as f32) }
}

/// Lays tents over boxes; `filler` makes what gives the boxes of some rows of the source, one for each band of targets.
fn tented<Fill: FnMut(Range<usize>, &mut [[f32; 4]])>(
    down: &Side,
    across: &Side,
    filler: impl Fn() -> Fill + Sync,
) -> Array2<[f32; 4]> {
    /// Rows of a band: a box at its end is read for the next band too.
    const BAND: usize = 48;
    let mut out = Array2::from_elem((down.taps.len(), across.taps.len()), [0.0_f32; 4]);
    let bands = out.axis_chunks_iter_mut(Axis(0), BAND).into_par_iter().zip(down.taps.par_chunks(BAND));
    bands.for_each(|(out, taps)| tented_band(out, taps, (down, across), filler()));
    out
}

fn tented_band(
    mut out: ArrayViewMut2<[f32; 4]>,
    taps: &[Taps],
    (down, across): (&Side, &Side),
    mut fill: impl FnMut(Range<usize>, &mut [[f32; 4]]),
) {
    let mut boxes = vec![[0.0_f32; 4]; across.boxes];
    let mut line = vec![[0.0_f32; 4]; out.ncols()];
    // Targets come in the order of their first boxes, so those a box belongs to are a run.
    let mut targets = 0..0;
    let used = taps.first().map_or(0, |tap| tap.first)..taps.last().map_or(0, Taps::end);
    for at in used {
        while targets.end < taps.len() && taps[targets.end].first <= at {
            targets.end += 1;
        }
        while targets.start < targets.end && taps[targets.start].end() <= at {
            targets.start += 1;
        }
        fill(down.pixels_of(at), &mut boxes);
        squeeze(&boxes, across, &mut line);
        for row in targets.clone() {
            let Some(&weight) = taps[row].weights.get(at - taps[row].first) else { continue };
            for (out, from) in out.row_mut(row).iter_mut().zip(&line) {
                (0..4).for_each(|c| out[c] += weight * from[c]);
            }
        }
    }
}

/// Adds neighbouring columns up to boxes.
fn gather(sums: &[Counts], size: usize, boxes: &mut [[f32; 4]]) {
    if size == 1 {
        for (out, column) in boxes.iter_mut().zip(sums) {
            (0..4).for_each(|c| out[c] = column[c] as i32 as f32);
        }
        return;
    }
    for (out, columns) in boxes.iter_mut().zip(sums.chunks(size)) {
        let whole = total(columns);
        // A box holds at most 2^30: signed numbers become floats faster.
        (0..4).for_each(|c| out[c] = whole[c] as i32 as f32);
    }
}

fn total(columns: &[Counts]) -> Counts {
    let mut sum = [0; 4];
    for column in columns {
        (0..4).for_each(|c| sum[c] += column[c]);
    }
    sum
}

/// Lays the tents over one row of boxes.
fn squeeze(boxes: &[[f32; 4]], across: &Side, line: &mut [[f32; 4]]) {
    for (tap, out) in across.taps.iter().zip(line) {
        let mut sum = [0.0_f32; 4];
        for (from, &weight) in boxes[tap.first..].iter().zip(&tap.weights) {
            (0..4).for_each(|c| sum[c] += weight * from[c]);
        }
        *out = sum;
    }
}

/// Most pixels along a side of a box: the counts of 128 x 128 are half of what 31 bits hold.
const LARGEST_BOX: usize = 128;

/// A picture to be looked at more than once: a large one is read once and boxes of it are kept, for looks
/// that shrink further.
pub(super) struct Overview<'a> {
    picture: &'a Picture,
    /// The picture's pixels, or means of `by` x `by` of them.
    pixels: &'a RgbaImage,
    by: u32,
    /// The part of the picture that may be looked at.
    pub(super) area: Area,
    reduced: Option<Reduced>,
}

/// Sums of square boxes of pixels.
struct Reduced {
    /// Side of a box in pixels.
    size: usize,
    /// Where the first box begins, in pixels.
    left: usize,
    top: usize,
    sums: Array2<[u16; 4]>,
    /// What full light counts in a box.
    full: f32,
}

impl<'a> Overview<'a> {
    /// Reads an area of a picture, for looks from afar.
    pub(super) fn of(picture: &'a Picture, area: Area) -> Self {
        /// Least pixels along the longer side: half again as many as in a look from afar.
        const LEAST: f64 = 720.0;
        /// Most boxes along the longer side: three to a pixel of the look from afar.
        const MOST: f64 = 1440.0;
        let longer = area.width.max(area.height);
        let (pixels, by) = picture.look(longer / LEAST);
        let size = ((longer / f64::from(by) / MOST).ceil() as usize).min(LARGEST_BOX);
        let reduced = (size > 1).then(|| Reduced::of(pixels, area.in_means(by), size));
        Self { picture, pixels, by, area, reduced }
    }

    /// The same for closer looks, where `step` pixels of the picture become one; nothing where this serves.
    pub(super) fn closer(&self, step: f64) -> Option<Self> {
        let serves = f64::from(self.by) <= step.max(1.0);
        (!serves).then(|| {
            let (pixels, by) = self.picture.look(step);
            Self { pixels, by, reduced: None, ..*self }
        })
    }

    /// Most pixels that a look may have to one of the picture's without being stretched.
    pub(super) fn finest(&self) -> f64 {
        1.0 / f64::from(self.by)
    }

    /// The means that there are of an area, [`Overview::finest`] to a pixel, and where in the picture the first of them
    /// lies; nothing where the picture's own pixels are looked at.
    pub(super) fn part(&self, area: Area) -> Option<(Look, [f64; 2])> {
        (self.by > 1).then(|| {
            let (look, place) = part(self.pixels, area.in_means(self.by));
            (look, place.map(|at| at as f64 * f64::from(self.by)))
        })
    }

    /// Width and height of the whole picture in pixels.
    pub(super) fn size(&self) -> (u32, u32) {
        self.picture.size()
    }

    /// As [`resample`] of the picture.
    pub(super) fn resample(&self, area: Area, rows: usize, columns: usize) -> Array2<Light> {
        self.look(area, rows, columns).into_light()
    }

    /// As [`resample`] of the picture, not yet light.
    pub(super) fn look(&self, area: Area, rows: usize, columns: usize) -> Look {
        let area = area.in_means(self.by);
        let step = (area.width / columns as f64).min(area.height / rows as f64);
        match &self.reduced {
            Some(reduced) if reduced.size as f64 <= WIDEST_BOX * step => reduced.look(area, rows, columns),
            _ => look(self.pixels, area, rows, columns),
        }
    }
}

/// The pixels that an area of a picture touches, and one more to each side where there is one, as light; and where in it
/// the first of them lies.
fn part(pixels: &RgbaImage, area: Area) -> (Look, [usize; 2]) {
    let span = |start: f64, length: f64, most: u32| {
        let place = |v: f64| v.clamp(0.0, f64::from(most - 1)) as usize;
        place(start - 1.0)..place((start + length).ceil()) + 1
    };
    let across = span(area.x, area.width, pixels.width());
    let down = span(area.y, area.height, pixels.height());
    let mut values = Array2::from_elem((down.len(), across.len()), [0.0; 4]);
    values.outer_iter_mut().into_par_iter().zip(down.clone()).for_each(|(mut row, y)| {
        if let Some(row) = row.as_slice_mut() {
            exact_rows(pixels, y..y + 1, across.start, row);
        }
    });
    (Look { values, full: None }, [across.start, down.start])
}

impl Reduced {
    fn of(pixels: &RgbaImage, area: Area, size: usize) -> Self {
        let (left, top) = (area.x as usize, area.y as usize);
        let boxes =
            |end: f64, most: u32, start: usize| ((end.ceil() as usize).min(most as usize) - start) / size;
        let columns = boxes(area.x + area.width, pixels.width(), left);
        let rows = boxes(area.y + area.height, pixels.height(), top);
        // Down to sixteen bits.
        let shift = (size * size).next_power_of_two().trailing_zeros();
        let mut sums = Array2::from_elem((rows.max(1), columns.max(1)), [0; 4]);
        let line = || vec![[0; 4]; columns * size];
        let lines = sums.outer_iter_mut().into_par_iter().enumerate().take(rows);
        lines.for_each_init(line, |line, (at, mut out)| {
            sum_rows(pixels, top + at * size..top + (at + 1) * size, left, line);
            for (out, columns) in out.iter_mut().zip(line.chunks_exact(size)) {
                let whole = total(columns);
                (0..4).for_each(|c| out[c] = (whole[c] >> shift) as u16);
            }
        });
        let full = f32::from(FULL) * (size * size) as f32 / (1_u32 << shift) as f32;
        Self { size, left, top, sums, full }
    }

    fn look(&self, area: Area, rows: usize, columns: usize) -> Look {
        let size = self.size as f64;
        let place = |v: f64, start: usize| (v - start as f64) / size;
        let across = Side::new(place(area.x, self.left), area.width / size, columns, self.sums.ncols());
        let down = Side::new(place(area.y, self.top), area.height / size, rows, self.sums.nrows());
        counted(&down, &across, self.full, |rows, sums| {
            sums.fill([0; 4]);
            for row in rows {
                let row = self.sums.row(row);
                for (sum, from) in sums.iter_mut().zip(row.iter().skip(across.first)) {
                    (0..4).for_each(|c| sum[c] += u32::from(from[c]));
                }
            }
        })
    }
}

/// Boxes are at most this wide beside a target pixel.
const WIDEST_BOX: f64 = 0.9;

/// One direction of a shrinking: the boxes of source pixels, and which of them each target is made of.
struct Side {
    /// The first source pixel that is used, and the one past the last.
    first: usize,
    end: usize,
    /// Source pixels along a box; the last box may have fewer.
    size: usize,
    boxes: usize,
    taps: Vec<Taps>,
}

/// The boxes a target pixel is made of, with weights that add up to 1.
struct Taps {
    first: usize,
    weights: Vec<f32>,
}

impl Taps {
    fn end(&self) -> usize {
        self.first + self.weights.len()
    }
}

impl Side {
    fn new(start: f64, length: f64, targets: usize, sources: usize) -> Self {
        let step = length / targets as f64;
        let size = ((step * WIDEST_BOX) as usize).clamp(1, LARGEST_BOX);
        // A box widens what the tent lets through; this much narrower, both together have the tent's variance
        // (a box's is a twelfth of its square, a tent's a sixth). No box may fall between two tents.
        let narrower = if size > 1 { (size * size) as f64 / 2.0 } else { 0.0 };
        let reach = (step.max(1.0).powi(2) - narrower).sqrt().max(size as f64);
        let place = |v: f64| v.clamp(0.0, (sources - 1) as f64) as usize;
        let first = place((start + 0.5 * step - reach).floor());
        let end = place((start + length - 0.5 * step + reach).ceil()) + 1;
        let side = Self { first, end, size, boxes: (end - first).div_ceil(size), taps: Vec::new() };
        let taps = (0..targets).map(|i| side.tap(start + (i as f64 + 0.5) * step, reach)).collect();
        Self { taps, ..side }
    }

    /// The source pixels of a box.
    fn pixels_of(&self, at: usize) -> Range<usize> {
        let start = self.first + at * self.size;
        start..(start + self.size).min(self.end)
    }

    /// The tent over the boxes around a place.
    fn tap(&self, centre: f64, reach: f64) -> Taps {
        let size = self.size as f64;
        let box_at = |v: f64| ((v - self.first as f64) / size - 0.5).clamp(0.0, (self.boxes - 1) as f64);
        let first = box_at(centre - reach).ceil() as usize;
        let last = (box_at(centre + reach).floor() as usize).max(first);
        // The last box may have fewer pixels; its sum counts this much less by itself.
        let tent = |at: usize| {
            let pixels = self.pixels_of(at);
            let middle = (pixels.start + pixels.end) as f64 / 2.0;
            (1.0 - (middle - centre).abs() / reach).max(1e-6)
        };
        let whole: f64 = (first..=last).map(|at| tent(at) * self.pixels_of(at).len() as f64 / size).sum();
        Taps { first, weights: (first..=last).map(|at| (tent(at) / whole) as f32).collect() }
    }
}
