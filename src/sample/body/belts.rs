//! Belts: bands of a colour of their own across the trunk, mostly far lower than a bead, and the buckle on them.
//!
//! A belt is set as a whole row of the trunk, its buckle as one bead on or near the axis, as two where it is wide
//! (both designs by eye of each of our sketches with a belt; common practice, no source).

use std::ops::Range;

use ndarray::{Array2, s};

use super::aim;
use super::columns::Stretch;
use super::detect::{Asked, Claim, Detector, Rank};
use super::flat::is_shade;
use super::scene::{Peg, Scene};
use super::signs::CLEARLY;
use super::silhouette::Span;
use crate::colour::{Lab, ciede2000};
use crate::plan::Zone;
use crate::reference::ground::middle_colour;
use crate::reference::mask::pieces;

/// The trunk is read in so many strips to a bead.
const STRIPS: usize = 3;

/// A belt's height, in beads: from a cord to a sash; and the step in which it is sought.
const HEIGHT: (f64, f64) = (0.2, 1.4);
const STEP: f64 = 0.1;

/// What is above and below a belt is read so far from it, in beads: its outline lies between.
const BESIDE: (f64, f64) = (0.12, 0.45);

/// A strip shows the belt where it differs so much (CIEDE2000) from what is above and what is below: dark leather over
/// brown trousers does,
const DIFFERS: f64 = 9.0;

/// ... by so much on the mean if nothing but its colour tells it: a seam has no buckle,
const CLEAR: f64 = 12.0;

/// ... and is within this of the belt's middle colour.
const ALIKE: f64 = 13.0;

/// Its upper and its lower third are within this of one another: what fades is a shadow.
const EVEN: f64 = 14.0;

/// So many of the strips show it: a hand, a buckle or an open jacket hides the rest.
const SHOWS: f64 = 0.55;

/// A lower band as dark as this and of no hue is a seam drawn in ink.
const INK: (f64, f64) = (30.0, 14.0);
const INK_HEIGHT: f64 = 0.45;

/// A colour of its own: so little of the rest of the trunk lies within [`OWN`] of it (CIEDE2000); stripes come again.
const OWN: f64 = 9.0;
const ELSEWHERE: f64 = 0.05;

/// A buckle so wide, in beads, is two.
const TWO: f64 = 1.7;

/// At least so much speaks for a belt that was seen, 0 to 1.
const LEAST_STANDS: f64 = 0.5;

/// Belts.
pub(super) const DETECTOR: Detector = Detector {
    name: "belt",
    what: "A band of a colour of its own around the trunk below the chest, mostly far lower than a bead, and its buckle.",
    why: "A belt parts shirt and trousers and says much about who wears it; it fills no window.",
    source: "Both designs by eye of each of our sketches with a belt; common practice, no source.",
    example: "A carter's leather belt with a brass buckle.",
    limits: "0.2 to 1.4 beads high, 9 CIEDE2000 (12 on the mean without a buckle) from what is above and below and from any mixture of both, seen in 0.55 \
             of the trunk's width, of a colour found in 0.05 of the rest of the trunk at most.",
    find,
};

/// The rows of the torso.
struct Trunk {
    first: usize,
    rows: usize,
}

/// The trunk's colours by strip, summed from its top on.
struct Strips {
    top: usize,
    /// Row of pixels by strip: sums of L*, a* and b* over all rows before it.
    sums: Array2<[f64; 3]>,
}

impl Strips {
    /// Reads the rows of pixels from `down`; `across` tells the trunk at a height.
    fn of(
        colours: &Array2<Lab>,
        down: Range<usize>,
        count: usize,
        across: impl Fn(usize) -> Option<Span>,
    ) -> Self {
        let mut sums = Array2::from_elem((down.len() + 1, count), [0.0; 3]);
        for (at, y) in down.clone().enumerate() {
            let span = across(y);
            for strip in 0..count {
                let mut sum = sums[(at, strip)];
                if let Some(span) = span {
                    let wide = span.width() / count as f64;
                    let from = (span.from + wide * strip as f64).max(0.0) as usize;
                    let to = ((span.from + wide * (strip + 1) as f64) as usize).min(colours.ncols());
                    let pixels = to.saturating_sub(from).max(1) as f64;
                    for x in from..to {
                        let Lab { l, a, b } = colours[(y, x)];
                        [l, a, b].iter().zip(&mut sum).for_each(|(v, s)| *s += v / pixels);
                    }
                }
                sums[(at + 1, strip)] = sum;
            }
        }
        Self { top: down.start, sums }
    }

