//! What changes together: a line by itself, or all lines of a thing.

use std::collections::{BTreeMap, BTreeSet};

use super::lines::Lines;
use super::{Holds, Older, Request};

/// Lines that change together or not at all, and that have one bead.
#[derive(Clone, Debug)]
pub(super) struct Unit {
    /// At least one.
    pub lines: Vec<usize>,
    /// The thing they are, where it is in more than one place.
    pub thing: Option<String>,
    /// What keeps the thing from changing everywhere.
    pub holds: Option<Holds>,
}

/// Every line that may change, in units, in the order of their first lines.
pub(super) fn units(figures: &[Older], lines: &Lines, request: &Request) -> Vec<Unit> {
    let mut of_thing: BTreeMap<&str, usize> = BTreeMap::new();
    // Each line's unit, by the first line of it; two things of one bead in one figure are one.
    let mut first: Vec<usize> = (0..lines.told.len()).collect();
    for (at, line) in lines.told.iter().enumerate() {
        for thing in &line.things {
            let other = *of_thing.entry(thing).or_insert(at);
            join(&mut first, at, other);
        }
    }
    let mut members: BTreeMap<usize, Vec<usize>> = BTreeMap::new();
    for at in 0..lines.told.len() {
        members.entry(root(&first, at)).or_default().push(at);
    }
    let units = members.into_values().map(|members| unit(figures, lines, request, members));
    units.filter(|unit| unit.lines.iter().any(|line| lines.known[*line].open)).collect()
}

fn root(first: &[usize], mut at: usize) -> usize {
    while first[at] != at {
        at = first[at];
    }
    at
}

fn join(first: &mut [usize], one: usize, other: usize) {
    let (one, other) = (root(first, one), root(first, other));
    first[one.max(other)] = one.min(other);
}

fn unit(figures: &[Older], lines: &Lines, request: &Request, members: Vec<usize>) -> Unit {
    let names: BTreeSet<&str> =
        members.iter().flat_map(|line| lines.told[*line].things.iter().map(String::as_str)).collect();
    let elsewhere = request.things.iter().filter(|thing| names.contains(thing.name.as_str()));
    let elsewhere = elsewhere.flat_map(|thing| thing.figures.intersection(&request.elsewhere)).next();
    let figure = |line: &usize| lines.told[*line].figure;
    let holds = || {
        if let Some(elsewhere) = elsewhere {
            return Some(Holds::NotChosen(elsewhere.clone()));
        }
        let first = |holds: &dyn Fn(usize) -> bool| members.iter().find(|line| holds(**line));
        let closed = first(&|line| !lines.known[line].open);
        let closed = closed.map(|line| Holds::NotChosen(figures[figure(line)].stem.to_owned()));
        // Where some of its beads stay by hand, the thing would have two beads.
        let by_hand = first(&|line| lines.known[line].held || lines.told[line].by_hand > 0);
        let no_aim = first(&|line| lines.known[line].aim.is_none());
        closed
            .or_else(|| by_hand.map(|line| Holds::Hand(figure(line))))
            .or_else(|| no_aim.map(|line| Holds::NoAim(figure(line))))
    };
    let is_thing = members.len() > 1 || elsewhere.is_some();
    let thing = names.first().filter(|_| is_thing).map(|name| (*name).to_owned());
    Unit { holds: thing.as_ref().and_then(|_| holds()), thing, lines: members }
}
