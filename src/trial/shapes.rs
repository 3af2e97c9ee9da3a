//! A known figure as shapes on paper: regions of one bead each, drawn by a hand that is never exact.

use ndarray::parallel::prelude::*;
use ndarray::{Array2, Axis};

use super::chance::{Chance, Noise};
use super::proportions::RowMap;
use crate::grid::Grid;
use crate::tray::BeadId;
use crate::units::{Column, Row};

/// What a place of a drawing shows: a region by its place in [`Regions::list`], or nothing.
pub(super) type Shape = Option<u16>;

/// Beads of one kind that hang together.
#[derive(Clone, Debug)]
pub(super) struct Region {
    pub bead: BeadId,
    /// How many beads it has.
    pub size: usize,
    /// First and past the last row, first and past the last column.
    span: [f64; 4],
    moved: Moved,
}

/// Where an untidy hand put a region: off its place by this many beads, turned, and smaller or larger.
#[derive(Clone, Copy, Debug)]
struct Moved {
    by: (f64, f64),
    turn: (f64, f64),
    scale: f64,
}

const IN_PLACE: Moved = Moved { by: (0.0, 0.0), turn: (0.0, 1.0), scale: 1.0 };

/// All regions of a figure.
#[derive(Clone, Debug)]
pub(super) struct Regions {
    pub list: Vec<Region>,
    of: Grid<Shape>,
    /// Which moved regions may reach into each bead's square, one square of margin all around; nothing
    /// where every region is in its place.
    reaching: Option<Grid<Vec<u16>>>,
}

impl Regions {
    pub fn of(beads: &Grid<Option<BeadId>>) -> Self {
        let mut of: Grid<Shape> = beads.map(|_, _, _| None);
        let mut list: Vec<Region> = Vec::new();
        let places: Vec<(Row, Column, BeadId)> =
            beads.iter().filter_map(|(r, c, bead)| bead.map(|bead| (r, c, bead))).collect();
        for (row, column, bead) in places {
            if of[(row, column)].is_some() {
                continue;
            }
            let place = list.len() as u16;
            let mut queue = vec![(row, column)];
            of[(row, column)] = Some(place);
            let mut next = 0;
            let mut span = [f64::MAX, 0.0, f64::MAX, 0.0];
            while let Some(&(r, c)) = queue.get(next) {
                next += 1;
                let (y, x) = (r.0 as f64, c.0 as f64);
                span = [span[0].min(y), span[1].max(y + 1.0), span[2].min(x), span[3].max(x + 1.0)];
                let alike: Vec<(Row, Column)> = beads
                    .beside(r, c)
                    .filter(|&(nr, nc, other)| *other == Some(bead) && of[(nr, nc)].is_none())
                    .map(|(nr, nc, _)| (nr, nc))
                    .collect();
                for at in alike {
                    of[at] = Some(place);
                    queue.push(at);
                }
            }
            list.push(Region { bead, size: queue.len(), span, moved: IN_PLACE });
        }
        Self { list, of, reaching: None }
    }

    /// Moves, turns and shrinks regions as an untidy hand does.
    pub fn untidied(mut self, chance: &mut Chance) -> Self {
        /// About a third of a bead, and a few degrees.
        const OFF: (f64, f64) = (0.2, 0.5);
        const TURNED: f64 = 7.0;
        /// A single bead (an eye, a button) is drawn this much smaller.
        const SMALL: (f64, f64) = (0.5, 0.8);
        for region in &mut self.list {
            let angle = chance.either_way(TURNED).to_radians();
            let scale = if region.size == 1 { chance.within(SMALL.0, SMALL.1) } else { 1.0 };
            let (far, towards) = (chance.within(OFF.0, OFF.1), chance.within(0.0, std::f64::consts::TAU));
            let by = (far * towards.cos(), far * towards.sin());
            region.moved = Moved { by, turn: angle.sin_cos(), scale };
        }
        self.reaching = Some(Grid::from_fn(self.of.rows() + 4, self.of.columns() + 4, |row, column| {
            let (x, y) = (column.0 as f64 - 1.5, row.0 as f64 - 1.5);
            let reaches = |place: &u16| self.list[*place as usize].reaches(x, y);
            (0..self.list.len() as u16).filter(reaches).collect()
        }));
        self
    }

