//! Buttons and toggles: spots far smaller than a bead, one under the other down the front.
//!
//! One spot may be anything; three or more at even distances are a row of buttons. A bead stands for each second
//! row of beads, so that they stay buttons and become no stripe (both designs by eye of each of our sketches with
//! buttons). Which pixels may belong to a button follows from what the drawing is made with: in filled colours what is
//! lighter than its garment, or darker and thicker than a line; in strokes what no mixture of the garment with paper or
//! with ink can be.

use std::collections::{BTreeMap, BTreeSet};

use ndarray::{Array2, Axis, Zip, s};

use super::aim::{self, paper_of};
use super::belts::nearest_mixture;
use super::columns::Stretch;
use super::detect::{Asked, Claim, Detector, Rank};
use super::scene::{Peg, Scene, window};
use super::signs::CLEARLY;
use crate::colour::{Lab, ciede2000};
use crate::plan::Zone;
use crate::reference::Area;
use crate::reference::ground::middle_colour;
use crate::reference::mask::beside;

/// Buttons are looked for in the columns up to so far from the axis.
const FRONT: i32 = 1;

/// A pixel of a button differs at least so much (CIEDE2000) from its garment,
const DIFFERS: f64 = 18.0;

/// ... and is lighter by so much of L*: folds, seams and outlines are darker.
const LIGHTER: f64 = 8.0;

/// The buttons of a row differ by as much as any sign; in strokes, and where it is darker, each pixel does.
const STANDS_OUT: f64 = 25.0;

/// Lines are at most so thick, in beads.
const LINE: f64 = 0.14;

const INK: Lab = Lab { l: 8.0, a: 0.0, b: 0.0 };

/// What buttons of a row have in common.
struct Mould {
    /// A button's size, in beads, and how much longer it may be than wide.
    size: (f64, f64),
    longer: f64,
    /// Each lies within so many beads of an upright line through the one above it.
    in_line: f64,
}

const FILLED: Mould = Mould { size: (0.012, 0.4), longer: 2.5, in_line: 0.35 };

/// Among strokes there are grains, and gaps that show what is below.
const STROKES: Mould = Mould { size: (0.03, 0.4), longer: 1.8, in_line: 0.25 };

/// They are alike in colour within so much (CIEDE2000),
const ALIKE: f64 = 22.0;

/// ... are at least so many,
const LEAST: usize = 3;

/// ... and the widest of the ways between them is at most so many times the narrowest.
const EVEN: f64 = 1.8;

/// A row of buttons as beads.
#[derive(Clone, Debug)]
struct Buttons {
    pegs: Vec<Peg>,
    /// The column of pixels they lie in, on the mean.
    x: f64,
    colour: Lab,
    /// How much speaks for them, 0 to 1.
    stands: f64,
}

#[derive(Clone, Copy, Debug)]
struct Spot {
    y: f64,
    x: f64,
    colour: Lab,
    differs: f64,
}

/// Rows of buttons.
pub(super) const DETECTOR: Detector = Detector {
    name: "buttons",
    what: "Three or more spots far smaller than a bead, one under the other down the front at even distances.",
    why: "Buttons say coat or waistcoat; each second row of beads has one, or they would be a stripe.",
    source: "Both designs by eye of each of our sketches with buttons; common practice, no source.",
    example: "Two rows of brass buttons on a warden's coat.",
    limits: "0.012 to 0.4 beads large (0.03 among strokes), 25 CIEDE2000 from the garment, in line within 0.35 beads, the \
             widest way at most 1.8 times the narrowest.",
    find,
};

fn find(scene: &Scene) -> Vec<Claim> {
    rows_on(scene).into_iter().filter_map(|buttons| claim(scene, buttons)).collect()
}

/// Rows of buttons on the trunk, and on as far down as a coat goes.
fn rows_on(scene: &Scene) -> Vec<Buttons> {
    let Some((first, rows)) = scene.zone(Zone::Torso) else { return Vec::new() };
    let on_axis = |row: usize| scene.colours.get(&(row, 0)).copied();
    let worn: BTreeSet<u8> = (first..first + rows).filter_map(on_axis).collect();
    let is_coat = |row: &usize| on_axis(*row).is_some_and(|label| worn.contains(&label));
    let below = (first + rows..scene.rows.len()).take_while(is_coat).count();
    let colours = scene.reference.colours();
    let fronts = fronts(scene, first..first + rows + below);
    let planes = if scene.labels.stroked {
        vec![of_a_colour_of_its_own(colours, &fronts, paper_of(scene.reference))]
    } else {
        vec![lighter(colours, &fronts), darker(colours, &fronts, scene.pitch)]
    };
    let mould = if scene.labels.stroked { &STROKES } else { &FILLED };
    let rows = |differs| rows_of_buttons(spots(colours, differs, mould, scene.pitch), mould, scene);
    planes.iter().flat_map(rows).collect()
}

