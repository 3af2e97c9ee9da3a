//! Paper that fills the picture, and how grainy a picture's border is.

use ndarray::Array2;

use crate::colour::Lab;
use crate::reference::Step;
use crate::reference::ground::Ground;
use crate::reference::middle::median;

/// Whether the whole frame is paper under a lamp: its border is light and hardly coloured, and its light
/// changes from side to side and is grainy, as no flat digital ground's does.
pub(crate) fn fills_frame(colours: &Array2<Lab>) -> bool {
    const LEAST_LIGHTNESS: f64 = 50.0;
    const MOST_CHROMA: f64 = 28.0;
    /// Lightness changes at least this much along the border, in L*; and is at least so grainy.
    const CHANGES: f64 = 4.0;
    const GRAINY: f64 = 0.25;
    /// Light that falls off strongly tells a photograph with any grain at all, and then a lamp may be as warm, or dusk
    /// as dim, as this.
    const FALLS_OFF: f64 = 8.0;
    const ANY_GRAIN: f64 = 0.05;
    const WARM: f64 = 36.0;
    const DIM: f64 = 38.0;
    /// Coloured paper is paper in coloured light only where that falls off more strongly still: parchment that a
    /// computer painted darkens towards its edges as well.
    const COLOURED: f64 = 8.0;
    const FALLS_STRONGLY: f64 = 15.0;
    let ground = Ground::of_border(colours);
    let (rows, columns) = colours.dim();
    let places =
        [(0, 0), (0, columns - 1), (rows - 1, 0), (rows - 1, columns - 1), (rows / 2, 0), (0, columns / 2)];
    let seen = places.map(|p| ground.at(p));
    let (low, high) = seen.iter().fold((f64::MAX, f64::MIN), |(l, h), c| (l.min(c.l), h.max(c.l)));
    const ONE_GROUND: f64 = 0.6;
    let (change, grain) = (high - low, grain_of_border(colours));
    let is_coloured = seen.iter().any(|c| c.chroma() > COLOURED);
    let falls_off = change >= if is_coloured { FALLS_STRONGLY } else { FALLS_OFF } && grain >= ANY_GRAIN;
    let (lightness, chroma) = if falls_off { (DIM, WARM) } else { (LEAST_LIGHTNESS, MOST_CHROMA) };
    ground.agreement > ONE_GROUND
        && seen.iter().all(|c| c.l >= lightness && c.chroma() <= chroma)
        && (falls_off || (change >= CHANGES && grain >= GRAINY))
}

/// Whether a picture, told from its ground by such a step, is drawn on paper.
pub(super) fn is_drawn_on(colours: &Array2<Lab>, step: Step) -> bool {
    /// Paper is light, and has a grain that no ground filled in by a computer has, in L* at working size.
    const LIGHT: f64 = 75.0;
    const GRAIN: f64 = 0.08;
    match step {
        Step::CutOut => false,
        Step::PlainGround | Step::AsTaken => {
            let Lab { l, .. } = Ground::of_border(colours).at((0, 0));
            l > LIGHT && grain_of_border(colours) > GRAIN
        }
        Step::Sheet | Step::SheetGiven | Step::Paper => true,
    }
}

/// The middle difference of neighbouring pixels along the border, in L*.
pub(crate) fn grain_of_border(colours: &Array2<Lab>) -> f64 {
    let (rows, columns) = colours.dim();
    let along = |y: usize| (1..columns).map(move |x| (colours[(y, x)].l - colours[(y, x - 1)].l).abs());
    let down = |x: usize| (1..rows).map(move |y| (colours[(y, x)].l - colours[(y - 1, x)].l).abs());
    median(along(0).chain(along(rows - 1)).chain(down(0)).chain(down(columns - 1)).collect())
}
