//! Straight lines along which a picture changes: the sides of calm regions, and ridges of change.

use imageproc::geometry::{approximate_polygon_dp, arc_length, convex_hull};
use imageproc::point::Point as Pixel;
use ndarray::Array2;
use rayon::prelude::*;

use super::field::Field;
use super::line::{Line, Point, between, distance, minus};
use crate::reference::mask::{Piece, pieces, worn};

/// Changes below which a region is calm, finest first: paper under a lamp, and with a grain or noise.
const CALM: [f32; 3] = [0.012, 0.020, 0.036];

/// The largest calm regions that are looked at, at each of them.
const REGIONS: usize = 3;

/// A calm region covers at least this share of the picture: a sheet that a figure and its shadow cut up.
const LEAST_REGION: f64 = 0.02;

/// Lines kept, the strongest first.
const MOST_LINES: usize = 36;

/// Lines that lie this near are one: degrees, and pixels in the middle of the picture.
const SAME_ANGLE: f64 = 2.0;
const SAME_OFFSET: f64 = 3.5;

/// Changes below this are no ridge.
pub(super) const FAINTEST: f32 = 0.010;

/// Stronger changes count no more than this, so that ink does not outweigh paper.
const STRONGEST: f32 = 0.05;

/// Candidates for the sides of a sheet.
pub(super) fn lines(field: &Field) -> Vec<Line> {
    let mut found: Vec<(Line, f64)> = Vec::new();
    let of_calm = || -> Vec<Vec<_>> { CALM.par_iter().map(|&calm| sides_of_calm(field, calm)).collect() };
    let (calm, ridges) = rayon::join(of_calm, || ridges(field));
    let strayed: Vec<_> = calm.into_iter().flatten().chain(ridges).collect();
    let refined: Vec<_> = strayed.par_iter().map(|&(from, to)| refined(field, from, to)).collect();
    found.extend(refined.into_iter().flatten());
    found.sort_by(|a, b| b.1.total_cmp(&a.1));
    let (rows, columns) = field.dim();
    let middle = (columns as f64 / 2.0, rows as f64 / 2.0);
    let mut kept: Vec<Line> = Vec::new();
    for (line, _) in found {
        let is_same = |other: &Line| {
            line.angle(*other) < SAME_ANGLE
                && (line.off(middle).abs() - other.off(middle).abs()).abs() < SAME_OFFSET
                && distance(line.nearest(middle), other.nearest(middle)) < 2.0 * SAME_OFFSET
        };
        if kept.len() < MOST_LINES && !kept.iter().any(is_same) {
            kept.push(line);
        }
    }
    kept
}

/// The long sides of the largest calm regions' hulls, except for those along the frame.
fn sides_of_calm(field: &Field, calm: f32) -> Vec<(Point, Point)> {
    /// Leaks through a soft stretch of an edge are narrower than twice this.
    const LEAK: usize = 2;
    /// A hull is simplified by this much of its length, and a side of it has at least this much of the picture's longer.
    const SLACK: f64 = 0.006;
    const LEAST_SIDE: f64 = 0.1;
    let (rows, columns) = field.dim();
    let is_calm = worn(&field.change.map(|change| *change < calm), LEAK);
    let mut regions = pieces(&is_calm);
    regions.sort_by_key(|region| std::cmp::Reverse(region.len()));
    let least = LEAST_REGION * (rows * columns) as f64;
    let large = regions.into_iter().take(REGIONS).filter(|region| region.len() as f64 >= least);
    let longest = LEAST_SIDE * rows.max(columns) as f64;
    large
        .flat_map(|region| {
            let hull = convex_hull(ends_of_rows(&region));
            let slack = SLACK * arc_length(&hull, true);
            let corners = approximate_polygon_dp(&hull, slack, true);
            let place = |p: &Pixel<i32>| (f64::from(p.x), f64::from(p.y));
            let sides: Vec<(Point, Point)> = (0..corners.len())
                .map(|i| (place(&corners[i]), place(&corners[(i + 1) % corners.len()])))
                .collect();
            sides
        })
        .filter(|&(a, b)| distance(a, b) >= longest && !is_on_frame(field, a, b))
        .collect()
}

/// The first and last pixel of each row of a region: all that its hull needs.
fn ends_of_rows(region: &Piece) -> Vec<Pixel<i32>> {
    let rows = region.iter().map(|p| p.0).max().map_or(0, |last| last + 1);
    let mut ends: Vec<Option<(usize, usize)>> = vec![None; rows];
    for &(y, x) in region {
        let (first, last) = ends[y].unwrap_or((x, x));
        ends[y] = Some((first.min(x), last.max(x)));
    }
    let places = ends.into_iter().enumerate().filter_map(|(y, ends)| ends.map(|ends| (y, ends)));
    places.flat_map(|(y, (first, last))| [first, last].map(|x| Pixel::new(x as i32, y as i32))).collect()
}

