//! The hard-edged shadow of a hand or a telephone on a sheet: how much light it leaves, and where it lies, also across
//! the figure.

use ndarray::Array2;

use super::ground::least_squares;
use super::mask::grown;

/// The two kinds of light on a sheet differ by this at least, as the logarithm of light: an eighth.
const LEAST_STEP: f64 = 0.12;

/// The smaller of the two covers at least this much of the bare paper.
const LEAST_SHARE: f64 = 0.012;

/// Between two kinds of light with a hard edge hardly any paper lies halfway: of its middle two fifths no more than
/// this part of the smaller kind. A soft shadow has as much there as anywhere.
const MOST_BETWEEN: f64 = 0.35;

/// Pixels of the look over which the hardest edge passes, and the softest that is still followed as one.
const HARDEST: f64 = 3.0;
const SOFTEST: f64 = 60.0;

/// Pixels from one place of paper to the next from which the kinds of light are learnt: some ten thousand of a sheet.
const APART: usize = 3;

/// Places of paper from which the edge across the figure is learnt.
const LEARNT_FROM: f64 = 4000.0;

/// Terms of the edge: all products of x and y up to the third degree.
const TERMS: usize = 10;

/// Where a shadow lies on a sheet and what it does to light.
#[derive(Clone, Debug)]
pub(crate) struct HardShadow {
    /// How far each place of a coarse look is in the other light, 0 to 1.
    cover: Array2<f32>,
    /// The logarithm of that light, by red, green and blue; below 0 for a shadow.
    step: [f64; 3],
}

impl HardShadow {
    /// Learns it from what a smooth light leaves over: the logarithm of what each pixel differs by from lit paper, and
    /// which pixels are bare paper; nothing where there is no such shadow.
    pub fn learn(left: impl Fn((usize, usize)) -> [f64; 3], paper: &Array2<bool>) -> Option<Self> {
        let places =
            paper.indexed_iter().filter(|((y, x), paper)| **paper && y % APART == 0 && x % APART == 0);
        let bare: Vec<[f64; 3]> = places.map(|(place, _)| left(place)).collect();
        let lights = Lights::of(&bare)?;
        let left = Array2::from_shape_fn(paper.dim(), left);
        let seen = Array2::from_shape_fn(left.dim(), |place| paper[place].then(|| lights.cover(left[place])));
        let soft = soft_edge(&seen, &left, &lights);
        let measured = Array2::from_shape_fn(left.dim(), |place| {
            if soft[place] { Some(lights.cover(left[place])) } else { seen[place] }
        });
        let edge = Edge { width: width(&measured), ..Edge::learn(&seen)? };
        let cover = Array2::from_shape_fn(left.dim(), |place| {
            measured[place].map_or_else(|| edge.cover(place), |cover| cover.clamp(0.0, 1.0)) as f32
        });
        Some(Self { cover, step: lights.step() })
    }

    /// The logarithm of what is left of the light at a place of the sheet, 0 to 1 across and down.
    pub fn at(&self, u: f64, v: f64) -> [f64; 3] {
        let (rows, columns) = self.cover.dim();
        let split = |share: f64, most: usize| {
            let at = (share * most as f64 - 0.5).clamp(0.0, (most - 1) as f64);
            let low = at as usize;
            (low, (low + 1).min(most - 1), at - low as f64)
        };
        let ((y0, y1, fy), (x0, x1, fx)) = (split(v, rows), split(u, columns));
        let mix =
            |y: usize| f64::from(self.cover[(y, x0)]) * (1.0 - fx) + f64::from(self.cover[(y, x1)]) * fx;
        let cover = mix(y0) * (1.0 - fy) + mix(y1) * fy;
        self.step.map(|step| step * cover)
    }
}

/// The two kinds of light on a sheet, the commoner first, as the mean logarithm of what paper shows in each.
struct Lights {
    common: [f64; 3],
    other: [f64; 3],
}

