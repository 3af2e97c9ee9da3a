//! The light on a photographed sheet: learnt from its bare paper, and taken away.

use ndarray::Array2;

use crate::colour::{Lab, Srgb};
use crate::reference::gains::{STEP, Span, multiply};
use crate::reference::ground::least_squares;
use crate::reference::hard_shadow::HardShadow;
use crate::reference::shrink::{Light, colour_of, labs_of, straight};
use crate::reference::subject::beside;

/// What white paper becomes when its light is evened: the white of office paper under D65, a little
/// below the screen's own white so that chalk-white marks on it may still stand out.
const PAPER_WHITE: Srgb = Srgb::new(251, 251, 250);

/// Terms of the light's surface: all products of x and y up to the third degree.
const TERMS: usize = 10;

/// And of one that bends less: up to the second degree.
const FEWER_TERMS: usize = 6;

/// Places of the sheet the light is learnt from: a few hundred for each term.
const LEARNT_FROM: f64 = 5000.0;

/// The light that falls on a sheet, as the linear colour of its bare paper from place to place.
#[derive(Clone, Debug)]
pub(crate) struct PaperLight {
    surface: [[f64; TERMS]; 3],
    /// A shadow with a hard edge, where there is one.
    hard: Option<HardShadow>,
    /// What soft shadows leave over, as the logarithm of light, on a coarse net over the sheet.
    shadow: Array2<[f64; 3]>,
}

impl PaperLight {
    /// Learns the light from a straightened sheet: starts from its brighter half and keeps what
    /// lies near the surface, so that drawing and shadow-less ink drop out.
    pub fn learn(sheet: &Array2<Light>) -> Option<Self> {
        let (rows, columns) = sheet.dim();
        let apart = ((rows * columns) as f64 / LEARNT_FROM).sqrt().ceil() as usize;
        let grid = (0..rows).step_by(apart).flat_map(|y| (0..columns).step_by(apart).map(move |x| (y, x)));
        let places: Vec<((usize, usize), [f64; 3])> = grid
            // What the frame cuts off tells nothing.
            .filter(|&p| sheet[p][3] > 0.5)
            .map(|p| (p, colour_of(sheet[p])))
            .map(|(p, c)| (p, [c.r, c.g, c.b].map(|v| v.max(1e-4).ln())))
            .collect();
        if places.is_empty() {
            return None;
        }
        let mut green: Vec<f64> = places.iter().map(|(_, c)| c[1]).collect();
        green.sort_by(f64::total_cmp);
        let darker_than = |share: f64, by: f64| green[(share * (green.len() - 1) as f64) as usize] - by;
        let (usual, share) = Self::fitted(&places, sheet.dim(), darker_than(0.5, 0.35), TERMS)?;
        /// Where less of the sheet lies on the surface, it may run between two lights.
        const SETTLED: f64 = 0.6;
        if share < SETTLED {
            // Bent less, so that it does not follow a shadow's edge, and from the brighter light on.
            let bright = Self::fitted(&places, sheet.dim(), darker_than(0.85, 0.15), FEWER_TERMS);
            let bright = bright.map(|(bright, _)| bright.with_shadows(sheet));
            if let Some(bright) = bright.filter(|bright| bright.hard.is_some()) {
                return Some(bright);
            }
        }
        Some(usual.with_shadows(sheet))
    }

    /// A smooth surface of this many terms through what is no darker than `from`, closer and closer; and the share of the
    /// sheet that lies on it.
    fn fitted(
        places: &[((usize, usize), [f64; 3])],
        (rows, columns): (usize, usize),
        from: f64,
        terms: usize,
    ) -> Option<(Self, f64)> {
        let basis = |p: (usize, usize)| basis(p.1 as f64 / columns as f64, p.0 as f64 / rows as f64);
        let mut kept: Vec<_> = places.iter().filter(|(_, c)| c[1] >= from).collect();
        let mut surface = [[0.0; TERMS]; 3];
        for bound in [0.3, 0.15, 0.1, 0.08, 0.06] {
            surface = least_squares(kept.iter().map(|(p, c)| (basis(*p), *c)), terms)?;
            kept = places
                .iter()
                .filter(|(p, c)| {
                    let basis = basis(*p);
                    (0..3).all(|i| (c[i] - product(&basis, &surface[i])).abs() <= bound)
                })
                .collect();
        }
        let share = kept.len() as f64 / places.len() as f64;
        Some((Self { surface, hard: None, shadow: Array2::from_elem((1, 1), [0.0; 3]) }, share))
    }

