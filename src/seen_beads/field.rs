//! What lies on a sheet beside the bare paper under it: every pixel's light as a share of the paper's, and where it
//! changes.

use ndarray::Array2;

use crate::colour::{Lab, Linear, labs};
use crate::reference::FlatSheet;
use crate::reference::middle::median;

/// A share of the paper's light, channel by channel (linear sRGB): 1 is bare paper.
pub(super) type Share = [f32; 3];

/// The colour of bare paper among shares seen as Lab.
pub(super) const PAPER: Lab = Lab::new(100.0, 0.0, 0.0);

/// Most of the paper's light that is reckoned with: a gloss is brighter than paper, and how much matters to nobody.
const BRIGHTEST: f32 = 1.6;

/// Pixels asked for a middle: it is then known within a hundredth.
const ENOUGH: usize = 20_000;

/// Noise from which on edges are looked for in a smoother picture, in Lab units.
const COARSE: f64 = 2.2;

/// The sheet as shares of the paper's light, and the steps in it.
pub(super) struct Field {
    shares: Array2<Option<Share>>,
    smooth: Array2<Lab>,
    /// The steepest change across and down, in Lab units a pixel.
    steps: Array2<(f32, f32)>,
    /// How large a step must be to stand out from noise.
    least_step: f32,
    paper_grain: f64,
}

impl Field {
    pub fn of(sheet: &FlatSheet) -> Self {
        let share = |place: (usize, usize)| {
            let (seen, paper) = (sheet.seen_at(place)?, sheet.paper_at(place));
            Some(std::array::from_fn(|c| (seen[c] / paper[c].max(1e-4)).min(BRIGHTEST)))
        };
        let shares = Array2::from_shape_fn(sheet.dim(), share);
        let mut smooth = smooth(&shares);
        if noise_of(&smooth) > COARSE {
            smooth = smoother(&smooth);
        }
        let steps = Array2::from_shape_fn(smooth.dim(), |place| step(&smooth, place));
        let least_step = least_step(&steps);
        let mut field = Self { shares, smooth, steps, least_step, paper_grain: 0.0 };
        let (rows, columns) = field.dim();
        let every = (rows * columns / ENOUGH).max(1);
        field.paper_grain =
            field.grain((0..rows * columns).step_by(every).map(|at| (at / columns, at % columns)));
        field
    }

    /// Rows and columns.
    pub fn dim(&self) -> (usize, usize) {
        self.smooth.dim()
    }

    /// The share at a pixel; nothing off the sheet or out of the frame.
    pub fn share(&self, place: (usize, usize)) -> Option<Share> {
        *self.shares.get(place)?
    }

    /// The colour beside the paper's, smoothed over a pixel's neighbours.
    pub fn colour(&self, place: (usize, usize)) -> Lab {
        self.smooth[place]
    }

    /// How far a pixel is from bare paper, in Lab units.
    pub fn off_paper(&self, place: (usize, usize)) -> f64 {
        self.smooth[place].distance_squared(PAPER).sqrt()
    }

    /// The middle distance from bare paper, in Lab units: noise, since most of a sheet is bare.
    pub fn noise(&self) -> f64 {
        noise_of(&self.smooth)
    }

    /// The middle difference in L* of pixels from their neighbours' mean.
    pub fn grain(&self, places: impl Iterator<Item = (usize, usize)>) -> f64 {
        let off = places.filter_map(|place| {
            let [r, g, b] = self.share(place)?.map(f64::from);
            Some((Linear { r, g, b }.lab().l - self.smooth[place].l).abs())
        });
        median(off.collect())
    }

    /// The grain of bare paper, which most of a sheet is.
    pub fn paper_grain(&self) -> f64 {
        self.paper_grain
    }

    /// The step at a place (x, y), across and down.
    pub fn step_at(&self, (x, y): (f64, f64)) -> (f32, f32) {
        let inside = x >= 0.0 && y >= 0.0;
        let place = (y.round() as usize, x.round() as usize);
        if inside { self.steps.get(place).copied().unwrap_or((0.0, 0.0)) } else { (0.0, 0.0) }
    }