    fn bottom(&self) -> f64 {
        (self.top + self.sums.nrows() - 1) as f64
    }

    /// The mean colour of a strip between two heights.
    fn mean(&self, strip: usize, down: Span) -> Lab {
        let last = self.sums.nrows() - 1;
        let at = |y: f64| ((y - self.top as f64).round().max(0.0) as usize).min(last);
        let (from, to) = (at(down.from), at(down.to));
        let (from, to) = if from < to { (from, to) } else { (from.min(last - 1), from.min(last - 1) + 1) };
        let (one, other) = (self.sums[(from, strip)], self.sums[(to, strip)]);
        let part = |i: usize| (other[i] - one[i]) / (to - from) as f64;
        Lab::new(part(0), part(1), part(2))
    }

    fn count(&self) -> usize {
        self.sums.ncols()
    }
}

/// A band that may be a belt.
struct Band {
    down: Span,
    colour: Lab,
    /// Which strips show it.
    shows: Vec<bool>,
    /// Mean difference (CIEDE2000) of those from what is about them.
    differs: f64,
    /// What is above it and what is below.
    beside: [Lab; 2],
}

fn band(strips: &Strips, down: Span, pitch: f64) -> Option<Band> {
    let edge = STEP * pitch / 2.0;
    let inner = Span { from: down.from + edge, to: down.to - edge };
    let above = Span { from: down.from - BESIDE.1 * pitch, to: down.from - BESIDE.0 * pitch };
    let below = Span { from: down.to + BESIDE.0 * pitch, to: down.to + BESIDE.1 * pitch };
    let own: Vec<Lab> = (0..strips.count()).map(|strip| strips.mean(strip, inner)).collect();
    let colour = middle_colour(&own);
    if down.width() < INK_HEIGHT * pitch && colour.l < INK.0 && colour.a.hypot(colour.b) < INK.1 {
        return None;
    }
    let third = inner.width() / 3.0;
    let ends = [Span { to: inner.from + third, ..inner }, Span { from: inner.to - third, ..inner }];
    let is_even = |strip: usize| {
        let [upper, lower] = ends.map(|end| strips.mean(strip, end));
        ciede2000(own[strip], colour).0 <= ALIKE && ciede2000(upper, lower).0 <= EVEN
    };
    let differs = |strip: usize| {
        let [above, below] = [above, below].map(|beside| strips.mean(strip, beside));
        ciede2000(own[strip], nearest_mixture(own[strip], above, below)).0
    };
    let differ: Vec<f64> =
        (0..strips.count()).map(|strip| if is_even(strip) { differs(strip) } else { 0.0 }).collect();
    let shows: Vec<bool> = differ.iter().map(|d| *d >= DIFFERS).collect();
    let count = shows.iter().filter(|s| **s).count();
    let shown = |colour: &dyn Fn(usize) -> Lab| {
        middle_colour(&(0..shows.len()).filter(|s| shows[*s]).map(colour).collect::<Vec<_>>())
    };
    let beside = [above, below].map(|beside| shown(&|strip| strips.mean(strip, beside)));
    (count as f64 >= SHOWS * shows.len() as f64).then(|| Band {
        down,
        colour,
        differs: differ.iter().filter(|d| **d >= DIFFERS).sum::<f64>() / count as f64,
        beside,
        shows,
    })
}

/// The mixture of two colours that is nearest to a colour: where two cloths meet they are blurred.
pub(super) fn nearest_mixture(colour: Lab, one: Lab, other: Lab) -> Lab {
    let way = [other.l - one.l, other.a - one.a, other.b - one.b];
    let at = [colour.l - one.l, colour.a - one.a, colour.b - one.b];
    let long: f64 = way.iter().map(|v| v * v).sum();
    let part: f64 = way.iter().zip(at).map(|(w, a)| w * a).sum::<f64>() / long.max(1e-9);
    let part = part.clamp(0.0, 1.0);
    Lab::new(one.l + part * way[0], one.a + part * way[1], one.b + part * way[2])
}