/// A claim to the pegs on the garment that buttons are sewn to, not on a scarf over it.
fn claim(scene: &Scene, buttons: Buttons) -> Option<Claim> {
    let garment = scene.colour(garment(scene, &buttons.pegs)?);
    let is_sewn = |peg: &Peg| {
        let under = scene.colours.get(peg).copied();
        let is_garment = |label: u8| ciede2000(scene.colour(label), garment).0 < STANDS_OUT;
        under.is_some_and(|label| is_garment(label) || scene.blobs.contains_key(peg))
    };
    let pegs = buttons.pegs.into_iter().filter(is_sewn).collect();
    let asked = Asked::Known(aim::metal(buttons.colour));
    Some(Claim { pegs, asked, rank: Rank::Buttons, stands: buttons.stands })
}

/// What most beads of the column from the first of some pegs to the last have.
fn garment(scene: &Scene, pegs: &[Peg]) -> Option<u8> {
    let (first, last) = (pegs.first()?, pegs.last()?);
    let mut count: BTreeMap<u8, usize> = BTreeMap::new();
    let column = (first.0..=last.0).filter_map(|row| scene.colours.get(&(row, first.1)));
    column.for_each(|label| *count.entry(*label).or_default() += 1);
    count.into_iter().max_by_key(|(_, beads)| *beads).map(|(label, _)| label)
}

fn rows_of_buttons(spots: Vec<Spot>, mould: &Mould, drawn: &Scene) -> Vec<Buttons> {
    let mut spots = joined(spots, drawn.pitch);
    let mut found: Vec<Buttons> = Vec::new();
    while let Some(first) = (!spots.is_empty()).then(|| spots.remove(0)) {
        let mut last = first.x;
        let mut in_line = |spot: &Spot| {
            let goes_on = (spot.x - last).abs() <= mould.in_line * drawn.pitch
                && ciede2000(spot.colour, first.colour).0 <= ALIKE;
            if goes_on {
                last = spot.x;
            }
            goes_on
        };
        let (row, others): (Vec<Spot>, Vec<Spot>) = spots.iter().partition(|spot| in_line(spot));
        let row: Vec<Spot> = std::iter::once(first).chain(row).collect();
        if even_runs(&row).iter().any(|run| run.len() >= LEAST) {
            spots = others;
            found.extend(buttons(drawn, &even_runs(&row)));
        }
    }
    part_pair(&mut found, drawn);
    found
}

/// Spots from the top; halves of a toggle to both sides of its cord are one.
fn joined(mut spots: Vec<Spot>, pitch: f64) -> Vec<Spot> {
    /// Halves lie so far apart, in beads, down and across.
    const HALVES: (f64, f64) = (0.25, 0.7);
    spots.sort_by(|a, b| a.y.total_cmp(&b.y).then(a.x.total_cmp(&b.x)));
    let mut whole: Vec<Spot> = Vec::new();
    for spot in spots {
        let is_other_half = |half: &&mut Spot| {
            (half.y - spot.y).abs() <= HALVES.0 * pitch
                && (half.x - spot.x).abs() <= HALVES.1 * pitch
                && ciede2000(half.colour, spot.colour).0 <= ALIKE
        };
        match whole.iter_mut().find(is_other_half) {
            Some(half) => half.x = f64::midpoint(half.x, spot.x),
            None => whole.push(spot),
        }
    }
    whole
}

/// Spots, from the top, in runs of even distances: a belt or a scarf may hide some between two runs. A spot alone is
/// no run.
fn even_runs(row: &[Spot]) -> Vec<&[Spot]> {
    let way = |pair: &[Spot]| pair[1].y - pair[0].y;
    let narrowest = row.windows(2).map(way).fold(f64::INFINITY, f64::min);
    let runs = row.chunk_by(|one, next| next.y - one.y <= EVEN * narrowest);
    runs.filter(|run| run.len() > 1).collect()
}

