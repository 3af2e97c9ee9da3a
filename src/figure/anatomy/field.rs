//! A figure as its shape is read: marks in a grid, with an axis and bands of rows.

use std::collections::BTreeSet;

use super::bands::{self, Bands};
use crate::figure::Mark;
use crate::grid::Grid;
use crate::plan::{BodyPart, ZoneRows};

/// A row and a column.
pub(super) type Cell = (usize, usize);

/// A set of beads.
pub(super) type Cells = BTreeSet<Cell>;

/// What has been told so far of each bead.
pub(super) type Told = Vec<Vec<Option<BodyPart>>>;

/// One side of the axis, as the looker sees it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Side {
    Left,
    Right,
}

impl Side {
    pub(super) const BOTH: [Self; 2] = [Self::Left, Self::Right];

    /// The arm there: the figure's own right arm is on the looker's left.
    pub(super) fn arm(self) -> BodyPart {
        match self {
            Self::Left => BodyPart::RightArm,
            Self::Right => BodyPart::LeftArm,
        }
    }
}

/// Marks, axis, bands and the body's width. Distances from the axis are in half pegs, since it may lie between two.
pub(super) struct Field {
    pub marks: Vec<Vec<Option<Mark>>>,
    pub rows: usize,
    pub columns: usize,
    pub bands: Bands,
    /// Twice the column the body stands about.
    pub axis: i32,
    /// How far the torso reaches to each side, in half pegs.
    pub half: i32,
    /// The mark of its skin, where a face shows one.
    pub skin: Option<Mark>,
}

impl Field {
    /// A figure's field; none where it has no bead.
    pub(super) fn of(beads: &Grid<Option<Mark>>, zones: Option<&ZoneRows>) -> Option<Self> {
        let (rows, columns) = (beads.rows(), beads.columns());
        let mut marks = vec![vec![None; columns]; rows];
        beads.iter().for_each(|(row, column, mark)| marks[row.0][column.0] = *mark);
        if marks.iter().flatten().all(Option::is_none) {
            return None;
        }
        let bands = zones.map_or_else(|| bands::guessed(&marks), Bands::of);
        let axis = bands::axis(&marks, bands.head..rows);
        let mut field = Self { marks, rows, columns, bands, axis, half: 4, skin: None };
        field.half = field.half_width();
        field.skin = field.skin_mark();
        Some(field)
    }

    /// Every bead's part.
    pub(super) fn read(&self) -> Told {
        let mut told = vec![vec![None; self.columns]; self.rows];
        self.read_head(&mut told);
        self.read_arms(&mut told);
        self.read_held(&mut told);
        self.read_below(&mut told);
        told
    }

    pub(super) fn mark(&self, (row, column): Cell) -> Option<Mark> {
        self.marks.get(row)?.get(column).copied().flatten()
    }

    /// How far a column lies from the axis, in half pegs.
    pub(super) fn off(&self, column: usize) -> i32 {
        (2 * column as i32 - self.axis).abs()
    }

    /// Which side of the axis a column lies on; none on the axis.
    pub(super) fn side(&self, column: usize) -> Option<Side> {
        match (2 * column as i32).cmp(&self.axis) {
            std::cmp::Ordering::Less => Some(Side::Left),
            std::cmp::Ordering::Equal => None,
            std::cmp::Ordering::Greater => Some(Side::Right),
        }
    }

    /// Whether a column lies within the torso's width.
    pub(super) fn is_body(&self, column: usize) -> bool {
        self.off(column) <= self.half
    }

    pub(super) fn is_skin(&self, spot: Cell) -> bool {
        self.skin.is_some() && self.mark(spot) == self.skin
    }

