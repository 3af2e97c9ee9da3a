//! The colour that a bead is asked for, from what was drawn.
//!
//! A region's colour is its densest one: outlines, shade and the paper between strokes lie elsewhere in Lab. On paper
//! marks come out paler than they are meant; who designs by eye takes a darker and stronger bead for them (the curve
//! below: the share of beads that either design has rose from 31 % to 42 % over eighteen drawings, each left out in
//! turn, by three standard errors; seven gained). What a computer cut out or filled in keeps its colours, and so does
//! skin.

use std::collections::BTreeSet;

use ndarray::Array2;

use super::resolve::Beads;
use super::scene::Scene;
use super::skin;
use crate::colour::Lab;
use crate::plan::Zone;
use crate::reference::PIXELS_PER_BEAD;
use crate::reference::Reference;
use crate::reference::mask::grown;
use crate::sample::cluster::gather;
use crate::sample::ink::find_ink;
use crate::sample::labels::{GROUND, Labels};

/// Side of a bin in which colours are counted, and how far a colour speaks for its neighbours, in Lab units.
const BIN: f64 = 2.0;
const REACH: f64 = 8.0;

/// From so many of the fullest bins the densest colour is sought, in so many steps; it moves no more after half of them.
const STARTS: usize = 32;
const STEPS: usize = 8;

/// Among strokes, what lies nearer to the paper than this, in Lab units, is paper between them, where at least so much
/// of a region does not.
const PAPER: f64 = 25.0;
const MARKS: f64 = 0.2;

/// How much of its paper's tint is taken out of strokes: who looks is used to the paper, but sees its colour too.
const TINT: f64 = 0.5;

/// A region of fewer pixels, a tenth of a bead, keeps the colour it was clustered with.
const FEW: f64 = 0.1 * PIXELS_PER_BEAD * PIXELS_PER_BEAD;

/// How a drawing's colours are brought to those that beads are asked for: what is known of them before.
pub(super) struct Aim {
    /// The face's label, and all that may be skin.
    face: Option<u8>,
    kin: BTreeSet<u8>,
    /// Whether the face's label is hardly worn on trunk and legs.
    is_bare: bool,
    on_paper: bool,
    /// The paper, where it lends strokes a tint.
    tint: Option<Lab>,
}

impl Aim {
    pub fn of(scene: &Scene) -> Self {
        let face = scene.skin();
        Self {
            face,
            kin: scene.skins(),
            is_bare: face.is_some_and(|label| is_mostly_bare(scene, label)),
            on_paper: scene.labels.stroked || scene.reference.is_on_paper(),
            tint: scene
                .labels
                .stroked
                .then(|| scene.reference.ground_colour())
                .filter(|paper| is_tinted(*paper)),
        }
    }

    /// Gives each colour as it is drawn the one that its bead is asked for; what is known by what it is stays.
    pub fn settle(&self, beads: &mut Beads) {
        for (place, cluster) in beads.scene.labels.clusters.iter_mut().enumerate() {
            let label = place as u8 + 1;
            cluster.possible.clear();
            if beads.known.contains(&label) {
                continue;
            }
            if self.face == Some(label) && self.is_bare && is_very_fair(cluster.colour) {
                cluster.colour = towards(cluster.colour, FAIR, FAIR_PART);
            } else if self.on_paper && !self.may_be_skin(label, cluster.colour) {
                cluster.colour = as_meant(self.without_tint(cluster.colour));
            }
        }
    }

    /// A mark without what its paper's tint lends it, as far as that is taken out.
    fn without_tint(&self, own: Lab) -> Lab {
        self.tint.map_or(own, |paper| towards(own, own.beside_white(paper), TINT))
    }

    fn may_be_skin(&self, label: u8, colour: Lab) -> bool {
        self.face == Some(label) || self.kin.contains(&label) || skin::LIGHT.hold(colour)
    }
}

/// The densest colour of each label's own pixels, away from lines. Fair skin is hardly drawn at all: what is seen of the
/// `face` is its paper as well.
pub(super) fn densest(labels: &mut Labels, reference: &Reference, face: Option<u8>) {
    let colours = reference.colours();
    let lines = lines_of(labels, colours);
    let paper = reference.ground_colour();
    let mut own: Vec<Vec<Lab>> = vec![Vec::new(); labels.clusters.len()];
    for ((place, label), is_line) in labels.plane.indexed_iter().zip(&lines) {
        if *label != GROUND && !is_line {
            own[usize::from(*label) - 1].push(colours[place]);
        }
    }
    for (place, (cluster, mut seen)) in labels.clusters.iter_mut().zip(own).enumerate() {
        let is_fair = face == Some(place as u8 + 1) && skin::LIGHT.hold(cluster.colour);
        if labels.stroked && !is_fair {
            let marks: Vec<Lab> =
                seen.iter().copied().filter(|c| c.distance_squared(paper) >= PAPER * PAPER).collect();
            if marks.len() as f64 >= MARKS * seen.len() as f64 {
                seen = marks;
            }
        }
        if seen.len() as f64 >= FEW {
            cluster.colour = densest_of(&seen);
        }
    }
}

/// Where an outline's lines are; among strokes of wax or pencil lines are the material.
fn lines_of(labels: &Labels, colours: &Array2<Lab>) -> Array2<bool> {
    /// A line's blur, in working pixels to each side.
    const BLUR: usize = 1;
    if labels.stroked { labels.plane.map(|_| false) } else { grown(&find_ink(colours), BLUR) }
}