/// A bead for each second row of beads from the first button of a run to its last, about the run's middle.
fn buttons(drawn: &Scene, runs: &[&[Spot]]) -> Option<Buttons> {
    let mut pegs: Vec<Peg> = Vec::new();
    for run in runs {
        let (first, last) = (run.first()?, run.last()?);
        let (top, bottom) = (drawn.height_in_rows(first.y)?, drawn.height_in_rows(last.y)?);
        let ways = ((bottom - top) / 2.0).round().max(1.0);
        let start = (f64::midpoint(top, bottom) - ways).round().max(0.0) as usize;
        let x = run.iter().map(|spot| spot.x).sum::<f64>() / run.len() as f64;
        let (_, column) = drawn.peg_at(first.y, x)?;
        // Below what hides some the row goes on, a bead apart.
        let start = pegs.last().map_or(start, |peg| start.max(peg.0 + 2));
        pegs.extend((0..=ways as usize).map(|n| (start + 2 * n, column)));
    }
    let all: Vec<Spot> = runs.concat();
    let count = all.len() as f64;
    let differs = all.iter().map(|spot| spot.differs).sum::<f64>() / count;
    if differs < STANDS_OUT {
        return None;
    }
    Some(Buttons {
        pegs,
        x: all.iter().map(|spot| spot.x).sum::<f64>() / count,
        colour: middle_colour(&all.iter().map(|spot| spot.colour).collect::<Vec<_>>()),
        stands: (differs / CLEARLY).min(1.0) * count / (count + 1.0),
    })
}

/// Two like rows beside one another button one coat: their beads lie in the rows where both are seen, one bead between
/// them.
fn part_pair(found: &mut [Buttons], drawn: &Scene) {
    let [one, other] = found else { return };
    let columns = |of: &Buttons| of.pegs.first().map(|peg| peg.1);
    let (Some(a), Some(b)) = (columns(one), columns(other)) else { return };
    let (left, right) = if one.x <= other.x { (one, other) } else { (other, one) };
    if ciede2000(left.colour, right.colour).0 > ALIKE || (a - b).abs() > 2 {
        return;
    }
    // Lapels hide the one's first buttons, a sash the other's last.
    let ends = |of: &Buttons| Some((of.pegs.first()?.0, of.pegs.last()?.0));
    let (Some(one), Some(other)) = (ends(left), ends(right)) else { return };
    let (first, last) = (one.0.max(other.0), one.1.min(other.1));
    if last < first {
        return;
    }
    let (from, to) = (a.min(b), a.max(b));
    let (from, to) = match to - from {
        0 => (from - 1, to + 1),
        1 => {
            let meet = drawn.rows[first].iter().find(|s| s.column == to).map_or(left.x, |s| s.span.from);
            if f64::midpoint(left.x, right.x) < meet { (from - 1, to) } else { (from, to + 1) }
        }
        _ => (from, to),
    };
    for (buttons, column) in [(left, from), (right, to)] {
        buttons.pegs = (first..=last).step_by(2).map(|row| (row, column)).collect();
    }
}

/// One bead of the body's front: its window and its garment.
struct Front {
    area: Area,
    garment: Lab,
}

impl Front {
    fn places(&self, shape: (usize, usize)) -> impl Iterator<Item = (usize, usize)> + use<> {
        let clamp = |v: f64, most: usize| (v.max(0.0) as usize).min(most);
        let Area { x, y, width, height } = self.area;
        let across = clamp(x, shape.1)..clamp(x + width, shape.1);
        (clamp(y, shape.0)..clamp(y + height, shape.0)).flat_map(move |y| across.clone().map(move |x| (y, x)))
    }
}

/// The beads of the front. Strokes let paper through, and a wash runs from dark to light: there the garment is what
/// most of the cloth about a bead looks like, not the colour it was made with.
fn fronts(scene: &Scene, rows: std::ops::Range<usize>) -> Vec<Front> {
    let colours = scene.reference.colours();
    let front = |row: usize, stretch: &Stretch| {
        let garment = scene.colour(*scene.colours.get(&(row, stretch.column))?);
        let front = Front { area: window(scene.lines, row, *stretch), garment };
        if !scene.labels.stroked {
            return Some(front);
        }
        let seen: Vec<Lab> = front.places(colours.dim()).map(|place| colours[place]).collect();
        (!seen.is_empty()).then(|| Front { garment: middle_colour(&seen), ..front })
    };
    let own = |row: usize| scene.rows[row].iter().filter(|s| s.column.abs() <= FRONT).map(move |s| (row, s));
    rows.flat_map(own).filter_map(|(row, stretch)| front(row, stretch)).collect()
}

/// How much (CIEDE2000) each pixel of the front differs from its garment, as far as `differs` says so.
fn plane(colours: &Array2<Lab>, fronts: &[Front], differs: impl Fn(Lab, Lab) -> Option<f64>) -> Array2<f64> {
    let mut plane = Array2::zeros(colours.dim());
    for front in fronts {
        for place in front.places(colours.dim()) {
            plane[place] = differs(colours[place], front.garment).unwrap_or(0.0);
        }
    }
    plane
}

