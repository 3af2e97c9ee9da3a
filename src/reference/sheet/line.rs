//! Straight lines in a picture, and what four of them enclose.

/// A place or a direction: x and y in pixels.
pub(super) type Point = (f64, f64);

pub(super) fn minus(a: Point, b: Point) -> Point {
    (a.0 - b.0, a.1 - b.1)
}

pub(super) fn between(a: Point, b: Point, share: f64) -> Point {
    (a.0 + (b.0 - a.0) * share, a.1 + (b.1 - a.1) * share)
}

pub(super) fn distance(a: Point, b: Point) -> f64 {
    (a.0 - b.0).hypot(a.1 - b.1)
}

/// How far `b` is turned from `a`, clockwise on the screen: their cross product.
pub(super) fn cross(a: Point, b: Point) -> f64 {
    a.0 * b.1 - a.1 * b.0
}

fn dot(a: Point, b: Point) -> f64 {
    a.0 * b.0 + a.1 * b.1
}

/// A straight line: all places whose product with the normal is `offset`.
#[derive(Clone, Copy, Debug)]
pub(super) struct Line {
    /// Of length 1.
    pub normal: Point,
    pub offset: f64,
}

impl Line {
    /// The line through two places; none through one.
    pub fn through(a: Point, b: Point) -> Option<Self> {
        let along = minus(b, a);
        let length = along.0.hypot(along.1);
        (length > 0.0).then(|| Self::with_normal(a, (-along.1 / length, along.0 / length)))
    }

    /// The line through a place, across a direction of length 1.
    pub fn with_normal(place: Point, normal: Point) -> Self {
        Self { normal, offset: dot(place, normal) }
    }

    pub fn along(self) -> Point {
        (self.normal.1, -self.normal.0)
    }

    /// How far a place lies off it, on the side its normal points to.
    pub fn off(self, place: Point) -> f64 {
        dot(place, self.normal) - self.offset
    }

    /// The place of it nearest to another.
    pub fn nearest(self, place: Point) -> Point {
        let off = self.off(place);
        (place.0 - off * self.normal.0, place.1 - off * self.normal.1)
    }

    /// Where two lines meet; nowhere if they are parallel.
    pub fn meets(self, other: Self) -> Option<Point> {
        let turn = cross(self.normal, other.normal);
        let x = (self.offset * other.normal.1 - other.offset * self.normal.1) / turn;
        let y = (other.offset * self.normal.0 - self.offset * other.normal.0) / turn;
        (x.is_finite() && y.is_finite()).then_some((x, y))
    }

    /// The angle between two lines in degrees, 0 to 90.
    pub fn angle(self, other: Self) -> f64 {
        dot(self.normal, other.normal).abs().min(1.0).acos().to_degrees()
    }

    /// The line nearest to weighted places, across which they stray least; none through fewer than two.
    pub fn fitted(places: &[(Point, f64)]) -> Option<Self> {
        let weight: f64 = places.iter().map(|(_, w)| w).sum();
        if places.len() < 2 || weight <= 0.0 {
            return None;
        }
        let mean = |of: fn(Point) -> f64| places.iter().map(|(p, w)| of(*p) * w).sum::<f64>() / weight;
        let centre = (mean(|p| p.0), mean(|p| p.1));
        let (mut xx, mut xy, mut yy) = (0.0, 0.0, 0.0);
        for (place, weight) in places {
            let (dx, dy) = minus(*place, centre);
            xx += weight * dx * dx;
            xy += weight * dx * dy;
            yy += weight * dy * dy;
        }
        // The direction in which they spread most has half the angle of the doubled one.
        let along = (2.0 * xy).atan2(xx - yy) / 2.0;
        Some(Self::with_normal(centre, (-along.sin(), along.cos())))
    }
}

/// The area within four corners in order.
pub(super) fn area_of(corners: &[Point; 4]) -> f64 {
    (0..4).map(|i| cross(corners[i], corners[(i + 1) % 4])).sum::<f64>().abs() / 2.0
}

/// Whether four corners turn one way all round.
pub(super) fn is_convex(corners: &[Point; 4]) -> bool {
    let turn = |i: usize| {
        cross(minus(corners[(i + 1) % 4], corners[i]), minus(corners[(i + 2) % 4], corners[(i + 1) % 4]))
    };
    (0..4).all(|i| turn(i) > 0.0) || (0..4).all(|i| turn(i) < 0.0)
}
