//! Neighbouring colours too alike to be told apart.

use std::collections::BTreeMap;

use super::joined::Place;
use super::{Finding, Judge, Rule, Subject};
use crate::colour::{Lab, ciede2000};
use crate::figure::Mark;
use crate::tray::Eyes;
use crate::units::DeltaE;

pub(super) const RULE: Rule = Rule {
    name: "alike",
    title: "neighbours too alike to be told apart",
    what: "Two beads of different kinds that lie side to side and look nearly the same, to ordinary eyes or to eyes with a colour-vision deficiency at its strongest.",
    why: "Where the line between two parts is not seen, the sleeve becomes the arm and the belt the coat.",
    example: "A sleeve of clay on a coat of fern: one colour to protan eyes.",
    limits: "CIEDE2000 up to 5 for ordinary eyes (Mokrzycki and Tatol 2011; Stone, Szafir and Setlur 2014); up \
    to 1.8 for protan, deutan and tritan eyes, simulated after Machado, Oliveira and Fernandes 2009: half of \
    the people asked would accept it as a match (Paravina and others 2015). The simulation is of the strongest \
    deficiency, which is rare, so its limit is the stricter one.",
    judge: Judge::Figure(judge),
};

fn judge(subject: &Subject) -> Vec<Finding> {
    let pairs = meetings(subject);
    pairs.into_iter().filter_map(|((one, other), meet)| finding(subject, one, other, meet)).collect()
}

/// Where beads of two kinds lie side to side: the beads at the border, by their marks.
fn meetings(subject: &Subject) -> BTreeMap<(Mark, Mark), Vec<(Place, Place)>> {
    let mut pairs: BTreeMap<(Mark, Mark), Vec<(Place, Place)>> = BTreeMap::new();
    for (place, peg) in subject.pegs() {
        for (other, beside) in subject.beside(place).filter(|(_, beside)| beside.mark > peg.mark) {
            pairs.entry((peg.mark, beside.mark)).or_default().push((place, other));
        }
    }
    pairs
}

fn finding(subject: &Subject, one: Mark, other: Mark, meet: Vec<(Place, Place)>) -> Option<Finding> {
    let (first, beside) = *meet.first()?;
    let (mine, its) = (subject.peg(first)?, subject.peg(beside)?);
    let (colour, beside) = (mine.lab?, its.lab?);
    let apart = |eyes: Eyes| (eyes, ciede2000(eyes.see(colour), eyes.see(beside)));
    let alike: Vec<(Eyes, DeltaE)> =
        Eyes::ALL.into_iter().map(apart).filter(|&(eyes, apart)| apart <= eyes.hard_to_tell()).collect();
    let &(eyes, difference) = alike.first()?;
    let names = format!("{} and {}", subject.name(one), subject.name(other));
    let sides = meet.len();
    let whose = match eyes {
        Eyes::Ordinary => "for ordinary eyes".to_owned(),
        Eyes::With(_) => {
            let names: Vec<&str> = alike.iter().map(|(eyes, _)| eyes.name()).collect();
            format!("for {} eyes", names.join(" and "))
        }
    };
    let s = if sides == 1 { "" } else { "s" };
    let what = format!("{names} meet along {sides} side{s} and are only {difference} apart {whose}");
    let could = instead(subject, colour, beside, eyes);
    Some(Finding::new(&RULE, meet.into_iter().flat_map(|(a, b)| [a, b]).collect(), what, could))
}

/// A bead of the tray like one of the two and clear of the other.
fn instead(subject: &Subject, one: Lab, other: Lab, eyes: Eyes) -> String {
    let tray = subject.tray();
    /// As many as a maker would think of for a colour.
    const NEAREST: usize = 8;
    let clear = |lab: Lab, from: Lab| ciede2000(eyes.see(lab), eyes.see(from)) > eyes.hard_to_tell();
    let all = [(one, other), (other, one)].into_iter().flat_map(|(colour, from)| {
        let near = tray.nearest(colour, NEAREST).into_iter();
        near.filter(move |(id, _)| clear(tray.bead(*id).lab, from))
            .map(move |(id, apart)| (colour, id, apart))
    });
    let best = all.min_by(|a, b| a.2.0.total_cmp(&b.2.0));
    let name = |lab: Lab| tray.nearest(lab, 1).first().map_or("it", |(id, _)| tray.bead(*id).name.as_str());
    match best {
        Some((colour, id, apart)) => {
            format!(
                "take {} for {} ({apart} from it), or lay a row of another colour between",
                tray.bead(id).name,
                name(colour)
            )
        }
        None => "lay a row of another colour between".into(),
    }
}
