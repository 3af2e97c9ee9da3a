//! Shapes on a table, in millimetres from the middle of the sheet, x along its upper edge and y down its side.

/// A place on the table.
pub(in crate::trial) type Place = (f64, f64);

/// A rectangle that lies on the table.
#[derive(Clone, Copy, Debug)]
pub(in crate::trial) struct Slab {
    middle: Place,
    half: Place,
    /// Cosine and sine of its turn.
    turn: (f64, f64),
}

impl Slab {
    /// A rectangle about its middle, of half a width and half a height, turned by an angle in radians.
    pub fn new(middle: Place, half: Place, angle: f64) -> Self {
        Self { middle, half, turn: (angle.cos(), angle.sin()) }
    }

    /// How far a place lies outside; inside it is below 0.
    pub fn off(&self, (x, y): Place) -> f64 {
        let (dx, dy) = (x - self.middle.0, y - self.middle.1);
        let (cos, sin) = self.turn;
        let (u, v) = ((dx * cos + dy * sin).abs() - self.half.0, (dy * cos - dx * sin).abs() - self.half.1);
        u.max(0.0).hypot(v.max(0.0)) + u.max(v).min(0.0)
    }

    /// Its corners, clockwise from the one that is top left where it is not turned.
    pub fn corners(&self) -> [Place; 4] {
        let (cos, sin) = self.turn;
        [(-1.0, -1.0), (1.0, -1.0), (1.0, 1.0), (-1.0, 1.0)].map(|(sx, sy)| {
            let (u, v) = (sx * self.half.0, sy * self.half.1);
            (self.middle.0 + u * cos - v * sin, self.middle.1 + u * sin + v * cos)
        })
    }
}

/// How far a place lies outside a rod with round ends.
pub(in crate::trial) fn off_rod((x, y): Place, (from, to): (Place, Place), radius: f64) -> f64 {
    let (dx, dy) = (to.0 - from.0, to.1 - from.1);
    let along = ((x - from.0) * dx + (y - from.1) * dy) / (dx * dx + dy * dy).max(f64::MIN_POSITIVE);
    let along = along.clamp(0.0, 1.0);
    (x - from.0 - along * dx).hypot(y - from.1 - along * dy) - radius
}

/// From 0 at `from` to 1 at `to`, softly.
pub(super) fn eased(from: f64, to: f64, at: f64) -> f64 {
    let t = ((at - from) / (to - from)).clamp(0.0, 1.0);
    t * t * (3.0 - 2.0 * t)
}

/// How much of a pixel this many millimetres wide something covers whose edge is this far off.
pub(in crate::trial) fn covered(off: f64, pixel: f64) -> f64 {
    (0.5 - off / pixel).clamp(0.0, 1.0)
}