    /// Adds the shadows that no smooth surface holds: from the sheet's edge inwards, paper goes on wherever
    /// its light changes softly; ink and paint begin with a step.
    fn with_shadows(mut self, sheet: &Array2<Light>) -> Self {
        let (rows, columns) = sheet.dim();
        let (mut evened, mut paper) = self.evened_paper(sheet);
        self.hard = HardShadow::learn(|place| self.left_over(sheet, place), &paper);
        if self.hard.is_some() {
            (evened, paper) = self.evened_paper(sheet);
        }
        let size = (rows.div_ceil(SHADOW_STEP), columns.div_ceil(SHADOW_STEP));
        let white = PAPER_WHITE.linear();
        let white = [white.r, white.g, white.b];
        let mut sums = Array2::from_elem(size, [0.0; 4]);
        for (p, _) in paper.indexed_iter().filter(|(_, is_paper)| **is_paper) {
            let colour = straight(evened[p]);
            let sum = &mut sums[(p.0 / SHADOW_STEP, p.1 / SHADOW_STEP)];
            (0..3).for_each(|c| sum[c] += f64::from(colour[c]));
            sum[3] += 1.0;
        }
        for sum in &mut sums {
            let count = sum[3];
            (0..3).for_each(|c| sum[c] = count * (sum[c] / (white[c] * count.max(1.0))).max(1e-3).ln());
        }
        self.shadow = filled_in(sums);
        self
    }

    /// The sheet in the light known so far made even, and which of it is bare paper.
    fn evened_paper(&self, sheet: &Array2<Light>) -> (Array2<Light>, Array2<bool>) {
        let (rows, columns) = sheet.dim();
        let mut evened = sheet.clone();
        self.even(&mut evened, Span::of(0.0, 1.0, 1.0, columns), Span::of(0.0, 1.0, 1.0, rows));
        let paper = soft_paper(&labs_of(&evened, straight), |p| sheet[p][3] > 0.5);
        (evened, paper)
    }

    /// By how much a pixel of paper differs from the smooth light there, as the logarithm.
    fn left_over(&self, sheet: &Array2<Light>, place: (usize, usize)) -> [f64; 3] {
        let (rows, columns) = sheet.dim();
        let basis = basis((place.1 as f64 + 0.5) / columns as f64, (place.0 as f64 + 0.5) / rows as f64);
        let seen = colour_of(sheet[place]);
        let seen = [seen.r, seen.g, seen.b];
        std::array::from_fn(|c| seen[c].max(1e-4).ln() - product(&basis, &self.surface[c]))
    }

    /// What the shadows leave over at a place of the sheet, between the knots of the net.
    fn shadow_at(&self, u: f64, v: f64) -> [f64; 3] {
        let (rows, columns) = self.shadow.dim();
        let split = |share: f64, most: usize| {
            let at = (share * most as f64 - 0.5).clamp(0.0, (most - 1) as f64);
            let low = at.floor() as usize;
            (low, (low + 1).min(most - 1), at - at.floor())
        };
        let ((y0, y1, fy), (x0, x1, fx)) = (split(v, rows), split(u, columns));
        std::array::from_fn(|c| {
            let mix = |y: usize| self.shadow[(y, x0)][c] * (1.0 - fx) + self.shadow[(y, x1)][c] * fx;
            mix(y0) * (1.0 - fy) + mix(y1) * fy
        })
    }

    /// A pixel as it would look under even white light; `u` and `v` are its place on the sheet, 0 to 1.
    pub fn evened(&self, light: Light, u: f64, v: f64) -> Light {
        let gain = self.gain(u, v);
        let mut out = light;
        (0..3).for_each(|c| out[c] = (light[c] * gain[c]).min(light[3]));
        out
    }

    /// A look at the sheet, or at a part of it, as it would be under even white light.
    pub fn even(&self, light: &mut Array2<Light>, across: Span, down: Span) {
        // A hard edge is followed from pixel to pixel.
        let step = if self.hard.is_some() { 1 } else { STEP };
        multiply(light, across, down, step, |u, v| self.gain(u, v));
    }

    /// The linear colour that bare paper has from pixel to pixel of a look at the sheet.
    pub fn on_paper(&self, (rows, columns): (usize, usize), across: Span, down: Span) -> Array2<[f32; 3]> {
        /// So faint that no gain brings it to full, where channels are cut.
        const FAINT: f32 = 1e-4;
        let white = PAPER_WHITE.linear();
        let white = [white.r, white.g, white.b];
        let mut faint = Array2::from_elem((rows, columns), [FAINT, FAINT, FAINT, 1.0]);
        self.even(&mut faint, across, down);
        faint.map(|light| std::array::from_fn(|c| white[c] as f32 * FAINT / light[c].max(f32::MIN_POSITIVE)))
    }

