//! Shoes: one dark row, whatever light falls on them.

use std::ops::Range;

use super::aim;
use super::detect::{Asked, Claim, Detector, Rank};
use super::scene::{Peg, Scene};
use crate::colour::Lab;
use crate::grid::commonest;
use crate::plan::Zone;

/// What is lighter, in L*, or of more chroma stays.
const LIGHTNESS: f64 = 60.0;
const CHROMA: f64 = 48.0;

/// What stands farther out, in beads from the axis, is a pole.
const FARTHEST: i32 = 4;

/// How much speaks for a shoe's colour, 0 to 1.
const STANDS: f64 = 0.8;

/// Dark shoes.
pub(super) const DETECTOR: Detector = Detector {
    name: "shoes",
    what: "The row of feet, where most of it is dark or brown and no skin.",
    why: "Light on leather makes two or three colours of a shoe; on a figure it is one dark row.",
    source: "Both designs by eye of each of our sketches; common practice, no source.",
    example: "Brown boots with a light toe cap.",
    limits: "Lighter than L* 60, of more chroma than 48 or of a hue that leather has not they stay as drawn; more than 4 \
             beads from the axis is a pole.",
    find,
};

fn find(scene: &Scene) -> Vec<Claim> {
    let first = scene.zones.first(Zone::Feet);
    let stands = |peg: &Peg| peg.0 >= first && peg.1.abs() <= FARTHEST;
    let feet = || scene.colours.iter().filter(|(peg, _)| stands(peg));
    let most = commonest(feet().map(|(_, label)| *label));
    let Some(own) = most.filter(|own| Some(*own) != scene.skin()) else { return Vec::new() };
    let colour = scene.colour(own);
    let pegs: Vec<Peg> = feet().map(|(peg, _)| *peg).collect();
    let asked = if colour.l > LIGHTNESS || colour.chroma() > CHROMA || is_dyed(colour) {
        Asked::Label(own)
    } else {
        Asked::Known(aim::leather(colour))
    };
    vec![Claim { pegs, asked, rank: Rank::Shoes, stands: STANDS }]
}

/// Whether a colour has a hue that leather has not: blue, green and violet shoes are meant so (of 28 people by other
/// hands, those who mended drafts gave 20 a shoe of the hue it was drawn in).
fn is_dyed(colour: Lab) -> bool {
    /// What is greyer has no hue to speak of.
    const CHROMA: f64 = 9.0;
    /// From red-brown to yellow, in degrees.
    const LEATHER: Range<f64> = 10.0..100.0;
    colour.chroma() > CHROMA && !LEATHER.contains(&colour.b.atan2(colour.a).to_degrees())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn blue_and_green_are_dyed_browns_and_greys_are_not() {
        let dyed = [Lab::new(35.0, 10.0, -50.0), Lab::new(45.0, -40.0, 20.0)];
        let leather = [Lab::new(35.0, 15.0, 25.0), Lab::new(30.0, 20.0, 10.0), Lab::new(40.0, 2.0, -3.0)];
        assert_eq!((dyed.map(is_dyed), leather.map(is_dyed)), ([true; 2], [false; 3]));
    }
}
