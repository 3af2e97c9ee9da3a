//! Which pixels are the figure, which are ground.

use std::ops::Range;

use ndarray::Array2;

use crate::colour::Lab;
use crate::reference::clutter::{LeftOut, faint_marks};
use crate::reference::frames;
use crate::reference::ground::Ground;
use crate::reference::kept::{the_figure, without_specks};
use crate::reference::mask::{Piece, edge_of, outside_of, spans};
pub(crate) use crate::reference::mask::{beside, pieces};
use crate::reference::most::most_around;
use crate::reference::pale_lines;
use crate::reference::paper::grain_of_border;
use crate::reference::rules::{is_ruled, pale_rules};
use crate::reference::said::{self, Named};

/// What a pixel of the reference shows.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Cover {
    /// The ground outside the figure.
    Ground,
    /// Ground seen through the figure: between the legs, under an arm.
    Gap,
    /// The figure.
    Subject,
}

/// Opacity from which a pixel belongs to a cut-out.
const OPAQUE: f32 = 0.5;

/// A picture is a cut-out when at least this share of it is clear: less is a nick or a rounded corner.
const CLEAR: f64 = 0.02;

/// A subject covers at least this share of the picture, else it is a speck.
const LEAST_SUBJECT: f64 = 0.0005;

/// Whether the picture's own transparency cuts the figure out.
pub(crate) fn is_cut_out(alpha: &Array2<f32>) -> bool {
    let clear = alpha.iter().filter(|&&a| a < OPAQUE).count();
    clear as f64 >= CLEAR * alpha.len() as f64
}

/// What is opaque.
pub(super) fn solid(alpha: &Array2<f32>) -> Array2<bool> {
    alpha.map(|&a| a >= OPAQUE)
}

/// The figure of a cut-out: what is opaque, without specks and what may not belong to it.
pub(super) fn by_alpha(alpha: &Array2<f32>, lets: &dyn Fn(&Piece) -> bool) -> Array2<Cover> {
    let solid = solid(alpha);
    let mut pieces = pieces(&solid);
    pieces.retain(lets);
    let kept = without_specks(&solid, &pieces);
    let outside = outside_of(&kept);
    Array2::from_shape_fn(alpha.dim(), |p| match (kept[p], outside[p]) {
        (true, _) => Cover::Subject,
        (false, true) => Cover::Ground,
        (false, false) => Cover::Gap,
    })
}

/// A figure told from its ground.
pub(super) struct OnGround {
    pub cover: Array2<Cover>,
    /// Whether the page's rules were taken out.
    pub ruled: bool,
    /// A pixel of each enclosed area whose being cloth or ground is only likely.
    pub likely: Vec<(usize, usize)>,
    /// Whether another piece of like size was left out.
    pub several: bool,
    /// Which of the maker's answers, by their place, met no area, and what lies there.
    pub unmet: Vec<(usize, Named)>,
    /// The areas that the maker spoke of.
    pub said: Vec<(Piece, Enclosed)>,
    /// What was found on the page that is no part of the figure.
    pub left_out: Vec<LeftOut>,
    /// Everything that differs from the ground, the figure or not.
    pub differs: Array2<bool>,
}

/// What is known when a figure is told from its ground.
pub(super) struct Known<'a> {
    /// How many beads high the figure is to be: enclosed ground smaller than a part of a bead is a fill that missed its
    /// line, not a gap.
    pub rows: usize,
    /// How many pixels here come of one of the picture file's.
    pub softness: f64,
    /// Whether the page is ruled, once that is known.
    pub ruled: Option<bool>,
    /// What the maker said of the enclosed area around a pixel.
    pub answers: &'a [((usize, usize), Enclosed)],
    /// Whether a piece may belong to the figure, as far as the look from afar tells.
    pub lets: &'a dyn Fn(&Piece) -> bool,
}