    /// What brings the light at a place of the sheet to even white.
    fn gain(&self, u: f64, v: f64) -> [f32; 3] {
        let (basis, shadow, white) = (basis(u, v), self.shadow_at(u, v), PAPER_WHITE.linear());
        let hard = self.hard.as_ref().map_or([0.0; 3], |hard| hard.at(u, v));
        let white = [white.r, white.g, white.b];
        std::array::from_fn(|c| {
            (white[c] / (product(&basis, &self.surface[c]) + hard[c] + shadow[c]).exp()) as f32
        })
    }
}

/// Pixels of the coarse look between knots of the shadows' net.
const SHADOW_STEP: usize = 8;

/// Paper reached over soft changes only from the edge of a sheet, or from where the frame cuts it off.
fn soft_paper(colours: &Array2<Lab>, is_seen: impl Fn((usize, usize)) -> bool) -> Array2<bool> {
    /// Neighbouring pixels of shadowed paper differ by less than this, in Lab units.
    const SOFT: f64 = 2.5;
    /// Shadowed paper is still light and hardly coloured.
    const LEAST_LIGHTNESS: f64 = 45.0;
    const MOST_CHROMA: f64 = 12.0;
    let (rows, columns) = colours.dim();
    let is_like = |p: (usize, usize)| colours[p].l >= LEAST_LIGHTNESS && colours[p].chroma() <= MOST_CHROMA;
    // The first and the last in each line that are seen: where nothing is cut off, the picture's own edge.
    let ends = |line: &mut dyn DoubleEndedIterator<Item = (usize, usize)>| {
        let mut line = line.filter(|&p| is_seen(p));
        let first = line.next();
        [first, line.next_back().or(first)]
    };
    let across = (0..rows).flat_map(|y| ends(&mut (0..columns).map(|x| (y, x))));
    let down = (0..columns).flat_map(|x| ends(&mut (0..rows).map(|y| (y, x))));
    let edge = across.chain(down).flatten();
    let mut paper = Array2::from_elem((rows, columns), false);
    let mut queue: Vec<(usize, usize)> = edge.filter(|&p| is_like(p)).collect();
    queue.iter().for_each(|&p| paper[p] = true);
    while let Some(p) = queue.pop() {
        for next in beside(p, (rows, columns)) {
            let is_soft = |next| colours[p].distance_squared(colours[next]) <= SOFT * SOFT;
            if !paper[next] && is_soft(next) && is_like(next) {
                paper[next] = true;
                queue.push(next);
            }
        }
    }
    paper
}

/// Means of the knots that have paper; the others take what lies around them, ring by ring.
fn filled_in(mut sums: Array2<[f64; 4]>) -> Array2<[f64; 3]> {
    let (rows, columns) = sums.dim();
    for _ in 0..rows.max(columns) {
        let empty: Vec<(usize, usize)> =
            sums.indexed_iter().filter(|(_, s)| s[3] == 0.0).map(|(p, _)| p).collect();
        if empty.is_empty() || empty.len() == rows * columns {
            break;
        }
        let given = sums.clone();
        for p in empty {
            for n in beside(p, (rows, columns)).filter(|&n| given[n][3] > 0.0) {
                (0..3).for_each(|c| sums[p][c] += given[n][c] / given[n][3]);
                sums[p][3] += 1.0;
            }
        }
    }
    let mean = sums.map(|s| std::array::from_fn(|c| s[c] / s[3].max(1.0)));
    // Smoothed over its neighbours, so that a few odd pixels make no blotch.
    Array2::from_shape_fn((rows, columns), |(y, x)| {
        let near = || {
            (y.saturating_sub(1)..(y + 2).min(rows))
                .flat_map(|ny| (x.saturating_sub(1)..(x + 2).min(columns)).map(move |nx| (ny, nx)))
        };
        let count = near().count() as f64;
        std::array::from_fn(|c| {
            near()
                .map(|n: (usize, usize)| {
                    let knot: [f64; 3] = mean[n];
                    knot[c]
                })
                .sum::<f64>()
                / count
        })
    })
}

fn basis(u: f64, v: f64) -> [f64; TERMS] {
    let (x, y) = (2.0 * u - 1.0, 2.0 * v - 1.0);
    [1.0, x, y, x * x, x * y, y * y, x * x * x, x * x * y, x * y * y, y * y * y]
}

fn product(basis: &[f64; TERMS], surface: &[f64; TERMS]) -> f64 {
    basis.iter().zip(surface).map(|(b, s)| b * s).sum()
}
