//! Two colours that take turns along a straight line: what stripes and checks have in common.
//!
//! The line is a band more than half a bead broad, so that strokes of a pencil, the tooth of the paper and specks
//! become one tone before anything is told apart; a hatching's own period lies far under a bead.

use ndarray::Array2;

use crate::colour::{Lab, ciede2000};
use crate::reference::middle::middle_colour;

/// How far the line goes to each side, in beads: three periods of stripes two beads apart are seen.
const LONG: f64 = 3.0;

/// Half of its breadth, in beads.
const HALF_BROAD: f64 = 0.3;

/// A run shorter than this, in beads, is a speck.
const SPECK: f64 = 0.1;

/// Of the pixels every second is looked at, along a line and across it: strokes and specks are wider.
const STEP: usize = 2;

/// At least so many runs, those at the ends among them: one fold or one seam makes three.
const RUNS: usize = 5;

/// Periods, in beads: hatching is closer, and what is wider fills whole beads, whose windows see it.
const PERIOD: (f64, f64) = (0.45, 2.4);

/// The widest period is at most so many times the narrowest.
const EVEN: f64 = 1.7;

/// The lesser colour fills at least so much of the line: the lines of a pen fill less.
const LESSER: f64 = 0.2;

/// Two colours account for at least so much of what varies along the line; of normally scattered tones they account
/// for 0.64 (2 / pi, Cox, Note on grouping, J. Am. Stat. Assoc. 52, 1957; from memory).
const EXPLAINED: f64 = 0.66;

/// They differ by at least so much (CIEDE2000). Where two sets of lines cross, each is blurred by the other, so that
/// this is less than what a bead must differ by.
const DIFFER: f64 = 18.0;

/// Colours all nearer than this to their mean, in Lab units, do not differ by so much: CIEDE2000 is never twice the
/// straight distance (over six million pairs drawn at random at most 1.49 times, in greys along a*).
const NEAR_ITS_MEAN: f64 = DIFFER / 4.0;

/// Turns that leave no doubt have so many runs, three whole periods, and two colours account for so much of them,
const STRONG: (usize, f64) = (7, 0.7);

/// ... and lines beside one another, so far off in beads, show the same: colours within so much (CIEDE2000) and a period
/// so many times as long at most.
const OFF: f64 = 0.45;
const SAME: (f64, f64) = (12.0, 1.25);

/// The picture and which of it is cloth.
pub(super) struct Cloth<'a> {
    pub colours: &'a Array2<Lab>,
    pub is_cloth: Array2<bool>,
    /// Height of one bead.
    pub pitch: f64,
}

/// Two colours that take turns.
#[derive(Clone, Copy, Debug)]
pub(super) struct Turns {
    /// The direction they take turns in, radians from the x axis down, 0 to less than pi.
    pub angle: f64,
    /// In beads.
    pub period: f64,
    /// The greater first.
    pub colours: [Lab; 2],
    /// How far they differ (CIEDE2000).
    pub differ: f64,
    /// How clearly they stand out: how far they differ, by how much of what varies they account for.
    pub clarity: f64,
    /// Whether no doubt is left: lines beside one another show the same.
    pub is_strong: bool,
}

impl Turns {
    /// Turns taken about a place, y and x in working pixels.
    pub fn about(cloth: &Cloth, (y, x): (f64, f64), angle: f64) -> Option<Self> {
        let lines = [0.0, -OFF, OFF].map(|off| {
            let off = off * cloth.pitch;
            cloth.line((y + off * angle.cos(), x - off * angle.sin()), angle)
        });
        let found: Vec<Self> =
            lines.iter().filter_map(|line| Self::along(line, angle, cloth.pitch / STEP as f64)).collect();
        let best = found.iter().copied().max_by(|a, b| a.clarity.total_cmp(&b.clarity))?;
        let is_same = |t: &&Self| t.is_strong && t.is_like(&best, SAME.0, SAME.1);
        // A sleeve may be no broader than one line.
        let longest = lines.iter().map(Vec::len).max().unwrap_or(0);
        let broad = lines.iter().filter(|line| 2 * line.len() >= longest).count();
        let is_strong = best.is_strong && found.iter().filter(is_same).count() >= broad.min(2);
        Some(Self { is_strong, ..best })
    }

    /// `pitch` is a bead in places of the line.
    fn along(line: &[Lab], angle: f64, pitch: f64) -> Option<Self> {
        let halves = Halves::of(line)?;
        let runs = runs(&halves.second, (SPECK * pitch).ceil() as usize);
        if runs.len() < RUNS || halves.explained < EXPLAINED {
            return None;
        }
        let period = even_period(&runs).map(|period| period / pitch)?;
        let second = runs.iter().filter(|run| run.0).map(|run| run.1).sum::<usize>() as f64;
        let part = second / line.len() as f64;
        let (greater, part) = if part > 0.5 { (1, 1.0 - part) } else { (0, part) };
        let purest = halves.purest(line);
        let colours = [purest[greater], purest[1 - greater]];
        let differ = ciede2000(colours[0], colours[1]).0;
        let is_pattern = PERIOD.0 <= period && period <= PERIOD.1 && part >= LESSER && differ >= DIFFER;
        let (clarity, is_strong) =
            (differ * halves.explained, runs.len() >= STRONG.0 && halves.explained >= STRONG.1);
        is_pattern.then_some(Self { angle, period, colours, differ, clarity, is_strong })
    }

    /// Whether other turns have the same two colours within so much (CIEDE2000), whichever is the greater, and a
    /// period so many times as long at most.
    pub fn is_like(&self, other: &Self, colour: f64, period: f64) -> bool {
        let near = |a: [Lab; 2]| a.iter().zip(other.colours).all(|(a, b)| ciede2000(*a, b).0 <= colour);
        let [greater, lesser] = self.colours;
        self.period.max(other.period) <= period * self.period.min(other.period)
            && (near([greater, lesser]) || near([lesser, greater]))
    }
}