/// From this many working pixels to one of the file's on, edges are as soft as the file's pixels are large.
const STRETCHED: f64 = 1.5;

/// How far a small picture's colours bleed over an edge, in its own pixels: its blur, and JPEG's coarser
/// chroma (every second pixel).
const BLEED: f64 = 2.5;

/// The figure on a plain or softly shaded ground.
pub(super) fn on_ground(colours: &Array2<Lab>, ground: &Ground, known: &Known) -> OnGround {
    let &Known { rows, softness, ruled, answers, lets } = known;
    let distances = ground.distances(colours);
    let mut differs = differing(&distances, ground.bound(), softness);
    let mut is_page_ruled = false;
    if softness <= STRETCHED {
        if grain_of_border(colours) <= CLEAN {
            take_out_shadow(&mut differs, colours, ground);
        }
        let pale = pale_rules(&distances, ground.bound(), colours.nrows() as f64 / rows as f64);
        is_page_ruled = ruled.unwrap_or_else(|| is_ruled(&pale));
        if is_page_ruled {
            differs.zip_mut_with(&pale, |differs, pale| *differs &= !pale);
        }
    }
    let mut left_out = Vec::new();
    if softness <= STRETCHED
        && let Some(faint) = faint_marks((colours, ground), &distances, &differs, rows)
    {
        differs.zip_mut_with(&faint.mask, |differs, faint| *differs &= !faint);
        left_out = faint.found;
    }
    if softness <= STRETCHED
        && let Some(joined) =
            pale_lines::joined(&differs, (colours, ground), colours.nrows() as f64 / rows as f64)
    {
        differs = joined;
    }
    let (kept, height, several) = the_figure(&differs, rows, lets);
    let outside = said::outside_but_for_breaks(&kept, height as f64 / rows as f64);
    let cover = outside.map(|out| if *out { Cover::Ground } else { Cover::Subject });
    let enclosed = Array2::from_shape_fn(colours.dim(), |p| !kept[p] && !outside[p]);
    let body = Body {
        colours,
        ground,
        outside: &outside,
        enclosed: &enclosed,
        kept: &kept,
        bead: height as f64 / rows as f64,
        top: extent_of(&kept).map_or(0.0, |(top, ..)| top as f64),
        height: height as f64,
        axis: axis_of(&kept),
    };
    let none = OnGround {
        cover,
        ruled: is_page_ruled,
        likely: Vec::new(),
        several,
        unmet: Vec::new(),
        said: Vec::new(),
        left_out,
        differs,
    };
    with_gaps(none, &body, answers)
}

/// Which pixels differ from the ground.
fn differing(distances: &Array2<f64>, bound: f64, softness: f64) -> Array2<bool> {
    if softness <= STRETCHED {
        return distances.map(|d| *d > bound);
    }
    // A soft edge lies where half of the way to the ground is gone; that is asked only close to the
    // ground, or a pale hand beside a dark coat would be taken for the coat's own edge.
    let reach = (BLEED * softness).round() as usize;
    let nearby = most_around(distances, reach);
    let by_ground = most_around(&distances.map(|d| if *d <= bound { 1.0 } else { 0.0 }), reach);
    Array2::from_shape_fn(distances.dim(), |p| {
        let least = if by_ground[p] > 0.0 { bound.max(0.5 * nearby[p]) } else { bound };
        distances[p] > least
    })
}

