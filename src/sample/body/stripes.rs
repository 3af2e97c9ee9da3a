//! Stripes and checks: where they lie, and which beads they become.
//!
//! Who designs by eye keeps stripes whole and thins what is finer than beads: stripes narrower than a bead become
//! one bead and one bead, a check every second bead (both designs by eye of each of our sketches with stripes or a
//! check).

use std::collections::BTreeMap;
use std::f64::consts::PI;

use super::detect::{Asked, Claim, Detector, Rank};
use super::scene::{Peg, Scene};
use super::signs::{CLEARLY, STANDS_OUT};
use super::silhouette::pixels_of;
use super::turns::{Cloth, Turns};
use crate::colour::Lab;
use crate::grid::reached;
use crate::plan::Zone;
use crate::reference::Area;
use crate::reference::middle::{median, middle_colour};
use crate::sample::labels::GROUND;

/// In so many directions turns are looked for, from across to down and back.
const ANGLES: u32 = 12;

/// Turns seen about neighbouring beads are one pattern if their colours are within so much (CIEDE2000) and the longer
/// period is at most so many times the shorter: light falls on a skirt, and its stripes fan out.
const ALIKE: f64 = 16.0;
const PERIODS: f64 = 1.5;

/// A piece of a pattern has so many beads, half of them where turns leave no doubt: one may be chance.
const LEAST_PIECE: usize = 4;

/// Turns both across and down are a check where the lesser of both is seen about so much of the beads of the greater.
const CHECK: f64 = 0.25;

/// Each colour covers at least so much of a bead of the pattern, and the two together so much.
const EACH: f64 = 0.15;
const BOTH: f64 = 4.0 * EACH;

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
        let mut pieces = pieces(scene.turns(&cloth));
        let mut claims = Vec::new();
        while !pieces.is_empty() {
            let first = pieces.remove(0);
            let is_alike = |piece: &Piece| piece[0].1[0].is_like(&first[0].1[0], ALIKE, PERIODS);
            let (alike, others): (Vec<Piece>, Vec<Piece>) = pieces.into_iter().partition(is_alike);
            pieces = others;
            let whole: Piece = first.into_iter().chain(alike.into_iter().flatten()).collect();
            claims.extend(Pattern::of(&whole, scene, &cloth).iter().flat_map(Pattern::claims));
        }
        claims
    },
};

/// Turns about each bead, the clearest first.
type Seen = BTreeMap<Peg, Vec<Turns>>;

/// Beads about which one pattern is seen, and what is seen of it there.
type Piece = Vec<(Peg, Vec<Turns>)>;

/// Which way a pattern changes: upright stripes, lying ones, both.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Way {
    Columns,
    Rows,
    Check,
}

impl Way {
    /// None on a slant: what is drawn by hand leans, but not so far.
    fn of(turns: &Turns) -> Option<Self> {
        /// Within so many degrees of the axes stripes are upright or lying.
        const LEANS: f64 = 29.0;
        let off = turns.angle.to_degrees();
        if off.min(180.0 - off) <= LEANS {
            Some(Self::Columns)
        } else {
            ((off - 90.0).abs() <= LEANS).then_some(Self::Rows)
        }
    }

    /// None where most of a piece lies on a slant.
    fn of_piece(piece: &Piece) -> Option<Self> {
        let seen = |way: Self| {
            piece.iter().filter(|(_, turns)| turns.iter().any(|t| Self::of(t) == Some(way))).count() as f64
        };
        let (across, down) = (seen(Self::Columns), seen(Self::Rows));
        let clearest = |way: Self| piece.iter().filter(|(_, turns)| Self::of(&turns[0]) == Some(way)).count();
        let (columns, rows) = (clearest(Self::Columns), clearest(Self::Rows));
        let way = match across.min(down) >= CHECK * across.max(down) {
            true => Self::Check,
            false if columns >= rows => Self::Columns,
            false => Self::Rows,
        };
        (2 * (columns + rows) > piece.len()).then_some(way)
    }
}

