//! Wax crayon and coloured pencil: paper shows through every stroke, so no pixel has the wax's own colour.
//!
//! Pixels are wax mixed with paper by area, so that in linear light they lie on the line from the paper to
//! the wax. Strokes are smoothed before the drawing is read; then each colour is sought at the far end of
//! its line, where its strongest marks tend.

use ndarray::Array2;

use crate::colour::{Lab, Linear, ciede2000};
use crate::reference::{Cover, PIXELS_PER_BEAD};
use crate::sample::cluster::Possible;

/// From this difference of neighbouring pixels on, in Lab units, in the calmest quarter of the figure, the
/// strokes themselves are what is seen: marker and scanned ink stay under 1.8, crayon and pencil begin at 2.
pub(super) const STROKED: f64 = 2.0;

/// ... and, in the middle, at least this part of the way to the paper: a painting's texture keeps far from it.
pub(super) const LEAST_PAPER: f64 = 0.28;

/// ... and so many times what the bare paper has: half as much again would be chance.
pub(super) const BEYOND_NOISE: f64 = 2.0;

/// Half the width of the box that smooths strokes, in beads, and how often it is laid: three boxes are nearly
/// a Gaussian, of a fifth of a bead here.
const HALF_BOX: f64 = 0.22;
const ROUNDS: usize = 3;

/// Which share of marks is weaker than the strongest.
const WEAKER: f64 = 0.95;

/// How much of the paper the strongest marks of a crayon cover, and how far that strays from one patch to the next
/// (standard deviation). Over 240 patches of known wax it was 0.89 and 0.07; where a hand presses less, less: with 0.88
/// dark waxes came out a step too light (96 drawings in thin wax: 63.4 beads to mend, 61.3 with these).
const STRONGEST: f64 = 0.8;
const COVER_SPREAD: f64 = 0.1;

/// How far from the likeliest cover is looked, in standard deviations, and in how many steps each way.
const WIDEST: f64 = 2.5;
const STEPS: i32 = 10;

/// What one standard deviation counts beside a bead's distance, in CIEDE2000: about as much as a wax's hue
/// strays. Between 1 and 2 it made no difference.
const COST: f64 = 1.5;

type Light = [f32; 3];

fn light(colour: Lab) -> Light {
    let Linear { r, g, b } = colour.linear();
    [r as f32, g as f32, b as f32]
}

fn lab([r, g, b]: Light) -> Lab {
    Linear { r: f64::from(r), g: f64::from(g), b: f64::from(b) }.lab()
}

/// The picture with its strokes smoothed: figure among figure, ground among ground, so that no edge blurs.
pub(super) fn smoothed(colours: &Array2<Lab>, cover: &Array2<Cover>) -> Array2<Lab> {
    let half = (HALF_BOX * PIXELS_PER_BEAD).round() as usize;
    let mut out = colours.clone();
    let lights = colours.map(|colour| light(*colour));
    for subject in [true, false] {
        let belongs = cover.map(|c| (*c == Cover::Subject) == subject);
        let mut sums = Array2::from_shape_fn(colours.dim(), |p| {
            let [r, g, b] = lights[p];
            if belongs[p] { [r, g, b, 1.0] } else { [0.0; 4] }
        });
        for _ in 0..ROUNDS {
            boxed(&mut sums, half);
        }
        for (p, _) in belongs.indexed_iter().filter(|(_, belongs)| **belongs) {
            let [r, g, b, weight] = sums[p];
            if weight > 0.0 {
                out[p] = lab([r / weight, g / weight, b / weight]);
            }
        }
    }
    out
}

/// Means over a box: along each row, then down all columns side by side.
fn boxed(values: &mut Array2<[f32; 4]>, half: usize) {
    let channels = values.ncols() * 4;
    let Some(values) = values.as_slice_mut() else { return };
    let mut given = values.to_vec();
    for (given, out) in given.chunks(channels / 4).zip(values.chunks_mut(channels / 4)) {
        running_means(given.as_flattened(), 4, half, out.as_flattened_mut());
    }
    given.copy_from_slice(values);
    running_means(given.as_flattened(), channels, half, values.as_flattened_mut());
}

