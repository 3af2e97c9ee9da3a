//! One named thing in two beads across a cast.

use std::cmp::Reverse;
use std::collections::BTreeMap;

use super::face::Face;
use super::joined::Place;
use super::{Finding, Judge, Rule, Subject};
use crate::cast::Thing;
use crate::colour::{Lab, ciede2000};
use crate::figure::{Figure, Mark};
use crate::plan::BodyPart;
use crate::tray::{KIN, Tray};
use crate::units::DeltaE;

pub(super) const RULE: Rule = Rule {
    name: "two-beads",
    title: "a named thing in another bead",
    what: "A figure that cast.toml lists with a named thing ([[thing]]) and that has not one bead of the thing's name. If it has a bead of nearly that colour, this is likely the one that was taken instead.",
    why: "A figure is known again by a few colours. Hair that is oat in one figure and hay in the next is somebody else's hair.",
    example: "The newspaper girl's hair is hay, and oat where she stands with her brother.",
    limits: "A thing whose name ends in a part of the body (hair, hat) is looked for in that part. Of anything else a bead up to 20 CIEDE2000 from the thing's, skin left out, is named as the one taken instead: twice what is still of a kind (by eye). Which beads of a figure are the thing is not in its file: one bead of the name is enough here.",
    judge: Judge::Figure(judge),
};

/// Up to here a bead may have been taken for the thing's.
const TAKEN_INSTEAD: DeltaE = DeltaE(2.0 * KIN.0);

fn judge(subject: &Subject) -> Vec<Finding> {
    let Some(member) = subject.member() else { return Vec::new() };
    let its = |thing: &&Thing| thing.figures.contains(member.name);
    let lacks = |thing: &&Thing| subject.pegs().all(|(_, peg)| subject.name(peg.mark) != thing.bead);
    member.cast.things.iter().filter(its).filter(lacks).map(|thing| finding(subject, thing)).collect()
}

/// The bead that a thing has in a figure: its own, else the one that was likely taken instead; none where nothing is like
/// it, or the tray does not know the thing's bead.
pub fn taken_for(thing: &Thing, figure: &Figure, tray: &Tray) -> Option<String> {
    let subject = Subject::new(figure, tray);
    if subject.pegs().any(|(_, peg)| subject.name(peg.mark) == thing.bead) {
        return Some(thing.bead.clone());
    }
    let colour = tray.bead(tray.find(&thing.bead)?).lab;
    instead(&subject, thing, colour).map(|(bead, ..)| bead.to_owned())
}

fn finding(subject: &Subject, thing: &Thing) -> Finding {
    let tray = subject.tray();
    let Thing { name, bead, .. } = thing;
    let Some(id) = tray.find(bead) else {
        let what =
            format!("{name} is {bead} in this cast, but neither the figure nor the tray has that bead");
        return Finding::new(&RULE, Vec::new(), what, "correct the bead's name in cast.toml".into());
    };
    match instead(subject, thing, tray.bead(id).lab) {
        Some((other, apart, beads)) => {
            let what = format!(
                "{name} is {bead} in this cast, and no bead here is; {other} is {apart} away from it"
            );
            Finding::new(&RULE, beads, what, format!("swap {other} for {bead} where it is {name}"))
        }
        None => {
            let what = format!("{name} is {bead} in this cast, and no bead here is {bead} or like it");
            let could = format!("peg it in {bead}, or remove this figure from its list in cast.toml");
            Finding::new(&RULE, Vec::new(), what, could)
        }
    }
}

/// A bead of the figure, how far it is from the thing's colour, and where it lies.
type Instead<'a> = (&'a str, DeltaE, Vec<Place>);

fn instead<'a>(subject: &'a Subject, thing: &Thing, colour: Lab) -> Option<Instead<'a>> {
    match part_of(&thing.name) {
        Some(part) => in_part(subject, part, colour),
        None => nearest(subject, colour),
    }
}

/// The part of the body that a thing's name ends in: the newspaper girl's hair is hair.
fn part_of(name: &str) -> Option<BodyPart> {
    let last = name.split_whitespace().last()?;
    [BodyPart::Hair, BodyPart::Hat].into_iter().find(|part| part.name().eq_ignore_ascii_case(last))
}

/// The bead that a part has most of, however far it is from the colour.
fn in_part<'a>(subject: &'a Subject, part: BodyPart, colour: Lab) -> Option<Instead<'a>> {
    let parts = subject.parts();
    let of_part = || subject.pegs().filter(|((row, column), _)| parts[(*row, *column)] == Some(part));
    let mut counts: BTreeMap<Mark, (usize, Lab)> = BTreeMap::new();
    for (_, peg) in of_part() {
        let Some(lab) = peg.lab else { continue };
        counts.entry(peg.mark).or_insert((0, lab)).0 += 1;
    }
    let (mark, (_, lab)) = counts.into_iter().max_by_key(|(mark, (count, _))| (*count, Reverse(*mark)))?;
    let beads = of_part().filter(|(_, peg)| peg.mark == mark).map(|(place, _)| place).collect();
    Some((subject.name(mark), ciede2000(lab, colour), beads))
}

/// The figure's bead most like a colour; nothing if none is like it. Skin is nobody's coat.
fn nearest<'a>(subject: &'a Subject, colour: Lab) -> Option<Instead<'a>> {
    let apart = |lab: Lab| ciede2000(lab, colour);
    let skin = Face::of(subject).map(|face| face.skin_mark());
    let dressed = subject.pegs().filter(|(_, peg)| Some(peg.mark) != skin);
    let known = dressed.filter_map(|(_, peg)| Some((peg.mark, apart(peg.lab?))));
    let (mark, apart) = known.min_by(|one, other| one.1.0.total_cmp(&other.1.0))?;
    let beads = subject.pegs().filter(|(_, peg)| peg.mark == mark).map(|(place, _)| place).collect();
    (apart <= TAKEN_INSTEAD).then(|| (subject.name(mark), apart, beads))
}
