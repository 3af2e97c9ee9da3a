//! What speaks against what was found: paper with nothing on it instead of a figure, one colour, a frame that cuts it.

use imageproc::geometry::{approximate_polygon_dp, arc_length, contour_area, convex_hull};
use imageproc::point::Point;
use ndarray::Array2;

use super::Step;
use super::ground::least_squares;
use super::mask::{pieces, worn};
use super::middle::median;
use super::shrink::Area;
use super::sight::{Sight, View};
use super::subject::Cover;
use crate::colour::Lab;
use crate::error::Warning;

/// Sides of a picture that a figure may well touch: feet that it cuts, a hat that it cuts.
const MOST_SIDES_TOUCHED: usize = 2;

/// What was found, as far as it is judged.
pub(super) struct What<'a> {
    pub colours: &'a Array2<Lab>,
    pub cover: &'a Array2<Cover>,
    /// Side of a bead in pixels.
    pub bead: f64,
    /// Pixels to one of the picture file.
    pub softness: f64,
    /// Whether it reaches the top, the bottom, the left and the right of what it may lie in.
    pub reaches: [bool; 4],
    /// Whether the maker said where it is.
    pub is_named: bool,
    /// Whether the picture's own transparency cuts it out.
    pub is_cut_out: bool,
}

impl What<'_> {
    /// Whether it is nothing but paper: one pale flat shape with straight sides and nothing on it. What the maker
    /// named, or cut out, is a figure whatever it looks like.
    pub fn is_only_paper(&self) -> bool {
        /// Paper in poor or coloured light is still this light and no more coloured.
        const LEAST_LIGHTNESS: f64 = 62.0;
        const MOST_CHROMA: f64 = 24.0;
        if self.is_named || self.is_cut_out || !self.has_straight_sides() {
            return false;
        }
        self.one_colour().is_some_and(|colour| {
            colour.l >= LEAST_LIGHTNESS && colour.chroma() <= MOST_CHROMA && !self.is_outlined(colour)
        })
    }

    /// What the maker should know of it; `edge` is where it would be cut.
    pub fn warnings(&self, edge: &'static str) -> Vec<Warning> {
        let sides = self.reaches.iter().filter(|reaches| **reaches).count();
        let is_sure = self.is_named || self.is_cut_out;
        let mut warnings = Vec::new();
        if sides > MOST_SIDES_TOUCHED && !is_sure {
            warnings.push(Warning::TouchesThree { of: edge });
        } else if sides > 0 {
            warnings.push(Warning::TouchesEdge { of: edge });
        }
        if !is_sure && self.one_colour().is_some() {
            warnings.push(Warning::OneColour);
        }
        warnings
    }

    fn subject(&self) -> Array2<bool> {
        self.cover.map(|cover| *cover == Cover::Subject)
    }

    /// The one colour of all that lies within its edges, in soft light or even; nothing where a mark lies on it.
    fn one_colour(&self) -> Option<Lab> {
        /// This much of its edge, in beads, may be a line around it or blurred into the ground,
        const EDGE: f64 = 0.35;
        /// or this many pixels of the picture file.
        const BLUR: f64 = 1.5;
        /// Grain of paper and of a telephone's picture stays below this, in Lab units.
        const MOST_GRAIN: f64 = 3.0;
        /// What differs by this much, or by this many times the grain, is a mark,
        const MARK: f64 = 5.0;
        const GRAINS: f64 = 4.0;
        /// Where this much of it is marks, there is no need to measure them.
        const MOST_OFF: f64 = 0.1;
        /// if it is at least as large as an eye, in beads across.
        const EYE: f64 = 0.3;
        let inner = worn(&self.subject(), (EDGE * self.bead).max(BLUR * self.softness).ceil() as usize);
        let places: Vec<(usize, usize)> =
            inner.indexed_iter().filter(|(_, set)| **set).map(|(p, _)| p).collect();
        // What has no inside says nothing.
        if (places.len() as f64) < self.bead * self.bead {
            return None;
        }
        let few: Vec<(usize, usize)> =
            places.iter().step_by(places.len().div_ceil(LEARNT_FROM)).copied().collect();
        let light = SoftLight::of(self.colours, &few)?;
        let grain = median(few.iter().map(|&p| light.apart(self.colours, p)).collect());
        let bound = MARK.max(GRAINS * grain);
        let off = few.iter().filter(|&&p| light.apart(self.colours, p) > bound).count();
        if grain > MOST_GRAIN || off as f64 > MOST_OFF * few.len() as f64 {
            return None;
        }
        let mut marks = Array2::from_elem(inner.dim(), false);
        places.iter().filter(|&&p| light.apart(self.colours, p) > bound).for_each(|&p| marks[p] = true);
        let least_mark = (EYE * self.bead).powi(2);
        let is_flat =
            grain <= MOST_GRAIN && pieces(&marks).iter().all(|piece| (piece.len() as f64) < least_mark);
        is_flat.then(|| light.middle(&few))
    }

    /// Whether it fills a shape of four straight sides, or of what the frame leaves of one.
    fn has_straight_sides(&self) -> bool {
        /// A sheet that the frame cuts at two corners has six.
        const SIDES: std::ops::RangeInclusive<usize> = 4..=6;
        /// How far its sides may bend, as a share of their length all round.
        const BENT: f64 = 0.008;
        /// It fills its hull, and the hull its polygon.
        const FILLED: f64 = 0.96;
        let rows = self.cover.outer_iter().enumerate();
        let ends: Vec<Point<i32>> = rows
            .flat_map(|(y, row)| {
                let mut set =
                    row.iter().enumerate().filter(|(_, c)| **c == Cover::Subject).map(|(x, _)| x as i32);
                let first = set.next();
                let last = set.next_back().or(first);
                [first, last.map(|x| x + 1)]
                    .into_iter()
                    .flatten()
                    .flat_map(move |x| [Point::new(x, y as i32), Point::new(x, y as i32 + 1)])
            })
            .collect();
        if ends.is_empty() {
            return false;
        }
        let hull = convex_hull(&ends[..]);
        let polygon = approximate_polygon_dp(&hull, BENT * arc_length(&hull, true), true);
        let (whole, simple) = (contour_area(&hull), contour_area(&polygon));
        let filled = self.cover.iter().filter(|cover| **cover == Cover::Subject).count() as f64;
        SIDES.contains(&polygon.len()) && filled >= FILLED * whole && simple >= FILLED * whole
    }

    /// Whether a line darker than both its sides runs around it: a box that is drawn is no paper.
    fn is_outlined(&self, colour: Lab) -> bool {
        /// A line is darker than what it bounds by this much.
        const DARKER: f64 = 12.0;
        /// The line runs around most of it.
        const AROUND: f64 = 0.5;
        let subject = self.subject();
        let ground =
            self.colours.iter().zip(&subject).filter(|(_, of_it)| !**of_it).map(|(c, _)| c.l).collect();
        let bound = colour.l.min(median(ground)) - DARKER;
        let (mut edge, mut dark) = (0_usize, 0_usize);
        let width = (self.bead / 4.0).ceil() as usize;
        let inner = worn(&subject, width);
        for row in 0..subject.nrows() {
            let rim = |x: &usize| subject[(row, *x)] && !inner[(row, *x)];
            let lightness = (0..subject.ncols()).filter(rim).map(|x| self.colours[(row, x)].l);
            let (count, darkest) = lightness.fold((0, f64::MAX), |(n, low), l| (n + 1, low.min(l)));
            edge += usize::from(count > 0);
            dark += usize::from(count > 0 && darkest < bound);
        }
        dark as f64 >= AROUND * edge as f64
    }
}