/// Takes enclosed areas that are ground out of the figure, as the maker said or as they are judged.
fn with_gaps(mut told: OnGround, body: &Body, answers: &[((usize, usize), Enclosed)]) -> OnGround {
    let mut answered = Vec::new();
    let reached = outside_of(body.kept);
    for piece in pieces(body.enclosed) {
        let answer = answers.iter().position(|(place, _)| piece.contains(place));
        let is_open = piece.iter().any(|&p| reached[p]);
        let judged = || if is_open { judge_open(&piece, body) } else { judge(&piece, body) };
        let (kind, is_likely) = answer.map_or_else(judged, |at| (answers[at].1, false));
        answered.extend(answer);
        if kind == Enclosed::Gap {
            // What a break in the outline opens is ground like any other.
            let gap = if is_open { Cover::Ground } else { Cover::Gap };
            piece.iter().for_each(|&p| told.cover[p] = gap);
        }
        if is_likely {
            told.likely.push(piece[piece.len() / 2]);
        }
        if answer.is_some() {
            told.said.push((piece, kind));
        }
    }
    for (at, &(place, kind)) in answers.iter().enumerate().filter(|(at, _)| !answered.contains(at)) {
        match (said::around(place, body.kept, body.bead), kind) {
            (Named::Shut(piece), Enclosed::Cloth) => {
                piece.iter().for_each(|&p| told.cover[p] = Cover::Subject);
                told.said.push((piece, kind));
            }
            (Named::InFigure, Enclosed::Cloth) => told.said.push((vec![place], kind)),
            // What nearly shut in areas are without a word.
            (Named::Shut(_), Enclosed::Gap) => {}
            (unmet, _) => told.unmet.push((at, unmet)),
        }
    }
    told
}

/// Neighbouring pixels of a digital ground differ by less than this, in L*; on grainy paper, pale strokes
/// begin as softly as shadows do.
const CLEAN: f64 = 0.12;

/// Gives back to the ground the shadow a figure throws on it: the ground's own hue, only darker, and reached
/// from the open ground without a hard edge.
fn take_out_shadow(differs: &mut Array2<bool>, colours: &Array2<Lab>, ground: &Ground) {
    /// What a shadow leaves of the ground's light.
    const LEAVES: std::ops::Range<f64> = 0.25..0.99;
    /// All channels fall alike within this part.
    const ALIKE: f64 = 0.12;
    /// Neighbouring pixels in a shadow's edge differ by no more than this, in Lab units; a drawn edge does.
    const SOFT: f64 = 7.0;
    /// A shadow lies about the feet: in this lowest part of all that differs from the ground.
    const LOWEST: f64 = 0.25;
    let Some((top, bottom, ..)) = extent_of(differs) else { return };
    let from = bottom as f64 - LOWEST * (bottom - top) as f64;
    let is_dimmed = |p: (usize, usize)| {
        if (p.0 as f64) < from {
            return false;
        }
        let (seen, lit) = (colours[p].linear(), ground.at(p).linear());
        let ratios = [seen.r / lit.r.max(1e-4), seen.g / lit.g.max(1e-4), seen.b / lit.b.max(1e-4)];
        let (low, high) = ratios.iter().fold((f64::MAX, f64::MIN), |(l, h), r| (l.min(*r), h.max(*r)));
        LEAVES.contains(&low) && LEAVES.contains(&high) && high - low <= ALIKE * high
    };
    // Soft to every side: along a smoothed outline of plain grey each pixel is like the next, but not across it.
    let is_soft = |p: (usize, usize)| {
        beside(p, colours.dim()).all(|next| colours[p].distance_squared(colours[next]) <= SOFT * SOFT)
    };
    let mut queue: Vec<(usize, usize)> = edge_of(differs, false);
    let mut shadow = Array2::from_elem(differs.dim(), false);
    while let Some(p) = queue.pop() {
        for next in beside(p, colours.dim()) {
            if differs[next] && !shadow[next] && is_dimmed(next) && is_soft(next) {
                shadow[next] = true;
                queue.push(next);
            }
        }
    }
    // A shadow lies flat; what is taller than it is wide is a leg in grey pencil.
    for piece in pieces(&shadow).into_iter().filter(|piece| is_flat(piece)) {
        piece.into_iter().for_each(|p| differs[p] = false);
    }
}

/// Whether some pixels reach at least as far across as they are high.
fn is_flat(piece: &[(usize, usize)]) -> bool {
    let (down, across) = spans(piece);
    down.len() <= across.len()
}