/// Where colours lie densest in Lab: mean shift with a Gaussian window (Fukunaga and Hostetler, IEEE Trans. Inf. Theory
/// 21, 1975; from memory), from the densest bin on. Of at least one colour.
fn densest_of(colours: &[Lab]) -> Lab {
    let gathered = gather(colours, BIN).into_iter();
    let mut bins: Vec<(Lab, f64)> = gathered.map(|(colour, count)| (colour, count as f64)).collect();
    // The fullest first: where colours lie densest one of them is near.
    bins.sort_by(|a, b| b.1.total_cmp(&a.1));
    let says = |(bin, count): &(Lab, f64), at: Lab| {
        count * (-bin.distance_squared(at) / (2.0 * REACH * REACH)).exp()
    };
    let density = |at: Lab| bins.iter().map(|bin| says(bin, at)).sum::<f64>();
    let starts = bins.iter().take(STARTS).map(|(bin, _)| (*bin, density(*bin)));
    let first = starts.max_by(|a, b| a.1.total_cmp(&b.1)).map_or(colours[0], |(bin, _)| bin);
    (0..STEPS).fold(first, |at, _| Lab::mean(bins.iter().map(|bin| (bin.0, says(bin, at)))).unwrap_or(at))
}

/// Whether a ground is paper that lends strokes its tint; a table and a coloured cloth lend none.
fn is_tinted(paper: Lab) -> bool {
    const LIGHTNESS: f64 = 70.0;
    const CHROMA: f64 = 25.0;
    paper.l >= LIGHTNESS && paper.chroma() <= CHROMA
}

/// A mark on paper as it is meant: pale colours up to twice as strong and a little darker, strong ones and greys hardly.
fn as_meant(drawn: Lab) -> Lab {
    /// From the first chroma on a colour has a hue; from the second on it is meant in full.
    const HUE: (f64, f64) = (2.0, 6.0);
    /// What a pale colour gains of its own chroma, and the chroma around which that fades.
    const STRONGER: f64 = 1.0;
    const STRONGER_FADES: f64 = 30.0;
    /// How much darker it is meant, in L*, and the chroma around which that fades.
    const DARKER: f64 = 6.0;
    const DARKER_FADES: f64 = 60.0;
    let chroma = drawn.chroma();
    let hue = ((chroma - HUE.0) / (HUE.1 - HUE.0)).clamp(0.0, 1.0);
    let fades = |around: f64| (-(chroma / around).powi(2)).exp() * hue;
    let stronger = 1.0 + STRONGER * fades(STRONGER_FADES);
    Lab::new((drawn.l - DARKER * fades(DARKER_FADES)).max(0.0), drawn.a * stronger, drawn.b * stronger)
}

/// Fair skin as those who design by eye give it, whatever it was drawn with.
const FAIR: Lab = Lab { l: 82.0, a: 12.5, b: 18.0 };

/// How far a very fair face goes towards it.
const FAIR_PART: f64 = 0.7;

/// Whether a face is so fair that it is hardly more than its paper: pale, rosy to yellowish or without any hue.
fn is_very_fair(colour: Lab) -> bool {
    const LIGHTNESS: f64 = 78.0;
    const CHROMA: f64 = 42.0;
    const NO_HUE: f64 = 6.0;
    let chroma = colour.chroma();
    colour.l > LIGHTNESS && chroma < CHROMA && (chroma < NO_HUE || (0.0..90.0).contains(&colour.hue()))
}

fn towards(from: Lab, to: Lab, part: f64) -> Lab {
    let between = |a: f64, b: f64| a + part * (b - a);
    Lab::new(between(from.l, to.l), between(from.a, to.a), between(from.b, to.b))
}

/// Whether most beads of a label lie where skin is bare, not on the trunk and the legs.
fn is_mostly_bare(scene: &Scene, label: u8) -> bool {
    let own = scene.colours.iter().filter(|(_, own)| **own == label);
    let (all, worn) = own.fold((0_usize, 0_usize), |(all, worn), (peg, _)| {
        let is_core = scene.stretch(*peg).is_some_and(|stretch| stretch.core);
        let is_clothed = matches!(scene.zones.at(peg.0), Some((Zone::Torso | Zone::Legs, _)));
        (all + 1, worn + usize::from(is_core && is_clothed))
    });
    2 * worn <= all
}

/// Shoes as those who design by eye give them: darker than they are drawn, and hardly coloured.
pub(super) fn leather(own: Lab) -> Lab {
    const LIGHTNESS: f64 = 0.45;
    const CHROMA: f64 = 0.35;
    Lab::new(LIGHTNESS * own.l, CHROMA * own.a, CHROMA * own.b)
}

/// Eyes and lips as those who design by eye give them, whatever they were drawn with: nearly black (17 of the 22 eyes
/// designed for our sketches without glasses), a deep red (12 of the 22 mouths; 6 are a bright red).
pub(super) const EYES: Lab = Lab { l: 12.0, a: 0.0, b: -1.0 };
pub(super) const LIPS: Lab = Lab { l: 37.0, a: 54.0, b: 27.0 };

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_densest_colour_is_neither_the_mean_nor_a_shade_s() {
        let (cloth, shade) = (Lab::new(50.0, 40.0, 20.0), Lab::new(30.0, 25.0, 12.0));
        let seen: Vec<Lab> = std::iter::repeat_n(cloth, 60).chain(std::iter::repeat_n(shade, 40)).collect();
        assert!(densest_of(&seen).distance_squared(cloth) < 1.0);
    }

    #[test]
    fn on_paper_pale_colours_gain_and_greys_and_strong_ones_stay() {
        let pale = as_meant(Lab::new(70.0, 0.0, -12.0));
        assert!(pale.b < -18.0 && pale.l < 66.0, "{pale:?}");
        let grey = Lab::new(60.0, 1.0, 1.0);
        assert_eq!(as_meant(grey), grey);
        let strong = Lab::new(45.0, 70.0, 50.0);
        assert!(as_meant(strong).distance_squared(strong) < 4.0);
    }
}
