//! Which column the face is in, where the outline alone does not tell: a sack on the shoulder and the head are one.

use super::columns::centred;
use super::silhouette::{Silhouette, Span};
use super::skin::FAIR;
use crate::reference::Reference;

/// The part of the figure's height, from its top, that is looked at for a face.
const BAND: f64 = 0.35;

/// Half of a face's width, in beads.
const HALF: f64 = 2.0;

/// Skin so far from where the trunk leads, in beads, has half its say: hands are farther out than faces.
const FAR: f64 = 2.5;

/// What shows less skin, in beads, shows no face.
const LEAST: f64 = 2.0;

/// The face has skin in this part of as many rows as where most of it is,
const SHOWS: f64 = 0.3;

/// ... and hair or ears beside it: a head is so many times as wide.
const HEAD: f64 = 1.15;

/// The head about a face's skin; none where no face shows.
pub(super) fn about_face(reference: &Reference, outline: &Silhouette) -> Option<Span> {
    let (above, pitch) = (outline.upright_at(outline.crown as f64), outline.pitch);
    let colours = reference.colours();
    let rows = outline.top..(outline.top + (BAND * outline.height()) as usize).min(colours.nrows());
    let is_skin = |y: usize, x: usize| outline.is_filled(y, x) && FAIR.hold(colours[(y, x)]);
    let skin: Vec<f64> = (0..colours.ncols())
        .map(|x| rows.clone().filter(|&y| is_skin(y, x)).count() as f64 / (pitch * pitch))
        .collect();
    let near = |x: f64| centred(x, 2.0 * HALF * pitch).pixels(skin.len());
    let around = |x: f64| -> f64 { skin[near(x)].iter().sum() };
    let say = |x: f64| around(x) / (1.0 + ((x - above) / (FAR * pitch)).powi(2));
    let places = (outline.left as usize..outline.right as usize).map(|x| x as f64 + 0.5);
    let best = places.max_by(|a, b| say(*a).total_cmp(&say(*b)).then(b.total_cmp(a)))?;
    if around(best) < LEAST {
        return None;
    }
    let most = skin[near(best)].iter().copied().fold(0.0, f64::max);
    let mut face = near(best).filter(|&x| skin[x] >= SHOWS * most);
    let first = face.next()?;
    let last = face.next_back().unwrap_or(first);
    let face = Span { from: first as f64, to: (last + 1) as f64 };
    let wider = (HEAD - 1.0) * face.width() / 2.0;
    Some(Span { from: face.from - wider, to: face.to + wider })
}
