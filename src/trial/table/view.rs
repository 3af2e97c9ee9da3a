//! How a telephone looks at a sheet on a table: turned, tilted, near or far, and what of it the frame shows.

use super::plane::{Place, Slab};
use super::setting::Framing;
use crate::trial::chance::Chance;

/// Of three axes, right, down and ahead.
type Axes = [f64; 3];

/// A camera above the table.
#[derive(Clone, Debug)]
pub(in crate::trial) struct View {
    /// Width and height of the picture.
    pub size: (u32, u32),
    focal: f64,
    /// The table's x and y axis and its depth as the camera sees them.
    axes: [Axes; 3],
    /// Where the middle of the sheet lies before the camera.
    middle: Axes,
}

/// How a free hand holds the telephone, in degrees: turned about its own axis, and tilted to any side.
const TURN: f64 = 20.0;
const TILT: f64 = 20.0;

fn along(a: Axes, b: Axes) -> f64 {
    a[0] * b[0] + a[1] * b[1] + a[2] * b[2]
}

/// Where the frame lies and how the sheet lies in it.
struct Pose {
    turn: f64,
    /// The tilt and the axis it is about, which lies in the picture.
    tilt: f64,
    about: f64,
    /// How large the sheet would be, as a part of the frame.
    share: f64,
    /// Where the middle of the figure appears, in shares of the frame.
    place: (f64, f64),
}

impl Pose {
    fn new(framing: Framing, chance: &mut Chance) -> Self {
        /// How large the sheet is, as a part of the frame: from a third to more than all.
        const WHOLE: (f64, f64) = (0.3, 0.68);
        const CORNER: (f64, f64) = (0.5, 0.9);
        const CUT: (f64, f64) = (0.55, 1.3);
        const OVER: (f64, f64) = (1.2, 2.2);
        /// The figure's middle is about the middle of the frame, by half of it at most.
        const PLACE: (f64, f64) = (0.25, 0.75);
        let share = match framing {
            Framing::Whole => WHOLE,
            Framing::CornerOut => CORNER,
            Framing::Cut => CUT,
            Framing::Over => OVER,
        };
        Self {
            turn: chance.either_way(TURN).to_radians(),
            tilt: chance.within(0.0, TILT).to_radians(),
            about: chance.within(0.0, std::f64::consts::TAU),
            share: chance.within(share.0, share.1),
            place: (chance.within(PLACE.0, PLACE.1), chance.within(PLACE.0, PLACE.1)),
        }
    }
}

impl View {
    /// A view of a sheet in which its figure, a box on it, is whole, framed as asked for where that can be done.
    pub fn new(
        size: (u32, u32),
        (sheet, figure): (&Slab, &Slab),
        framing: Framing,
        chance: &mut Chance,
    ) -> Self {
        /// This many poses are tried before less is asked for: the rarest come once in some hundreds.
        const TRIES: usize = 600;
        let easier = match framing {
            Framing::Over => &[Framing::Over, Framing::Cut, Framing::Whole][..],
            Framing::CornerOut | Framing::Cut => &[framing, Framing::Whole],
            Framing::Whole => &[Framing::Whole],
        };
        for &framing in easier {
            for _ in 0..TRIES {
                let view = Self::posed(size, (sheet, figure), &Pose::new(framing, chance));
                if view.shows(figure) && view.frames(sheet, framing) {
                    return view;
                }
            }
        }
        Self::plain(size, (sheet, figure))
    }

    /// A view of a plane without a sheet: about as much of it as beside a sheet, turned and tilted by this many degrees
    /// at most.
    pub fn of_plane(size: (u32, u32), most: f64, chance: &mut Chance) -> Self {
        /// Half the sides of a sheet, and how much of the frame one would fill.
        const SHEET: Place = (105.0, 148.5);
        const SHARE: (f64, f64) = (0.3, 0.8);
        let slab = Slab::new((0.0, 0.0), SHEET, 0.0);
        let pose = Pose {
            turn: chance.either_way(most).to_radians(),
            tilt: chance.within(0.0, most).to_radians(),
            about: chance.within(0.0, std::f64::consts::TAU),
            share: chance.within(SHARE.0, SHARE.1),
            place: (0.5, 0.5),
        };
        Self::posed(size, (&slab, &slab), &pose)
    }

    /// Straight from above with all of the sheet: always to be had.
    fn plain(size: (u32, u32), slabs: (&Slab, &Slab)) -> Self {
        const SHARE: f64 = 0.3;
        let pose = Pose { turn: 0.0, tilt: 0.0, about: 0.0, share: SHARE, place: (0.5, 0.5) };
        Self::posed(size, slabs, &pose)
    }