/// The mean of each group of numbers with `half` groups before it and behind it, number by number; beyond the ends
/// there is nothing.
fn running_means(given: &[f32], group: usize, half: usize, out: &mut [f32]) {
    let groups = given.len() / group;
    let of = |at: usize| &given[at * group..(at + 1) * group];
    let mut running = vec![0.0_f64; group];
    let add = |running: &mut [f64], more: &[f32]| {
        running.iter_mut().zip(more).for_each(|(sum, more)| *sum += f64::from(*more));
    };
    (0..half.min(groups)).for_each(|at| add(&mut running, of(at)));
    let width = (2 * half + 1) as f64;
    for (at, out) in out.chunks_exact_mut(group).enumerate() {
        if at + half < groups {
            add(&mut running, of(at + half));
        }
        if at > half {
            running.iter_mut().zip(of(at - half - 1)).for_each(|(sum, less)| *sum -= f64::from(*less));
        }
        out.iter_mut().zip(&running).for_each(|(out, sum)| *out = (sum / width) as f32);
    }
}

/// Marks of one colour on paper: which way they lead away from it, and how far the strongest go.
#[derive(Clone, Debug)]
pub(crate) struct Marks {
    along: Light,
    far: f32,
    paper: Light,
}

impl Marks {
    /// Reads the marks of one colour; nothing where they hardly differ from the paper.
    pub fn of(marks: &[Lab], paper: Lab) -> Option<Self> {
        /// Marks that differ from the paper by less than this, in linear light, are paper: their direction
        /// is noise.
        const LEAST: f32 = 0.01;
        let paper = light(paper);
        let taken: Vec<Light> = marks
            .iter()
            .map(|&mark| {
                let mark = light(mark);
                std::array::from_fn(|c| paper[c] - mark[c])
            })
            .collect();
        let mean: Light =
            std::array::from_fn(|c| taken.iter().map(|t| t[c]).sum::<f32>() / taken.len().max(1) as f32);
        let length = mean.iter().map(|v| v * v).sum::<f32>().sqrt();
        if length < LEAST {
            return None;
        }
        let along = mean.map(|v| v / length);
        let mut reached: Vec<f32> = taken.iter().map(|t| (0..3).map(|c| t[c] * along[c]).sum()).collect();
        let at = ((reached.len() - 1) as f64 * WEAKER) as usize;
        let far = reached.select_nth_unstable_by(at, f32::total_cmp).1.max(length);
        Some(Self { along, far, paper })
    }

    /// The wax's own colour: a little beyond the strongest marks.
    pub fn wax(&self) -> Lab {
        self.at(self.far / STRONGEST as f32)
    }

    /// What the wax may be: how far its strongest marks cover the paper is known only about.
    pub fn possible(&self) -> Vec<Possible> {
        (-STEPS..=STEPS)
            .map(|step| {
                let off = WIDEST * f64::from(step) / f64::from(STEPS);
                let covered = STRONGEST - off * COVER_SPREAD;
                Possible { colour: self.at(self.far / covered as f32), cost: COST * off.abs() }
            })
            .collect()
    }

    fn at(&self, distance: f32) -> Lab {
        lab(std::array::from_fn(|c| (self.paper[c] - self.along[c] * distance).clamp(0.0, 1.0)))
    }

    /// How far two colours lie apart once brought to the same strength, in CIEDE2000.
    pub fn apart(&self, other: &Self) -> f64 {
        let strength = self.far.max(other.far);
        ciede2000(self.at(strength), other.at(strength)).0
    }

    /// How strong the weaker of two is beside the other, 0 to 1.
    pub fn strength_beside(&self, other: &Self) -> f64 {
        f64::from(self.far.min(other.far) / self.far.max(other.far))
    }

    /// Whether two colours are one wax pressed more and less: they lead the same way, and the paler marks
    /// still go most of the way.
    pub fn is_one_wax_with(&self, other: &Self) -> bool {
        /// Paler strokes of one wax still have grains at least so strong beside the others'.
        const AS_FAR: f64 = 0.6;
        /// CIEDE2000 between the two, brought to the same strength.
        const SAME: f64 = 4.0;
        self.strength_beside(other) >= AS_FAR && self.apart(other) <= SAME
    }
}