impl Lights {
    /// None where there is but one kind, or where one passes softly into the other.
    fn of(bare: &[[f64; 3]]) -> Option<Self> {
        let mut values: Vec<f64> = bare.iter().map(|rgb| mean(*rgb)).collect();
        values.sort_by(f64::total_cmp);
        let share = |low: f64, high: f64| {
            let below = |v: f64| values.partition_point(|&other| other < v) as f64;
            (below(high) - below(low)) / values.len() as f64
        };
        let around = |middle: f64| share(middle - WIDTH, middle + WIDTH);
        let steps = ((values.last()? - values.first()?) / STEP) as usize;
        let middles = || (0..=steps).map(|i| values[0] + i as f64 * STEP);
        let most =
            |middles: &mut dyn Iterator<Item = f64>| middles.max_by(|a, b| around(*a).total_cmp(&around(*b)));
        let common = most(&mut middles())?;
        let other = most(&mut middles().filter(|middle| (middle - common).abs() >= LEAST_STEP))?;
        let (low, high) = (common.min(other), common.max(other));
        // The middle two fifths of the way from one to the other.
        let between = share(low + 0.3 * (high - low), low + 0.7 * (high - low));
        if around(other) < LEAST_SHARE || between > MOST_BETWEEN * around(other) {
            return None;
        }
        Some(Self { common: middle(bare, common)?, other: middle(bare, other)? })
    }

    fn step(&self) -> [f64; 3] {
        std::array::from_fn(|c| self.other[c] - self.common[c])
    }

    /// How far paper that shows this lies in the other light: 0 in the common one, 1 in the other.
    fn cover(&self, rgb: [f64; 3]) -> f64 {
        (mean(rgb) - mean(self.common)) / mean(self.step())
    }

    /// Whether paper partly in the other light would show this.
    fn is_between(&self, rgb: [f64; 3]) -> bool {
        /// How far a channel may stray, in the logarithm of light.
        const STRAY: f64 = 0.12;
        let (cover, step) = (self.cover(rgb), self.step());
        (-0.1..=1.1).contains(&cover)
            && (0..3).all(|c| (rgb[c] - self.common[c] - cover * step[c]).abs() <= STRAY)
    }
}

/// Steps of light, as the logarithm, in which its kinds are sought, and half of what one spans.
const STEP: f64 = 0.02;
const WIDTH: f64 = 0.06;

/// The mean of what lies in one kind of light.
fn middle(bare: &[[f64; 3]], light: f64) -> Option<[f64; 3]> {
    let (mut sum, mut count) = ([0.0; 3], 0.0);
    for rgb in bare.iter().filter(|rgb| (mean(**rgb) - light).abs() <= WIDTH) {
        (0..3).for_each(|c| sum[c] += rgb[c]);
        count += 1.0;
    }
    (count > 0.0).then(|| sum.map(|sum| sum / count))
}

fn mean(rgb: [f64; 3]) -> f64 {
    rgb.iter().sum::<f64>() / 3.0
}

/// Paper across which the edge passes: too steep to be told for paper by itself, but between paper in the one light
/// and paper in the other.
fn soft_edge(seen: &Array2<Option<f64>>, left: &Array2<[f64; 3]>, lights: &Lights) -> Array2<bool> {
    /// Half of the widest edge, in pixels of the look.
    const REACH: usize = 4;
    let near = |is: &dyn Fn(f64) -> bool| grown(&seen.map(|cover| cover.is_some_and(is)), REACH);
    let (common, other) = (near(&|cover| cover < 0.5), near(&|cover| cover > 0.5));
    Array2::from_shape_fn(seen.dim(), |place| {
        seen[place].is_none() && common[place] && other[place] && lights.is_between(left[place])
    })
}