    /// Every pixel (row, column) with a step that stands out from noise, and the step.
    pub fn edges(&self) -> impl Iterator<Item = ((usize, usize), (f32, f32))> + '_ {
        self.steps.indexed_iter().map(|(place, step)| (place, *step)).filter(|(_, step)| self.is_edge(*step))
    }

    /// Whether a step stands out from noise.
    pub fn is_edge(&self, (across, down): (f32, f32)) -> bool {
        across.hypot(down) >= self.least_step
    }

    /// Every pixel within a distance of a place (x, y), with the distance.
    pub fn within(&self, (x, y): (f64, f64), radius: f64) -> impl Iterator<Item = ((usize, usize), f64)> {
        let (rows, columns) = self.dim();
        let span = |middle: f64, most: usize| {
            let low = (middle - radius).floor().max(0.0) as usize;
            low..((middle + radius).ceil().max(0.0) as usize + 1).min(most)
        };
        let across = span(x, columns);
        span(y, rows).flat_map(move |row| {
            across.clone().filter_map(move |column| {
                let far = (column as f64 - x).hypot(row as f64 - y);
                (far <= radius).then_some(((row, column), far))
            })
        })
    }
}

/// The Lab of each pixel's mean with its neighbours; what is not seen passes for paper.
fn smooth(shares: &Array2<Option<Share>>) -> Array2<Lab> {
    let (rows, columns) = shares.dim();
    let row = |y: usize| {
        let mean = (0..columns).map(|x| {
            let mut sum = [0.0_f32; 3];
            let mut count = 0.0;
            for at in (y.saturating_sub(1)..(y + 2).min(rows))
                .flat_map(|ny| (x.saturating_sub(1)..(x + 2).min(columns)).map(move |nx| (ny, nx)))
            {
                let share = shares[at].unwrap_or([1.0; 3]);
                (0..3).for_each(|c| sum[c] += share[c]);
                count += 1.0;
            }
            sum.map(|v| v / count)
        });
        labs(mean.collect::<Vec<_>>().into_iter())
    };
    let all: Vec<Lab> = (0..rows).flat_map(row).collect();
    // There are rows times columns of them.
    Array2::from_shape_vec((rows, columns), all).unwrap_or_else(|_| Array2::from_elem((rows, columns), PAPER))
}

/// The middle distance from bare paper.
fn noise_of(colours: &Array2<Lab>) -> f64 {
    let every = (colours.len() / ENOUGH).max(1);
    let off = colours.iter().step_by(every).map(|colour| colour.distance_squared(PAPER).sqrt());
    median(off.collect())
}

/// Each pixel's mean with its neighbours once more: half the noise in steps, and edges a pixel wider.
fn smoother(colours: &Array2<Lab>) -> Array2<Lab> {
    let (rows, columns) = colours.dim();
    Array2::from_shape_fn((rows, columns), |(y, x)| {
        let (across, down) =
            (x.saturating_sub(1)..(x + 2).min(columns), y.saturating_sub(1)..(y + 2).min(rows));
        let count = (across.len() * down.len()) as f64;
        let near = down.flat_map(|ny| across.clone().map(move |nx| (ny, nx))).map(|at| colours[at]);
        let (l, a, b) = near.fold((0.0, 0.0, 0.0), |(l, a, b), c| (l + c.l, a + c.a, b + c.b));
        Lab::new(l / count, a / count, b / count)
    })
}

/// The change at a pixel in the channel that changes most.
fn step(colours: &Array2<Lab>, (y, x): (usize, usize)) -> (f32, f32) {
    let (rows, columns) = colours.dim();
    let near = |dy: usize, dx: usize| colours[(dy.min(rows - 1), dx.min(columns - 1))];
    let (left, right) = (near(y, x.saturating_sub(1)), near(y, x + 1));
    let (above, below) = (near(y.saturating_sub(1), x), near(y + 1, x));
    let change = |of: fn(&Lab) -> f64| {
        (((of(&right) - of(&left)) / 2.0) as f32, ((of(&below) - of(&above)) / 2.0) as f32)
    };
    let all = [change(|c| c.l), change(|c| c.a), change(|c| c.b)];
    let size = |(across, down): (f32, f32)| across.hypot(down);
    all.into_iter().fold((0.0, 0.0), |most, one| if size(one) > size(most) { one } else { most })
}

/// Most of a sheet is bare paper, whose middle step is noise: beyond a few of those, and what the eye would see at all,
/// there is an edge.
fn least_step(steps: &Array2<(f32, f32)>) -> f32 {
    const MIDDLES: f64 = 4.0;
    const SEEN: f64 = 1.2;
    let every = (steps.len() / ENOUGH).max(1);
    let some = steps.iter().step_by(every).map(|(across, down)| f64::from(across.hypot(*down)));
    (MIDDLES * median(some.collect())).max(SEEN) as f32
}
