//! Whether the sheet in a photograph was found: the corners that were told beside the true ones.

/// Four corners in pixels, clockwise.
pub type Quad = [(f64, f64); 4];

/// How near what was told of a sheet came to it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct SheetScore {
    /// Whether it counts as found.
    pub found: bool,
    /// How far the corners that the frame shows were off on the mean, as a share of the sheet's longer side; none
    /// where no sheet was told or the frame shows no corner.
    pub off: Option<f64>,
}

/// Judges what was told of a sheet in a picture of this width and height; none where the frame shows no side of the
/// sheet, so that there is nothing to find.
///
/// A sheet that the frame shows whole counts as found where its corners are off by at most 3 % of its longer side on
/// the mean. Of one that the frame cuts, the corners in the frame must be as near, and the parts of both
/// quadrilaterals in the frame must have at least 95 % of their common area in common: a side whose end is out of
/// sight is judged by where it runs.
pub fn sheet_score(truth: Quad, told: Option<Quad>, (width, height): (u32, u32)) -> Option<SheetScore> {
    /// How far corners may be off, as a share of the longer side.
    const NEAR: f64 = 0.03;
    /// How much of their common area the visible parts must share.
    const SHARED: f64 = 0.95;
    /// A sheet that fills this much of the frame has no side in view.
    const ALL: f64 = 0.999;
    let (wide, high) = (f64::from(width), f64::from(height));
    let frame = [(0.0, 0.0), (wide, 0.0), (wide, high), (0.0, high)];
    let seen = clipped(&truth, &frame);
    if area(&seen) >= ALL * wide * high {
        return None;
    }
    let Some(told) = told else { return Some(SheetScore { found: false, off: None }) };
    let inside = |(x, y): (f64, f64)| x >= 0.0 && y >= 0.0 && x <= wide && y <= high;
    let shown: Vec<usize> = (0..4).filter(|&i| inside(truth[i])).collect();
    let off = corners_off(&truth, &told, &shown);
    let near = off.is_none_or(|off| off <= NEAR);
    let agrees = shown.len() == 4 || {
        let told = clipped(&told, &frame);
        let common = area(&clipped(&seen, &told));
        common >= SHARED * (area(&seen) + area(&told) - common)
    };
    Some(SheetScore { found: near && agrees, off })
}

/// The mean distance of some corners, whichever of the told ones comes first, in shares of the longer side.
fn corners_off(truth: &Quad, told: &Quad, shown: &[usize]) -> Option<f64> {
    if shown.is_empty() {
        return None;
    }
    let away = |a: (f64, f64), b: (f64, f64)| (a.0 - b.0).hypot(a.1 - b.1);
    let longer = (0..4).map(|i| away(truth[i], truth[(i + 1) % 4])).fold(f64::MIN_POSITIVE, f64::max);
    let turned = |by: usize| shown.iter().map(|&i| away(truth[i], told[(i + by) % 4])).sum::<f64>();
    let least = (0..4).map(turned).fold(f64::INFINITY, f64::min);
    Some(least / shown.len() as f64 / longer)
}

/// The part of a polygon inside a convex one, both clockwise on the screen (Sutherland and Hodgman, 1974).
fn clipped(polygon: &[(f64, f64)], by: &[(f64, f64)]) -> Vec<(f64, f64)> {
    let mut left = polygon.to_vec();
    for (i, &from) in by.iter().enumerate() {
        let to = by[(i + 1) % by.len()];
        let inside = |p: (f64, f64)| (to.0 - from.0) * (p.1 - from.1) - (to.1 - from.1) * (p.0 - from.0);
        let mut kept = Vec::with_capacity(left.len() + 1);
        for (k, &here) in left.iter().enumerate() {
            let next = left[(k + 1) % left.len()];
            let (at, then) = (inside(here), inside(next));
            if at >= 0.0 {
                kept.push(here);
            }
            if (at >= 0.0) != (then >= 0.0) {
                let part = at / (at - then);
                kept.push((here.0 + part * (next.0 - here.0), here.1 + part * (next.1 - here.1)));
            }
        }
        left = kept;
    }
    left
}

/// The area of a polygon, whichever way round.
fn area(polygon: &[(f64, f64)]) -> f64 {
    let twice: f64 = polygon
        .iter()
        .zip(polygon.iter().cycle().skip(1))
        .map(|(here, next)| here.0 * next.1 - next.0 * here.1)
        .sum();
    twice.abs() / 2.0
}

/// Some photographs of sheets summed up.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Sheets {
    /// How many have a side in view.
    pub drawn: usize,
    /// How many of them were found.
    pub found: usize,
    /// How far the corners of those found are off on the mean, as a share of the sheet's longer side; none without one.
    pub off: Option<f64>,
}

impl Sheets {
    /// Sums up; none of no sheets.
    pub fn of(scores: &[SheetScore]) -> Option<Self> {
        let found: Vec<&SheetScore> = scores.iter().filter(|score| score.found).collect();
        let off: Vec<f64> = found.iter().filter_map(|score| score.off).collect();
        let mean = (!off.is_empty()).then(|| off.iter().sum::<f64>() / off.len() as f64);
        (!scores.is_empty()).then_some(Self { drawn: scores.len(), found: found.len(), off: mean })
    }
}
