//! How a telephone sees a flat rectangle: what of its sides the frame cuts off, and how wide it is.

use super::line::{Point, minus};

/// A telephone's main lens has a focal length of about this share of its picture's longer side: 26 to 28 mm on film
/// 36 mm wide (common practice, no source). It matters little: at a tilt of 20 degrees a tenth more or less moves a
/// width by half a percent.
const FOCAL: f64 = 0.75;

/// Where a lens looks, in the pixels of a look, and its focal length in them.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Lens {
    centre: Point,
    focal: f64,
}

/// A direction in space, or a line of the picture as the plane it spans with the lens. Two of the one kind have one
/// of the other as their cross product.
type Space = [f64; 3];

impl Lens {
    /// The lens of a picture of some size, in units in which `place` of the picture is at `(0, 0)` and a pixel of it
    /// is `scale` long.
    pub fn of((width, height): (u32, u32), place: Point, scale: f64) -> Self {
        let (width, height) = (f64::from(width), f64::from(height));
        let centre = ((width / 2.0 - place.0) * scale, (height / 2.0 - place.1) * scale);
        Self { centre, focal: FOCAL * width.max(height) * scale }
    }

    fn seen(self, place: Point) -> Space {
        [(place.0 - self.centre.0) / self.focal, (place.1 - self.centre.1) / self.focal, 1.0]
    }

    fn place(self, [x, y, z]: Space) -> Option<Point> {
        let place = (x / z * self.focal + self.centre.0, y / z * self.focal + self.centre.1);
        (place.0.is_finite() && place.1.is_finite()).then_some(place)
    }

    /// The corners of a rectangle some of whose sides are only the frame's. A missing side runs through the outermost
    /// place in view, square to its neighbours in space; where that leaves the tilt open it is the least possible.
    pub fn completed(self, corners: [Point; 4], framed: [bool; 4]) -> Option<[Point; 4]> {
        let own: [Space; 4] =
            std::array::from_fn(|i| cross(self.seen(corners[i]), self.seen(corners[(i + 1) % 4])));
        let (first, second) = directions(&own, framed)?;
        let side = |i: usize| {
            if !framed[i] {
                return own[i];
            }
            let along = if i.is_multiple_of(2) { first } else { second };
            // Of the two ends, the one whose side leaves the other inside.
            let through = |end: usize| cross(self.seen(corners[end]), along);
            let inner = self.seen(middle(&corners));
            let (one, other) = (through(i), through((i + 1) % 4));
            let is_inside = dot(one, self.seen(corners[(i + 1) % 4])) * dot(one, inner) >= 0.0;
            if is_inside { one } else { other }
        };
        let corner = |i: usize| self.place(cross(side((i + 3) % 4), side(i)));
        Some([corner(0)?, corner(1)?, corner(2)?, corner(3)?])
    }

    /// Width over height of a rectangle whose corners are seen there, clockwise from its top left.
    ///
    /// The way from the unit square to its picture (Heckbert 1989, Fundamentals of Texture Mapping, 2.2.3) is brought
    /// to the lens's own axes; its first two columns then are the rectangle's sides in space (Zhang and He 2007,
    /// Whiteboard scanning and image enhancement, 3.2).
    pub fn aspect(self, corners: [Point; 4]) -> f64 {
        let [a, b, c, d] = corners.map(|p| self.seen(p)).map(|[x, y, _]| (x, y));
        let (one, other) = (minus(b, c), minus(d, c));
        let sum = (a.0 - b.0 + c.0 - d.0, a.1 - b.1 + c.1 - d.1);
        let whole = one.0 * other.1 - other.0 * one.1;
        let g = (sum.0 * other.1 - other.0 * sum.1) / whole;
        let h = (one.0 * sum.1 - sum.0 * one.1) / whole;
        let across = [b.0 - a.0 + g * b.0, b.1 - a.1 + g * b.1, g];
        let down = [d.0 - a.0 + h * d.0, d.1 - a.1 + h * d.1, h];
        let aspect = length(across) / length(down);
        // Corners on one line have none; nothing is stretched then.
        if aspect.is_finite() && aspect > 0.0 { aspect } else { 1.0 }
    }
}

/// The directions in space of the first and third, and of the second and fourth side; none where too few are known.
fn directions(own: &[Space; 4], framed: [bool; 4]) -> Option<(Space, Space)> {
    let both = |i: usize| (!framed[i] && !framed[i + 2]).then(|| cross(own[i], own[i + 2]));
    let one = |i: usize| [i, i + 2].into_iter().find(|&i| !framed[i]).map(|i| own[i]);
    match (both(0), both(1)) {
        (Some(first), Some(second)) => Some((first, second)),
        (Some(first), None) => {
            Some((first, one(1).map_or_else(|| flattest(first), |plane| cross(plane, first))))
        }
        (None, Some(second)) => {
            Some((one(0).map_or_else(|| flattest(second), |plane| cross(plane, second)), second))
        }
        (None, None) => corner(one(0)?, one(1)?),
    }
}

/// The direction square to another that with it spans the plane that is least tilted from the lens's view.
fn flattest(other: Space) -> Space {
    let scale = other[2] / dot(other, other);
    let normal = [-scale * other[0], -scale * other[1], 1.0 - scale * other[2]];
    cross(normal, other)
}

/// The directions of two sides that meet in a right corner, of which only the planes are known: those that span the
/// least tilted plane.
fn corner(one: Space, other: Space) -> Option<(Space, Space)> {
    /// Directions tried within the first plane, over half a turn: a third of a degree.
    const TRIED: usize = 540;
    let a =
        unit(cross(one, if one[2].abs() < 0.9 * length(one) { [0.0, 0.0, 1.0] } else { [1.0, 0.0, 0.0] }))?;
    let b = unit(cross(one, a))?;
    let tried = (0..TRIED).filter_map(|i| {
        let (sin, cos) = (i as f64 / TRIED as f64 * std::f64::consts::PI).sin_cos();
        let first: Space = std::array::from_fn(|k| cos * a[k] + sin * b[k]);
        let second = unit(cross(other, first))?;
        Some((cross(first, second)[2].abs(), first, second))
    });
    tried.max_by(|a, b| a.0.total_cmp(&b.0)).map(|(_, first, second)| (first, second))
}

fn middle(corners: &[Point; 4]) -> Point {
    corners.iter().fold((0.0, 0.0), |c, p| (c.0 + p.0 / 4.0, c.1 + p.1 / 4.0))
}

fn cross(a: Space, b: Space) -> Space {
    [a[1] * b[2] - a[2] * b[1], a[2] * b[0] - a[0] * b[2], a[0] * b[1] - a[1] * b[0]]
}

fn dot(a: Space, b: Space) -> f64 {
    (0..3).map(|i| a[i] * b[i]).sum()
}

fn length(v: Space) -> f64 {
    dot(v, v).sqrt()
}

fn unit(v: Space) -> Option<Space> {
    let length = length(v);
    (length > 1e-12).then(|| v.map(|v| v / length))
}
