//! A sleeve that meets an arm of like colour without a cuff.

use super::body::{Arm, Body};
use super::face::Face;
use super::garments::Sleeve;
use super::joined::Place;
use super::{Finding, Judge, Rule, Subject};
use crate::colour::ciede2000;
use crate::tray::KIN;
use crate::units::Row;

pub(super) const RULE: Rule = Rule {
    name: "cuff",
    title: "a sleeve and an arm of like colour without a cuff",
    what: "A sleeve whose bead is of a kind with the skin, and that touches the arm or hand below it with no bead of another colour between them. A sleeve is cloth that the trunk has too. Judged where a figure's rows by zone are known.",
    why: "Where sleeve and skin are nearly one colour, nobody sees where the sleeve ends: the figure seems to have bare arms, or none.",
    example: "A sleeve of barley that ends in a hand of honey.",
    limits: "Up to 10 CIEDE2000: still of a kind, twice what is hard to tell apart (by eye). A cuff bead between them is common practice, no source.",
    judge: Judge::Figure(judge),
};

fn judge(subject: &Subject) -> Vec<Finding> {
    let (Some(body), Some(face)) = (Body::of(subject), Face::of(subject)) else { return Vec::new() };
    body.arms().filter_map(|arm| finding(&body, &face, &arm)).collect()
}

fn finding(body: &Body, face: &Face, arm: &Arm) -> Option<Finding> {
    let skin = face.skin_mark();
    let sleeve = Sleeve::of(body, arm, skin)?;
    let apart = ciede2000(body.lab(sleeve.mark)?, face.skin());
    if apart > KIN {
        return None;
    }
    let places: Vec<Place> = arm.places().collect();
    let of = |place: &Place, mark| body.mark(*place) == Some(mark);
    let beside = |one: &Place, other: &Place| one.0.0.abs_diff(other.0.0) + one.1.0.abs_diff(other.1.0) == 1;
    let meets = |hand: &&Place| places.iter().any(|place| of(place, sleeve.mark) && beside(place, hand));
    let beads: Vec<Place> = places.iter().filter(|place| of(place, skin)).filter(meets).copied().collect();
    let Row(first) = beads.first()?.0;
    let (cloth, hand) = (body.name(sleeve.mark), body.name(skin));
    let what = format!(
        "the {}'s sleeve of {cloth} meets skin of {hand}, only {apart} apart, with no cuff",
        arm.name()
    );
    let could = format!("make its last row, {first}, a cuff of another bead, such as white or the shirt's");
    Some(Finding::new(&RULE, beads, what, could))
}