fn is_on_frame(field: &Field, a: Point, b: Point) -> bool {
    /// A calm region ends this far before the frame.
    const NEAR: f64 = 5.0;
    let (rows, columns) = field.dim();
    let (right, bottom) = (columns as f64 - 1.0, rows as f64 - 1.0);
    [(a.0, b.0, 0.0), (a.0, b.0, right), (a.1, b.1, 0.0), (a.1, b.1, bottom)]
        .iter()
        .any(|(a, b, edge)| (a - edge).abs() <= NEAR && (b - edge).abs() <= NEAR)
}

/// Runs of ridge pixels that lie in one line, by an oriented Hough transform: each ridge pixel speaks only for
/// lines across the direction it changes in.
fn ridges(field: &Field) -> Vec<(Point, Point)> {
    /// Steps of angle over half a turn, and pixels from one offset to the next.
    const ANGLES: usize = 120;
    const STEP: f64 = 3.0;
    /// A pixel speaks for its own angle and this many steps to each side.
    const SPREAD: usize = 1;
    /// Peaks taken, and how much of the picture's shorter side a peak must be worth at the faintest change.
    const PEAKS: usize = 24;
    const LEAST: f64 = 0.2;
    let (rows, columns) = field.dim();
    let centre = (columns as f64 / 2.0, rows as f64 / 2.0);
    let reach = centre.0.hypot(centre.1);
    let offsets = (2.0 * reach / STEP) as usize + 2;
    let normals: Vec<Point> = (0..ANGLES)
        .map(|i| (i as f64 / ANGLES as f64 * std::f64::consts::PI).sin_cos())
        .map(|(sin, cos)| (cos, sin))
        .collect();
    let mut votes = Array2::from_elem((ANGLES, offsets), 0.0_f32);
    for (y, x) in ridge_pixels(field) {
        let [dx, dy] = field.towards((y, x));
        let angle = f64::from(dy).atan2(f64::from(dx)).rem_euclid(std::f64::consts::PI);
        let at = (angle / std::f64::consts::PI * ANGLES as f64).round() as usize;
        let from = minus((x as f64, y as f64), centre);
        for step in 0..=2 * SPREAD {
            let i = (at + ANGLES + step - SPREAD) % ANGLES;
            let offset = from.0 * normals[i].0 + from.1 * normals[i].1;
            votes[(i, ((offset + reach) / STEP) as usize)] += field.change[(y, x)].min(STRONGEST);
        }
    }
    let least = LEAST * rows.min(columns) as f64 * f64::from(FAINTEST);
    let mut found = Vec::new();
    for _ in 0..PEAKS {
        let Some(((i, k), &most)) = votes.indexed_iter().max_by(|a, b| a.1.total_cmp(b.1)) else { break };
        if f64::from(most) < least {
            break;
        }
        let offset = (k as f64 + 0.5) * STEP - reach;
        let normal = normals[i];
        let place = (centre.0 + offset * normal.0, centre.1 + offset * normal.1);
        let line = Line::with_normal(place, normal);
        found.extend(within_frame(line, (rows, columns)));
        silence(&mut votes, (i, k));
    }
    found
}

/// Takes a peak and what lies around it out of the votes.
fn silence(votes: &mut Array2<f32>, (angle, offset): (usize, usize)) {
    const ANGLES: isize = 3;
    const OFFSETS: isize = 2;
    let (angles, offsets) = votes.dim();
    for i in -ANGLES..=ANGLES {
        let turned = angle as isize + i;
        // Half a turn on, a line's offset has the other sign.
        let flips = turned < 0 || turned >= angles as isize;
        let at = turned.rem_euclid(angles as isize) as usize;
        let middle = if flips { offsets as isize - 2 - offset as isize } else { offset as isize };
        for k in -OFFSETS..=OFFSETS {
            let place = usize::try_from(middle + k).unwrap_or(offsets);
            if let Some(votes) = votes.get_mut((at, place)) {
                *votes = 0.0;
            }
        }
    }
}

