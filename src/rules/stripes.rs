//! Stripes of a sleeve that do not alternate with the torso's.

use super::body::{Arm, Body};
use super::face::Face;
use super::joined::Place;
use super::{Finding, Judge, Rule, Subject};
use crate::figure::Mark;
use crate::plan::Zone;

pub(super) const RULE: Rule = Rule {
    name: "stripes",
    title: "a sleeve's stripes in step with the torso's",
    what: "A jumper striped across in two beads, row by row, with a hanging sleeve whose stripes are of the torso's own bead in every row: they would alternate. Judged where a figure's rows by zone are known.",
    why: "Stripes that run through from sleeve to torso make one broad block, in which the arm is lost. Set off by a row the arm stands out.",
    example: "Red rows of a sleeve beside red rows of the torso, white beside white.",
    limits: "In four rows or more, with both beads in the sleeve. Stripes that alternate are common practice, no source.",
    judge: Judge::Figure(judge),
};

/// This many rows in step are no chance.
const ROWS: usize = 4;

fn judge(subject: &Subject) -> Vec<Finding> {
    let Some(body) = Body::of(subject) else { return Vec::new() };
    let Some((beads, face)) = striped(&body).zip(Face::of(subject)) else { return Vec::new() };
    let skin = face.skin_mark();
    body.arms().filter(|arm| arm.hangs(&body, skin)).filter_map(|arm| finding(&body, &arm, beads)).collect()
}

/// The two beads of a torso that is striped across: whole rows of one and the other, changing often enough.
fn striped(body: &Body) -> Option<[Mark; 2]> {
    let rows = body.zone(Zone::Torso).filter_map(|row| stripe(body, row).map(|mark| (row, mark)));
    let rows: Vec<(usize, Mark)> = rows.collect();
    let change = |four: &&[(usize, Mark)]| {
        let in_line = four.windows(2).all(|pair| pair[1].0 == pair[0].0 + 1 && pair[1].1 != pair[0].1);
        in_line && four[0].1 == four[2].1 && four[1].1 == four[3].1
    };
    rows.windows(ROWS).find(change).map(|four| [four[0].1, four[1].1])
}

/// The bead of a row of the trunk that is of one bead.
fn stripe(body: &Body, row: usize) -> Option<Mark> {
    body.band(row).filter(|band| !band.has_buckle).map(|band| band.mark)
}

fn finding(body: &Body, arm: &Arm, beads: [Mark; 2]) -> Option<Finding> {
    let mut in_step: Vec<Place> = Vec::new();
    let mut seen: Vec<Mark> = Vec::new();
    for (row, places) in &arm.rows {
        let torso = stripe(body, *row).filter(|mark| beads.contains(mark));
        let own = body.most(places).filter(|mark| beads.contains(mark));
        let Some((torso, own)) = torso.zip(own) else { continue };
        if torso != own {
            return None;
        }
        seen.push(own);
        in_step.extend(places);
    }
    if seen.len() < ROWS || beads.iter().any(|bead| !seen.contains(bead)) {
        return None;
    }
    let (one, other) = (body.name(beads[0]), body.name(beads[1]));
    let what =
        format!("the stripes of the {} are in step with the torso's in {} rows", arm.name(), seen.len());
    let could =
        format!("swap {one} and {other} on the sleeve, so that its stripes lie beside the other colour");
    Some(Finding::new(&RULE, in_step, what, could))
}
