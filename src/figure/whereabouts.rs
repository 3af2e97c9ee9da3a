//! Where beads of a figure lie, as a maker would say it: on the trousers, the hair, the left arm.

use std::collections::BTreeMap;

use super::{Anatomy, FIRST_PART, Figure, Mark};
use crate::grid::Grid;
use crate::plan::BodyPart;
use crate::units::{Column, Row};

/// A part with less than one in this many of some beads is not named for them.
const HARDLY_ANY: usize = 10;

/// More parts than these say no more than rows do.
const MOST_NAMED: usize = 2;

/// What legs in cloth are called.
const TROUSERS: &str = "trousers";

/// The parts of a figure, by the pegs where they show: its own; of what is in none, those of the body.
#[derive(Clone, Debug)]
pub struct Whereabouts {
    names: Vec<String>,
    at: Grid<Option<usize>>,
}

impl Whereabouts {
    /// Reads a figure.
    pub fn of(figure: &Figure) -> Self {
        let beads = figure.beads();
        // A part of that name is all that was not made a part of its own.
        let is_whole = |name: &str| name == FIRST_PART;
        let anatomy = figure.parts().iter().any(|part| is_whole(&part.name)).then(|| Anatomy::of(figure));
        let of_body = |row, column| Some(anatomy.as_ref()?.part(row, column)?.name());
        let names = beads.map(|row, column, bead| {
            let own = bead.and_then(|_| figure.part_at(row, column))?.name.as_str();
            if is_whole(own) { of_body(row, column) } else { Some(own) }
        });
        let worn = trousers(&beads.map(|_, _, bead| bead.map(|bead| bead.mark)), &names);
        let mut known: BTreeMap<&str, usize> = BTreeMap::new();
        let at = names.map(|row, column, name| {
            let is_worn = worn.is_some() && beads[(row, column)].map(|bead| bead.mark) == worn;
            let name = name.map(|name| if is_worn && is(name, BodyPart::Legs) { TROUSERS } else { name })?;
            let next = known.len();
            Some(*known.entry(name).or_insert(next))
        });
        let mut in_order: Vec<(usize, &str)> = known.into_iter().map(|(name, at)| (at, name)).collect();
        in_order.sort_unstable();
        Self { names: in_order.into_iter().map(|(_, name)| name.replace('-', " ")).collect(), at }
    }

    /// The part or two that some pegs lie on; none where they lie on more, or no part tells.
    pub fn named(&self, pegs: &[(Row, Column)]) -> Option<String> {
        let mut shares = vec![0; self.names.len()];
        for &(row, column) in pegs {
            shares[self.at.get(row, column).copied().flatten()?] += 1;
        }
        let mut most: Vec<(usize, &String)> = shares.into_iter().zip(&self.names).collect();
        most.retain(|(share, _)| *share > 0 && share * HARDLY_ANY >= pegs.len());
        most.sort_by_key(|(share, _)| std::cmp::Reverse(*share));
        let names: Vec<&str> = most.into_iter().map(|(_, name)| name.as_str()).collect();
        (1..=MOST_NAMED).contains(&names.len()).then(|| names.join(" and "))
    }
}

fn is(name: &str, part: BodyPart) -> bool {
    BodyPart::named(name) == Some(part)
}

/// The bead that most of the legs have, where it is not the bead that most of the head has: bare legs are no trousers.
fn trousers(marks: &Grid<Option<Mark>>, names: &Grid<Option<&str>>) -> Option<Mark> {
    let most = |part: BodyPart| {
        let mut counts: BTreeMap<Mark, usize> = BTreeMap::new();
        let own =
            marks.iter().filter(|&(row, column, _)| names[(row, column)].is_some_and(|name| is(name, part)));
        own.filter_map(|(_, _, mark)| *mark).for_each(|mark| *counts.entry(mark).or_default() += 1);
        let all: usize = counts.values().sum();
        counts.into_iter().max_by_key(|(_, count)| *count).map(|(mark, count)| (mark, 2 * count > all))
    };
    let (worn, is_most) = most(BodyPart::Legs)?;
    (is_most && most(BodyPart::Head).is_none_or(|(skin, _)| skin != worn)).then_some(worn)
}
