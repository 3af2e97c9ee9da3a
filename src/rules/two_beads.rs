//! One named thing in two beads across a cast.

use super::joined::Place;
use super::{Finding, Judge, Rule, Subject};
use crate::cast::Thing;
use crate::colour::{Lab, ciede2000};
use crate::tray::KIN;
use crate::units::DeltaE;

pub(super) const RULE: Rule = Rule {
    name: "two-beads",
    title: "a named thing in another bead",
    what: "A figure that cast.toml lists with a named thing ([[thing]]) and that has not one bead of the thing's name. If it has a bead of nearly that colour, this is likely the one that was taken instead.",
    why: "A figure is known again by a few colours. Hair that is oat in one figure and hay in the next is somebody else's hair.",
    example: "The newspaper girl's hair is hay, and oat where she stands with her brother.",
    limits: "A bead up to 20 CIEDE2000 from the thing's is named as the one taken instead: twice what is still of a kind (by eye). Which beads of a figure are the thing is not in its file: one bead of the name is enough here.",
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

fn finding(subject: &Subject, thing: &Thing) -> Finding {
    let tray = subject.tray();
    let Thing { name, bead, .. } = thing;
    let Some(id) = tray.find(bead) else {
        let what = format!("{name} is {bead} in this cast; no bead of the figure is, nor is any of the tray");
        return Finding::new(&RULE, Vec::new(), what, "put the bead's name in cast.toml right".into());
    };
    match nearest(subject, tray.bead(id).lab) {
        Some((other, apart, beads)) => {
            let what =
                format!("{name} is {bead} in this cast, and no bead here is; {other} is {apart} from it");
            Finding::new(&RULE, beads, what, format!("swap {other} for {bead} where it is {name}"))
        }
        None => {
            let what = format!("{name} is {bead} in this cast, and no bead here is {bead} or like it");
            let could = format!("peg it in {bead}, or take this figure out of its list in cast.toml");
            Finding::new(&RULE, Vec::new(), what, could)
        }
    }
}

/// The figure's bead most like a colour, how far it is and where it lies; nothing if none is like it.
fn nearest<'a>(subject: &'a Subject, colour: Lab) -> Option<(&'a str, DeltaE, Vec<Place>)> {
    let apart = |lab: Lab| ciede2000(lab, colour);
    let known = subject.pegs().filter_map(|(_, peg)| Some((peg.mark, apart(peg.lab?))));
    let (mark, apart) = known.min_by(|one, other| one.1.0.total_cmp(&other.1.0))?;
    let beads = subject.pegs().filter(|(_, peg)| peg.mark == mark).map(|(place, _)| place).collect();
    (apart <= TAKEN_INSTEAD).then(|| (subject.name(mark), apart, beads))
}