    /// What lies at a place (x and y in beads), its corners rounded by `roundness` (0 to 1).
    fn at(&self, x: f64, y: f64, roundness: f64) -> Shape {
        let (shape, ground) = self.strongest(x, y, roundness, None);
        let Some(reaching) = &self.reaching else { return shape };
        let mut best = (None, ground);
        let square = (Row((y + 2.0).max(0.0) as usize), Column((x + 2.0).max(0.0) as usize));
        for &place in reaching.get(square.0, square.1).into_iter().flatten() {
            let Some((px, py)) = self.list[place as usize].before_moving(x, y) else { continue };
            let claim = self.strongest(px, py, roundness, Some(place)).1;
            if claim > best.1 {
                best = (Some(place), claim);
            }
        }
        // Where regions were moved apart, the hand closes the hole with what lay there; at the outline it is paper.
        best.0.or(shape.filter(|_| ground <= 0.0))
    }

    /// The strongest of the regions around a place and how strong the ground is; or, asked for one
    /// region, how strong that is.
    fn strongest(&self, x: f64, y: f64, roundness: f64, only: Option<u16>) -> (Shape, f64) {
        let (left, top) = ((x - 0.5).floor(), (y - 0.5).floor());
        let mut claims: [(Shape, f64); 4] = [(None, 0.0); 4];
        let mut used = 0;
        for (dy, dx) in [(0.0, 0.0), (0.0, 1.0), (1.0, 0.0), (1.0, 1.0)] {
            let (cy, cx) = (top + dy, left + dx);
            let weight = kernel(y - cy - 0.5, roundness) * kernel(x - cx - 0.5, roundness);
            let inside = cy >= 0.0 && cx >= 0.0;
            let shape = if inside {
                self.of.get(Row(cy as usize), Column(cx as usize)).copied().flatten()
            } else {
                None
            };
            match claims[..used].iter_mut().find(|claim| claim.0 == shape) {
                Some(claim) => claim.1 += weight,
                None => {
                    claims[used] = (shape, weight);
                    used += 1;
                }
            }
        }
        let of = |wanted: Shape| claims[..used].iter().find(|c| c.0 == wanted).map_or(0.0, |c| c.1);
        if only.is_some() {
            return (only, of(only));
        }
        let best = claims[..used].iter().copied().fold((None, 0.0), |a, b| if b.1 > a.1 { b } else { a });
        (best.0, of(None))
    }
}

impl Region {
    /// Whether the moved region may reach into the bead's square around a place.
    fn reaches(&self, x: f64, y: f64) -> bool {
        let corners = [(-0.5, -0.5), (0.5, -0.5), (0.0, 0.0), (-0.5, 0.5), (0.5, 0.5)];
        corners.iter().any(|(dx, dy)| self.before_moving(x + dx, y + dy).is_some())
    }

    /// The place that was drawn here, if the region reaches so far.
    fn before_moving(&self, x: f64, y: f64) -> Option<(f64, f64)> {
        let [top, bottom, left, right] = self.span;
        let (cx, cy) = ((left + right) / 2.0, (top + bottom) / 2.0);
        let (dx, dy) = (x - cx - self.moved.by.0, y - cy - self.moved.by.1);
        let (sin, cos) = self.moved.turn;
        let px = cx + (dx * cos + dy * sin) / self.moved.scale;
        let py = cy + (dy * cos - dx * sin) / self.moved.scale;
        let near = px > left - 1.0 && px < right + 1.0 && py > top - 1.0 && py < bottom + 1.0;
        near.then_some((px, py))
    }
}

/// How much a bead counts at a distance from its middle along one axis: all of it near, half at its edge.
fn kernel(distance: f64, roundness: f64) -> f64 {
    ((0.5 + roundness / 2.0 - distance.abs()) / roundness.max(1e-6)).clamp(0.0, 1.0)
}

