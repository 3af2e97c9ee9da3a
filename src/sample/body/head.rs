//! Which column the face is in, where the outline alone does not tell: a sack on the shoulder and the head are one.

use super::silhouette::Silhouette;
use super::skin::may_be_fair;
use crate::reference::Reference;

/// The part of the figure's height, from its top, that is looked at for a face.
const BAND: f64 = 0.35;

/// Half of a face's width, in beads.
const HALF: f64 = 2.0;

/// Skin so far from where the trunk leads, in beads, has half its say: hands are farther out than faces.
const FAR: f64 = 2.5;

/// What shows less skin, in beads, shows no face.
const LEAST: f64 = 2.0;

/// The face's column: where most skin lies in the upper part of the figure, else where the trunk leads.
pub(super) fn face_column(reference: &Reference, outline: &Silhouette) -> f64 {
    let (above, pitch) = (outline.upright_at(outline.crown as f64), outline.pitch);
    let colours = reference.colours();
    let rows = outline.top..(outline.top + (BAND * outline.height()) as usize).min(colours.nrows());
    let is_skin = |y: usize, x: usize| outline.is_filled(y, x) && may_be_fair(colours[(y, x)]);
    let skin: Vec<f64> = (0..colours.ncols())
        .map(|x| rows.clone().filter(|&y| is_skin(y, x)).count() as f64 / (pitch * pitch))
        .collect();
    let around = |x: f64| -> f64 {
        let clamp = |v: f64| (v.max(0.0) as usize).min(skin.len());
        skin[clamp(x - HALF * pitch)..clamp(x + HALF * pitch)].iter().sum()
    };
    let say = |x: f64| around(x) / (1.0 + ((x - above) / (FAR * pitch)).powi(2));
    let places = (outline.left as usize..outline.right as usize).map(|x| x as f64 + 0.5);
    let best = places.max_by(|a, b| say(*a).total_cmp(&say(*b)).then(b.total_cmp(a))).unwrap_or(above);
    if around(best) < LEAST { above } else { best }
}
