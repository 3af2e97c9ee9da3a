//! Torso, arms, legs and feet.

use super::super::{LegLook, Zone};
use super::{Material, Peg, Plan, across, peg};

/// A torso of this many rows or fewer is a child's (common practice, no source).
const CHILD_TORSO: usize = 5;

/// The torso of the figure whose arms a look's length is said of.
const GROWN_TORSO: usize = 8;

/// Beads across an arm at most: seen flat it is two thick, edge on one (common practice, no source).
const THICKEST_ARM: i32 = 2;

/// Most rows of a hand.
const LONGEST_HAND: usize = 2;

/// Rows over which an arm is joined to the shoulder; below them a peg stays empty between arm and torso, so that the
/// arm does not melt into it.
const SHOULDER: usize = 2;

/// Shoulder to hip.
pub(super) fn torso(plan: &Plan) -> Vec<Peg> {
    let first = plan.first(Zone::Torso);
    let rows = first..first + plan.rows(Zone::Torso);
    rows.flat_map(|row| across(row, -plan.half()..=plan.half(), Material::Shirt)).collect()
}

/// An arm that hangs from the shoulder, on the looker's left (-1) or right (1). Its outer corner is rounded where it is
/// two thick; the sleeve ends with the torso, and the hand goes on.
pub(super) fn arm(plan: &Plan, side: i32) -> Vec<Peg> {
    if plan.rows(Zone::Torso) == 0 {
        return Vec::new();
    }
    let (first, long, thick) = (plan.first(Zone::Torso), length(plan), thickness(plan));
    let sleeve = sleeve(plan.rows(Zone::Torso), long);
    // The first column beside the torso: shoulder, then gap.
    let beside = plan.half() + 1;
    let mut pegs = Vec::new();
    for row in 0..long {
        let material = if row < sleeve { Material::Sleeve } else { Material::Skin };
        let inner = if row < SHOULDER { beside } else { beside + 1 };
        let is_rounded = row == 0 && thick > 1;
        let outer = beside + thick - i32::from(is_rounded);
        pegs.extend(across(first + row, (inner..=outer).map(|column| side * column), material));
    }
    pegs
}

/// Beads along an arm: a child's are in proportion to its torso, and nobody's reach below the middle of the legs.
fn length(plan: &Plan) -> usize {
    let (torso, arms) = (plan.rows(Zone::Torso), usize::from(plan.look.arms));
    let own = match torso {
        0..=CHILD_TORSO => (2 * arms * torso + GROWN_TORSO) / (2 * GROWN_TORSO),
        _ => arms,
    };
    own.clamp(1, torso + plan.rows(Zone::Legs) / 2)
}

/// Beads across an arm: never more than across a leg, and a child's is one thinner.
fn thickness(plan: &Plan) -> i32 {
    let grown = i32::from(plan.look.limbs).min(plan.build.leg).min(THICKEST_ARM);
    let less = i32::from(plan.rows(Zone::Torso) <= CHILD_TORSO);
    (grown - less).max(1)
}

/// Rows of an arm that the sleeve covers: to the hem of the torso, as far as a hand of one row or two lets it.
fn sleeve(torso: usize, long: usize) -> usize {
    torso.clamp(long.saturating_sub(LONGEST_HAND), long.saturating_sub(1)).max(1)
}

/// Hip to ankle.
pub(super) fn legs(plan: &Plan) -> Vec<Peg> {
    let first = plan.first(Zone::Legs);
    let mut pegs = Vec::new();
    for row in first..first + plan.rows(Zone::Legs) {
        let pair = (1..=plan.build.leg).flat_map(|column| [-column, column]);
        pegs.extend(across(row, pair, Material::Trousers));
        pegs.extend(between(plan, row == first).map(|material| peg(row, 0, material)));
    }
    pegs
}

/// What lies between the legs.
fn between(plan: &Plan, is_first: bool) -> Option<Material> {
    match plan.look.legs {
        LegLook::Solid => Some(Material::Trousers),
        LegLook::SolidWithLine => Some(Material::Line),
        // Without a torso above them nothing else would hold the legs together.
        LegLook::Parted => (is_first && plan.rows(Zone::Torso) == 0).then_some(Material::Trousers),
    }
}

/// Ankle to sole: the feet turn out by a bead.
pub(super) fn feet(plan: &Plan) -> Vec<Peg> {
    let first = plan.first(Zone::Feet);
    let mut pegs = Vec::new();
    for row in first..first + plan.rows(Zone::Feet) {
        let pair = (1..=plan.build.leg + 1).flat_map(|column| [-column, column]);
        pegs.extend(across(row, pair, Material::Shoes));
        let alone = plan.rows(Zone::Torso) + plan.rows(Zone::Legs) == 0;
        pegs.extend((alone && row == first).then_some(peg(row, 0, Material::Shoes)));
    }
    pegs
}
