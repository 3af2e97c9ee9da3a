//! The groups of a cast file, and the looks they take from one another.

use std::collections::{BTreeSet, HashMap};

use serde::Deserialize;
use toml::Spanned;

use super::fault::{Place, one_of};
use super::file::{figure_in, name_in, twice};
use super::{EVERYONE, Group};
use crate::error::Result;
use crate::plan::{Facing, HeadShape, LegLook, Look};

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct FileGroup {
    pub name: Spanned<String>,
    #[serde(default)]
    pub figures: Vec<Spanned<String>>,
    like: Option<Spanned<String>>,
    facing: Option<Spanned<String>>,
    legs: Option<Spanned<String>>,
    limbs: Option<Spanned<i64>>,
    arms: Option<Spanned<i64>>,
    head: Option<Spanned<String>>,
}

/// What a group says of its look itself.
#[derive(Clone, Copy)]
struct Own {
    facing: Option<Facing>,
    legs: Option<LegLook>,
    limbs: Option<u8>,
    arms: Option<u8>,
    head: Option<HeadShape>,
}

impl Own {
    /// The whole look: what is not said is taken from another.
    fn over(self, other: Look) -> Look {
        Look {
            facing: self.facing.unwrap_or(other.facing),
            legs: self.legs.unwrap_or(other.legs),
            limbs: self.limbs.unwrap_or(other.limbs),
            arms: self.arms.unwrap_or(other.arms),
            head: self.head.unwrap_or(other.head),
        }
    }
}

pub(super) fn groups_of(place: &Place, raw: &[FileGroup]) -> Result<Vec<Group>> {
    let own = raw.iter().map(|group| own_of(place, group)).collect::<Result<Vec<_>>>()?;
    let names = raw.iter().map(|group| name_in(place, "name", &group.name)).collect::<Result<Vec<_>>>()?;
    twice(place, "group", raw.iter().map(|group| &group.name))?;
    let figures = figures_of(place, raw)?;
    let looks = looks_of(place, raw, &own)?;
    let group = |((name, figures), look)| Group { name, figures, look };
    Ok(names.into_iter().zip(figures).zip(looks).map(group).collect())
}

/// The figures of each group: one is in one group at most.
fn figures_of(place: &Place, raw: &[FileGroup]) -> Result<Vec<BTreeSet<String>>> {
    let mut seen: HashMap<&str, &str> = HashMap::new();
    let mut all = Vec::new();
    for group in raw {
        let mut figures = BTreeSet::new();
        for said in &group.figures {
            let figure = figure_in(place, said)?;
            if let Some(before) = seen.insert(said.get_ref(), group.name.get_ref()) {
                let why = match before == group.name.get_ref() {
                    true => format!("'{figure}' is listed twice"),
                    false => format!("'{figure}' is already in the group '{before}'"),
                };
                return Err(place.fault(said.span().start, "figures", why, "keep it in one group only"));
            }
            figures.insert(figure);
        }
        all.push(figures);
    }
    Ok(all)
}

fn own_of(place: &Place, group: &FileGroup) -> Result<Own> {
    Ok(Own {
        facing: named(place, "facing", group.facing.as_ref(), &Facing::ALL, Facing::name)?,
        legs: named(place, "legs", group.legs.as_ref(), &LegLook::ALL, LegLook::name)?,
        limbs: beads(place, "limbs", group.limbs.as_ref(), Look::LIMBS)?,
        arms: beads(place, "arms", group.arms.as_ref(), Look::ARMS)?,
        head: named(place, "head", group.head.as_ref(), &HeadShape::ALL, HeadShape::name)?,
    })
}

fn named<T: Copy>(
    place: &Place,
    field: &str,
    said: Option<&Spanned<String>>,
    all: &[T],
    name: impl Fn(T) -> &'static str,
) -> Result<Option<T>> {
    let Some(said) = said else { return Ok(None) };
    let word = said.get_ref();
    match all.iter().find(|one| name(**one) == word.trim()) {
        Some(one) => Ok(Some(*one)),
        None => {
            let known: Vec<&str> = all.iter().map(|one| name(*one)).collect();
            let why = format!("'{}' is not known", word.escape_debug());
            Err(place.fault(said.span().start, field, why, one_of(word, &known)))
        }
    }
}