/// The pixels over which the edge passes on bare paper: those that lie between the two lights, to those that have one
/// on the other side of halfway beside them.
fn width(measured: &Array2<Option<f64>>) -> f64 {
    /// An edge that runs level meets one pixel in each column, one that runs aslant up to two.
    const MET: f64 = 1.27;
    let (mut between, mut crossed) = (0_usize, 0_usize);
    for ((y, x), cover) in measured.indexed_iter() {
        let Some(cover) = cover else { continue };
        between += usize::from((0.2..0.8).contains(cover));
        let is_other = |place| {
            measured.get(place).copied().flatten().is_some_and(|other| (other > 0.5) != (*cover > 0.5))
        };
        crossed += usize::from(is_other((y, x + 1))) + usize::from(is_other((y + 1, x)));
    }
    // Of the way from one to the other, three fifths were counted.
    let length = (crossed as f64 / MET).max(1.0);
    (between as f64 / length / 0.6).clamp(HARDEST, SOFTEST)
}

/// The line between the two lights, as the zero of a cubic.
struct Edge {
    weights: [f64; TERMS],
    dim: (usize, usize),
    /// Pixels from the one light to the other.
    width: f64,
}

impl Edge {
    /// Logistic regression of which light paper lies in, by iterated least squares (McCullagh and Nelder 1989,
    /// Generalized Linear Models, 2.5).
    fn learn(seen: &Array2<Option<f64>>) -> Option<Self> {
        /// Few rounds: where a cubic parts the two cleanly, its weights would grow for ever.
        const ROUNDS: usize = 6;
        /// No place counts for less, so that the equations stay solvable.
        const LEAST_WEIGHT: f64 = 1e-3;
        let dim = seen.dim();
        let apart = ((dim.0 * dim.1) as f64 / LEARNT_FROM).sqrt().ceil() as usize;
        let places: Vec<([f64; TERMS], f64)> = (0..dim.0)
            .step_by(apart)
            .flat_map(|y| (0..dim.1).step_by(apart).map(move |x| (y, x)))
            .filter_map(|place| {
                seen[place].map(|cover| (basis(place, dim), if cover > 0.5 { 1.0 } else { 0.0 }))
            })
            .collect();
        let mut weights = [0.0; TERMS];
        for _ in 0..ROUNDS {
            let lessons = places.iter().map(|(basis, is_shaded)| {
                let value = product(basis, &weights);
                let likely = 1.0 / (1.0 + (-value).exp());
                let weight = (likely * (1.0 - likely)).max(LEAST_WEIGHT);
                let target = value + (is_shaded - likely) / weight;
                let root = weight.sqrt();
                (basis.map(|b| b * root), [target * root])
            });
            weights = least_squares(lessons, TERMS)?[0];
        }
        Some(Self { weights, dim, width: HARDEST })
    }

    /// How far a pixel lies in the other light, by its distance from the edge.
    fn cover(&self, place: (usize, usize)) -> f64 {
        let value = |y: f64, x: f64| product(&basis_at(y, x, self.dim), &self.weights);
        let (y, x) = (place.0 as f64, place.1 as f64);
        let here = value(y, x);
        let slope = (value(y, x + 1.0) - here).hypot(value(y + 1.0, x) - here);
        (0.5 + here / slope.max(1e-9) / self.width).clamp(0.0, 1.0)
    }
}

fn basis(place: (usize, usize), dim: (usize, usize)) -> [f64; TERMS] {
    basis_at(place.0 as f64, place.1 as f64, dim)
}

fn basis_at(y: f64, x: f64, (rows, columns): (usize, usize)) -> [f64; TERMS] {
    let (x, y) = (2.0 * x / columns as f64 - 1.0, 2.0 * y / rows as f64 - 1.0);
    [1.0, x, y, x * x, x * y, y * y, x * x * x, x * x * y, x * y * y, y * y * y]
}

fn product(basis: &[f64; TERMS], weights: &[f64; TERMS]) -> f64 {
    basis.iter().zip(weights).map(|(b, w)| b * w).sum()
}
