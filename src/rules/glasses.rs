//! Glasses with one lens, or with two that differ.

use super::face::{Eyes, Face};
use super::joined::Place;
use super::{Finding, Judge, Rule, Subject};
use crate::colour::ciede2000;
use crate::tray::KIN;
use crate::units::{Column, Row};

pub(super) const RULE: Rule = Rule {
    name: "glasses",
    title: "glasses of one lens, or of two that differ",
    what: "A light bead near to grey in the place of an eye whose partner is not a lens, or is missing: clear \
    glasses are two light beads, sunglasses two dark ones. Judged where a figure's rows by zone are known.",
    why: "Two like beads read as glasses from across a room. One of them reads as a hole in the face, or as a patch.",
    example: "An ice bead for one lens, and a coal bead where the other should be.",
    limits: "A lens has at least 70 in L, at most 20 in chroma, and is more than 10 CIEDE2000 from the skin (by eye). Eyes have one or two beads between them. Two light beads for clear glasses, two dark ones for sunglasses: common practice, no source.",
    judge: Judge::Figure(judge),
};

/// A clear lens is at least this light, and at most this colourful.
const LENS_LIGHTNESS: f64 = 70.0;
const LENS_CHROMA: f64 = 20.0;

fn judge(subject: &Subject) -> Vec<Finding> {
    Face::of(subject).and_then(|face| finding(subject, &face)).into_iter().collect()
}

fn is_lens(subject: &Subject, face: &Face, place: Place) -> bool {
    let lab = subject.peg(place).and_then(|peg| peg.lab);
    lab.is_some_and(|lab| {
        lab.l >= LENS_LIGHTNESS && lab.chroma() <= LENS_CHROMA && ciede2000(lab, face.skin()) > KIN
    })
}

fn finding(subject: &Subject, face: &Face) -> Option<Finding> {
    let pairs: Vec<Eyes> = face.pairs().collect();
    let differ = |eyes: &&Eyes| is_lens(subject, face, eyes.left) != is_lens(subject, face, eyes.right);
    match pairs.iter().find(differ) {
        Some(eyes) => of_two(subject, face, *eyes),
        None if pairs.is_empty() => of_one(subject, face),
        None => None,
    }
}

fn name<'a>(subject: &'a Subject, place: Place) -> Option<&'a str> {
    subject.peg(place).map(|peg| subject.name(peg.mark))
}

fn of_two(subject: &Subject, face: &Face, Eyes { left, right }: Eyes) -> Option<Finding> {
    let (lens, other) = if is_lens(subject, face, left) { (left, right) } else { (right, left) };
    let (lens, other) = (name(subject, lens)?, name(subject, other)?);
    let what = format!("one lens is {lens}, and {other} lies where the other should be");
    let could = format!("make both {lens} for clear glasses, or both dark for sunglasses or bare eyes");
    Some(Finding::new(&RULE, vec![left, right], what, could))
}

/// A lens without a fellow, in a face that has no other eyes.
fn of_one(subject: &Subject, face: &Face) -> Option<Finding> {
    // The last row of a head is its chin: a light bead there is a tooth.
    let above_the_chin = |row: Row| row.0 + 1 < face.span().end;
    let in_skin = |(row, column): Place| {
        let left = column.0.checked_sub(1).is_some_and(|left| face.is_skin((row, Column(left))));
        left && face.is_skin((row, Column(column.0 + 1))) && face.is_skin((Row(row.0 + 1), column))
    };
    let is_lone = |&place: &Place| {
        above_the_chin(place.0) && face.like(place) == 1 && in_skin(place) && is_lens(subject, face, place)
    };
    let place = face.places().map(|(place, _)| place).find(is_lone)?;
    let name = name(subject, place)?;
    let could = format!("put a second {name} bead in its row, a bead of skin between them");
    Some(Finding::new(&RULE, vec![place], format!("one lens of {name}, and no other"), could))
}