/// What an enclosed area in the ground's own colour is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Enclosed {
    /// Ground seen through the figure.
    Gap,
    /// Cloth, or whatever else of the figure is as pale as the ground.
    Cloth,
}

/// The figure as far as it is known when enclosed areas are judged.
struct Body<'a> {
    colours: &'a Array2<Lab>,
    ground: &'a Ground,
    outside: &'a Array2<bool>,
    enclosed: &'a Array2<bool>,
    kept: &'a Array2<bool>,
    /// Side of a bead in pixels.
    bead: f64,
    /// First row, and rows.
    top: f64,
    height: f64,
    /// The column the figure stands on.
    axis: f64,
}

/// Whether enclosed ground-coloured pixels are ground seen through the figure, and whether that is only
/// likely.
///
/// White cloth inside an outline differs from the white paper beside it a little, everywhere and in one
/// direction, so the mean over the piece tells what no pixel can. Where it does not, the outline does: cloth
/// is parted from the open ground by a line of ink, a gap by a limb. Where that leaves it open, the body does:
/// a face and a chest are never holes, between legs and under an arm there is ground. A pole held away from the body is
/// as thin as a line of ink, but it goes on beyond what it shuts in.
fn judge(piece: &Piece, body: &Body) -> (Enclosed, bool) {
    /// Least part of a bead's area that can be a gap.
    const LEAST_GAP: f64 = 0.3;
    /// From this mean difference on it is cloth, in Lab units; on a noisy ground, from half its noise on.
    const CLOTH: f64 = 0.8;
    /// An area is outlined where this much of its rim has the open ground within an ink line's thickness.
    const OUTLINED: f64 = 0.2;
    /// A small opening is more likely ground than a small piece of bare cloth.
    const SMALL: f64 = 1.2;
    let Body { colours, ground, outside, bead, .. } = *body;
    if (piece.len() as f64) < LEAST_GAP * bead * bead {
        return (Enclosed::Cloth, false);
    }
    let Some(inside) = mean_offset(piece.iter().copied(), colours, ground) else {
        return (Enclosed::Cloth, false);
    };
    let nearby = around(piece, colours.dim(), bead).filter(|&p| outside[p]);
    let beside = mean_offset(nearby, colours, ground).unwrap_or([0.0; 3]);
    let apart = (0..3).map(|i| (inside[i] - beside[i]).powi(2)).sum::<f64>().sqrt();
    if apart >= CLOTH.max(ground.noise / 2.0) {
        return (Enclosed::Cloth, false);
    }
    if outlined_share(piece, body) >= OUTLINED {
        let is_framed = frames::is_framed(piece, (body.kept, outside), bead);
        return (if is_framed { Enclosed::Gap } else { Enclosed::Cloth }, true);
    }
    let count = piece.len() as f64;
    let middle = piece.iter().fold((0.0, 0.0), |m, p| (m.0 + p.0 as f64 / count, m.1 + p.1 as f64 / count));
    /// A face and a chest lie in the upper part of the body and on its axis.
    const UPPER: f64 = 0.6;
    const ON_AXIS: f64 = 1.5;
    let upper = (middle.0 - body.top) / body.height < UPPER;
    let is_chest = upper && (middle.1 - body.axis).abs() < ON_AXIS * bead && count > SMALL * bead * bead;
    if is_chest { (Enclosed::Cloth, true) } else { (Enclosed::Gap, count > SMALL * bead * bead) }
}

/// The same of an area that a break in its outline opens: cloth only where most of its rim is a line of ink with the open
/// ground beyond, as a garment's is; a limb, a string and a rope leave it ground, and nothing is asked.
fn judge_open(piece: &Piece, body: &Body) -> (Enclosed, bool) {
    const OUTLINED: f64 = 0.5;
    let is_cloth = outlined_share(piece, body) >= OUTLINED
        && !frames::is_framed(piece, (body.kept, body.outside), body.bead);
    if is_cloth { (Enclosed::Cloth, true) } else { (Enclosed::Gap, false) }
}

