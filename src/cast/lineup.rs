//! A cast in a line: who stands where.

use std::cmp::Reverse;
use std::collections::HashMap;

use super::likeness::Pair;
use crate::figure::Figure;
use crate::plan::{Classes, Zone};

/// What decides who stands where.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum By {
    /// The tallest first, hats left out of account; of one height by name.
    Height,
    /// Groups in the order of `cast.toml`, those of no group last; within a group by height.
    Group,
    /// By name.
    Name,
}

/// A figure of a line-up.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Member {
    /// Its name; its file's where it has none.
    pub name: String,
    /// Its rows from crown or hat to sole.
    pub rows: usize,
    /// The same without what is worn on the head.
    pub body: usize,
    /// Its height class: its own word, else the class with just its rows.
    pub class: Option<String>,
    /// Its group, by its place in the cast.
    pub group: Option<usize>,
}

impl Member {
    /// What a line-up asks of a figure; `file` is its file's name without the ending, `groups` says in which group,
    /// by its place, a figure of that name is.
    pub fn of(file: &str, figure: &Figure, classes: &Classes, groups: &HashMap<&str, usize>) -> Self {
        let beads = figure.beads();
        let rows = || beads.iter().filter(|(_, _, bead)| bead.is_some()).map(|(row, _, _)| row.0);
        let rows = rows().max().zip(rows().min()).map_or(0, |(sole, crown)| sole - crown + 1);
        let worn = figure.rows().map_or(0, |zones| zones.get(Zone::Headwear));
        let by_rows = || classes.with_rows(figure.rows()?).map(|class| class.name.to_string());
        Self {
            name: if figure.name().trim().is_empty() { file.into() } else { figure.name().into() },
            rows,
            body: rows.saturating_sub(worn),
            class: figure.class().map(str::to_owned).or_else(by_rows),
            group: groups.get(file).copied(),
        }
    }
}

impl By {
    /// All of them, as they are named.
    pub const ALL: [Self; 3] = [Self::Height, Self::Group, Self::Name];

    /// Its name on the command line.
    pub fn name(self) -> &'static str {
        match self {
            Self::Height => "height",
            Self::Group => "group",
            Self::Name => "name",
        }
    }

    /// The order that nobody asked for: by group where there are groups, else by height.
    pub fn usual(members: &[Member]) -> Self {
        match members.iter().any(|member| member.group.is_some()) {
            true => Self::Group,
            false => Self::Height,
        }
    }

    /// The members' places in the order they stand, from the left. Equal ones keep their order.
    pub fn order(self, members: &[Member]) -> Vec<usize> {
        let height = |member: &Member| (Reverse(member.body), Reverse(member.rows));
        let name = |member: &Member| member.name.to_lowercase();
        let mut order: Vec<usize> = (0..members.len()).collect();
        match self {
            Self::Name => order.sort_by_cached_key(|&at| name(&members[at])),
            Self::Height => order.sort_by_cached_key(|&at| (height(&members[at]), name(&members[at]))),
            Self::Group => order.sort_by_cached_key(|&at| {
                let member = &members[at];
                (member.group.is_none(), member.group, height(member), name(member))
            }),
        }
        order
    }
}

/// Of all pairs those that join everybody who is joined at all, and no more: at most one fewer than there are figures.
/// The pairs that `cost` least are kept (J. B. Kruskal, Proc. AMS 7, 1956).
pub fn fewest<K: Ord>(pairs: &[Pair], figures: usize, cost: impl Fn(&Pair) -> K) -> Vec<Pair> {
    let mut sorted: Vec<&Pair> = pairs.iter().collect();
    sorted.sort_by_cached_key(|pair| cost(pair));
    // Each figure points to another of those it is joined to, the last one to itself.
    let mut over: Vec<usize> = (0..figures).collect();
    let mut kept = Vec::new();
    for pair in sorted {
        let (one, other) = (last_over(&mut over, pair.one), last_over(&mut over, pair.other));
        if one != other {
            over[one] = other;
            kept.push(*pair);
        }
    }
    kept
}

fn last_over(over: &mut [usize], mut figure: usize) -> usize {
    while over[figure] != figure {
        over[figure] = over[over[figure]];
        figure = over[figure];
    }
    figure
}
