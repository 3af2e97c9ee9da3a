//! What is wrong with a draft, told from the outline of its drawing and the windows of its beads alone.

use std::collections::BTreeMap;

use smallcast::draft::Draft;
use smallcast::units::{Column, Row};

use crate::silhouette::{Limb, Point, Silhouette};

/// A limb stands out by at least so many beads; less is a fold, a curl or a finger.
const LIMB: f64 = 1.5;

/// A limb must be kept where a disc of this diameter, in beads, fits into it: a stick or a club is thinner, and a
/// maker lays it by hand.
const THICK: f64 = 0.8;

/// A limb ends no farther than this from its last bead, in beads.
const NEAR: f64 = 1.0;

/// The limb covers at least this share of the window of a bead that is called its own.
const OWN: f64 = 0.2;

/// A draft has at least half and at most twice the beads that its outline has room for at even rows: a plan
/// stretches heads and legs, but does not make another figure of it.
const ROOM: [f64; 2] = [0.5, 2.0];

/// The person covers at least this share of the window of a bead that is surely theirs.
const THEIRS: f64 = 0.5;

/// A bead's row, and its window in pixels of the picture: left, top, right, bottom.
#[derive(Clone, Copy, Debug)]
pub struct Window {
    pub row: Row,
    pub area: [f64; 4],
}

impl Window {
    /// How far a point lies outside the window, in beads of its own size.
    fn distance(&self, (x, y): Point) -> f64 {
        let [left, top, right, bottom] = self.area;
        let across = (left - x).max(x - right).max(0.0) / (right - left);
        let down = (top - y).max(y - bottom).max(0.0) / (bottom - top);
        across.hypot(down)
    }

    fn meets(&self, [left, top, right, bottom]: [f64; 4]) -> bool {
        let [l, t, r, b] = self.area;
        l < right && r > left && t < bottom && b > top
    }
}

/// The windows of a draft that hold a bead.
pub fn windows(draft: &Draft) -> Vec<Window> {
    let lattice = draft.samples.lattice();
    let area = |row: Row, column: Column| {
        let area = lattice.window(row, column);
        let (left, top) = draft.reference.picture_place(area.x, area.y);
        let (right, bottom) = draft.reference.picture_place(area.x + area.width, area.y + area.height);
        [left, top, right, bottom]
    };
    let beads = draft.matched.beads().iter().filter(|(.., bead)| bead.is_some());
    beads.map(|(row, column, _)| Window { row, area: area(row, column) }).collect()
}

/// How many pieces of a draft touch nothing side to side, beside the largest, though the drawing joins them to the
/// person: each would come off the board by itself.
pub fn loose_pieces(outline: &Silhouette, draft: &Draft) -> usize {
    let beads = draft.matched.beads().iter().filter(|(.., bead)| bead.is_some());
    let windows = windows(draft);
    let share = |window: &Window| outline.share(window.area);
    let mut left: BTreeMap<(usize, usize), bool> = beads
        .zip(&windows)
        .map(|((row, column, _), window)| ((row.0, column.0), share(window) >= THEIRS))
        .collect();
    let mut pieces: Vec<(usize, bool)> = Vec::new();
    while let Some((start, is_theirs)) = left.pop_first() {
        let (mut open, mut piece) = (vec![start], (0, is_theirs));
        while let Some((row, column)) = open.pop() {
            piece.0 += 1;
            let beside = [
                (row.wrapping_sub(1), column),
                (row + 1, column),
                (row, column.wrapping_sub(1)),
                (row, column + 1),
            ];
            for next in beside {
                if let Some(is_theirs) = left.remove(&next) {
                    piece.1 |= is_theirs;
                    open.push(next);
                }
            }
        }
        pieces.push(piece);
    }
    pieces.sort_unstable();
    pieces.pop();
    pieces.into_iter().filter(|(_, is_theirs)| *is_theirs).count()
}

/// What was looked at and what is wrong.
pub struct Verdict {
    /// How many limbs were thick enough to be asked for.
    pub limbs: usize,
    pub faults: Vec<String>,
}