/// Where on a fine picture the figure's beads lie.
#[derive(Clone, Debug)]
pub(super) struct Frame {
    /// Fine pixels a bead.
    pub scale: f64,
    /// Fine pixels left of and above the first bead.
    pub left: f64,
    pub top: f64,
    /// Rows as drawn: evenly, or in natural proportions.
    pub rows: RowMap,
}

/// A hand: how its lines wander, in beads, and how it rounds corners.
#[derive(Clone, Copy, Debug)]
pub(super) struct Hand {
    pub wander: f64,
    pub roundness: f64,
    across: Noise,
    down: Noise,
}

impl Hand {
    pub fn new(chance: &mut Chance, wander: f64) -> Self {
        let roundness = chance.within(0.4, 0.9);
        Self { wander, roundness, across: chance.noise(), down: chance.noise() }
    }

    /// The same hand filling in what it has outlined: nearly, but not quite, along the same lines.
    pub fn again(self, chance: &mut Chance, off: f64) -> (Self, Self) {
        (self, Self { wander: off, across: chance.noise(), down: chance.noise(), ..self })
    }

    fn off(&self, x: f64, y: f64) -> (f64, f64) {
        /// A slow swing over some beads and a quicker one, each with its part.
        const SWINGS: [(f64, f64); 2] = [(3.1, 0.75), (1.1, 0.25)];
        let sum =
            |noise: Noise| SWINGS.iter().map(|(beads, part)| part * noise.at(x / beads, y / beads)).sum();
        let (dx, dy): (f64, f64) = (sum(self.across), sum(self.down));
        (self.wander * dx, self.wander * dy)
    }
}

/// How far hands stray, looked up on a coarse net: lines wander slowly.
struct Straying {
    net: Array2<(f64, f64)>,
}

impl Straying {
    /// Fine pixels between knots of the net: a few to the quickest swing.
    const STEP: usize = 8;

    fn of(hands: &[Hand], scale: f64, (height, width): (usize, usize)) -> Self {
        let size = (height / Self::STEP + 2, width / Self::STEP + 2);
        let net = Array2::from_shape_fn(size, |(y, x)| {
            let (x, y) = ((x * Self::STEP) as f64 / scale, (y * Self::STEP) as f64 / scale);
            hands.iter().map(|hand| hand.off(x, y)).fold((0.0, 0.0), |a, b| (a.0 + b.0, a.1 + b.1))
        });
        Self { net }
    }

    fn at(&self, y: usize, x: usize) -> (f64, f64) {
        let (ky, kx) = (y / Self::STEP, x / Self::STEP);
        let part = |at: usize| (at % Self::STEP) as f64 / Self::STEP as f64;
        let (fy, fx) = (part(y), part(x));
        let mix = |a: (f64, f64), b: (f64, f64), t: f64| (a.0 + (b.0 - a.0) * t, a.1 + (b.1 - a.1) * t);
        let top = mix(self.net[(ky, kx)], self.net[(ky, kx + 1)], fx);
        let bottom = mix(self.net[(ky + 1, kx)], self.net[(ky + 1, kx + 1)], fx);
        mix(top, bottom, fy)
    }
}

/// Which region each fine pixel shows. `hands` add up.
pub(super) fn shapes(
    regions: &Regions,
    frame: &Frame,
    hands: &[Hand],
    (height, width): (usize, usize),
) -> Array2<Shape> {
    let roundness = hands.first().map_or(0.5, |hand| hand.roundness);
    let straying = Straying::of(hands, frame.scale, (height, width));
    let (columns, rows) = (regions.of.columns() as f64, regions.of.rows() as f64);
    let mut seen = Array2::from_elem((height, width), None);
    seen.axis_iter_mut(Axis(0)).into_par_iter().enumerate().for_each(|(y, mut line)| {
        let down = (y as f64 + 0.5 - frame.top) / frame.scale;
        for (x, shape) in line.iter_mut().enumerate() {
            let (dx, dy) = straying.at(y, x);
            let across = (x as f64 + 0.5 - frame.left) / frame.scale;
            let (x, y) = frame.rows.to_grid(across + dx, down + dy);
            if x > -1.0 && y > -1.0 && x < columns + 1.0 && y < rows + 1.0 {
                *shape = regions.at(x, y, roundness);
            }
        }
    });
    seen
}