/// Pixels that change more than those before and behind them, with a calm side: cloth and wood have none.
fn ridge_pixels(field: &Field) -> Vec<(usize, usize)> {
    /// The calm side is looked at this far off, and changes by less than this part of the ridge.
    const ASIDE: [f64; 3] = [4.0, 6.0, 8.0];
    const CALMER: f32 = 0.4;
    let (rows, columns) = field.dim();
    let mut found = Vec::new();
    for y in 1..rows.saturating_sub(1) {
        for x in 1..columns.saturating_sub(1) {
            let change = field.change[(y, x)];
            if change < FAINTEST {
                continue;
            }
            let [dx, dy] = field.towards((y, x));
            let (sx, sy) = (dx.round() as isize, dy.round() as isize);
            let beside = |sign: isize| {
                field.change[(y.saturating_add_signed(sign * sy), x.saturating_add_signed(sign * sx))]
            };
            if change < beside(1) || change <= beside(-1) {
                continue;
            }
            let is_calm = |sign: f64| {
                ASIDE.iter().all(|&away| {
                    let place =
                        (x as f64 + sign * away * f64::from(dx), y as f64 + sign * away * f64::from(dy));
                    field.pixel(place).is_none_or(|p| field.change[p] < CALMER * change)
                })
            };
            if is_calm(1.0) || is_calm(-1.0) {
                found.push((y, x));
            }
        }
    }
    found
}

/// The two places where a line enters and leaves the picture.
pub(super) fn within_frame(line: Line, (rows, columns): (usize, usize)) -> Option<(Point, Point)> {
    let (right, bottom) = (columns as f64 - 1.0, rows as f64 - 1.0);
    let along = line.along();
    let start = line.nearest((right / 2.0, bottom / 2.0));
    let (mut first, mut last) = (f64::NEG_INFINITY, f64::INFINITY);
    for (start, along, end) in [(start.0, along.0, right), (start.1, along.1, bottom)] {
        if along.abs() < 1e-9 {
            if start < 0.0 || start > end {
                return None;
            }
            continue;
        }
        let (a, b) = (-start / along, (end - start) / along);
        first = first.max(a.min(b));
        last = last.min(a.max(b));
    }
    let at = |t: f64| (start.0 + t * along.0, start.1 + t * along.1);
    (first < last).then(|| (at(first), at(last)))
}

/// Brings a line to the ridge of change beside it, and says how much of the ridge there is.
pub(super) fn refined(field: &Field, from: Point, to: Point) -> Option<(Line, f64)> {
    /// How far the ridge may lie off in each round, in pixels.
    const REACHES: [f64; 3] = [7.0, 4.0, 2.0];
    let mut line = Line::through(from, to)?;
    let mut support = 0.0;
    let (mut from, mut to) = (from, to);
    for reach in REACHES {
        let near = ridge_along(field, line, (from, to), reach);
        support = near.iter().map(|(_, weight)| weight).sum();
        /// Fewer places than these are no line.
        const LEAST: usize = 10;
        if near.len() < LEAST {
            return None;
        }
        line = Line::fitted(&steadied(&near))?;
        (from, to) = (line.nearest(from), line.nearest(to));
    }
    Some((line, support))
}

/// Places of the ridge without those that stray from the line through most of them.
fn steadied(near: &[(Point, f64)]) -> Vec<(Point, f64)> {
    /// Strays beyond this many pixels count less and less.
    const SLACK: f64 = 1.0;
    let mut places = near.to_vec();
    for _ in 0..4 {
        let Some(line) = Line::fitted(&places) else { break };
        for (place, (_, weight)) in places.iter_mut().zip(near) {
            let off = line.off(place.0) / SLACK;
            place.1 = weight / (1.0 + off * off).powi(2);
        }
    }
    places
}

/// The strongest change across a stretch of a line, every second pixel of it, that runs along it.
fn ridge_along(field: &Field, line: Line, (from, to): (Point, Point), reach: f64) -> Vec<(Point, f64)> {
    /// A pixel from look to look across, two along.
    const ACROSS: f64 = 1.0;
    const ALONG: f64 = 2.0;
    let steps = (distance(from, to) / ALONG) as usize;
    let looks = (reach / ACROSS) as i32;
    let mut found = Vec::with_capacity(steps + 1);
    for step in 0..=steps {
        let middle = between(from, to, step as f64 / steps.max(1) as f64);
        let mut best: Option<((usize, usize), f32)> = None;
        for look in -looks..=looks {
            let off = f64::from(look) * ACROSS;
            let place = (middle.0 + off * line.normal.0, middle.1 + off * line.normal.1);
            let Some(pixel) = field.pixel(place) else { continue };
            let change = field.change[pixel];
            let is_stronger = change >= FAINTEST && best.is_none_or(|(_, most)| change > most);
            // Which way a pixel changes is asked of few.
            if is_stronger && is_across(field.towards(pixel), line) {
                best = Some((pixel, change));
            }
        }
        found.extend(best.map(|((y, x), change)| ((x as f64, y as f64), f64::from(change.min(STRONGEST)))));
    }
    found
}

/// Whether a pixel changes across a line, within 25 degrees.
pub(super) fn is_across([dx, dy]: [f32; 2], line: Line) -> bool {
    const COS_25: f64 = 0.906;
    (f64::from(dx) * line.normal.0 + f64::from(dy) * line.normal.1).abs() > COS_25
}