impl Verdict {
    /// Of a figure of so many rows whose beads lie in these windows.
    pub fn of(outline: &Silhouette, rows: usize, windows: &[Window]) -> Self {
        let [_, top, _, bottom] = outline.extent();
        let look = Look { outline, windows, rows, bead: (bottom - top) / rows as f64 };
        let limbs = look.limbs();
        let mut faults = look.empty_or_bloated();
        faults.extend(limbs.iter().filter_map(|(limb, end)| look.lost(limb, *end)));
        faults.extend(look.lost_feet());
        Self { limbs: limbs.len(), faults }
    }
}

/// A drawing's outline beside its beads; `bead` is a side of one at even rows, in pixels of the picture.
struct Look<'a> {
    outline: &'a Silhouette,
    windows: &'a [Window],
    rows: usize,
    bead: f64,
}

impl Look<'_> {
    fn empty_or_bloated(&self) -> Vec<String> {
        let mut faults = Vec::new();
        let room = self.windows.len() as f64 / (self.outline.area() / self.bead.powi(2));
        if !(ROOM[0]..=ROOM[1]).contains(&room) {
            faults.push(format!("{} beads are {room:.2} times its room", self.windows.len()));
        }
        if !self.windows.iter().any(|window| window.row.0 + 1 == self.rows) {
            faults.push("its lowest row is empty".into());
        }
        faults
    }

    /// The limbs that are asked for, each with its end. A point is lost to any bead: a limb ends where it is still
    /// thick, no more than a bead from its tip.
    fn limbs(&self) -> Vec<(Limb, Point)> {
        let end_of = |limb: &Limb| {
            let near = |at: &Point| (at.0 - limb.tip.0).hypot(at.1 - limb.tip.1) <= self.bead;
            limb.way.iter().copied().take_while(near).find(|&at| self.is_thick(limb, at))
        };
        let all = self.outline.limbs(LIMB * self.bead).into_iter();
        all.filter_map(|limb| end_of(&limb).map(|end| (limb, end))).collect()
    }

    fn is_thick(&self, limb: &Limb, at: Point) -> bool {
        self.outline.is_thick(limb, at, THICK * self.bead / 2.0, self.bead / 2.0)
    }

    /// What of a limb has no bead: its end, or a place on its way.
    fn lost(&self, limb: &Limb, end: Point) -> Option<String> {
        let is_own = |window: &&Window| self.outline.share_of(limb, window.area) >= OWN;
        let own: Vec<&Window> = self.windows.iter().filter(is_own).collect();
        let far = |at: Point| own.iter().map(|window| window.distance(at)).fold(f64::INFINITY, f64::min);
        let length = limb.length / self.bead;
        if far(end) > NEAR {
            let (far, at) = (far(end), self.place(end));
            return Some(format!(
                "a limb {length:.1} beads long ends {far:.1} beads from its last bead: {at}"
            ));
        }
        let gap = limb.way.iter().find(|&&at| self.is_thick(limb, at) && far(at) > NEAR)?;
        Some(format!("a limb {length:.1} beads long is broken on its way: {}", self.place(*gap)))
    }

    /// The feet on the ground that have no bead in the two lowest rows.
    fn lost_feet(&self) -> Vec<String> {
        let [_, _, _, bottom] = self.outline.extent();
        let lowest: Vec<&Window> =
            self.windows.iter().filter(|window| window.row.0 + 2 >= self.rows).collect();
        let is_lost = |&(left, right): &(f64, f64)| {
            let foot = [left, bottom - self.bead, right, bottom];
            !lowest.iter().any(|window| window.meets(foot))
        };
        let feet = self.outline.footing(self.bead / 2.0, THICK * self.bead);
        let place = |(left, right): (f64, f64)| self.place(((left + right) / 2.0, bottom));
        feet.into_iter().filter(is_lost).map(|foot| format!("a foot has no bead: {}", place(foot))).collect()
    }

    /// A place in hundredths of the picture, as a person would point at it.
    fn place(&self, (x, y): Point) -> String {
        let (width, height) = self.outline.picture_size();
        format!("{:.0} % across, {:.0} % down", x / width * 100.0, y / height * 100.0)
    }
}
