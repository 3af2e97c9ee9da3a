//! Stripes and checks: where they lie, and which beads they become.
//!
//! Who designs by eye keeps stripes whole and thins what is finer than beads: stripes narrower than a bead become
//! one bead and one bead, a check every second bead (both designs by eye of each of our sketches with stripes or a
//! check).

use std::collections::BTreeMap;

use super::detect::{Asked, Claim, Detector, Rank};
use super::scene::Peg;
use super::signs::CLEARLY;
use super::turns::{Cloth, Turns};
use crate::colour::Lab;
use crate::reference::Area;
use crate::reference::ground::middle_colour;

/// Turns seen about neighbouring beads are one pattern if their colours are within so much (CIEDE2000) and the longer
/// period is at most so many times the shorter: light falls on a skirt, and its stripes fan out.
const ALIKE: f64 = 16.0;
const PERIODS: f64 = 1.5;

/// A piece of a pattern has so many beads,
const LEAST_PIECE: usize = 4;

/// ... and all its pieces together so many beads where turns leave no doubt: one may be chance.
const LEAST_STRONG: usize = 2;

/// A pattern's colours differ by at least so much (CIEDE2000) in the middle, as a sign differs from its ground.
const READS: f64 = 25.0;

/// Turns both across and down are a check where the lesser of both is seen about so much of the beads of the greater.
const CHECK: f64 = 0.25;

/// Each colour covers at least so much of a bead of the pattern, and the two together so much.
const EACH: f64 = 0.15;
const BOTH: f64 = 0.6;

/// A place shows a pattern's colour if it is nearer than this part of the way between both, in Lab.
const NEAR: f64 = 0.5;

/// Stripes and checks.
pub(super) const DETECTOR: Detector = Detector {
    name: "stripes",
    what: "Two colours that take turns at even distances along straight lines, over cloth.",
    why: "Stripes must stay whole and a check must read; windows narrower or wider than a stripe make neither.",
    source: "Both designs by eye of each of our sketches with stripes or a check.",
    example: "An oyster seller's skirt in red and white.",
    limits: "Periods of 0.45 to 2.4 beads; 25 CIEDE2000 between the colours in the middle; at least 4 beads.",
    find: |scene| {
        let cloth = scene.cloth();
        let area = |peg: Peg| {
            let stretch = scene.stretch(peg).filter(|_| scene.colours.contains_key(&peg))?;
            scene.may_be_cloth(peg.0, stretch.core).then(|| scene.window(peg)).flatten()
        };
        find(&scene.turns(&cloth), &cloth, area).iter().flat_map(Pattern::claims).collect()
    },
};

/// Turns about each bead, the clearest first.
pub(super) type Seen = BTreeMap<Peg, Vec<Turns>>;

/// Which way a pattern changes.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
enum Way {
    /// Upright stripes.
    Columns,
    /// Lying ones, rings of a sleeve that hangs.
    Rows,
    /// Stripes that fall or rise by a bead a column, rings of a raised arm.
    Slanted,
    Check,
}

impl Way {
    fn of(turns: &Turns) -> Self {
        /// Within so many degrees of the axes stripes are upright or lying: what is drawn by hand leans.
        const LEANS: f64 = 29.0;
        let off = turns.angle.to_degrees();
        if off.min(180.0 - off) <= LEANS {
            Self::Columns
        } else if (off - 90.0).abs() <= LEANS {
            Self::Rows
        } else {
            Self::Slanted
        }
    }
}

/// Beads, and how much of each shows the greater and the lesser colour of a pattern.
type Beads = BTreeMap<Peg, [f64; 2]>;

/// A pattern, as it is drawn.
#[derive(Clone, Debug)]
struct Pattern {
    beads: Beads,
    /// The greater first.
    colours: [Lab; 2],
    differ: f64,
    way: Way,
    /// In beads.
    period: f64,
    /// How much the lesser colour fills.
    part: f64,
}

/// Beads about which one pattern is seen, and what is seen of it there.
type Piece = Vec<(Peg, Vec<Turns>)>;

/// Patterns of what was seen; `area` is the window of a bead that may be cloth.
fn find(seen: &Seen, cloth: &Cloth, area: impl Fn(Peg) -> Option<Area>) -> Vec<Pattern> {
    let mut pieces = pieces(seen);
    let mut found = Vec::new();
    while !pieces.is_empty() {
        let first = pieces.remove(0);
        let (alike, others): (Vec<Piece>, Vec<Piece>) =
            pieces.into_iter().partition(|piece| piece[0].1[0].is_like(&first[0].1[0], ALIKE, PERIODS));
        pieces = others;
        let whole: Piece = first.into_iter().chain(alike.into_iter().flatten()).collect();
        found.extend(Pattern::of(&whole, cloth, &area));
    }
    found
}

