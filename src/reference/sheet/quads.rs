//! Four lines joined to what may be a sheet.

use super::field::Field;
use super::line::{Line, Point, area_of, cross, distance, is_convex, minus};
use super::lines::{FAINTEST, is_across, within_frame};

/// A quadrilateral that may be a sheet.
#[derive(Clone, Copy, Debug)]
pub(super) struct Quad {
    /// In order around it.
    pub corners: [Point; 4],
    /// Whether the side from each corner to the next is the frame's, beyond which the sheet goes on.
    pub framed: [bool; 4],
}

/// Opposite sides differ by at most this many degrees, a lens and a tilt of 20 degrees together; with a side of the
/// frame more, which says nothing of the sheet.
const PARALLEL: f64 = 30.0;
const PARALLEL_FRAMED: f64 = 32.0;

/// Sides beside one another meet at this angle at least, in degrees.
const SQUARE: f64 = 52.0;

/// Most sides that may be the frame's.
const MOST_FRAMED: usize = 2;

/// Corners lie at most this much of the frame outside it.
const OUTSIDE: f64 = 0.25;

/// A sheet covers at least this much of the picture.
const LEAST_AREA: f64 = 0.14;

/// Quadrilaterals that are judged.
const JUDGED: usize = 36;

/// A line with how much of it follows a ridge.
struct Side {
    line: Line,
    framed: bool,
    /// Where it enters and leaves the picture.
    ends: (Point, Point),
    /// How many of the steps from where it enters up to each have a ridge.
    ridge: Vec<u32>,
}

/// Pixels from step to step.
const STEP: f64 = 2.0;

impl Side {
    fn of(field: &Field, line: Line, framed: bool) -> Option<Self> {
        let ends = within_frame(line, field.dim())?;
        let steps = (distance(ends.0, ends.1) / STEP) as usize;
        let mut ridge = vec![0];
        for step in 0..steps {
            let along = step as f64 * STEP / distance(ends.0, ends.1);
            let place = super::line::between(ends.0, ends.1, along);
            let has = !framed && has_ridge(field, line, place);
            ridge.push(ridge[step] + u32::from(has));
        }
        Some(Self { line, framed, ends, ridge })
    }

    /// Pixels of a stretch that lie in the picture, and those that follow a ridge.
    fn support(&self, from: Point, to: Point) -> (f64, f64) {
        let along = minus(self.ends.1, self.ends.0);
        let length = along.0.hypot(along.1);
        let at = |p: Point| {
            let off = minus(p, self.ends.0);
            ((off.0 * along.0 + off.1 * along.1) / length).clamp(0.0, length)
        };
        let (a, b) = (at(from).min(at(to)), at(from).max(at(to)));
        let step = |t: f64| ((t / STEP) as usize).min(self.ridge.len() - 1);
        (b - a, f64::from(self.ridge[step(b)] - self.ridge[step(a)]) * STEP)
    }
}

fn has_ridge(field: &Field, line: Line, place: Point) -> bool {
    [0.0, -1.0, 1.0, -2.0, 2.0].iter().any(|off| {
        let place = (place.0 + off * line.normal.0, place.1 + off * line.normal.1);
        field.pixel(place).is_some_and(|p| field.change[p] >= FAINTEST && is_across(field.towards(p), line))
    })
}

/// The quadrilaterals whose sides follow ridges most, best first.
pub(super) fn quads(field: &Field, lines: &[Line]) -> Vec<Quad> {
    let (rows, columns) = field.dim();
    let (right, bottom) = (columns as f64 - 1.0, rows as f64 - 1.0);
    let frame = [
        ((0.0, 0.0), (1.0, 0.0)),
        ((right, 0.0), (1.0, 0.0)),
        ((0.0, 0.0), (0.0, 1.0)),
        ((0.0, bottom), (0.0, 1.0)),
    ];
    let frame = frame.map(|(place, normal)| (Line::with_normal(place, normal), true));
    let sides: Vec<Side> = lines
        .iter()
        .map(|line| (*line, false))
        .chain(frame)
        .filter_map(|(line, framed)| Side::of(field, line, framed))
        .collect();
    let pairs = facing(&sides, (right, bottom));
    let mut found: Vec<(f64, Quad)> = Vec::new();
    for (i, one) in pairs.iter().enumerate() {
        for other in &pairs[i + 1..] {
            found.extend(joined(&sides, *one, *other, (right, bottom)));
        }
    }
    found.sort_by(|a, b| b.0.total_cmp(&a.0));
    let mut kept: Vec<Quad> = Vec::new();
    for (_, quad) in found {
        if kept.len() >= JUDGED {
            break;
        }
        if !kept.iter().any(|other| is_same(other, &quad)) {
            kept.push(quad);
        }
    }
    kept
}