/// The share of a piece's rim that has the open ground within the thickness of an ink line.
fn outlined_share(piece: &Piece, body: &Body) -> f64 {
    /// The thickest ink line with its soft edges, in beads; a limb is a bead.
    const LINE: f64 = 0.45;
    let reach = (LINE * body.bead).round() as isize;
    let dim = body.colours.dim();
    let is_open = |y: isize, x: isize| {
        usize::try_from(y)
            .ok()
            .zip(usize::try_from(x).ok())
            .is_some_and(|p| body.outside.get(p) == Some(&true))
    };
    let looks = [(0, 1), (0, -1), (1, 0), (-1, 0)];
    let (mut rim, mut open) = (0_usize, 0_usize);
    for &p in piece {
        // Enclosed pixels beside one another are of one piece.
        if beside(p, dim).all(|n| body.enclosed[n]) {
            continue;
        }
        rim += 1;
        let sees = |(dy, dx): &(isize, isize)| {
            (1..=reach).any(|s| is_open(p.0 as isize + dy * s, p.1 as isize + dx * s))
        };
        open += usize::from(looks.iter().any(sees));
    }
    open as f64 / rim.max(1) as f64
}

/// The column half of the figure's pixels lie left of.
fn axis_of(kept: &Array2<bool>) -> f64 {
    super::mask::axis_of(kept).unwrap_or(0) as f64
}

/// How far pixels lie from the ground on average, channel by channel; nothing of no pixels.
fn mean_offset(
    pixels: impl Iterator<Item = (usize, usize)>,
    colours: &Array2<Lab>,
    ground: &Ground,
) -> Option<[f64; 3]> {
    let (mut sum, mut count) = ([0.0; 3], 0.0);
    for p in pixels {
        let (seen, there) = (colours[p], ground.at(p));
        sum[0] += seen.l - there.l;
        sum[1] += seen.a - there.a;
        sum[2] += seen.b - there.b;
        count += 1.0;
    }
    (count > 0.0).then(|| sum.map(|s| s / count))
}

/// The pixels of a box some beads larger than a piece.
fn around(
    piece: &[(usize, usize)],
    (rows, columns): (usize, usize),
    bead: f64,
) -> impl Iterator<Item = (usize, usize)> {
    /// Near enough to lie in the same light, far enough to see past an arm or an outline.
    const BEADS: f64 = 4.0;
    let reach = (BEADS * bead) as usize;
    let grown =
        |span: Range<usize>, most: usize| span.start.saturating_sub(reach)..(span.end + reach).min(most);
    let (down, across) = spans(piece);
    let (ys, xs) = (grown(down, rows), grown(across, columns));
    ys.flat_map(move |y| xs.clone().map(move |x| (y, x)))
}

/// Whether there is enough of a subject to draft from.
pub(crate) fn is_plausible(cover: &Array2<Cover>) -> bool {
    let subject = cover.iter().filter(|&&c| c == Cover::Subject).count();
    subject as f64 >= LEAST_SUBJECT * cover.len() as f64 && subject > 0
}

/// The rows and columns the subject spans: first row, past the last row, first column, past the last.
pub(crate) fn extent(cover: &Array2<Cover>) -> Option<(usize, usize, usize, usize)> {
    extent_of(&cover.map(|c| *c == Cover::Subject))
}

pub(crate) fn extent_of(mask: &Array2<bool>) -> Option<(usize, usize, usize, usize)> {
    mask.indexed_iter().filter(|(_, set)| **set).map(|(p, _)| p).fold(None, |extent, (y, x)| {
        let (top, bottom, left, right) = extent.unwrap_or((y, y + 1, x, x + 1));
        Some((top.min(y), bottom.max(y + 1), left.min(x), right.max(x + 1)))
    })
}