fn beads(
    place: &Place,
    field: &str,
    said: Option<&Spanned<i64>>,
    range: std::ops::RangeInclusive<u8>,
) -> Result<Option<u8>> {
    let Some(said) = said else { return Ok(None) };
    match u8::try_from(*said.get_ref()).ok().filter(|beads| range.contains(beads)) {
        Some(beads) => Ok(Some(beads)),
        None => {
            let (least, most) = (range.start(), range.end());
            let why = format!("{} beads cannot be made", said.get_ref());
            Err(place.fault(
                said.span().start,
                field,
                why,
                format!("write a whole number from {least} to {most}"),
            ))
        }
    }
}

/// Every group's whole look.
fn looks_of(place: &Place, raw: &[FileGroup], own: &[Own]) -> Result<Vec<Look>> {
    let places: HashMap<&str, usize> =
        raw.iter().enumerate().map(|(at, group)| (group.name.get_ref().as_str(), at)).collect();
    let from = (0..raw.len()).map(|at| taken_from(place, raw, &places, at)).collect::<Result<Vec<_>>>()?;
    let mut looks: Vec<Option<Look>> = vec![None; raw.len()];
    for first in 0..raw.len() {
        // From group to group up to a look that is known, then back down.
        let (mut chain, mut next) = (Vec::new(), Some(first));
        let mut base = Look::USUAL;
        while let Some(at) = next {
            if let Some(known) = looks[at] {
                base = known;
                break;
            }
            // A chain longer than there are groups has met one of them twice.
            if chain.len() > raw.len() {
                return Err(circle(place, raw, &from, at));
            }
            chain.push(at);
            next = from[at];
        }
        for at in chain.into_iter().rev() {
            base = own[at].over(base);
            looks[at] = Some(base);
        }
    }
    Ok(looks.into_iter().map(Option::unwrap_or_default).collect())
}

/// The group another takes its look from: the one it names, else the one called everyone.
fn taken_from(
    place: &Place,
    raw: &[FileGroup],
    places: &HashMap<&str, usize>,
    at: usize,
) -> Result<Option<usize>> {
    let everyone = places.get(EVERYONE).copied();
    let Some(like) = &raw[at].like else { return Ok(everyone.filter(|everyone| *everyone != at)) };
    let name = like.get_ref().as_str();
    match places.get(name) {
        Some(other) => Ok(Some(*other)),
        None if name == EVERYONE => Ok(None),
        None => {
            let known: Vec<&str> = raw.iter().map(|group| group.name.get_ref().as_str()).collect();
            let others: Vec<&str> = known.into_iter().filter(|one| *one != raw[at].name.get_ref()).collect();
            let known: Vec<&str> = others.into_iter().chain([EVERYONE]).collect();
            let why = format!("there is no group '{}'", name.escape_debug());
            Err(place.fault(like.span().start, "like", why, one_of(name, &known)))
        }
    }
}

/// The fault of groups that take their look from one another; `at` is one of them.
fn circle(place: &Place, raw: &[FileGroup], from: &[Option<usize>], at: usize) -> crate::error::Error {
    /// As many names as a line can hold.
    const MOST: usize = 6;
    let name = |at: usize| raw[at].name.get_ref().escape_debug().to_string();
    let mut met = vec![at];
    let mut next = from[at];
    while let Some(other) = next.filter(|other| *other != at && met.len() < raw.len()) {
        met.push(other);
        next = from[other];
    }
    let names: Vec<String> = met.iter().take(MOST).map(|at| name(*at)).chain([name(at)]).collect();
    let why = format!("these groups take their look from each other in a circle: {}", names.join(", then "));
    // The last of them in the file closes the circle.
    let said = met.iter().filter_map(|at| raw[*at].like.as_ref()).map(|like| like.span().start).max();
    place.fault(said.unwrap_or(0), "like", why, "give one of them its own look, without like")
}
