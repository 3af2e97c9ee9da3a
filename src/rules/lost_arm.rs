//! An arm that melts into the torso.

use super::body::{Arm, Body};
use super::face::Face;
use super::joined::Place;
use super::{Finding, Judge, Rule, Subject};
use crate::colour::ciede2000;
use crate::figure::Mark;
use crate::plan::BodyPart;
use crate::tray::HARD_TO_TELL;
use crate::units::Column;

pub(super) const RULE: Rule = Rule {
    name: "lost-arm",
    title: "an arm that melts into the torso",
    what: "An arm that lies against the torso along most of its rows, of the torso's bead or one too like it, with a hand at its end and no line and no empty peg between them. Judged where a figure's rows by zone are known.",
    why: "An arm is seen by its edge. Without one the figure is a block with hands.",
    example: "A navy coat, arms down, no gap between sleeve and coat.",
    limits: "Three quarters of the arm's rows below the shoulder, four rows at least; beads up to 5 CIEDE2000 apart (the sources of alike). A line or a gap beside an arm is common practice, no source.",
    judge: Judge::Figure(judge),
};

/// Fewest rows below the shoulder that must lie against the torso.
const ROWS: usize = 4;

fn judge(subject: &Subject) -> Vec<Finding> {
    let (Some(body), Some(face)) = (Body::of(subject), Face::of(subject)) else { return Vec::new() };
    body.arms().filter_map(|arm| finding(&body, &face, &arm)).collect()
}

fn finding(body: &Body, face: &Face, arm: &Arm) -> Option<Finding> {
    // In the shoulder's row an arm begins: there it always touches.
    let below = arm.rows.get(1..)?;
    // Without a hand at its end it may be the coat's own side.
    let skin = face.skin_mark();
    if !arm.end().iter().any(|&place| body.mark(place) == Some(skin)) {
        return None;
    }
    let against: Vec<&(usize, Vec<Place>)> =
        below.iter().filter(|(_, beads)| beads.iter().any(|&place| melts(body, place))).collect();
    if against.len() < ROWS || 4 * against.len() < 3 * below.len() {
        return None;
    }
    let beads: Vec<Place> = against.iter().flat_map(|(_, beads)| beads.iter().copied()).collect();
    let name = body.name(body.most(&beads)?);
    let what = format!(
        "the {} of {name} lies against a torso like it in {} of {} rows below the shoulder",
        arm.name(),
        against.len(),
        below.len()
    );
    let could = "leave a column empty beside it, or lay a line of a darker shade between";
    Some(Finding::new(&RULE, beads, what, could.into()))
}

/// Whether a bead of an arm has torso of its own colour to its left or right.
fn melts(body: &Body, (row, column): Place) -> bool {
    let beside = [column.0.checked_sub(1), Some(column.0 + 1)];
    let mark = body.mark((row, column));
    beside.into_iter().flatten().map(|column| (row, Column(column))).any(|place| {
        let is_torso = body.part(place) == Some(BodyPart::Torso);
        is_torso && mark.zip(body.mark(place)).is_some_and(|(one, other)| is_like(body, one, other))
    })
}

fn is_like(body: &Body, one: Mark, other: Mark) -> bool {
    let labs = body.lab(one).zip(body.lab(other));
    one == other || labs.is_some_and(|(one, other)| ciede2000(one, other) <= HARD_TO_TELL)
}