/// Pairs of sides that may face each other.
fn facing(sides: &[Side], (right, bottom): Point) -> Vec<(usize, usize)> {
    /// They are at least this much of the picture's shorter side apart in its middle.
    const APART: f64 = 0.2;
    let middle = (right / 2.0, bottom / 2.0);
    let apart = APART * right.min(bottom);
    let mut pairs = Vec::new();
    for i in 0..sides.len() {
        for j in i + 1..sides.len() {
            let (a, b) = (&sides[i], &sides[j]);
            let most = if a.framed || b.framed { PARALLEL_FRAMED } else { PARALLEL };
            let gap = distance(a.line.nearest(middle), b.line.nearest(middle));
            if a.line.angle(b.line) <= most && gap >= apart {
                pairs.push((i, j));
            }
        }
    }
    pairs
}

/// The quadrilateral of two pairs of facing sides, with how much its sides follow ridges.
fn joined(
    sides: &[Side],
    one: (usize, usize),
    other: (usize, usize),
    (right, bottom): Point,
) -> Option<(f64, Quad)> {
    let order = [one.0, other.0, one.1, other.1];
    let side = order.map(|i| &sides[i]);
    let framed = side.map(|s| s.framed);
    if framed.iter().filter(|f| **f).count() > MOST_FRAMED {
        return None;
    }
    if (0..4).any(|i| side[i].line.angle(side[(i + 1) % 4].line) < SQUARE) {
        return None;
    }
    let mut corners = [(0.0, 0.0); 4];
    for i in 0..4 {
        // Side i runs from corner i to the next.
        corners[i] = side[(i + 3) % 4].line.meets(side[i].line)?;
    }
    let within = |v: f64, most: f64| v >= -OUTSIDE * most && v <= (1.0 + OUTSIDE) * most;
    if !corners.iter().all(|&(x, y)| within(x, right) && within(y, bottom)) || !is_convex(&corners) {
        return None;
    }
    if area_of(&corners) < LEAST_AREA * right * bottom {
        return None;
    }
    let (mut seen, mut ridge, mut least) = (0.0, 0.0, 1.0_f64);
    for i in (0..4).filter(|&i| !framed[i]) {
        let (length, follows) = side[i].support(corners[i], corners[(i + 1) % 4]);
        seen += length;
        ridge += follows;
        least = least.min(follows / length.max(1.0));
    }
    /// Each side follows a ridge over at least this much of its length.
    const LEAST_RIDGE: f64 = 0.3;
    let share = ridge / f64::max(seen, 1.0);
    if least < LEAST_RIDGE {
        return None;
    }
    // A sheet entirely in view speaks for itself more than the same with the frame for a side.
    let real = framed.iter().filter(|f| !**f).count() as f64;
    let mut quad = Quad { corners, framed };
    // Clockwise on the screen.
    if cross(minus(corners[1], corners[0]), minus(corners[2], corners[1])) < 0.0 {
        quad.corners = [corners[0], corners[3], corners[2], corners[1]];
        quad.framed = [framed[3], framed[2], framed[1], framed[0]];
    }
    Some((share * (0.5 + 0.5 * least) * (0.7 + 0.3 * real / 4.0), quad))
}

fn is_same(a: &Quad, b: &Quad) -> bool {
    /// Corners so near that the judgement would be the same.
    const NEAR: f64 = 5.0;
    let nearest = |p: Point| b.corners.iter().map(|&q| distance(p, q)).fold(f64::INFINITY, f64::min);
    a.framed.iter().filter(|f| **f).count() == b.framed.iter().filter(|f| **f).count()
        && a.corners.iter().all(|&p| nearest(p) < NEAR)
}
