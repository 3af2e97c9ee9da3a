//! A figure that is not drawn like its group.

use super::body::{Arm, Body, runs};
use super::face::{Eyes, Face};
use super::joined::Place;
use super::{Finding, Judge, Rule, Subject, beads_in_words};
use crate::figure::Mark;
use crate::plan::{BodyPart, Facing, HeadShape, LegLook, Look, Zone};
use crate::units::Column;

pub(super) const RULE: Rule = Rule {
    name: "off-look",
    title: "not drawn like its group",
    what: "A figure of a group in cast.toml that faces another way than the group, has its legs parted where they are solid there or solid where they are parted, thin limbs where they are not thin or the other way round, arms two beads longer or shorter, or a head square for round. Each is reported only where the beads show it clearly.",
    why: "A group is known as one by how it is drawn. Who faces forward among figures that are turned looks like a guest.",
    example: "One of the bakers, who all look to the side, with his eyes in the middle of his face.",
    limits: "Turned: the eyes, of one bead, off the middle of their row, or skin at one side only, an ear (of a face without eyes: a single bead of skin behind the hair); forward: every row of the head the same from both sides. Solid legs are at most four beads wide, five with their line: wider is a skirt. Arms are measured where they hang, on torsos of seven rows and more. The look itself is the cast's, else the usual one (common practice, no source).",
    judge: Judge::Figure(judge),
};

/// Rows of an adult's torso (common practice, no source): children's arms are shorter.
const GROWN_TORSO: usize = 7;

/// Rows of a torso up to which a small child may have thin legs.
const SMALL_TORSO: usize = 4;

/// Beads an arm may be longer or shorter.
const ARM_WITHIN: usize = 1;

/// Solid legs are at most this wide: two legs of two beads.
const SOLID: usize = 4;

/// Fewest rows that show how legs stand.
const LEG_ROWS: usize = 2;

/// What is drawn otherwise: its beads, what the figure is, what the group is, what could be done.
type Other = (Vec<Place>, String, String, String);

fn judge(subject: &Subject) -> Vec<Finding> {
    let Some(group) = subject.group() else { return Vec::new() };
    let (look, face, body) = (&group.look, Face::of(subject), Body::of(subject));
    let body = body.as_ref();
    let skin = face.as_ref().map(Face::skin_mark);
    let others = [
        face.as_ref().and_then(|face| other_facing(subject, face, look)),
        body.and_then(|body| other_legs(body, look)),
        body.and_then(|body| other_limbs(body, look)),
        body.zip(skin).and_then(|(body, skin)| other_arms(body, skin, look)),
        body.and_then(|body| other_head(body, look)),
    ];
    let told = others.into_iter().flatten().map(|(beads, is, group_is, could)| {
        let name = group.name.strip_prefix("the ").unwrap_or(&group.name);
        Finding::new(&RULE, beads, format!("{is}; the group '{name}' {group_is}"), could)
    });
    told.collect()
}

fn other_facing(subject: &Subject, face: &Face, look: &Look) -> Option<Other> {
    let (seen, beads) = facing(face, subject).filter(|(seen, _)| *seen != look.facing)?;
    let could = match look.facing {
        Facing::Turned => "move the eyes a bead to one side, and give it one ear",
        Facing::Forward => "lay the eyes in the middle of the face, the same on both sides",
    };
    Some((beads, format!("it {}", way(seen)), way(look.facing).into(), could.into()))
}

fn other_legs(body: &Body, look: &Look) -> Option<Other> {
    let (seen, beads) = legs(body).filter(|(seen, _)| *seen != look.legs)?;
    let could = match look.legs {
        LegLook::Parted => "leave a column empty between the legs",
        LegLook::Solid => "fill the column between the legs with their own bead",
        LegLook::SolidWithLine => "fill the column between the legs with a dark bead",
    };
    let (is, group_is) = (seen.name(), look.legs.name());
    Some((beads, format!("its legs are {is}"), format!("has legs {group_is}"), could.into()))
}

fn other_limbs(body: &Body, look: &Look) -> Option<Other> {
    let is_other = |wide: usize| (wide == 1) != (look.limbs == 1);
    let (wide, beads) = limbs(body).filter(|(wide, _)| is_other(*wide) && !is_stout(body))?;
    let could = format!("make the legs {} wide", beads_in_words(usize::from(look.limbs)));
    let is = format!("its legs are {} wide", beads_in_words(wide));
    Some((beads, is, format!("has limbs of {}", look.limbs), could))
}

