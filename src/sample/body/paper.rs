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

/// What is drawn in thin dark strokes alone, as a pole is, was taken for lines on the paper where its pixels are
/// darker by so much than the colour they were given.
const DARKER: f64 = 15.0;

/// Gives what was taken for lines on paper the colour of its lines.
pub(super) fn take_lines_back(labels: &mut Labels, reference: &Reference) {
    if !labels.stroked {
        return;
    }
    for (place, cluster) in labels.clusters.iter_mut().enumerate() {
        let pixels = labels.plane.iter().zip(reference.colours());
        let own = pixels.filter(|(label, _)| usize::from(**label) == place + 1);
        let own: Vec<Lab> = own.map(|(_, colour)| *colour).collect();
        let lines = middle_colour(&own);
        if !own.is_empty() && lines.l + DARKER < cluster.colour.l {
            cluster.colour = lines;
        }
    }
}

/// Takes the paper's tint out of strokes.
pub(super) fn take_out_tint(labels: &mut Labels, reference: &Reference) {
    if !labels.stroked {
        return;
    }
    let paper = paper_of(reference);
    if paper.l < LIGHTNESS || paper.chroma() > CHROMA {
        return;
    }
    labels.clusters.iter_mut().for_each(|cluster| cluster.colour = cluster.colour.beside_white(paper));
}

/// The middle colour of the ground; black where none is seen.
pub(super) fn paper_of(reference: &Reference) -> Lab {
    let ground = reference.colours().iter().zip(reference.cover()).filter(|(_, c)| **c != Cover::Subject);
    middle_colour(&ground.map(|(colour, _)| *colour).collect::<Vec<_>>())
}