/// Terms of a quadratic surface.
const TERMS: usize = 6;

/// Places that its light is learnt from: some hundred for each term.
const LEARNT_FROM: usize = 3000;

/// One material in soft light: a quadratic surface through its colours.
struct SoftLight {
    surface: [[f64; TERMS]; 3],
    size: (f64, f64),
}

impl SoftLight {
    /// Through most of the places: what lies far off it is a mark, and is left out.
    fn of(colours: &Array2<Lab>, places: &[(usize, usize)]) -> Option<Self> {
        /// Rounds of fitting; after the first, only the nearer part of the places counts.
        const ROUNDS: usize = 3;
        const NEARER: f64 = 0.7;
        let (rows, columns) = colours.dim();
        let size = (rows as f64, columns as f64);
        let mut kept = places.to_vec();
        let mut fitted = None;
        for _ in 0..ROUNDS {
            let samples = kept.iter().map(|&p| (basis(p, size), [colours[p].l, colours[p].a, colours[p].b]));
            let light = Self { surface: least_squares(samples, TERMS)?, size };
            let mut by_distance: Vec<_> = places.iter().map(|&p| (light.apart(colours, p), p)).collect();
            by_distance.sort_by(|a, b| a.0.total_cmp(&b.0));
            by_distance.truncate(((places.len() as f64 * NEARER) as usize).max(TERMS));
            kept = by_distance.into_iter().map(|(_, p)| p).collect();
            fitted = Some(light);
        }
        fitted
    }

    fn at(&self, place: (usize, usize)) -> [f64; 3] {
        let basis = basis(place, self.size);
        self.surface.map(|weights| weights.iter().zip(&basis).map(|(w, b)| w * b).sum())
    }

    fn apart(&self, colours: &Array2<Lab>, place: (usize, usize)) -> f64 {
        let ([l, a, b], seen) = (self.at(place), colours[place]);
        (seen.l - l).hypot(seen.a - a).hypot(seen.b - b)
    }

    /// Its colour in the middle of the places.
    fn middle(&self, places: &[(usize, usize)]) -> Lab {
        let of = |channel: usize| median(places.iter().map(|&p| self.at(p)[channel]).collect());
        Lab::new(of(0), of(1), of(2))
    }
}

fn basis((row, column): (usize, usize), (rows, columns): (f64, f64)) -> [f64; TERMS] {
    let (x, y) = (2.0 * column as f64 / columns - 1.0, 2.0 * row as f64 / rows - 1.0);
    [1.0, x, y, x * x, x * y, y * y]
}

impl Sight {
    /// Whether a box of this look (first row, past the last, first column, past the last) reaches the top, the bottom,
    /// the left and the right of all that may be looked at. Where the look itself ends nothing is cut.
    pub(super) fn reaches(&self, [top, bottom, left, right]: [usize; 4]) -> [bool; 4] {
        let (View::Straight { area, columns, rows } | View::Sheet { area, columns, rows, .. }) = self.view;
        let Area { x, y, width, height } = self.within;
        // Half a pixel: the look's own ends are laid on those of the whole, except for rounding.
        let (dx, dy) = (area.width / columns / 2.0, area.height / rows / 2.0);
        [
            top == 0 && area.y - y < dy,
            bottom as f64 >= rows && y + height - (area.y + area.height) < dy,
            left == 0 && area.x - x < dx,
            right as f64 >= columns && x + width - (area.x + area.width) < dx,
        ]
    }

    /// What ends where the figure may be cut.
    pub(super) fn edge(&self, is_cropped: bool) -> &'static str {
        let is_narrowed = self.within != self.bounds;
        match (self.view, self.on_paper) {
            (View::Sheet { .. }, Step::Sheet | Step::SheetGiven) if !is_narrowed => "sheet",
            _ if is_cropped => "crop",
            _ => "picture",
        }
    }
}