/// Pieces that hang together, each from its clearest bead on, the clearest piece first.
fn pieces(mut left: Seen) -> Vec<Piece> {
    let mut found = Vec::new();
    let clearest = |a: &[Turns], b: &[Turns]| {
        a[0].is_strong.cmp(&b[0].is_strong).then(a[0].clarity.total_cmp(&b[0].clarity))
    };
    while let Some(seed) = left.iter().max_by(|a, b| clearest(a.1, b.1)).map(|(peg, _)| *peg) {
        let Some(turns) = left.remove(&seed) else { break };
        let first = turns[0];
        let mut piece = vec![(seed, turns)];
        let mut next = 0;
        while let Some(&(peg, _)) = piece.get(next) {
            next += 1;
            for peg in around(peg) {
                let like = |turns: &Vec<Turns>| -> Vec<Turns> {
                    turns.iter().copied().filter(|t| t.is_like(&first, ALIKE, PERIODS)).collect()
                };
                if let Some(like) = left.get(&peg).map(like).filter(|like| !like.is_empty()) {
                    left.remove(&peg);
                    piece.push((peg, like));
                }
            }
        }
        if piece.len() >= LEAST_PIECE {
            found.push(piece);
        }
    }
    found
}

/// A pattern, as it is drawn.
struct Pattern {
    /// Its beads, and how much of each shows the greater and the lesser colour.
    beads: BTreeMap<Peg, [f64; 2]>,
    /// The greater first.
    colours: [Lab; 2],
    differ: f64,
    way: Way,
    /// In beads.
    period: f64,
    /// How much the lesser colour fills.
    part: f64,
}

impl Pattern {
    fn of(piece: &Piece, scene: &Scene, cloth: &Cloth) -> Option<Self> {
        let first = piece[0].1[0];
        let strong = piece.iter().filter(|(_, turns)| turns.iter().any(|t| t.is_strong)).count();
        let differ = median(piece.iter().map(|(_, turns)| turns[0].differ).collect());
        // In the middle a pattern's colours differ as a sign differs from its ground.
        if 2 * strong < LEAST_PIECE || differ < STANDS_OUT {
            return None;
        }
        let shown = |peg: Peg| {
            let area = scene.window(peg).filter(|_| scene.is_cloth(peg))?;
            Some(shares(cloth, widened(area, &first, cloth.pitch), first.colours))
        };
        let own = piece.iter().filter_map(|(peg, _)| Some((*peg, shown(*peg).filter(is_both)?)));
        let mut beads: BTreeMap<Peg, [f64; 2]> = own.collect();
        // At a seam lines are cut short, but the pattern goes on.
        reached(beads.keys().copied().collect(), |peg, found| {
            for beside in around(peg) {
                if !beads.contains_key(&beside)
                    && let Some(shares) = shown(beside).filter(is_both)
                {
                    beads.insert(beside, shares);
                    found.push(beside);
                }
            }
        });
        let areas = beads.keys().filter_map(|peg| scene.window(*peg));
        let mut colours = middles(cloth, areas, first.colours);
        let mut covers = [0, 1].map(|which| beads.values().map(|shares| shares[which]).sum::<f64>());
        if covers[1] > covers[0] {
            colours.reverse();
            covers.reverse();
            beads.values_mut().for_each(|shares| shares.reverse());
        }
        let period = median(piece.iter().map(|(_, turns)| turns[0].period).collect());
        let (way, part) = (Way::of_piece(piece)?, covers[1] / (covers[0] + covers[1]));
        (beads.len() >= LEAST_PIECE).then_some(Self { beads, colours, differ, way, period, part })
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
        let period = if self.way == Way::Check { 2 } else { (self.period.round() as i32).max(2) };
        let wide = ((f64::from(period) * self.part).round() as i32).clamp(1, period - 1);
        let is_lesser = |&(row, column): &Peg, phase: i32| {
            let place = match self.way {
                Way::Columns => column,
                Way::Rows => row as i32,
                Way::Check => row as i32 + column,
            };
            (place - phase).rem_euclid(period) < wide
        };
        let laid = |phase: i32| -> (Vec<Peg>, f64) {
            let agrees = self.beads.iter().map(|(peg, shares)| shares[usize::from(is_lesser(peg, phase))]);
            let agree = agrees.sum::<f64>() / self.beads.len() as f64;
            (self.beads.keys().copied().filter(|peg| is_lesser(peg, phase)).collect(), agree)
        };
        let more = |beads: &[Peg]| beads.len().saturating_sub(self.beads.len() / 2);
        let ways = (0..period).map(laid);
        ways.min_by(|a, b| more(&a.0).cmp(&more(&b.0)).then(b.1.total_cmp(&a.1))).unwrap_or_default()
    }
}