/// The part of the trunk away from a band that has its colour, down to `end`: the shade of trousers may.
fn elsewhere(strips: &Strips, band: &Band, end: f64, pitch: f64) -> f64 {
    let cell = pitch / STRIPS as f64;
    let cells = ((end - strips.top as f64) / cell).max(0.0) as usize;
    let away = (0..cells).map(|at| {
        let from = strips.top as f64 + cell * at as f64;
        Span { from, to: from + cell }
    });
    let away = away.filter(|c| c.to + cell < band.down.from || c.from - cell > band.down.to);
    let all: Vec<Lab> = away
        .flat_map(|c| (0..strips.count()).map(move |strip| (c, strip)))
        .map(|(c, s)| strips.mean(s, c))
        .collect();
    let alike = all.iter().filter(|c| ciede2000(**c, band.colour).0 <= OWN).count();
    alike as f64 / all.len().max(1) as f64
}

/// A band's colour without the outlines and the paper in it: the middle of its most colourful quarter.
fn dyed(colours: &Array2<Lab>, band: &Band, across: Span) -> Lab {
    let clamp = |v: f64, most: usize| (v.max(0.0) as usize).min(most);
    let (high, wide) = colours.dim();
    let count = band.shows.len() as f64;
    let shown = |x: usize| {
        let strip = (x as f64 + 0.5 - across.from) / across.width() * count;
        band.shows.get(strip.max(0.0) as usize).copied().unwrap_or(false)
    };
    let mut seen: Vec<Lab> = (clamp(band.down.from, high)..clamp(band.down.to, high))
        .flat_map(|y| (clamp(across.from, wide)..clamp(across.to, wide)).map(move |x| (y, x)))
        .filter(|p| shown(p.1))
        .map(|p| colours[p])
        .collect();
    if seen.is_empty() {
        return band.colour;
    }
    seen.sort_by(|a, b| b.a.hypot(b.b).total_cmp(&a.a.hypot(a.b)));
    seen.truncate(seen.len().div_ceil(4));
    middle_colour(&seen)
}

/// Metal on a belt: as light as it is, apart from the cloth beside the belt.
struct Buckle {
    across: Span,
    colour: Lab,
}

/// A light patch on a band, in the trunk's middle.
fn buckle(colours: &Array2<Lab>, band: &Band, middle: Span, pitch: f64) -> Option<Buckle> {
    /// It may stand out so far above and below the belt, in beads.
    const OUT: f64 = 0.25;
    /// Its pixels differ so much (CIEDE2000) from the belt, and are lighter by so much of L*,
    const METAL: f64 = 18.0;
    const LIGHTER: f64 = 10.0;
    /// ... and differ so much from what is above and below.
    const NO_CLOTH: f64 = 14.0;
    /// It covers so much of a bead.
    const SIZE: (f64, f64) = (0.05, 2.0);
    /// It is at most so wide, in beads.
    const WIDE: f64 = 2.0;
    let clamp = |v: f64, most: usize| (v.max(0.0) as usize).min(most);
    let (high, wide) = colours.dim();
    let down = clamp(band.down.from - OUT * pitch, high)..clamp(band.down.to + OUT * pitch, high);
    let is_metal = |c: Lab| {
        c.l >= band.colour.l + LIGHTER
            && ciede2000(c, band.colour).0 >= METAL
            && band.beside.iter().all(|cloth| ciede2000(c, *cloth).0 >= NO_CLOTH)
    };
    let across = clamp(middle.from, wide)..clamp(middle.to, wide);
    if down.is_empty() || across.is_empty() {
        return None;
    }
    let metal = colours.slice(s![down.clone(), across.clone()]).map(|colour| is_metal(*colour));
    let in_picture = |piece: Vec<(usize, usize)>| -> Vec<(usize, usize)> {
        piece.into_iter().map(|(y, x)| (y + down.start, x + across.start)).collect()
    };
    let span = |piece: &[(usize, usize)]| {
        let ends = piece.iter().fold((usize::MAX, 0), |(from, to), p| (from.min(p.1), to.max(p.1 + 1)));
        Span { from: ends.0 as f64, to: ends.1 as f64 }
    };
    let is_buckle = |piece: &Vec<(usize, usize)>| {
        let size = piece.len() as f64 / (pitch * pitch);
        (SIZE.0..=SIZE.1).contains(&size) && span(piece).width() <= WIDE * pitch
    };
    let off = |piece: &[(usize, usize)]| (span(piece).middle() - middle.middle()).abs();
    // Braces end beside it, in metal too.
    let found = pieces(&metal).into_iter().map(in_picture).filter(is_buckle);
    let mut metal = found.min_by(|a, b| off(a).total_cmp(&off(b)))?;
    let across = span(&metal);
    // The half that differs most: the rest is blurred with the belt.
    let differs = |p: &(usize, usize)| ciede2000(colours[*p], band.colour).0;
    metal.sort_by(|a, b| differs(b).total_cmp(&differs(a)).then(a.cmp(b)));
    metal.truncate(metal.len().div_ceil(2));
    let colour = middle_colour(&metal.iter().map(|p| colours[*p]).collect::<Vec<_>>());
    Some(Buckle { across, colour })
}