/// Pieces that hang together, each from its clearest bead on, the clearest piece first.
fn pieces(seen: &Seen) -> Vec<Piece> {
    let mut left = seen.clone();
    let mut found = Vec::new();
    let rank = |turns: &[Turns]| (turns[0].is_strong, turns[0].clarity());
    while let Some(seed) = left
        .iter()
        .max_by(|a, b| rank(a.1).0.cmp(&rank(b.1).0).then(rank(a.1).1.total_cmp(&rank(b.1).1)))
        .map(|(peg, _)| *peg)
    {
        let piece = piece_from(seed, &mut left);
        if piece.len() >= LEAST_PIECE {
            found.push(piece);
        }
    }
    found
}

fn piece_from(seed: Peg, left: &mut Seen) -> Piece {
    let Some(turns) = left.remove(&seed) else { return Vec::new() };
    let first = turns[0];
    let mut piece = vec![(seed, turns)];
    let mut next = 0;
    while let Some(&(peg, _)) = piece.get(next) {
        next += 1;
        for peg in around(peg) {
            let Some(turns) = left.get(&peg) else { continue };
            let like: Vec<Turns> =
                turns.iter().copied().filter(|t| t.is_like(&first, ALIKE, PERIODS)).collect();
            if !like.is_empty() {
                left.remove(&peg);
                piece.push((peg, like));
            }
        }
    }
    piece
}

impl Pattern {
    fn of(piece: &Piece, cloth: &Cloth, area: impl Fn(Peg) -> Option<Area>) -> Option<Self> {
        let first = piece[0].1[0];
        let strong = piece.iter().filter(|(_, turns)| turns.iter().any(|t| t.is_strong)).count();
        let differ = median(piece.iter().map(|(_, turns)| turns[0].differ));
        if strong < LEAST_STRONG || differ < READS {
            return None;
        }
        let shown = |peg: Peg| Some(shares(cloth, widened(area(peg)?, &first, cloth.pitch), first.colours));
        let mut beads = Beads::new();
        beads.extend(piece.iter().filter_map(|(peg, _)| Some((*peg, shown(*peg).filter(is_both)?))));
        go_on(&mut beads, shown);
        let [mut first_covers, mut second_covers] =
            [0, 1].map(|which| beads.values().map(|shares| shares[which]).sum::<f64>());
        let mut colours = middles(cloth, beads.keys().filter_map(|peg| area(*peg)), first.colours);
        if second_covers > first_covers {
            colours.reverse();
            beads.values_mut().for_each(|shares| shares.reverse());
            std::mem::swap(&mut first_covers, &mut second_covers);
        }
        (beads.len() >= LEAST_PIECE).then(|| Self {
            beads,
            colours,
            differ,
            way: way_of(piece),
            period: median(piece.iter().map(|(_, turns)| turns[0].period)),
            part: second_covers / (first_covers + second_covers),
        })
    }

    fn claims(&self) -> [Claim; 2] {
        let (lesser, fit) = self.lesser();
        let count = self.beads.len() as f64;
        let stands = (self.differ / CLEARLY).min(1.0) * count / (count + 1.0) * fit;
        let greater = self.beads.keys().filter(|peg| !lesser.contains(peg)).copied().collect();
        let claim = |pegs, colour| Claim { pegs, asked: Asked::Drawn(colour), rank: Rank::Stripes, stands };
        [claim(greater, self.colours[0]), claim(lesser, self.colours[1])]
    }

    /// Beads of the lesser colour, and how well the drawing agrees with them all, 0 to 1. It has not more beads than
    /// the greater; of such ways to lay it the one the drawing agrees with most.
    fn lesser(&self) -> (Vec<Peg>, f64) {
        let (period, wide) = self.measure();
        let laid = |phase: i32| -> (Vec<Peg>, f64) {
            let lesser = |peg: &Peg| self.is_lesser(*peg, phase, period, wide);
            let agrees = self.beads.iter().map(|(peg, shares)| shares[usize::from(lesser(peg))]).sum::<f64>();
            (self.beads.keys().copied().filter(lesser).collect(), agrees / self.beads.len() as f64)
        };
        let more = |beads: &[Peg]| beads.len().saturating_sub(self.beads.len() / 2);
        let ways = (0..period).map(laid);
        ways.min_by(|a, b| more(&a.0).cmp(&more(&b.0)).then(b.1.total_cmp(&a.1))).unwrap_or_default()
    }

    /// The period in beads, and how many of them are the lesser colour's.
    fn measure(&self) -> (i32, i32) {
        let period = match self.way {
            Way::Check => 2,
            Way::Columns | Way::Rows => (self.period.round() as i32).max(2),
            // One and one on a slant would be a check, but not on an arm of a bead or two.
            Way::Slanted if self.is_narrow() => 2,
            Way::Slanted => ((self.period * std::f64::consts::SQRT_2).round() as i32).max(3),
        };
        (period, ((f64::from(period) * self.part).round() as i32).clamp(1, period - 1))
    }

    fn is_narrow(&self) -> bool {
        const NARROW: f64 = 2.0;
        let mut rows: BTreeMap<(usize, bool), f64> = BTreeMap::new();
        self.beads.keys().for_each(|peg| *rows.entry((peg.0, peg.1 < 0)).or_default() += 1.0);
        median(rows.into_values()) <= NARROW
    }

