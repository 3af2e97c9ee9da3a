//! The outline of a drawing from its own transparency, and the limbs that stand out from it.
//!
//! A limb is a hill of the geodesic distance from the middle of the body: walking inside the outline, its tip is
//! farther from the middle than everything around it. How far one must walk back from a tip before a farther
//! one can be reached is its length (its topological persistence: Edelsbrunner and Harer, Computational
//! Topology, 2010, chapter VII).

use std::cmp::Reverse;
use std::collections::BinaryHeap;

use image::{GrayImage, Luma, RgbaImage};
use imageproc::distance_transform::euclidean_squared_distance_transform;

/// Pixels of the picture to one of the outline, each way: a bead is still some 15 across.
const STEP: u32 = 2;

/// Steps of the distance to the pixel beside and to the pixel across: 7 / 5 is nearly the root of 2 (Borgefors,
/// Distance transformations in digital images, 1986).
const BESIDE: u32 = 5;
const ACROSS: u32 = 7;

/// Opacity from which a pixel is the figure's.
const OPAQUE: u32 = 128;

/// A place of the outline: its index, row by row.
type Place = usize;

/// A place in the pixels of the picture, x and y.
pub type Point = (f64, f64);

/// The largest connected piece of a drawing: the person with what they hold.
pub struct Silhouette {
    columns: usize,
    inside: Vec<bool>,
    /// How far each place lies from the edge, in places.
    depth: Vec<f64>,
}

/// What stands out from the middle of an outline: a head, an arm, a leg, a thing held.
pub struct Limb {
    pub tip: Point,
    /// How far it stands out, in pixels of the picture.
    pub length: f64,
    /// From the tip to where it leaves the body.
    pub way: Vec<Point>,
    holds: Vec<bool>,
}

impl Silhouette {
    /// The outline of a picture that is clear around its figure.
    pub fn of(pixels: &RgbaImage) -> Self {
        let (columns, rows) = (pixels.width() / STEP, pixels.height() / STEP);
        let alpha = |x: u32, y: u32| {
            let block =
                (0..STEP * STEP).map(|i| pixels.get_pixel(x * STEP + i % STEP, y * STEP + i / STEP)[3]);
            block.map(u32::from).sum::<u32>() / (STEP * STEP)
        };
        let places = (0..rows).flat_map(|y| (0..columns).map(move |x| (x, y)));
        let inside = places.map(|(x, y)| alpha(x, y) >= OPAQUE).collect();
        let mut all = Self { columns: columns as usize, inside, depth: Vec::new() };
        all.inside = all.largest_piece();
        all.depth = all.depths();
        all
    }

    fn largest_piece(&self) -> Vec<bool> {
        let mut seen = vec![false; self.inside.len()];
        let mut largest = Vec::new();
        for start in 0..self.inside.len() {
            if self.inside[start] && !seen[start] {
                let piece = self.reached(start, |place| self.inside[place]);
                piece.iter().for_each(|&place| seen[place] = true);
                largest = if piece.len() > largest.len() { piece } else { largest };
            }
        }
        self.as_mask(&largest)
    }

    fn as_mask(&self, places: &[Place]) -> Vec<bool> {
        let mut mask = vec![false; self.inside.len()];
        places.iter().for_each(|&place| mask[place] = true);
        mask
    }

    /// Every place that can be reached from one without leaving what is allowed.
    fn reached(&self, start: Place, allowed: impl Fn(Place) -> bool) -> Vec<Place> {
        let mut seen = vec![false; self.inside.len()];
        let mut found = vec![start];
        seen[start] = true;
        let mut next = 0;
        while next < found.len() {
            for (place, _) in self.around(found[next]) {
                if !seen[place] && allowed(place) {
                    seen[place] = true;
                    found.push(place);
                }
            }
            next += 1;
        }
        found
    }

    /// The eight places around one, each with the length of the step.
    fn around(&self, place: Place) -> impl Iterator<Item = (Place, u32)> + use<> {
        let (columns, rows) = (self.columns as i64, (self.inside.len() / self.columns) as i64);
        let (x, y) = (place as i64 % columns, place as i64 / columns);
        let steps = (-1..=1).flat_map(|dy| (-1..=1).map(move |dx| (dx, dy))).filter(|&step| step != (0, 0));
        steps.filter_map(move |(dx, dy): (i64, i64)| {
            let (x, y) = (x + dx, y + dy);
            let step = if dx == 0 || dy == 0 { BESIDE } else { ACROSS };
            let fits = x >= 0 && y >= 0 && x < columns && y < rows;
            fits.then_some(((y * columns + x) as usize, step))
        })
    }

