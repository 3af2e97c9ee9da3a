//! A scene as a person would look at it: beads on their boards, with the boards' seams.

use super::beads::{self, mixed};
use super::drawing::{Page, Pen, Sheet, Unit, at};
use super::font::settable;
use super::ground::Ground;
use super::kinds::scene_colours;
use super::show::{check_size, ironed, pegs};
use crate::colour::Srgb;
use crate::error::{Result, Warning};
use crate::grid::Grid;
use crate::scene::Scene;
use crate::tray::Tray;

/// Pegs' distances of table left around the boards.
const ROUND: f64 = 1.0;

/// Pixels of the longer side of a picture whose beads nobody gave a size, as far as a bead keeps these bounds.
const LONGER: f64 = 1600.0;
const BEADS: (f64, f64) = (2.0, 24.0);

/// How a scene is shown.
#[derive(Clone, Copy, Debug, Default)]
pub struct SceneLook {
    /// Pixels from bead to bead; chosen by the boards where not given.
    pub bead: Option<u32>,
    /// Show it as ironed instead of as pegged.
    pub fused: bool,
}

/// A scene on its boards.
///
/// # Errors
/// [`crate::error::Error::BadValue`] where the beads are so large that the picture would be.
pub fn scene_picture(scene: &Scene, tray: &Tray, look: &SceneLook) -> Result<Sheet> {
    let boards = scene.boards();
    let (high, wide) = (boards.rows() as f64 + 2.0 * ROUND, boards.columns() as f64 + 2.0 * ROUND);
    let fitting = || (LONGER / wide.max(high)).clamp(BEADS.0, BEADS.1).floor();
    let bead = look.bead.map_or_else(fitting, f64::from);
    check_size(bead, wide.max(high))?;
    let colours = scene_colours(scene, tray);
    let ground = ground_of(&colours);
    let mut pen = Pen::default();
    let corner = at(ROUND * bead, ROUND * bead);
    let size = (boards.columns() as f64 * bead, boards.rows() as f64 * bead);
    pen.block(corner, size, ground.colour());
    pegs(&mut pen, &colours, corner, bead, ground);
    if look.fused {
        ironed(&mut pen, &colours, corner, bead);
    } else {
        beads::pegged(&mut pen, &colours, corner, bead, ground, false);
    }
    seams(&mut pen, scene, bead);
    /// How much darker, or on a dark ground lighter, the table is than the boards.
    const TABLE: f64 = 0.12;
    let page = Page {
        size: ((wide * bead).round(), (high * bead).round()),
        scale: (1.0, 1.0),
        ground: Some(mixed(ground.colour(), ground.ink(), TABLE)),
        items: pen.items,
    };
    let title = settable(scene.name()).0;
    Ok(Sheet {
        title,
        unit: Unit::Pixel,
        symbols: Vec::new(),
        pages: vec![page],
        warnings: lacking(scene, tray),
    })
}

/// The ground that a scene stands out from; the light one where no peg is empty: there it is seen through the beads' holes
/// alone.
pub(super) fn ground_of(colours: &Grid<Option<Srgb>>) -> Ground {
    let is_full = colours.iter().all(|(.., bead)| bead.is_some());
    if is_full { Ground::Light } else { Ground::suiting(colours) }
}

/// Where boards meet: a fine light line with a dark one beside it, seen on any bead, and no wider than the beads' gap.
fn seams(pen: &mut Pen, scene: &Scene, bead: f64) {
    /// Width of each line, in pegs' distance, and how much it hides.
    const WIDTH: f64 = 0.07;
    const ALPHA: u8 = 150;
    let boards = scene.boards();
    let pegs = boards.pegs();
    let (left, top) = (ROUND * bead, ROUND * bead);
    let (right, bottom) = (left + boards.columns() as f64 * bead, top + boards.rows() as f64 * bead);
    let width = (WIDTH * bead).max(1.0);
    let inks = [(beads::BLACK, -0.5), (beads::WHITE, 0.5)];
    for (ink, side) in inks {
        for seam in 1..boards.across() {
            let x = left + (seam * pegs.columns) as f64 * bead + side * width;
            pen.veil(at(x, top), at(x, bottom), width, (ink, ALPHA));
        }
        for seam in 1..boards.down() {
            let y = top + (seam * pegs.rows) as f64 * bead + side * width;
            pen.veil(at(left, y), at(right, y), width, (ink, ALPHA));
        }
    }
}

/// Beads that are not in the tray.
pub(super) fn lacking(scene: &Scene, tray: &Tray) -> Vec<Warning> {
    let lacking = scene.legend().iter().filter(|entry| tray.find(&entry.bead).is_none());
    let mut beads: Vec<String> = lacking.map(|entry| entry.bead.clone()).collect();
    beads.sort();
    if beads.is_empty() { Vec::new() } else { vec![Warning::NotInTray { beads }] }
}
