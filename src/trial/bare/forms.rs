//! Painted forms on a plane, in millimetres.

use crate::trial::canvas::{Paint, over};
use crate::trial::table::{Place, Top, covered, off_rod};

/// What a form is painted with.
pub(super) enum Fill {
    /// One paint.
    Plain(Paint),
    /// From one paint at the top of the form to another at its foot.
    Shaded(Paint, Paint),
    /// What tables are made of.
    Of(Box<Top>),
}

/// A shape, convex or round.
pub(super) enum Shape {
    /// An ellipse by its middle and half its sides.
    Oval(Place, Place),
    /// A rod with round ends and its half thickness.
    Rod(Place, Place, f64),
    /// Convex, its corners clockwise on the screen.
    Convex(Vec<Place>),
}

/// One painted form.
pub(super) struct Form {
    shape: Shape,
    fill: Fill,
    /// Left, top, right, bottom.
    bounds: [f64; 4],
}

impl Form {
    pub fn new(shape: Shape, fill: Fill) -> Self {
        let bounds = shape.bounds();
        Self { shape, fill, bounds }
    }

    /// A rectangle by its left, top, right and bottom.
    pub fn board([left, top, right, bottom]: [f64; 4], fill: Fill) -> Self {
        let corners = vec![(left, top), (right, top), (right, bottom), (left, bottom)];
        Self::new(Shape::Convex(corners), fill)
    }

    pub fn oval(middle: Place, half: Place, paint: Paint) -> Self {
        Self::new(Shape::Oval(middle, half), Fill::Plain(paint))
    }

    pub fn rod(from: Place, to: Place, half: f64, paint: Paint) -> Self {
        Self::new(Shape::Rod(from, to, half), Fill::Plain(paint))
    }

    /// Itself over what lies below, in pixels this many millimetres wide.
    pub fn over(&self, below: Paint, place: Place, pixel: f64) -> Paint {
        let [left, top, right, bottom] = self.bounds;
        let (x, y) = place;
        if x < left - pixel || x > right + pixel || y < top - pixel || y > bottom + pixel {
            return below;
        }
        let part = covered(self.shape.off(place), pixel);
        if part <= 0.0 {
            return below;
        }
        let paint = match &self.fill {
            Fill::Plain(paint) => *paint,
            Fill::Shaded(upper, lower) => over(*upper, *lower, (y - top) / (bottom - top)),
            Fill::Of(top) => top.at(place),
        };
        over(below, paint, part)
    }
}

impl Shape {
    fn off(&self, (x, y): Place) -> f64 {
        match self {
            // Near the edge of an ellipse this is the distance, by the smaller side.
            Self::Oval(middle, half) => {
                let away = ((x - middle.0) / half.0).hypot((y - middle.1) / half.1);
                (away - 1.0) * half.0.min(half.1)
            }
            Self::Rod(from, to, half) => off_rod((x, y), (*from, *to), *half),
            Self::Convex(corners) => {
                let sides = corners.iter().zip(corners.iter().cycle().skip(1));
                let beyond = |(from, to): (&Place, &Place)| {
                    let (dx, dy) = (to.0 - from.0, to.1 - from.1);
                    (dy * (x - from.0) - dx * (y - from.1)) / dx.hypot(dy).max(f64::MIN_POSITIVE)
                };
                sides.map(beyond).fold(f64::NEG_INFINITY, f64::max)
            }
        }
    }

    fn bounds(&self) -> [f64; 4] {
        let about = |places: &[Place], half: Place| {
            places.iter().fold(
                [f64::INFINITY, f64::INFINITY, f64::NEG_INFINITY, f64::NEG_INFINITY],
                |[left, top, right, bottom], &(x, y)| {
                    [left.min(x - half.0), top.min(y - half.1), right.max(x + half.0), bottom.max(y + half.1)]
                },
            )
        };
        match self {
            Self::Oval(middle, half) => about(&[*middle], *half),
            Self::Rod(from, to, half) => about(&[*from, *to], (*half, *half)),
            Self::Convex(corners) => about(corners, (0.0, 0.0)),
        }
    }
}