    fn depths(&self) -> Vec<f64> {
        let (columns, rows) = (self.columns as u32, (self.inside.len() / self.columns) as u32);
        let outside = GrayImage::from_fn(columns, rows, |x, y| {
            Luma([if self.inside[y as usize * self.columns + x as usize] { 0 } else { 255 }])
        });
        euclidean_squared_distance_transform(&outside).pixels().map(|pixel| pixel[0].sqrt()).collect()
    }

    fn point(&self, place: Place) -> Point {
        let middle = |at: usize| (at as f64 + 0.5) * f64::from(STEP);
        (middle(place % self.columns), middle(place / self.columns))
    }

    /// The places of the outline within a box of the picture: left, top, right, bottom.
    fn places_in(&self, area: [f64; 4]) -> impl Iterator<Item = Place> + '_ {
        let [left, top, right, bottom] = area.map(|edge| edge / f64::from(STEP));
        let rows = self.inside.len() / self.columns;
        let span = |from: f64, to: f64, size: usize| {
            let first = (from - 0.5).ceil().max(0.0) as usize;
            first..((to - 0.5).ceil().max(0.0) as usize).min(size)
        };
        span(top, bottom, rows)
            .flat_map(move |y| span(left, right, self.columns).map(move |x| (x, y)))
            .map(|(x, y)| y * self.columns + x)
    }

    /// Its place in the picture: left, top, right, bottom.
    pub fn extent(&self) -> [f64; 4] {
        let points =
            (0..self.inside.len()).filter(|&place| self.inside[place]).map(|place| self.point(place));
        let half = f64::from(STEP) / 2.0;
        points.fold([f64::INFINITY, f64::INFINITY, 0.0, 0.0], |[left, top, right, bottom], (x, y)| {
            [left.min(x - half), top.min(y - half), right.max(x + half), bottom.max(y + half)]
        })
    }

    /// Width and height of the picture, in its pixels.
    pub fn picture_size(&self) -> (f64, f64) {
        let size = |places: usize| places as f64 * f64::from(STEP);
        (size(self.columns), size(self.inside.len() / self.columns))
    }

    /// How many pixels of the picture it covers.
    pub fn area(&self) -> f64 {
        self.inside.iter().filter(|&&inside| inside).count() as f64 * f64::from(STEP * STEP)
    }

    /// Where it stands on the ground: left and right of every stretch at least `least` pixels long within a
    /// band of that height above its lowest row.
    pub fn footing(&self, band: f64, least: f64) -> Vec<(f64, f64)> {
        let [left, _, right, bottom] = self.extent();
        let stands = |x: usize| {
            let x = x as f64 * f64::from(STEP);
            self.places_in([x, bottom - band, x + f64::from(STEP), bottom]).any(|place| self.inside[place])
        };
        let columns: Vec<usize> = (0..self.columns).filter(|&x| stands(x)).collect();
        let stretches = columns.chunk_by(|a, b| a + 1 == *b).map(|stretch| {
            let (first, last) = (stretch[0] as f64, stretch[stretch.len() - 1] as f64 + 1.0);
            ((first * f64::from(STEP)).max(left), (last * f64::from(STEP)).min(right))
        });
        stretches.filter(|(left, right)| right - left >= least).collect()
    }

    /// The limbs at least `least` pixels long, the longest first.
    pub fn limbs(&self, least: f64) -> Vec<Limb> {
        let walk = Walk::from_middle(self);
        let unit = f64::from(STEP) / f64::from(BESIDE);
        let mut limbs: Vec<Limb> = walk
            .hills(self, (least / unit) as u32)
            .into_iter()
            .map(|hill| {
                let high = |place: Place| self.inside[place] && walk.far[place] > hill.floor;
                Limb {
                    tip: self.point(hill.top),
                    length: f64::from(walk.far[hill.top] - hill.floor) * unit,
                    way: walk.back(hill.top, hill.floor).map(|place| self.point(place)).collect(),
                    holds: self.as_mask(&self.reached(hill.top, high)),
                }
            })
            .collect();
        limbs.sort_by(|a, b| b.length.total_cmp(&a.length));
        limbs
    }

    /// Whether a disc of that radius fits into the limb within `reach` pixels of a point.
    pub fn is_thick(&self, limb: &Limb, at: Point, radius: f64, reach: f64) -> bool {
        let near = self.places_in([at.0 - reach, at.1 - reach, at.0 + reach, at.1 + reach]);
        near.filter(|&place| limb.holds[place]).any(|place| self.depth[place] * f64::from(STEP) >= radius)
    }

    /// The share of a box of the picture that the person covers with what they hold, 0 to 1.
    pub fn share(&self, area: [f64; 4]) -> f64 {
        let (mut held, mut all) = (0_u32, 0_u32);
        for place in self.places_in(area) {
            all += 1;
            held += u32::from(self.inside[place]);
        }
        f64::from(held) / f64::from(all.max(1))
    }

    /// The share of a box of the picture that a limb covers, 0 to 1.
    pub fn share_of(&self, limb: &Limb, area: [f64; 4]) -> f64 {
        let (mut held, mut all) = (0, 0);
        for place in self.places_in(area) {
            all += 1;
            held += usize::from(limb.holds[place]);
        }
        f64::from(held as u32) / f64::from((all as u32).max(1))
    }
}