fn other_arms(body: &Body, skin: Mark, look: &Look) -> Option<Other> {
    let right = usize::from(look.arms);
    let (long, beads) = arms(body, skin).filter(|(long, _)| long.abs_diff(right) > ARM_WITHIN)?;
    let could = format!("make the arms {} long", beads_in_words(right));
    let is = format!("its arms are {} long", beads_in_words(long));
    Some((beads, is, format!("has arms of {right}"), could))
}

fn other_head(body: &Body, look: &Look) -> Option<Other> {
    let (seen, beads) = head(body).filter(|(seen, _)| *seen != look.head)?;
    let could = match look.head {
        HeadShape::Round => "lift the bead at both ends of its top row",
        HeadShape::Square => "make its top row as wide as the others",
    };
    let (is, group_is) = (seen.name(), look.head.name());
    Some((beads, format!("its head is {is}"), format!("has heads {group_is}"), could.into()))
}

fn way(facing: Facing) -> &'static str {
    match facing {
        Facing::Turned => "looks to the side",
        Facing::Forward => "faces the viewer",
    }
}

/// Where it looks, with its eyes; nothing where that is not clear.
fn facing(face: &Face, subject: &Subject) -> Option<(Facing, Vec<Place>)> {
    // One eye is like the other: a mouth and the hair beside it lie as eyes do, and are of two beads.
    let is_alike = |eyes: &Eyes| {
        subject.peg(eyes.left).map(|peg| peg.mark) == subject.peg(eyes.right).map(|peg| peg.mark)
    };
    let Some(Eyes { left, right }) = face.pairs().find(is_alike) else { return ear_alone(face, subject) };
    let row = left.0;
    let filled = |column: usize| subject.peg((row, Column(column))).is_some();
    let first = (0..=left.1.0).rev().take_while(|&column| filled(column)).last()?;
    let last = (right.1.0..).take_while(|&column| filled(column)).last()?;
    let eyes = vec![left, right];
    if left.1.0 - first != last - right.1.0 {
        return Some((Facing::Turned, eyes));
    }
    // A little wider than the eyes' row, for an ear; what lies farther off is held or worn.
    let near = first.saturating_sub(1)..=last + 1;
    let places: Vec<Place> =
        face.places().map(|(place, _)| place).filter(|place| near.contains(&place.1.0)).collect();
    let mirrored = |place: Place| {
        let column = (left.1.0 + right.1.0).checked_sub(place.1.0);
        column.and_then(|column| subject.peg((place.0, Column(column))))
    };
    let same =
        |place: &Place| mirrored(*place).map(|peg| peg.mark) == subject.peg(*place).map(|peg| peg.mark);
    if places.iter().all(same) {
        return Some((Facing::Forward, eyes));
    }
    let ear = places.iter().any(|&place| face.is_skin(place) && mirrored(place).is_none());
    ear.then_some((Facing::Turned, eyes))
}

/// A face without eyes: an ear behind the hair at one side only shows that it is turned.
fn ear_alone(face: &Face, subject: &Subject) -> Option<(Facing, Vec<Place>)> {
    let parts = subject.parts();
    let part = |(row, column): Place| parts.get(row, column).copied().flatten();
    let is_hair = |place: Place| part(place) == Some(BodyPart::Hair);
    let ears = face.places().map(|(place, _)| place).filter(|&(row, column)| {
        let beside = [column.0.checked_sub(1), Some(column.0 + 1)].map(|at| at.map(|at| (row, Column(at))));
        let [before, after] = beside;
        let (hair, open) = (before.is_some_and(is_hair), after.is_none_or(|at| subject.peg(at).is_none()));
        let (hair_after, open_before) =
            (after.is_some_and(is_hair), before.is_none_or(|at| subject.peg(at).is_none()));
        face.is_skin((row, column)) && ((hair && open) || (hair_after && open_before))
    });
    let ears: Vec<Place> = ears.collect();
    let [ear] = ears[..] else { return None };
    Some((Facing::Turned, vec![ear]))
}

/// The lower half of the rows of the legs, where skirts of coats and jackets have ended.
fn lower_legs(body: &Body) -> std::ops::Range<usize> {
    let legs = body.zone(Zone::Legs);
    legs.start + legs.len() / 2..legs.end
}

