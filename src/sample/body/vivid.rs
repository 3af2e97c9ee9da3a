//! Beads stronger in colour than the drawing's own, where that looks dull.
//!
//! Pencil, wash and wax let the paper through and cast pale colours; beads seen from afar look paler still. Who
//! designs by eye takes a bead of the same hue and about the same lightness that is more colourful: twice as
//! much for a pale colour, hardly more for a strong one, never for skin, never for what has no hue (read off the
//! designs by eye of our own sketches). Skin of any colour is known by its place, the middle of the face: brown
//! strengthened is red.

use crate::colour::Lab;
use crate::sample::cluster::Possible;
use crate::sample::labels::Labels;

/// How much a pale colour gains, as a part of itself, and the chroma around which that fades.
const GAIN: f64 = 1.4;
const FADES_AT: f64 = 22.0;

/// Below the first chroma a colour has no hue to strengthen; from the second on it is strengthened fully.
const HUE_FROM: (f64, f64) = (3.0, 8.0);

/// How far from the likeliest factor is looked, and in how many steps each way.
const WIDEST: f64 = 1.6;
const STEPS: i32 = 4;

/// What the farthest factor counts beside a bead's distance, in CIEDE2000.
const COST: f64 = 4.0;

/// Strengthens the colours of a drawing; `skin` is the label of the face.
pub(super) fn strengthen(labels: &mut Labels, skin: Option<u8>) {
    for (place, cluster) in labels.clusters.iter_mut().enumerate() {
        let is_face = skin.is_some_and(|skin| usize::from(skin) == place + 1);
        let own = cluster.colour;
        let chroma = own.a.hypot(own.b);
        let hue = ((chroma - HUE_FROM.0) / (HUE_FROM.1 - HUE_FROM.0)).clamp(0.0, 1.0);
        let most = 1.0 + GAIN * (-(chroma / FADES_AT).powi(2)).exp() * hue;
        let most = match is_pale_skin(own) {
            true => most.min(SKIN),
            false if is_face => 1.0,
            false => most,
        };
        let widest = if is_face { SKIN } else { WIDEST };
        cluster.colour = stronger(own, most);
        cluster.possible = (-STEPS..=STEPS)
            .map(|step| {
                let off = f64::from(step) / f64::from(STEPS);
                Possible { colour: stronger(own, most * widest.powf(off)), cost: COST * off.abs() }
            })
            .collect();
    }
}

/// Skin is hardly strengthened: it would turn to orange.
const SKIN: f64 = 1.15;

fn stronger(colour: Lab, factor: f64) -> Lab {
    /// No bead is more colourful than this.
    const MOST_CHROMA: f64 = 100.0;
    let chroma = colour.a.hypot(colour.b).max(1e-9);
    let factor = factor.min((MOST_CHROMA / chroma).max(1.0));
    Lab::new(colour.l, colour.a * factor, colour.b * factor)
}

/// Whether a colour may be fair to tan skin: between red and yellow, light, not strong.
fn is_pale_skin(colour: Lab) -> bool {
    const LIGHTNESS: f64 = 60.0;
    const CHROMA: f64 = 42.0;
    const HUES: (f64, f64) = (25.0, 80.0);
    let hue = colour.b.atan2(colour.a).to_degrees();
    colour.l > LIGHTNESS && colour.a.hypot(colour.b) < CHROMA && (HUES.0..HUES.1).contains(&hue)
}