/// How far every place lies from the middle of the body, walked inside the outline, in steps.
struct Walk {
    far: Vec<u32>,
    /// The place before each on its way from the middle.
    before: Vec<Place>,
    /// All places inside, farthest first.
    farthest_first: Vec<Place>,
}

/// A hill of the walk: its top, and the height at which it joins a higher one or takes up a lower.
struct Hill {
    top: Place,
    floor: u32,
}

impl Walk {
    fn from_middle(outline: &Silhouette) -> Self {
        let places = || (0..outline.inside.len()).filter(|&place| outline.inside[place]);
        let count = places().count().max(1);
        let (x, y) = places()
            .map(|p| (p % outline.columns, p / outline.columns))
            .fold((0, 0), |sum, at| (sum.0 + at.0, sum.1 + at.1));
        let (x, y) = (x / count, y / count);
        let from_middle = |place: &Place| {
            (place % outline.columns).abs_diff(x).pow(2) + (place / outline.columns).abs_diff(y).pow(2)
        };
        let middle = places().min_by_key(from_middle).unwrap_or(0);
        let mut far = vec![u32::MAX; outline.inside.len()];
        let mut before = vec![middle; outline.inside.len()];
        let mut farthest_first = Vec::new();
        let mut open = BinaryHeap::from([Reverse((0, middle))]);
        far[middle] = 0;
        while let Some(Reverse((walked, place))) = open.pop() {
            if walked > far[place] {
                continue;
            }
            farthest_first.push(place);
            for (next, step) in outline.around(place) {
                if outline.inside[next] && walked + step < far[next] {
                    (far[next], before[next]) = (walked + step, place);
                    open.push(Reverse((walked + step, next)));
                }
            }
        }
        farthest_first.reverse();
        Self { far, before, farthest_first }
    }

    /// The way from a place back towards the middle, down to a height.
    fn back(&self, from: Place, floor: u32) -> impl Iterator<Item = Place> + '_ {
        std::iter::successors(Some(from), move |&place| {
            let next = self.before[place];
            (next != place && self.far[next] > floor).then_some(next)
        })
    }

    /// The hills that stand out at least so far: places are flooded from the farthest to the nearest, and
    /// where two hills meet the lower one ends.
    fn hills(&self, outline: &Silhouette, least: u32) -> Vec<Hill> {
        const NONE: usize = usize::MAX;
        let mut hill_of = vec![NONE; self.far.len()];
        // Each hill's top, the height it is cut at, and the hill it has joined (itself while it stands).
        let mut hills: Vec<(Place, u32, usize)> = Vec::new();
        let mut found = Vec::new();
        let root = |hills: &[(Place, u32, usize)], mut hill: usize| {
            while hills[hill].2 != hill {
                hill = hills[hill].2;
            }
            hill
        };
        for &place in &self.farthest_first {
            let height = self.far[place];
            for (next, _) in outline.around(place) {
                if hill_of[next] == NONE {
                    continue;
                }
                let other = root(&hills, hill_of[next]);
                let own = if hill_of[place] == NONE { other } else { root(&hills, hill_of[place]) };
                hill_of[place] = own;
                if own == other {
                    continue;
                }
                let own_is_higher = self.far[hills[own].0] >= self.far[hills[other].0];
                let (higher, lower) = if own_is_higher { (own, other) } else { (other, own) };
                let (top, floor, _) = hills[lower];
                if self.far[top] - height >= least {
                    found.push(Hill { top, floor: floor.max(height) });
                    hills[higher].1 = hills[higher].1.max(height);
                }
                hills[lower].2 = higher;
            }
            if hill_of[place] == NONE {
                hill_of[place] = hills.len();
                hills.push((place, 0, hills.len()));
            }
        }
        let last = hills.iter().enumerate().filter(|(at, hill)| hill.2 == *at);
        found.extend(last.map(|(_, &(top, floor, _))| Hill { top, floor }));
        found
    }
}