fn lighter(colours: &Array2<Lab>, fronts: &[Front]) -> Array2<f64> {
    plane(colours, fronts, |own, garment| {
        let differs = ciede2000(own, garment).0;
        (own.l >= garment.l + LIGHTER && differs >= DIFFERS).then_some(differs)
    })
}

/// What is darker than its garment and thicker than the lines of the drawing: a toggle, not the seam it lies on.
fn darker(colours: &Array2<Lab>, fronts: &[Front], pitch: f64) -> Array2<f64> {
    let dark = plane(colours, fronts, |own, garment| {
        let differs = ciede2000(own, garment).0;
        (own.l + LIGHTER <= garment.l && differs >= STANDS_OUT).then_some(differs)
    });
    let reach = (LINE / 2.0 * pitch).ceil().max(1.0) as usize;
    let thick = spread(&spread(&dark.map(|d| *d == 0.0), reach).map(|thin| !thin), reach);
    Zip::from(&dark).and(&thick).map_collect(|d, thick| if *thick { *d } else { 0.0 })
}

/// What no mixture of a garment with the paper under it or the ink on it can be: neither grain nor hatching.
fn of_a_colour_of_its_own(colours: &Array2<Lab>, fronts: &[Front], paper: Lab) -> Array2<f64> {
    plane(colours, fronts, |own, garment| {
        let from = |other: Lab| ciede2000(own, nearest_mixture(own, garment, other)).0;
        let differs = from(paper).min(from(INK));
        (differs >= STANDS_OUT).then_some(differs)
    })
}

/// What is true within so many pixels, in either direction.
fn spread(plane: &Array2<bool>, reach: usize) -> Array2<bool> {
    let along = |plane: &Array2<bool>, axis: usize| {
        let mut wide = plane.clone();
        for (from, mut to) in plane.lanes(Axis(axis)).into_iter().zip(wide.lanes_mut(Axis(axis))) {
            for (at, _) in from.iter().enumerate().filter(|(_, is)| **is) {
                let end = (at + reach + 1).min(from.len());
                to.slice_mut(s![at.saturating_sub(reach)..end]).fill(true);
            }
        }
        wide
    };
    along(&along(plane, 0), 1)
}

fn spots(colours: &Array2<Lab>, differs: &Array2<f64>, mould: &Mould, pitch: f64) -> Vec<Spot> {
    let mut seen = differs.map(|d| *d == 0.0);
    let starts: Vec<(usize, usize)> =
        seen.indexed_iter().filter(|(_, seen)| !**seen).map(|(p, _)| p).collect();
    starts.into_iter().filter_map(|start| spot(start, colours, differs, &mut seen, (mould, pitch))).collect()
}

/// The spot that begins at a pixel, if it is as large and as round as a button.
fn spot(
    start: (usize, usize),
    colours: &Array2<Lab>,
    differs: &Array2<f64>,
    seen: &mut Array2<bool>,
    (mould, pitch): (&Mould, f64),
) -> Option<Spot> {
    if std::mem::replace(&mut seen[start], true) {
        return None;
    }
    let mut pixels = vec![start];
    let mut next = 0;
    while let Some(&place) = pixels.get(next) {
        next += 1;
        pixels.extend(beside(place, seen.dim()).filter(|p| !std::mem::replace(&mut seen[*p], true)));
    }
    let span = |of: fn(&(usize, usize)) -> usize| {
        let (low, high) = pixels.iter().map(of).fold((usize::MAX, 0), |(l, h), v| (l.min(v), h.max(v)));
        (low as f64, (high + 1) as f64)
    };
    let (down, across) = (span(|p| p.0), span(|p| p.1));
    let (height, width) = (down.1 - down.0, across.1 - across.0);
    let size = pixels.len() as f64 / (pitch * pitch);
    if !(mould.size.0..=mould.size.1).contains(&size) || height.max(width) > mould.longer * height.min(width)
    {
        return None;
    }
    // The half that differs most: the rest is blurred with the garment.
    pixels.sort_by(|a, b| differs[*b].total_cmp(&differs[*a]).then(a.cmp(b)));
    pixels.truncate(pixels.len().div_ceil(2));
    let colour = middle_colour(&pixels.iter().map(|p| colours[*p]).collect::<Vec<_>>());
    let strongest = differs[pixels[0]];
    Some(Spot {
        y: f64::midpoint(down.0, down.1),
        x: f64::midpoint(across.0, across.1),
        colour,
        differs: strongest,
    })
}