    /// The places of some rows, row by row.
    pub(super) fn within(&self, rows: std::ops::Range<usize>) -> impl Iterator<Item = Cell> + '_ {
        let rows = rows.start.min(self.rows)..rows.end.min(self.rows);
        rows.flat_map(|row| (0..self.columns).map(move |column| (row, column)))
    }

    /// The beads of some rows, each with its mark.
    pub(super) fn beads(&self, rows: std::ops::Range<usize>) -> impl Iterator<Item = (Cell, Mark)> + '_ {
        self.within(rows).filter_map(|spot| Some((spot, self.mark(spot)?)))
    }

    /// The marks of the beads of some rows for which something holds.
    pub(super) fn marks_where(
        &self,
        rows: std::ops::Range<usize>,
        holds: impl Fn(Cell) -> bool,
    ) -> BTreeSet<Mark> {
        self.beads(rows).filter(|(spot, _)| holds(*spot)).map(|(_, mark)| mark).collect()
    }

    /// The places side to side with one.
    pub(super) fn beside(&self, spot: Cell) -> impl Iterator<Item = Cell> + '_ {
        self.about(spot).filter(move |near| near.0 == spot.0 || near.1 == spot.1)
    }

    /// The places side to side or corner to corner with one.
    pub(super) fn about(&self, (row, column): Cell) -> impl Iterator<Item = Cell> + '_ {
        let rows = row.saturating_sub(1)..(row + 2).min(self.rows);
        let near =
            move |row| (column.saturating_sub(1)..(column + 2).min(self.columns)).map(move |c| (row, c));
        rows.flat_map(near).filter(move |near| *near != (row, column))
    }

    /// What is reached from some beads, corner to corner too, while something holds of each bead reached.
    pub(super) fn reached(
        &self,
        from: impl IntoIterator<Item = Cell>,
        holds: impl Fn(Cell) -> bool,
    ) -> Cells {
        self.spread(from, |spot| self.about(spot).collect(), holds)
    }

    /// The same, side to side only.
    pub(super) fn joined(&self, from: impl IntoIterator<Item = Cell>, holds: impl Fn(Cell) -> bool) -> Cells {
        self.spread(from, |spot| self.beside(spot).collect(), holds)
    }

    fn spread(
        &self,
        from: impl IntoIterator<Item = Cell>,
        near: impl Fn(Cell) -> Vec<Cell>,
        holds: impl Fn(Cell) -> bool,
    ) -> Cells {
        let mut all: Cells = from.into_iter().collect();
        let mut open: Vec<Cell> = all.iter().copied().collect();
        while let Some(spot) = open.pop() {
            for next in near(spot) {
                if self.mark(next).is_some() && !all.contains(&next) && holds(next) {
                    all.insert(next);
                    open.push(next);
                }
            }
        }
        all
    }

    /// Beads parted into groups that touch, corner to corner too.
    pub(super) fn groups(&self, mut beads: Cells) -> Vec<Cells> {
        let mut groups = Vec::new();
        while let Some(first) = beads.first().copied() {
            let group = self.reached([first], |spot| beads.contains(&spot));
            beads.retain(|spot| !group.contains(spot));
            groups.push(group);
        }
        groups
    }

    /// The first and last columns of each unbroken run of beads in a row.
    pub(super) fn runs(&self, row: usize) -> Vec<(usize, usize)> {
        runs(&self.marks[row])
    }

    /// Whether there is a gap at the axis with beads within two pegs on both its sides: legs, not a skirt.
    pub(super) fn is_parted(&self, row: usize) -> bool {
        /// As far apart as legs may stand at their nearest.
        const NEAR: usize = 2;
        let bead = |column: usize| self.marks[row].get(column).copied().flatten().is_some();
        (0..self.columns).filter(|column| self.off(*column) <= 1 && !bead(*column)).any(|column| {
            let left = (1..=NEAR).filter_map(|by| column.checked_sub(by)).any(bead);
            left && (1..=NEAR).any(|by| bead(column + by))
        })
    }

    /// How far the run of beads at the axis, or beside a gap there, reaches to each side, in half pegs.
    pub(super) fn extent(&self, row: usize) -> [i32; 2] {
        /// This many empty pegs from the axis on are a gap between legs.
        const GAP: i32 = 2;
        Side::BOTH.map(|side| {
            let step = if side == Side::Left { -1 } else { 1 };
            // The column at the axis, or the next on that side.
            let first =
                if self.axis % 2 == 0 || side == Side::Left { self.axis / 2 } else { self.axis / 2 + 1 };
            let bead =
                |column: i32| usize::try_from(column).is_ok_and(|column| self.mark((row, column)).is_some());
            let Some(start) = (0..=GAP).map(|by| first + step * by).find(|column| bead(*column)) else {
                return 0;
            };
            let mut last = start;
            while bead(last + step) {
                last += step;
            }
            (2 * last - self.axis).abs()
        })
    }

    /// How far the torso reaches to each side: as the legs stand, else as far as it stands free of the arms.
    fn half_width(&self) -> i32 {
        /// The least and most of it: a torso of two pegs and one of eight, in half pegs from its middle.
        const LEAST: i32 = 1;
        const MOST: i32 = 7;
        /// Wider runs have arms in them.
        const FREE: i32 = 6;
        /// Most figures' torso has five beads (common practice, no source).
        const USUAL: i32 = 4;
        let bands = &self.bands;
        let narrow = |row: usize| self.extent(row).into_iter().min().unwrap_or(0);
        let legs =
            (bands.legs..bands.feet).filter(|row| self.is_parted(*row)).map(narrow).filter(|w| *w >= 2);
        let free = || (bands.torso + 2..bands.legs).map(narrow).filter(|w| (2..=FREE).contains(w)).collect();
        let half = commonest(legs.collect()).or_else(|| commonest(free())).unwrap_or(USUAL);
        // A body on a peg reaches whole pegs, one between two pegs halves.
        half.clamp(LEAST, MOST)
    }

    /// The mark most seen in the middle of the face; what shows at hands counts double, what tops the head less.
    fn skin_mark(&self) -> Option<Mark> {
        /// This far from the axis the face's middle reaches, in half pegs.
        const MIDDLE: i32 = 3;
        let bands = &self.bands;
        let at_hands = self.marks_where(bands.neck..bands.legs + 3, |spot| !self.is_body(spot.1));
        let top = (0..self.rows).find(|row| self.beads(*row..row + 1).any(|(spot, _)| self.off(spot.1) <= 2));
        let top = top.unwrap_or(0);
        let on_top = self.marks_where(top..top + 1, |spot| self.off(spot.1) <= MIDDLE);
        let mut seen = std::collections::BTreeMap::<Mark, usize>::new();
        for ((row, column), mark) in self.beads(bands.head + 1..bands.neck) {
            if self.off(column) <= MIDDLE {
                *seen.entry(mark).or_default() += if row > bands.head + 1 { 2 } else { 1 };
            }
        }
        let weigh = |(mark, seen): &(Mark, usize)| {
            let hands = if at_hands.contains(mark) { 2 } else { 1 };
            (seen * hands * if on_top.contains(mark) { 2 } else { 3 }, *mark)
        };
        seen.into_iter().max_by_key(weigh).map(|(mark, _)| mark)
    }
}

/// The first and last columns of each unbroken run of beads.
pub(super) fn runs(row: &[Option<Mark>]) -> Vec<(usize, usize)> {
    let mut runs: Vec<(usize, usize)> = Vec::new();
    for column in (0..row.len()).filter(|column| row[*column].is_some()) {
        match runs.last_mut() {
            Some(last) if last.1 + 1 == column => last.1 = column,
            _ => runs.push((column, column)),
        }
    }
    runs
}

/// The number met most often, the largest of equals.
fn commonest(numbers: Vec<i32>) -> Option<i32> {
    let count = |number: i32| numbers.iter().filter(|other| **other == number).count();
    numbers.iter().copied().max_by_key(|number| (count(*number), *number))
}
