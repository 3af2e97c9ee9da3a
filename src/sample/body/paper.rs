//! Strokes on tinted paper: paper shines through them, so that its tint is in every colour.
//!
//! On cream paper a slate blue is grey and a grey is brown. Who looks is used to the paper and sees them as on white.
//! A painting and an area filled in on a computer cover their ground; they keep their colours.

use crate::colour::Lab;
use crate::reference::ground::middle_colour;
use crate::reference::{Cover, Reference};
use crate::sample::labels::Labels;

/// Paper is at least so light and at most so colourful; what is not, a table or a cloth, gives strokes no tint.
const LIGHTNESS: f64 = 70.0;
const CHROMA: f64 = 25.0;

/// Takes the paper's tint out of strokes.
pub(super) fn take_out_tint(labels: &mut Labels, reference: &Reference) {
    if !labels.stroked {
        return;
    }
    let ground =
        reference.colours().iter().zip(reference.cover()).filter(|(_, cover)| **cover != Cover::Subject);
    let ground: Vec<Lab> = ground.map(|(colour, _)| *colour).collect();
    let paper = middle_colour(&ground);
    if ground.is_empty() || paper.l < LIGHTNESS || paper.chroma() > CHROMA {
        return;
    }
    labels.clusters.iter_mut().for_each(|cluster| cluster.colour = cluster.colour.beside_white(paper));
}
