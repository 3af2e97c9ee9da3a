//! Beads stronger in colour than the drawing's own, where that looks dull.
//!
//! Pencil, wash and wax let the paper through and cast pale colours; beads seen from afar look paler still. Who
//! designs by eye takes a bead of the same hue and about the same lightness that is more colourful: twice as
//! much for a pale colour, hardly more for a strong one, never for skin, never for what has no hue (read off the
//! designs by eye of our own sketches). Skin of any colour is known by its place, the middle of the face: brown
//! strengthened is red.

use std::collections::BTreeSet;

use crate::colour::Lab;
use crate::sample::cluster::Possible;
use crate::sample::labels::Labels;

/// How colours gain.
struct Gain {
    /// What a pale colour gains, as a part of itself, and the chroma around which that fades.
    most: f64,
    fades_at: f64,
    /// Below the first chroma a colour has no hue to strengthen; from the second on it is strengthened fully.
    hue_from: (f64, f64),
}

/// Of filled colours.
const FILLED: Gain = Gain { most: 1.4, fades_at: 22.0, hue_from: (5.0, 12.0) };

/// Of strokes: paper shows between them, and takes hue from them with their strength.
const STROKES: Gain = Gain { most: 2.0, fades_at: 30.0, hue_from: (1.0, 4.0) };

/// Paper between strokes makes them lighter, the dark ones most: what is darker than the first lightness lies so many
/// times as far below it in a design by eye.
const PAPER_LIGHTENS: (f64, f64) = (75.0, 1.12);

/// Nothing becomes darker than ink by that.
const INK: f64 = 12.0;

impl Gain {
    fn of(&self, chroma: f64) -> f64 {
        let hue = ((chroma - self.hue_from.0) / (self.hue_from.1 - self.hue_from.0)).clamp(0.0, 1.0);
        1.0 + self.most * (-(chroma / self.fades_at).powi(2)).exp() * hue
    }
}

/// How far from the likeliest factor is looked, and in how many steps each way.
const WIDEST: f64 = 1.6;
const STEPS: i32 = 4;

/// What the farthest factor counts beside a bead's distance, in CIEDE2000.
const COST: f64 = 4.0;

/// Strengthens the colours of a drawing; `skin` is the label of the face, `kin` all that may be skin.
pub(super) fn strengthen(labels: &mut Labels, skin: Option<u8>, kin: &BTreeSet<u8>) {
    let stroked = labels.stroked;
    let gain = if labels.stroked { STROKES } else { FILLED };
    for (place, cluster) in labels.clusters.iter_mut().enumerate() {
        let is_face = skin.is_some_and(|skin| usize::from(skin) == place + 1);
        let own = match cluster.colour {
            fair if is_face && may_be_fair_face(fair) => halfway(fair, FAIR),
            own => own,
        };
        let most = gain.of(own.a.hypot(own.b));
        let is_skin = is_face || kin.contains(&(place as u8 + 1));
        let most = match is_pale_skin(own) {
            true => most.min(SKIN),
            false if is_skin => 1.0,
            false => most,
        };
        let own = if stroked && !is_skin && !is_pale_skin(own) { without_paper(own) } else { own };
        let widest = if is_skin { SKIN } else { WIDEST };
        cluster.colour = stronger(own, most);
        cluster.possible = (-STEPS..=STEPS)
            .map(|step| {
                let off = f64::from(step) / f64::from(STEPS);
                Possible { colour: stronger(own, most * widest.powf(off)), cost: COST * off.abs() }
            })
            .collect();
    }
}

/// A colour of strokes without what the paper between them lends it.
fn without_paper(own: Lab) -> Lab {
    let (below, times) = PAPER_LIGHTENS;
    let darker = below + times * (own.l - below);
    Lab::new(darker.max(INK).min(own.l), own.a, own.b)
}

/// Between a drawing's skin and a design's.
fn halfway(one: Lab, other: Lab) -> Lab {
    Lab::new(f64::midpoint(one.l, other.l), f64::midpoint(one.a, other.a), f64::midpoint(one.b, other.b))
}

/// Lips as those who design by eye give them: redder than they are drawn.
pub(super) fn lips(own: Lab) -> Lab {
    const FACTOR: f64 = 1.5;
    stronger(own, FACTOR)
}

/// Shoes as those who design by eye give them: darker than they are drawn, and hardly coloured.
pub(super) fn leather(own: Lab) -> Lab {
    const LIGHTNESS: f64 = 0.45;
    const CHROMA: f64 = 0.35;
    Lab::new(LIGHTNESS * own.l, CHROMA * own.a, CHROMA * own.b)
}

/// Eyes as those who design by eye give them: nearly black, with a breath of their hue (17 of the 22 eyes designed
/// for our sketches without glasses).
pub(super) fn eyes(own: Lab) -> Lab {
    const DARK: f64 = 14.0;
    const HUE: f64 = 0.5;
    Lab::new(own.l.min(DARK), HUE * own.a, HUE * own.b)
}

/// Buttons as those who design by eye give them: more colourful than they are drawn, for they are blurred with their
/// garment.
pub(super) fn metal(own: Lab) -> Lab {
    const FACTOR: f64 = 1.3;
    stronger(own, FACTOR)
}

/// Fair skin as those who design by eye give it, whatever pencil or wax it was drawn with.
const FAIR: Lab = Lab { l: 82.0, a: 12.5, b: 18.0 };

/// Skin is hardly strengthened: it would turn to orange.
const SKIN: f64 = 1.15;

fn stronger(colour: Lab, factor: f64) -> Lab {
    /// No bead is more colourful than this.
    const MOST_CHROMA: f64 = 100.0;
    let chroma = colour.a.hypot(colour.b).max(1e-9);
    let factor = factor.min((MOST_CHROMA / chroma).max(1.0));
    Lab::new(colour.l, colour.a * factor, colour.b * factor)
}

/// Whether a colour is that of a face in its light or its shade: of the same hue, as strong, and not as strong as cloth
/// that is dyed.
pub(super) fn is_kin(face: Lab, other: Lab) -> bool {
    /// Degrees of hue, and how many times as strong.
    const HUE: f64 = 14.0;
    const TIMES: f64 = 1.5;
    const DYED: f64 = 45.0;
    let chroma = |c: Lab| c.a.hypot(c.b).max(1e-9);
    let hue = |c: Lab| c.b.atan2(c.a).to_degrees();
    let (one, two) = (chroma(face), chroma(other));
    (hue(face) - hue(other)).abs() <= HUE && one.max(two) <= (TIMES * one.min(two)).min(DYED)
}

/// Whether a face may be fair: rosy too, and nearly white where strokes are faint.
fn may_be_fair_face(colour: Lab) -> bool {
    /// From red to yellow.
    const HUES: (f64, f64) = (0.0, 90.0);
    is_pale(colour) && (HUES.0..HUES.1).contains(&colour.b.atan2(colour.a).to_degrees())
}

/// Whether a colour may be fair to tan skin: between red and yellow, light, not strong.
fn is_pale_skin(colour: Lab) -> bool {
    const HUES: (f64, f64) = (25.0, 80.0);
    is_pale(colour) && (HUES.0..HUES.1).contains(&colour.b.atan2(colour.a).to_degrees())
}

/// Whether a colour is as light as fair to tan skin, and no stronger.
fn is_pale(colour: Lab) -> bool {
    const LIGHTNESS: f64 = 60.0;
    const CHROMA: f64 = 42.0;
    colour.l > LIGHTNESS && colour.chroma() < CHROMA
}