    fn is_lesser(&self, (row, column): Peg, phase: i32, period: i32, wide: i32) -> bool {
        let row = row as i32;
        let place = match self.way {
            Way::Columns => column,
            Way::Rows => row,
            Way::Check => row + column,
            // Both sides of a body are alike.
            Way::Slanted => row - column.abs(),
        };
        (place - phase).rem_euclid(period) < wide
    }
}

/// A pattern goes on in beads beside it that show both its colours, for at a seam lines are cut short, and through
/// beads between two of it that show little else.
fn go_on(beads: &mut Beads, shown: impl Fn(Peg) -> Option<[f64; 2]>) {
    let mut next: Vec<Peg> = beads.keys().copied().collect();
    while let Some(peg) = next.pop() {
        for beside in around(peg) {
            if beads.contains_key(&beside) {
                continue;
            }
            let joins =
                |shares: &[f64; 2]| is_both(shares) || is_between(beads, beside) && is_little_else(shares);
            if let Some(shares) = shown(beside).filter(joins) {
                beads.insert(beside, shares);
                next.push(beside);
            }
        }
    }
}

fn is_both(shares: &[f64; 2]) -> bool {
    shares.iter().all(|share| *share >= EACH) && is_little_else(shares)
}

fn is_little_else(shares: &[f64; 2]) -> bool {
    shares.iter().sum::<f64>() >= BOTH
}

fn is_between(beads: &Beads, (row, column): Peg) -> bool {
    let holds = |row: usize, column: i32| beads.contains_key(&(row, column));
    holds(row, column - 1) && holds(row, column + 1)
        || holds(row.wrapping_sub(1), column) && holds(row + 1, column)
}

/// The beads about one, and itself.
fn around((row, column): Peg) -> impl Iterator<Item = Peg> {
    (row.saturating_sub(1)..=row + 1).flat_map(move |row| (column - 1..=column + 1).map(move |c| (row, c)))
}

fn way_of(piece: &Piece) -> Way {
    let shows =
        |way: Way| piece.iter().filter(|(_, turns)| turns.iter().any(|t| Way::of(t) == way)).count() as f64;
    let (across, down) = (shows(Way::Columns), shows(Way::Rows));
    let clearest = |way: Way| piece.iter().filter(|(_, turns)| Way::of(&turns[0]) == way).count();
    let (columns, rows, slanted) = (clearest(Way::Columns), clearest(Way::Rows), clearest(Way::Slanted));
    if across.min(down) >= CHECK * across.max(down) && slanted < columns + rows {
        Way::Check
    } else if slanted > columns.max(rows) {
        Way::Slanted
    } else if rows > columns {
        Way::Rows
    } else {
        Way::Columns
    }
}

/// A window that holds a whole period.
fn widened(area: Area, turns: &Turns, pitch: f64) -> Area {
    let (sin, cos) = turns.angle.sin_cos();
    let wider = |start: f64, length: f64, along: f64| {
        let more = (turns.period * pitch * along.abs() - length).max(0.0);
        (start - more / 2.0, length + more)
    };
    let ((x, width), (y, height)) = (wider(area.x, area.width, cos), wider(area.y, area.height, sin));
    Area { x, y, width, height }
}

/// How much of a window each of two colours covers.
fn shares(cloth: &Cloth, area: Area, colours: [Lab; 2]) -> [f64; 2] {
    let (shown, all) = shown_in(cloth, area, colours);
    shown.map(|own| own.len() as f64 / f64::max(all as f64, 1.0))
}

/// The middle of what is shown of two colours in all of a pattern: where it was clearest a scarf may lie beside it.
fn middles(cloth: &Cloth, areas: impl Iterator<Item = Area>, colours: [Lab; 2]) -> [Lab; 2] {
    let mut all = [Vec::new(), Vec::new()];
    for area in areas {
        let (shown, _) = shown_in(cloth, area, colours);
        shown.into_iter().zip(&mut all).for_each(|(own, all)| all.extend(own));
    }
    [0, 1].map(|which| if all[which].is_empty() { colours[which] } else { middle_colour(&all[which]) })
}

/// What a window shows of each of two colours, and how many of its places are cloth.
fn shown_in(cloth: &Cloth, area: Area, colours: [Lab; 2]) -> ([Vec<Lab>; 2], usize) {
    let near = NEAR * NEAR * colours[0].distance_squared(colours[1]);
    let mut shown = [Vec::new(), Vec::new()];
    let mut all = 0;
    for y in area.y.max(0.0) as usize..(area.y + area.height).max(0.0) as usize {
        for x in area.x.max(0.0) as usize..(area.x + area.width).max(0.0) as usize {
            let Some(colour) = cloth.colour_at(y as f64, x as f64) else { continue };
            all += 1;
            let far = colours.map(|c| c.distance_squared(colour));
            let nearer = usize::from(far[1] < far[0]);
            if far[nearer] <= near {
                shown[nearer].push(colour);
            }
        }
    }
    (shown, all)
}

fn median(values: impl Iterator<Item = f64>) -> f64 {
    crate::reference::ground::median(values.collect())
}
