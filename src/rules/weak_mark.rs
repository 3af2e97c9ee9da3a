//! A mark too weak to be seen from across a room.

use super::joined::Place;
use super::{Finding, Judge, Rule, Subject, beads_in_words};
use crate::colour::Lab;
use crate::figure::Mark;
use crate::grid::commonest;

pub(super) const RULE: Rule = Rule {
    name: "weak-mark",
    title: "a mark too weak to be seen from across a room",
    what: "One or two beads shut in by the figure, such as an eye or a button, that differ too little from what lies around them.",
    why: "A figure is known by its few marks. What cannot be seen from three metres might as well not be there.",
    example: "A chestnut eye in a face of clay.",
    limits: "Seen from 3 m (common practice, no source) a bead of 5 mm is 5.7 minutes of arc: large enough \
    (20/20 vision tells 1 minute, ISO 8596), so contrast decides. Half of all people can tell two patches s \
    degrees wide apart at 0.5 (10.16 + 1.50/s) in L, 0.5 (10.68 + 3.08/s) in a, 0.5 (10.70 + 5.74/s) in b \
    (Stone, Szafir and Setlur 2014; a and b from memory): here 12.9, 21.5 and 35.4, which goes beyond the \
    sizes they tried (a third of a degree and more).",
    judge: Judge::Figure(judge),
};

/// A mark has at most this many beads; more are an area.
const MOST_BEADS: usize = 2;

/// From across a room, in millimetres (common practice, no source).
const DISTANCE: f64 = 3000.0;

/// A bead of the common kind, in millimetres (common practice, no source).
const BEAD: f64 = 5.0;

/// The difference in L, a and b that half of all people see between two patches `size` degrees wide:
/// M. Stone, D. A. Szafir, V. Setlur, "An engineering model for color difference as a function of size", Color
/// and Imaging Conference 2014; the numbers for a and b from memory.
fn seen_at(size: f64) -> Lab {
    Lab::new(0.5 * (10.16 + 1.50 / size), 0.5 * (10.68 + 3.08 / size), 0.5 * (10.70 + 5.74 / size))
}

/// How clearly one colour is seen on another from across a room: 1 and more is seen by half of all people.
fn clarity(one: Lab, other: Lab) -> f64 {
    let unit = seen_at((BEAD / DISTANCE).atan().to_degrees());
    let (l, a, b) = ((one.l - other.l) / unit.l, (one.a - other.a) / unit.a, (one.b - other.b) / unit.b);
    (l * l + a * a + b * b).sqrt()
}

fn judge(subject: &Subject) -> Vec<Finding> {
    let mut weak: Vec<Weak> = Vec::new();
    for (place, peg) in subject.pegs() {
        let Some(beads) = mark_at(subject, place, peg.mark) else { continue };
        // Each mark once, at its first bead.
        if beads.iter().min() != Some(&place) {
            continue;
        }
        let Some(new) = weigh(subject, beads, peg.mark) else { continue };
        // Marks of one colour on one other, and the stripes between them, are one finding.
        let same = |known: &&mut Weak| {
            [(new.mark, new.ground), (new.ground, new.mark)].contains(&(known.mark, known.ground))
        };
        match weak.iter_mut().find(same) {
            Some(known) => known.beads.extend(new.beads),
            None => weak.push(new),
        }
    }
    weak.into_iter().map(|weak| finding(subject, weak)).collect()
}

/// Marks that are hard to see: what they are of, what they lie on, how clearly they are seen.
struct Weak {
    beads: Vec<Place>,
    mark: Mark,
    ground: Mark,
    clarity: f64,
    /// Lightness of the mark less that of its ground.
    lighter: f64,
}

/// The beads of a mark, if it is one: few, and shut in by other beads on every side.
fn mark_at(subject: &Subject, place: Place, mark: Mark) -> Option<Vec<Place>> {
    let mut beads = vec![place];
    let mut next = 0;
    while let Some(&bead) = beads.get(next) {
        next += 1;
        let mut sides = 0;
        for (other, peg) in subject.beside(bead) {
            sides += 1;
            if peg.mark == mark && !beads.contains(&other) {
                beads.push(other);
            }
        }
        if sides < 4 || beads.len() > MOST_BEADS {
            return None;
        }
    }
    Some(beads)
}

/// The colour most of a mark's sides touch; of equal ones the first in the legend's order of marks.
fn ground(subject: &Subject, beads: &[Place], mark: Mark) -> Option<Mark> {
    let sides = beads.iter().flat_map(|&bead| subject.beside(bead)).filter(|(_, peg)| peg.mark != mark);
    commonest(sides.map(|(_, peg)| peg.mark))
}

fn weigh(subject: &Subject, beads: Vec<Place>, mark: Mark) -> Option<Weak> {
    let ground = ground(subject, &beads, mark)?;
    let lab = |mark: Mark| subject.pegs().find(|(_, peg)| peg.mark == mark)?.1.lab;
    let (own, around) = (lab(mark)?, lab(ground)?);
    let (clarity, lighter) = (clarity(own, around), own.l - around.l);
    (clarity < 1.0).then_some(Weak { beads, mark, ground, clarity, lighter })
}

fn finding(subject: &Subject, weak: Weak) -> Finding {
    let what = format!(
        "{} of {} on {} will hardly be seen from 3 m: {:.0} % of the contrast it takes, {:.0} apart in lightness",
        beads_in_words(weak.beads.len()),
        subject.name(weak.mark),
        subject.name(weak.ground),
        // Never rounded up to what would be enough.
        (weak.clarity * 100.0).floor(),
        weak.lighter.abs()
    );
    let way = if weak.lighter < 0.0 { "darker" } else { "lighter" };
    Finding::new(&RULE, weak.beads, what, format!("take a {way} bead for it, or make the mark larger"))
}