fn is_both(shares: &[f64; 2]) -> bool {
    shares.iter().all(|share| *share >= EACH) && shares.iter().sum::<f64>() >= BOTH
}

/// The beads about one, and itself.
fn around((row, column): Peg) -> impl Iterator<Item = Peg> {
    (row.saturating_sub(1)..=row + 1).flat_map(move |row| (column - 1..=column + 1).map(move |c| (row, c)))
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

/// How much of a window each of two colours covers: what lies within half of the way between them.
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
    let near = colours[0].distance_squared(colours[1]) / 4.0;
    let (mut shown, mut all) = ([Vec::new(), Vec::new()], 0);
    let (down, across) = pixels_of(area, cloth.is_cloth.dim());
    for place in down.flat_map(|y| across.clone().map(move |x| (y, x))).filter(|p| cloth.is_cloth[*p]) {
        all += 1;
        let far = colours.map(|c| c.distance_squared(cloth.colours[place]));
        let nearer = usize::from(far[1] < far[0]);
        if far[nearer] <= near {
            shown[nearer].push(cloth.colours[place]);
        }
    }
    (shown, all)
}

impl Scene<'_> {
    /// The drawing with where the body is: what is drawn, and what the plan has whatever its colour.
    fn cloth(&self) -> Cloth<'_> {
        let mut is_cloth = self.labels.plane.map(|label| *label != GROUND);
        for peg in self.colours.keys().filter(|peg| self.stretch(**peg).is_some_and(|s| s.core)) {
            let Some(area) = self.window(*peg) else { continue };
            let (down, across) = pixels_of(area, is_cloth.dim());
            down.flat_map(|y| across.clone().map(move |x| (y, x))).for_each(|place| is_cloth[place] = true);
        }
        Cloth { colours: self.reference.colours(), is_cloth, pitch: self.pitch }
    }

    /// The turns that colours take about each bead that may be cloth.
    fn turns(&self, cloth: &Cloth) -> Seen {
        let about = |peg: &Peg| {
            let Area { x, y, width, height } = self.window(*peg).filter(|_| self.is_cloth(*peg))?;
            let angles = (0..ANGLES).map(|k| PI * f64::from(k) / f64::from(ANGLES));
            let middle = (y + height / 2.0, x + width / 2.0);
            let mut turns: Vec<Turns> =
                angles.filter_map(|angle| Turns::about(cloth, middle, angle)).collect();
            turns.sort_by(|a, b| b.clarity.total_cmp(&a.clarity));
            (!turns.is_empty()).then_some((*peg, turns))
        };
        self.colours.keys().filter_map(about).collect()
    }

    /// Whether a bead may be cloth: not a face and its hair, nor shoes; beside a head an arm may be raised.
    fn is_cloth(&self, peg: Peg) -> bool {
        let is_core = self.stretch(peg).is_some_and(|stretch| stretch.core);
        self.colours.contains_key(&peg)
            && match self.zones.at(peg.0).map(|(zone, _)| zone) {
                Some(Zone::Headwear | Zone::Torso | Zone::Legs) => true,
                Some(Zone::Head | Zone::Neck) => !is_core,
                Some(Zone::Feet) | None => false,
            }
    }
}