fn find(scene: &Scene) -> Vec<Claim> {
    let Some(trunk) = scene.trunk() else { return Vec::new() };
    let Some((band, buckle)) = scene.find_belt(&trunk) else { return Vec::new() };
    let Some(row) = scene.belt_row(&band, &trunk) else { return Vec::new() };
    let stands = |seen: f64| ((band.differs / CLEARLY).min(1.0) * seen).max(LEAST_STANDS);
    let mut claims = Vec::new();
    if !scene.has_belt(row, &band) {
        let seen = band.shows.iter().filter(|s| **s).count() as f64 / band.shows.len() as f64;
        let (pegs, asked) = (scene.core(row), Asked::Drawn(band.colour));
        claims.push(Claim { pegs, asked, rank: Rank::Belt, stands: stands(seen) });
    }
    if let Some(buckle) = buckle {
        let apart = |s: &&Stretch| (s.span.middle() - buckle.across.middle()).abs();
        let mut nearest: Vec<&Stretch> = scene.rows[row].iter().filter(|s| s.core).collect();
        nearest.sort_by(|a, b| apart(a).total_cmp(&apart(b)));
        nearest.truncate(if buckle.across.width() >= TWO * scene.pitch { 2 } else { 1 });
        let pegs: Vec<Peg> = nearest.iter().map(|s| (row, s.column)).collect();
        let asked = Asked::Known(aim::metal(buckle.colour));
        claims.push(Claim { pegs, asked, rank: Rank::Buckle, stands: stands(1.0) });
    }
    claims
}

