//! Single stray beads of low confidence.

use super::joined::Place;
use super::{Finding, Judge, Peg, Rule, Subject};
use crate::figure::Sure;
use crate::units::{Column, Row};

pub(super) const RULE: Rule = Rule {
    name: "stray",
    title: "a single bead the draft is unsure of",
    what: "A bead unlike all eight around it and without a fellow near by, that the draft gave less than an even chance of being kept, and less than it gave most of the figure. Beads settled by hand are not judged.",
    why: "A speck in the drawing, a fold of the paper or a line can become a bead. Eyes and buttons come in pairs and rows; a speck comes alone.",
    example: "One grey bead in the middle of a red coat, where the pencil slipped.",
    limits: "Less than 50 % sure: more likely to be changed than kept. A fellow is another such bead at most 4 pegs away: eyes and buttons lie so (common practice, no source).",
    judge: Judge::Figure(judge),
};

/// Less than an even chance.
const EVEN: f64 = 0.5;

/// How far eyes and buttons lie apart at most, in pegs.
const FELLOW: usize = 4;

fn judge(subject: &Subject) -> Vec<Finding> {
    // Where most of a figure is unsure, a single bead is no worse than the rest: the draft says so as a whole.
    let bound = EVEN.min(usual(subject));
    let alone = |place, mark| !around(subject, place).any(|other| other == mark);
    let singles: Vec<_> = subject.pegs().filter(|(place, peg)| alone(*place, peg.mark)).collect();
    let near = |a: Place, b: Place| a.0.0.abs_diff(b.0.0).max(a.1.0.abs_diff(b.1.0)) <= FELLOW;
    let has_fellow = |place: Place, mark| {
        singles.iter().any(|&(other, peg)| other != place && peg.mark == mark && near(place, other))
    };
    let unsure = singles.iter().filter_map(|&(place, peg)| match peg.sure {
        Some(Sure::Likely(step)) if step.confidence().get() < bound => {
            Some((place, peg.mark, step.confidence()))
        }
        _ => None,
    });
    unsure
        .filter(|&(place, mark, _)| !has_fellow(place, mark))
        .map(|(place, mark, sure)| {
            let what = format!("a single bead of {}, only {sure} sure", subject.name(mark));
            Finding::new(&RULE, vec![place], what, instead(subject, place))
        })
        .collect()
}

/// How sure the draft was of the middle one of its beads; 1 where nobody said.
fn usual(subject: &Subject) -> f64 {
    let sure = |peg: &Peg| match peg.sure {
        Some(Sure::Likely(step)) => Some(step.confidence().get()),
        Some(Sure::ByHand) => Some(1.0),
        None => None,
    };
    let mut all: Vec<f64> = subject.pegs().filter_map(|(_, peg)| sure(peg)).collect();
    all.sort_by(f64::total_cmp);
    all.get(all.len() / 2).copied().unwrap_or(1.0)
}

/// The marks of the eight beads around a place.
fn around<'a>(
    subject: &'a Subject,
    (Row(r), Column(c)): (Row, Column),
) -> impl Iterator<Item = crate::figure::Mark> + 'a {
    let near = move |at: usize| [at.wrapping_sub(1), at, at + 1];
    let places =
        near(r).into_iter().flat_map(move |row| near(c).into_iter().map(move |column| (row, column)));
    let others = places.filter(move |&place| place != (r, c));
    others.filter_map(|(row, column)| subject.peg((Row(row), Column(column))).map(|peg| peg.mark))
}

/// The bead most of its neighbours have.
fn instead(subject: &Subject, place: (Row, Column)) -> String {
    let mut marks: Vec<_> = around(subject, place).collect();
    marks.sort_unstable();
    let count = |mark| marks.iter().filter(|other| **other == mark).count();
    let most =
        marks.iter().copied().max_by(|&one, &other| count(one).cmp(&count(other)).then(other.cmp(&one)));
    match most {
        Some(mark) => {
            format!("look at the reference there; if it is nothing, {} lies around it", subject.name(mark))
        }
        None => "look at the reference there; if it is nothing, lift it".into(),
    }
}
