//! A long coat or cape without shadow between the legs.

use super::body::{Body, runs};
use super::joined::Place;
use super::{Finding, Judge, Rule, Subject};
use crate::figure::Mark;
use crate::plan::{BodyPart, Zone};
use crate::units::{Column, Row};

pub(super) const RULE: Rule = Rule {
    name: "coat",
    title: "a long coat without shadow between the legs",
    what: "A long coat or cape that is seen at both sides of the legs, or covers them and parts in the middle, and leaves the pegs between the legs empty or fills them with its own bead. Judged where a figure's rows by zone are known.",
    why: "Cloth behind the legs lies in shadow. Left empty, the coat falls into two strips; filled with its own colour, the legs float on a board.",
    example: "A navy cape beside both legs, and nothing between them.",
    limits: "In three rows of the legs or more. A darker shade between the legs is common practice, no source. The coat's bead is on the torso or the arms too; a skirt without legs before it is not judged.",
    judge: Judge::Figure(judge),
};

/// This many rows of the legs make a coat long.
const LONG: usize = 3;

/// Beads that a coat's half has at least where it covers a leg: a bare leg or a trouser leg has two.
const HALF: usize = 3;

/// How a row of legs is filled between them.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Between {
    Empty,
    Own,
}

fn judge(subject: &Subject) -> Vec<Finding> {
    let Some(body) = Body::of(subject) else { return Vec::new() };
    let rows: Vec<(Mark, Between, Vec<Place>)> =
        body.zone(Zone::Legs).filter_map(|row| before(&body, row).or_else(|| covering(&body, row))).collect();
    let Some(&(coat, ..)) = rows.first() else { return Vec::new() };
    let worn = [BodyPart::Torso, BodyPart::LeftArm, BodyPart::RightArm];
    let torso = body.zone(Zone::Torso);
    let in_torso =
        torso.flat_map(|row| body.in_row(row, &worn)).filter(|&place| body.mark(place) == Some(coat));
    if in_torso.count() < LONG {
        return Vec::new();
    }
    let of = |how: Between| {
        let same: Vec<_> = rows.iter().filter(|row| row.0 == coat && row.1 == how).collect();
        (same.len() >= LONG)
            .then(|| report(&body, coat, how, same.into_iter().flat_map(|row| row.2.clone()).collect()))
    };
    [Between::Empty, Between::Own].into_iter().find_map(of).into_iter().collect()
}

fn report(body: &Body, coat: Mark, how: Between, beads: Vec<Place>) -> Finding {
    let name = body.name(coat);
    let what = match how {
        Between::Empty => format!("the coat of {name} leaves the space between the legs empty"),
        Between::Own => format!("the coat fills the space between the legs with its own {name}"),
    };
    Finding::new(&RULE, beads, what, format!("fill it with a darker shade than {name}: it lies in shadow"))
}

/// Beads of one kind side by side.
type Run = (Mark, Vec<Place>);

/// A row's beads in runs of one kind.
fn kinds(body: &Body, row: usize) -> Vec<Vec<Run>> {
    let whole = runs(&body.in_row(row, &[BodyPart::Torso, BodyPart::Legs]));
    let parted = |run: Vec<Place>| {
        let mut kinds: Vec<Run> = Vec::new();
        for place in run {
            let Some(mark) = body.mark(place) else { continue };
            match kinds.last_mut() {
                Some(last) if last.0 == mark => last.1.push(place),
                _ => kinds.push((mark, vec![place])),
            }
        }
        kinds
    };
    whole.into_iter().map(parted).collect()
}

/// A row in which legs stand before a coat: coat, leg, what is between, leg, coat.
fn before(body: &Body, row: usize) -> Option<(Mark, Between, Vec<Place>)> {
    match &kinds(body, row)[..] {
        [left, right] => match (&left[..], &right[..]) {
            ([coat, leg], [other_leg, other_coat])
                if coat.0 == other_coat.0 && leg.0 == other_leg.0 && leg.1.len() == other_leg.1.len() =>
            {
                Some((coat.0, Between::Empty, vec![*leg.1.last()?, *other_leg.1.first()?]))
            }
            _ => None,
        },
        [all] => match &all[..] {
            [coat, leg, between, other_leg, other_coat]
                if coat.0 == other_coat.0
                    && leg.0 == other_leg.0
                    && leg.1.len() == other_leg.1.len()
                    && between.0 == coat.0 =>
            {
                Some((coat.0, Between::Own, between.1.clone()))
            }
            _ => None,
        },
        _ => None,
    }
}

/// A row in which a coat covers both legs and parts between them: wider than the legs that come out below.
fn covering(body: &Body, row: usize) -> Option<(Mark, Between, Vec<Place>)> {
    let coat = body.parted(row)?;
    let halves = runs(&body.in_row(row, &[BodyPart::Torso, BodyPart::Legs]));
    let [left, right] = &halves[..] else { return None };
    if left.len() < HALF || right.len() < HALF {
        return None;
    }
    let legs = body.zone(Zone::Legs);
    let comes_out = |below: usize| {
        let leg = body.parted(below).filter(|leg| *leg != coat);
        let at = |column: Column| body.mark((Row(below), column));
        let (Some(outer_left), Some(outer_right)) = (left.first(), right.last()) else { return false };
        leg.is_some() && at(outer_left.1).is_none() && at(outer_right.1).is_none()
    };
    (row + 1..legs.end)
        .any(comes_out)
        .then(|| (coat, Between::Empty, left.last().into_iter().chain(right.first()).copied().collect()))
}