impl Scene<'_> {
    fn trunk(&self) -> Option<Trunk> {
        let (first, rows) = self.zone(Zone::Torso)?;
        (rows > 0).then_some(Trunk { first, rows })
    }

    fn row_of(&self, y: f64) -> Option<usize> {
        (0..self.rows.len()).find(|&row| (self.lines[row]..self.lines[row + 1]).contains(&y))
    }

    /// The places of the body's own in a row.
    fn core(&self, row: usize) -> Vec<Peg> {
        self.rows[row].iter().filter(|s| s.core).map(|s| (row, s.column)).collect()
    }

    /// The row a belt is set in, of those it lies in or beside: one that has it already, else the one that has most of
    /// its colour. Below the torso there is none.
    fn belt_row(&self, band: &Band, trunk: &Trunk) -> Option<usize> {
        /// A belt lies in a row that has so much of its height.
        const LIES: f64 = 0.25;
        let row = self.row_of(band.down.middle())?;
        let about = || (row.saturating_sub(1)..=row + 1).filter(|row| *row < self.rows.len());
        if let Some(has) = about().find(|row| self.has_belt(*row, band)) {
            return Some(has);
        }
        let shared = |row: usize| Span { from: self.lines[row], to: self.lines[row + 1] }.shared(band.down);
        let lies = about().filter(|row| shared(*row) >= LIES * band.down.width());
        let best = lies.max_by(|a, b| {
            let beads = |row: usize| self.belt_beads(row, band);
            beads(*a).cmp(&beads(*b)).then(shared(*a).total_cmp(&shared(*b)))
        });
        best.map(|row| row.min(trunk.first + trunk.rows - 1))
    }

    /// How many of the trunk's beads in a row have a belt's colour.
    fn belt_beads(&self, row: usize, band: &Band) -> usize {
        let is_belt = |peg: &Peg| {
            let label = self.colours.get(peg).copied();
            label.is_some_and(|label| {
                let apart = |other: Lab| ciede2000(self.colour(label), other).0;
                let own = apart(band.colour);
                // Trousers may be as near to leather as the leather's own light and shade.
                own <= ALIKE && band.beside.iter().all(|cloth| own < apart(*cloth))
            })
        };
        self.core(row).iter().filter(|peg| is_belt(peg)).count()
    }

    /// Whether a row is a belt already.
    fn has_belt(&self, row: usize, band: &Band) -> bool {
        /// So many of its beads are.
        const MOST: f64 = 0.6;
        let beads = self.belt_beads(row, band);
        beads > 0 && beads as f64 >= MOST * self.core(row).len() as f64
    }

    /// The band that stands out most of those that are belts.
    fn find_belt(&self, trunk: &Trunk) -> Option<(Band, Option<Buckle>)> {
        /// Bands that stand out about as much as the best one are the same belt; the tallest shows all of it.
        const SAME: f64 = 0.75;
        /// A belt lies below the chest: this part of the torso has none.
        const CHEST: f64 = 0.3;
        let (&Trunk { first, rows }, pitch) = (trunk, self.pitch);
        // A hip that was found above the belt leaves the belt below it, and what it is told from a row lower still.
        let last = (first + rows + 1).min(self.rows.len() - 1);
        let across = |row: usize, reach: i32| {
            let own = self.rows[row].iter().filter(|s| s.core && s.column.abs() <= reach).map(|s| s.span);
            own.reduce(|all, s| Span { from: all.from.min(s.from), to: all.to.max(s.to) })
        };
        let hips = first + rows - 1;
        let wide = self.core(hips).len();
        let middle = across(hips, 1)?;
        let whole = |row: usize| across(row, i32::MAX);
        let at = |y: usize| self.row_of(y as f64).filter(|row| *row < first + rows).and_then(whole);
        let colours = self.reference.colours();
        let clamp = |v: f64| (v.max(0.0) as usize).min(colours.nrows());
        let down = clamp(self.lines[first])..clamp(self.lines[last + 1]);
        if down.is_empty() {
            return None;
        }
        let strips = Strips::of(colours, down, wide * STRIPS, |y| at(y).or_else(|| whole(hips)));
        let from = self.lines[first] + CHEST * (self.lines[hips + 1] - self.lines[first]);
        let places = (0..).map(|n| from + STEP * pitch * f64::from(n));
        let places = places.take_while(|y| *y < strips.bottom());
        let steps = ((HEIGHT.1 - HEIGHT.0) / STEP).round() as i32;
        let spans = places.flat_map(|from| {
            let height = |n: i32| (HEIGHT.0 + STEP * f64::from(n)) * pitch;
            (0..=steps).map(move |n| Span { from, to: from + height(n) })
        });
        // Lower still hems are, not belts.
        let lowest = self.lines[(hips + 2).min(self.rows.len())];
        let inside = spans.filter(|span| span.to <= lowest && span.to + BESIDE.1 * pitch <= strips.bottom());
        let mut bands: Vec<Band> = inside.filter_map(|span| band(&strips, span, pitch)).collect();
        bands.sort_by(|a, b| b.differs.total_cmp(&a.differs));
        let end = self.lines[hips + 1].min(strips.bottom());
        bands.retain(|band| elsewhere(&strips, band, end, pitch) <= ELSEWHERE);
        let tallest = |best: &Band| {
            let same =
                bands.iter().filter(|b| b.down.shared(best.down) > 0.0 && b.differs >= SAME * best.differs);
            same.map(|b| b.down).reduce(|tall, down| if down.width() > tall.width() { down } else { tall })
        };
        bands.iter().find_map(|best| {
            let band = band(&strips, tallest(best)?, pitch)?;
            let buckle = buckle(colours, &band, middle, pitch);
            let band = Band { colour: dyed(colours, &band, whole(hips)?), ..band };
            // A fold or a seam may be as dark as a belt; nothing but a belt has a buckle.
            let is_fold = band.beside.iter().any(|cloth| is_shade(band.colour, *cloth));
            let is_clear = !is_fold && band.differs >= CLEAR;
            (buckle.is_some() || is_clear).then_some((band, buckle))
        })
    }
}
