//! The four corners of a sheet in its photograph.

use std::fmt;

use super::shrink::Area;
use crate::error::{Error, Result};

/// A corner in pixels of the upright picture: x and y.
type Point = (f64, f64);

/// Four corners in pixels of the upright picture, to a tenth of a pixel, clockwise from the top left; those of a
/// sheet that the frame cuts may lie outside it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Corners([Point; 4]);

/// Why four points are not the corners of a sheet.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum NoSheet {
    /// A point lies where no picture reaches.
    TooFar,
    /// Two points are nearly one.
    OnePoint,
    /// Three points lie nearly on a line.
    OnALine,
    /// One point lies between the other three.
    Dented,
    /// It is a strip, not a sheet.
    TooNarrow,
}

impl fmt::Display for NoSheet {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Self::TooFar => "a corner lies farther out than any picture is large",
            Self::OnePoint => "two of the corners are nearly the same point",
            Self::OnALine => "three of the corners lie nearly on one line",
            Self::Dented => "one corner lies between the other three: no sheet has such a shape",
            Self::TooNarrow => "that is a strip, too narrow for a sheet",
        })
    }
}

impl Corners {
    /// What is right where four points are not.
    pub const RIGHT: &'static str =
        "give the sheet's four corners in any order, as x and y in pixels of the upright picture";

    /// Four points in any order, brought to the order of a sheet that lies upright.
    pub(crate) fn clockwise(mut points: [Point; 4]) -> Self {
        let centre = points.iter().fold((0.0, 0.0), |c, p| (c.0 + p.0 / 4.0, c.1 + p.1 / 4.0));
        let angle = |p: &Point| (p.1 - centre.1).atan2(p.0 - centre.0);
        // Angles run from -180 degrees (left) over -90 (up): clockwise on the screen.
        points.sort_by(|a, b| angle(a).total_cmp(&angle(b)));
        let turned = |by: usize| std::array::from_fn(|at| points[(at + by) % 4]);
        let best = (0..4).map(turned).reduce(|best, other| {
            // The first of equals: a sheet turned by 45 degrees lies as upright either way.
            if uprightness(&other) > uprightness(&best) { other } else { best }
        });
        Self(best.unwrap_or(points).map(|(x, y)| (tenths(x), tenths(y))))
    }

    /// The corners of a sheet, given in any order.
    ///
    /// # Errors
    /// [`NoSheet`] where no sheet has such corners.
    pub fn of(points: [Point; 4]) -> std::result::Result<Self, NoSheet> {
        /// Three times as far as the largest picture reaches: a sheet that the frame cuts goes on outside it.
        const FARTHEST: f64 = 60_000.0;
        /// A side of fewer pixels holds no figure.
        const LEAST_SIDE: f64 = 8.0;
        /// A side is at least this part of the longest: tickets and strips of paper are wider.
        const LEAST_PART: f64 = 1.0 / 12.0;
        /// The sine of the sharpest corner, 12 degrees: seen far aslant, a sheet's corners are 40 or more.
        const LEAST_SINE: f64 = 0.2;
        if points.iter().any(|&(x, y)| !(x.abs() <= FARTHEST && y.abs() <= FARTHEST)) {
            return Err(NoSheet::TooFar);
        }
        let corners = Self::clockwise(points);
        let sides = sides(&corners.0);
        let lengths = sides.map(|(x, y)| x.hypot(y));
        let (shortest, longest) = lengths.iter().fold((f64::MAX, 0.0_f64), |(s, l), &v| (s.min(v), l.max(v)));
        if shortest < LEAST_SIDE {
            return Err(NoSheet::OnePoint);
        }
        for at in 0..4 {
            let (next, ((ax, ay), (bx, by))) = ((at + 1) % 4, (sides[at], sides[(at + 1) % 4]));
            let sine = (ax * by - ay * bx) / (lengths[at] * lengths[next]);
            if sine.abs() < LEAST_SINE {
                return Err(NoSheet::OnALine);
            }
            if sine < 0.0 {
                return Err(NoSheet::Dented);
            }
        }
        if shortest < LEAST_PART * longest { Err(NoSheet::TooNarrow) } else { Ok(corners) }
    }

    /// Reads `X,Y,X,Y,X,Y,X,Y` as typed after `--corners`.
    ///
    /// # Errors
    /// [`Error::BadValue`] that says what is wrong with it.
    pub fn parse(text: &str) -> Result<Self> {
        let bad = |why: String, right: &str| Error::BadValue {
            option: "--corners",
            value: text.into(),
            why,
            right: right.into(),
        };
        let numbers: Option<Vec<f64>> =
            text.split(',').map(|part| part.trim().parse().ok().filter(|v: &f64| v.is_finite())).collect();
        let Some(&[a, b, c, d, e, f, g, h]) = numbers.as_deref() else {
            let right = "write x and y of the four corners in pixels of the upright picture, in any order, such as \
                         102,88,911,64,930,1240,80,1215";
            return Err(bad("this is not four corners".into(), right));
        };
        Self::of([(a, b), (c, d), (e, f), (g, h)]).map_err(|why| bad(why.to_string(), Self::RIGHT))
    }

    /// That every corner lies in a picture of this width and height, or on its edge.
    ///
    /// # Errors
    /// [`Error::BadValue`] that names the corner outside.
    pub fn check_within(self, (width, height): (u32, u32)) -> Result<()> {
        let picture = Area { x: 0.0, y: 0.0, width: f64::from(width), height: f64::from(height) };
        if let Some((x, y)) = self.0.into_iter().find(|&point| !picture.holds(point)) {
            return Err(Error::BadValue {
                option: "--corners",
                value: self.to_string(),
                why: format!("{x},{y} lies outside the picture, which has {width} x {height} pixels"),
                right: "where the frame cuts the sheet, give the places where its sides meet the frame"
                    .into(),
            });
        }
        Ok(())
    }

    /// Top left, top right, bottom right, bottom left: x and y.
    pub fn points(self) -> [Point; 4] {
        self.0
    }
}

/// As `--corners` takes them.
impl fmt::Display for Corners {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let [a, b, c, d] = self.0.map(|(x, y)| format!("{x},{y}"));
        write!(f, "{a},{b},{c},{d}")
    }
}

/// The four sides as ways from corner to corner.
fn sides(points: &[Point; 4]) -> [Point; 4] {
    std::array::from_fn(|at| {
        let (from, to) = (points[at], points[(at + 1) % 4]);
        (to.0 - from.0, to.1 - from.1)
    })
}

/// How well the sides run right, down, left and up in turn.
fn uprightness(points: &[Point; 4]) -> f64 {
    const UPRIGHT: [Point; 4] = [(1.0, 0.0), (0.0, 1.0), (-1.0, 0.0), (0.0, -1.0)];
    let along = |((x, y), (u, v)): (Point, Point)| (x * u + y * v) / x.hypot(y).max(f64::MIN_POSITIVE);
    sides(points).into_iter().zip(UPRIGHT).map(along).sum()
}

/// To a tenth, without a minus before a nought.
fn tenths(value: f64) -> f64 {
    (value * 10.0).round() / 10.0 + 0.0
}

/// A sheet in a photograph, and how it came to be known.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Sheet {
    /// Where it lies.
    pub corners: Corners,
    /// How sure it is that this is the sheet; full where the maker gave the corners.
    pub confidence: crate::units::Confidence,
}