/// How the legs stand, with what shows it.
fn legs(body: &Body) -> Option<(LegLook, Vec<Place>)> {
    let rows: Vec<Vec<Place>> = lower_legs(body).map(|row| body.in_row(row, &[BodyPart::Legs])).collect();
    if rows.len() < LEG_ROWS {
        return None;
    }
    let all = |is: &dyn Fn(&Vec<Place>) -> bool| rows.iter().all(is);
    let beads = || rows.iter().flatten().copied().collect();
    if all(&|row| runs(row).len() == 2) {
        return Some((LegLook::Parted, beads()));
    }
    let whole = |row: &Vec<Place>| runs(row).len() == 1;
    let one_bead = |row: &[Place]| row.windows(2).all(|pair| body.mark(pair[0]) == body.mark(pair[1]));
    if all(&|row| whole(row) && row.len() <= SOLID && one_bead(row)) {
        return Some((LegLook::Solid, beads()));
    }
    let with_line = |row: &Vec<Place>| {
        let middle = row.len() / 2;
        whole(row)
            && row.len() % 2 == 1
            && (3..=SOLID + 1).contains(&row.len())
            && is_darker(body, row[middle], row[0])
            && one_bead(&row[..middle])
            && one_bead(&row[middle + 1..])
            && body.mark(row[0]) == body.mark(row[row.len() - 1])
    };
    all(&with_line).then(|| (LegLook::SolidWithLine, beads()))
}

fn is_darker(body: &Body, one: Place, other: Place) -> bool {
    let lightness = |place| body.mark(place).and_then(|mark| body.lab(mark)).map(|lab| lab.l);
    lightness(one).zip(lightness(other)).is_some_and(|(one, other)| one < other)
}

/// Whether the torso is a stout build's, whose legs are stout in every group (common practice, no source).
fn is_stout(body: &Body) -> bool {
    const STOUT_TORSO: usize = 7;
    body.zone(Zone::Torso).any(|row| body.in_row(row, &[BodyPart::Torso]).len() >= STOUT_TORSO)
}

/// How wide both legs are in every row of their lower half.
fn limbs(body: &Body) -> Option<(usize, Vec<Place>)> {
    let rows: Vec<Vec<Place>> = lower_legs(body).map(|row| body.in_row(row, &[BodyPart::Legs])).collect();
    let widths: Vec<usize> = rows.iter().flat_map(|row| runs(row)).map(|run| run.len()).collect();
    let wide = *widths.first()?;
    let is_small = body.zone(Zone::Torso).len() <= SMALL_TORSO && wide == 1;
    let is_clear = rows.len() >= LEG_ROWS
        && rows.iter().all(|row| runs(row).len() == 2)
        && widths.iter().all(|width| (*width == 1) == (wide == 1));
    (is_clear && !is_small).then(|| (wide, rows.concat()))
}

/// How long the arms of an adult are that hang.
fn arms(body: &Body, skin: Mark) -> Option<(usize, Vec<Place>)> {
    let is_grown = body.zone(Zone::Torso).len() >= GROWN_TORSO;
    let arms: Vec<Arm> = body.arms().filter(|_| is_grown).filter(|arm| arm.hangs(body, skin)).collect();
    let longest = arms.into_iter().max_by_key(|arm| arm.rows.len())?;
    Some((longest.rows.len(), longest.places().collect()))
}

/// The outline of a bare head, with its top row.
fn head(body: &Body) -> Option<(HeadShape, Vec<Place>)> {
    let rows: Vec<Vec<Place>> =
        body.zone(Zone::Head).map(|row| body.in_row(row, &[BodyPart::Head, BodyPart::Hair])).collect();
    let covered = |row: usize| !body.in_row(row, &[BodyPart::Hat]).is_empty();
    let piled = |row: usize| !body.in_row(row, &[BodyPart::Head, BodyPart::Hair, BodyPart::Hat]).is_empty();
    if body.zone(Zone::Headwear).any(piled) || body.zone(Zone::Head).any(covered) {
        return None;
    }
    let top = rows.first().filter(|top| !top.is_empty())?;
    // An ear and hair at one side make a row wider; most rows have the head's own width.
    let mut widths: Vec<usize> = rows[1..].iter().map(Vec::len).collect();
    widths.sort_unstable();
    let usual = *widths.get(widths.len() / 2)?;
    match usual.checked_sub(top.len()) {
        Some(0) | None => Some((HeadShape::Square, top.clone())),
        Some(1) => None,
        Some(_) => Some((HeadShape::Round, top.clone())),
    }
}
