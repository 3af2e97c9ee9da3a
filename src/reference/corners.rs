//! The four corners of a sheet in its photograph.

/// Four corners in pixels of the upright picture, clockwise from the top left; those of a sheet that the frame cuts
/// may lie outside it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Corners([(f64, f64); 4]);

impl Corners {
    /// Four points in any order, brought to the order of a sheet that lies upright.
    pub(crate) fn clockwise(mut points: [(f64, f64); 4]) -> Self {
        let centre = points.iter().fold((0.0, 0.0), |c, p| (c.0 + p.0 / 4.0, c.1 + p.1 / 4.0));
        let angle = |p: &(f64, f64)| (p.1 - centre.1).atan2(p.0 - centre.0);
        // Angles run from -180 degrees (left) over -90 (up): the first is the top left one.
        points.sort_by(|a, b| angle(a).total_cmp(&angle(b)));
        Self(points)
    }

    /// Top left, top right, bottom right, bottom left: x and y.
    pub fn points(self) -> [(f64, f64); 4] {
        self.0
    }
}

/// A sheet in a photograph, and how it came to be known.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Sheet {
    /// Where it lies.
    pub corners: Corners,
    /// How sure it is that this is the sheet; full where the maker gave the corners.
    pub confidence: crate::units::Confidence,
}