/// The mean period of whole runs, in pixels, if they are even; those at the ends are cut off.
fn even_period(runs: &[(bool, usize)]) -> Option<f64> {
    let whole = runs.get(1..runs.len().checked_sub(1)?)?;
    let periods: Vec<f64> = whole.windows(2).map(|pair| (pair[0].1 + pair[1].1) as f64).collect();
    let widest = periods.iter().copied().fold(0.0, f64::max);
    let narrowest = periods.iter().copied().fold(f64::INFINITY, f64::min);
    let mean = periods.iter().sum::<f64>() / periods.len().max(1) as f64;
    (!periods.is_empty() && widest <= EVEN * narrowest).then_some(mean)
}

impl Cloth<'_> {
    /// The mean colours along a line through a place, from where the cloth begins to where it ends.
    fn line(&self, (y, x): (f64, f64), angle: f64) -> Vec<Lab> {
        let (sin, cos) = angle.sin_cos();
        let reach = (LONG * self.pitch) as i32;
        let half = (HALF_BROAD * self.pitch) as i32;
        let across = (-half..=half).step_by(STEP).map(f64::from);
        let steps: Vec<(f64, f64)> = across.map(|s| (s * cos, -s * sin)).collect();
        let at = |t: i32| self.mean_across((y + f64::from(t) * sin, x + f64::from(t) * cos), &steps);
        let Some(middle) = at(0) else { return Vec::new() };
        let mut line: Vec<Lab> = (STEP as i32..=reach).step_by(STEP).map(|t| -t).map_while(at).collect();
        line.reverse();
        line.push(middle);
        line.extend((STEP as i32..=reach).step_by(STEP).map_while(at));
        line
    }

    /// The mean over the line's breadth, given by steps down and to the right, where most of that is cloth.
    fn mean_across(&self, (y, x): (f64, f64), steps: &[(f64, f64)]) -> Option<Lab> {
        let mut seen = 0;
        let cloth = steps.iter().filter_map(|(down, right)| self.colour_at(y + down, x + right));
        let mean = mean(cloth.inspect(|_| seen += 1))?;
        (2 * seen >= steps.len()).then_some(mean)
    }

    /// The colour of the cloth at a place, if it is cloth.
    pub fn colour_at(&self, y: f64, x: f64) -> Option<Lab> {
        let place = (y >= 0.0 && x >= 0.0).then_some((y as usize, x as usize))?;
        (*self.is_cloth.get(place)?).then(|| self.colours[place])
    }
}

fn mean(colours: impl Iterator<Item = Lab>) -> Option<Lab> {
    Lab::mean(colours.map(|colour| (colour, 1.0)))
}

/// The colours of a line in two halves, by 2-means from two that are far apart.
struct Halves {
    /// Whether each is of the second half.
    second: Vec<bool>,
    means: [Lab; 2],
    explained: f64,
}

impl Halves {
    fn of(line: &[Lab]) -> Option<Self> {
        /// It settles in so many rounds.
        const ROUNDS: usize = 6;
        let whole = mean(line.iter().copied())?;
        let farthest = |from: Lab| {
            let far = |a: &Lab, b: &Lab| a.distance_squared(from).total_cmp(&b.distance_squared(from));
            line.iter().copied().max_by(far)
        };
        let one = farthest(whole)?;
        if one.distance_squared(whole) < NEAR_ITS_MEAN * NEAR_ITS_MEAN {
            return None;
        }
        let mut means = [one, farthest(one)?];
        let mut second = vec![false; line.len()];
        for _ in 0..ROUNDS {
            let mut has_changed = false;
            for (colour, second) in line.iter().zip(&mut second) {
                let is = colour.distance_squared(means[1]) < colour.distance_squared(means[0]);
                has_changed |= *second != is;
                *second = is;
            }
            // As the round before left it, or all of it in one half.
            if !has_changed {
                break;
            }
            means = [mean(half_of(line, &second, false))?, mean(half_of(line, &second, true))?];
        }
        let all: f64 = line.iter().map(|c| c.distance_squared(whole)).sum();
        let within: f64 =
            line.iter().zip(&second).map(|(c, s)| c.distance_squared(means[usize::from(*s)])).sum();
        Some(Self { second, means, explained: 1.0 - within / all.max(f64::MIN_POSITIVE) })
    }

    /// The colour of each half where the other is farthest: narrow stripes are blurred with their neighbours.
    fn purest(&self, line: &[Lab]) -> [Lab; 2] {
        [false, true].map(|half| {
            let other = self.means[usize::from(!half)];
            let mut own: Vec<Lab> = half_of(line, &self.second, half).collect();
            own.sort_by(|a, b| b.distance_squared(other).total_cmp(&a.distance_squared(other)));
            own.truncate(own.len().div_ceil(2));
            middle_colour(&own)
        })
    }
}

fn half_of(line: &[Lab], second: &[bool], half: bool) -> impl Iterator<Item = Lab> {
    line.iter().zip(second).filter(move |(_, s)| **s == half).map(|(c, _)| *c)
}

/// Runs of one half, each with its length; specks join what lies before them.
fn runs(second: &[bool], speck: usize) -> Vec<(bool, usize)> {
    let mut runs: Vec<(bool, usize)> = Vec::new();
    for run in second.chunk_by(|a, b| a == b) {
        match runs.last_mut() {
            Some(last) if last.0 == run[0] || run.len() < speck => last.1 += run.len(),
            _ => runs.push((run[0], run.len())),
        }
    }
    runs
}