    fn posed((width, height): (u32, u32), (sheet, figure): (&Slab, &Slab), pose: &Pose) -> Self {
        /// A telephone's lens: its focal length is this much of the longer side of the frame (26 mm to 36 mm film).
        const LENS: f64 = 0.72;
        let (wide, high) = (f64::from(width), f64::from(height));
        let focal = LENS * wide.max(high);
        let axes = axes(pose);
        let [(left, top), _, (right, bottom), _] = sheet.corners();
        let area = (right - left) * (bottom - top);
        let far = focal * (area / (pose.share * wide * high)).sqrt();
        let [first, _, third, _] = figure.corners();
        let (x, y) = ((first.0 + third.0) / 2.0, (first.1 + third.1) / 2.0);
        let ahead = [(pose.place.0 - 0.5) * wide / focal, (pose.place.1 - 0.5) * high / focal, 1.0];
        let middle = std::array::from_fn(|i| far * ahead[i] - x * axes[0][i] - y * axes[1][i]);
        Self { size: (width, height), focal, axes, middle }
    }

    /// Where a place on the table appears, in pixels.
    pub fn seen(&self, (x, y): Place) -> (f64, f64) {
        let p: Axes = std::array::from_fn(|i| self.middle[i] + x * self.axes[0][i] + y * self.axes[1][i]);
        let (wide, high) = (f64::from(self.size.0), f64::from(self.size.1));
        (wide / 2.0 + self.focal * p[0] / p[2], high / 2.0 + self.focal * p[1] / p[2])
    }

    /// The place on the table that a pixel shows, and how many millimetres it is wide there.
    pub fn place(&self, (x, y): (f64, f64)) -> (Place, f64) {
        let (wide, high) = (f64::from(self.size.0), f64::from(self.size.1));
        let ray = [(x - wide / 2.0) / self.focal, (y - high / 2.0) / self.focal, 1.0];
        let depth = along(self.axes[2], self.middle) / along(self.axes[2], ray);
        let hit: Axes = std::array::from_fn(|i| depth * ray[i] - self.middle[i]);
        ((along(self.axes[0], hit), along(self.axes[1], hit)), depth / self.focal)
    }

    /// Whether a place of the picture lies inside the frame, by this many pixels.
    pub fn is_inside(&self, (x, y): (f64, f64), by: f64) -> bool {
        let (wide, high) = (f64::from(self.size.0), f64::from(self.size.1));
        x >= by && y >= by && x <= wide - by && y <= high - by
    }

    /// The angle of the table's x axis in the picture's middle, in radians: how the sheet is turned.
    pub fn turn(&self) -> f64 {
        self.axes[0][1].atan2(self.axes[0][0])
    }

    fn shows(&self, figure: &Slab) -> bool {
        /// This many pixels of air around it.
        const AIR: f64 = 12.0;
        figure.corners().into_iter().all(|corner| self.is_inside(self.seen(corner), AIR))
    }

    fn frames(&self, sheet: &Slab, framing: Framing) -> bool {
        /// A corner is plainly in or plainly out of the frame, by this many pixels.
        const PLAINLY: f64 = 15.0;
        let corners = sheet.corners().map(|corner| self.seen(corner));
        let inside = |by| corners.iter().filter(|corner| self.is_inside(**corner, by)).count();
        let (plainly, nearly) = (inside(PLAINLY), inside(-PLAINLY));
        match framing {
            Framing::Whole => plainly == 4,
            Framing::CornerOut => plainly == 3 && nearly == 3,
            Framing::Cut => plainly == nearly && nearly <= 2 && !self.is_all(sheet),
            Framing::Over => self.is_all(sheet),
        }
    }

    /// Whether the frame shows nothing but the sheet.
    fn is_all(&self, sheet: &Slab) -> bool {
        let (wide, high) = (f64::from(self.size.0), f64::from(self.size.1));
        [(0.0, 0.0), (wide, 0.0), (wide, high), (0.0, high)]
            .into_iter()
            .all(|corner| sheet.off(self.place(corner).0) < 0.0)
    }
}

/// The table's axes as a camera sees them that is turned and then tilted (Rodrigues' rotation).
fn axes(pose: &Pose) -> [Axes; 3] {
    let k = [pose.about.cos(), pose.about.sin(), 0.0];
    let (cos, sin) = (pose.tilt.cos(), pose.tilt.sin());
    let tilted = |v: Axes| -> Axes {
        let cross = [k[1] * v[2] - k[2] * v[1], k[2] * v[0] - k[0] * v[2], k[0] * v[1] - k[1] * v[0]];
        let part = along(k, v) * (1.0 - cos);
        std::array::from_fn(|i| v[i] * cos + cross[i] * sin + k[i] * part)
    };
    let (turn_cos, turn_sin) = (pose.turn.cos(), pose.turn.sin());
    [[turn_cos, turn_sin, 0.0], [-turn_sin, turn_cos, 0.0], [0.0, 0.0, 1.0]].map(tilted)
}
