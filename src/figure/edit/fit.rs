//! Where a part of one figure lies in another, and which of its rows come and go for it.

use std::collections::BTreeSet;
use std::fmt;

use super::layers::{Layer, Peg};
use super::{Refused, Spot, counted};
use crate::figure::Anatomy;
use crate::figure::anatomy::Hand;
use crate::plan::{BodyPart, Zone, fitted_rows};

/// What was done to lay a part, in words: `, torso 8 rows to 7`.
#[derive(Clone, Debug, Default)]
pub(super) struct Laid {
    /// Zones whose rows came or went: of how many rows how many were made.
    fitted: Vec<(Zone, usize, usize)>,
    /// It was laid by the plan, not where it lay.
    by_plan: bool,
}

impl fmt::Display for Laid {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        if !self.by_plan {
            return Ok(());
        }
        if self.fitted.is_empty() {
            return f.write_str(", laid about this figure's axis");
        }
        let zones = self.fitted.iter().map(|(zone, from, to)| {
            let rows = counted(*to, "row");
            format!("{} from {from} to {rows}", zone.name())
        });
        write!(f, ", fitted to this figure's rows: {}", zones.collect::<Vec<_>>().join(", "))
    }
}

/// Lays a part of the body where this figure's plan has it: axis to axis, and its rows as many as each zone has here.
/// Rows come and go in the middle of torso and legs, in the head above the face. What is held keeps its rows, as [`held`]
/// has it.
pub(super) fn to_plan(
    layer: &mut Layer,
    body: BodyPart,
    theirs: &Anatomy,
    ours: &Anatomy,
) -> Result<Laid, Refused> {
    let (Some(from), Some(to)) = (theirs.zones(), ours.zones()) else { return Ok(Laid::default()) };
    if body == BodyPart::Props {
        held(layer, theirs, ours);
        return Ok(Laid { fitted: Vec::new(), by_plan: true });
    }
    across(layer, theirs, ours);
    let rows = fitted_rows(from, to);
    let mut fitted: Vec<(Zone, usize, usize)> = Vec::new();
    for zone in
        Zone::ALL.into_iter().filter(|zone| *zone != Zone::Headwear && from.get(*zone) != to.get(*zone))
    {
        let start = from.first(zone) as i32;
        let lies_in = (start..start + from.get(zone) as i32).any(|row| has_bead(layer, row));
        if lies_in {
            fitted.push((zone, from.get(zone), to.get(zone)));
        }
    }
    let blank = vec![Peg::EMPTY; layer.columns() as usize];
    let inside = |source: i32| usize::try_from(source - layer.top).ok().filter(|own| *own < layer.pegs.len());
    let lies: Vec<(i32, usize, bool)> =
        rows.into_iter().filter_map(|row| Some((row.to, inside(row.from as i32)?, row.is_copy))).collect();
    let (Some(top), Some(last)) = (lies.iter().map(|row| row.0).min(), lies.iter().map(|row| row.0).max())
    else {
        let why = format!("this figure has no rows for {}", body.name());
        return Err((why, "add a row first, as in add-row feet, or say where with: at ROW,COLUMN".into()));
    };
    let mut pegs = vec![blank; (last - top + 1) as usize];
    for (row, own, is_copy) in lies {
        let line = layer.pegs[own].iter();
        pegs[(row - top) as usize] = line.map(|peg| if is_copy { peg.copied() } else { *peg }).collect();
    }
    (layer.top, layer.pegs) = (top, pegs);
    Ok(Laid { fitted, by_plan: true })
}

/// Lays any other part axis to axis and sole to sole.
pub(super) fn to_ground(layer: &mut Layer, theirs: &Anatomy, ours: &Anatomy) -> Laid {
    let (Some(from), Some(to)) = (theirs.zones(), ours.zones()) else { return Laid::default() };
    across(layer, theirs, ours);
    layer.top += to.total() as i32 - from.total() as i32;
    Laid::default()
}

/// Lays what is held, each thing by itself: where it touches a hand it goes to this figure's hand of that side, and keeps
/// its place beside it. What stands on the ground stands there still; what no hand holds hangs from the shoulder.
fn held(layer: &mut Layer, theirs: &Anatomy, ours: &Anatomy) {
    let (Some(from), Some(to)) = (theirs.zones(), ours.zones()) else { return };
    let to_ground = to.total() as i32 - from.total() as i32;
    let to_shoulder = to.first(Zone::Torso) as i32 - from.first(Zone::Torso) as i32;
    let ground = from.total() as i32;
    let mut laid =
        Layer { from: layer.from.clone(), ..Layer::empty(&layer.name, Spot { row: 0, column: 0 }) };
    for thing in things(layer) {
        let stands = thing.iter().any(|spot| spot.row + 1 >= ground);
        let (down, right) = match to_hand(&thing, theirs, ours) {
            Some((_, right)) if stands => (to_ground, right),
            Some(both) => both,
            None => (if stands { to_ground } else { to_shoulder }, to_axis(theirs, ours)),
        };
        for spot in thing {
            let peg = layer.peg(spot).unwrap_or(Peg::EMPTY);
            laid.set(Spot { row: spot.row + down, column: spot.column + right }, peg);
        }
    }
    *layer = laid;
}

/// How far down and to the right the hand that holds a thing lies in this figure: the mean of both where both hold it.
fn to_hand(thing: &BTreeSet<Spot>, theirs: &Anatomy, ours: &Anatomy) -> Option<(i32, i32)> {
    let touches = |hand: &Hand| {
        hand.beads.iter().any(|at| about(Spot::at(at.0, at.1)).any(|near| thing.contains(&near)))
    };
    let holding = [BodyPart::RightArm, BodyPart::LeftArm].into_iter().filter_map(|arm| {
        let (their, our) = (theirs.hand(arm).filter(|hand| touches(hand))?, ours.hand(arm)?);
        let (their, our) = (Spot::at(their.end.0, their.end.1), Spot::at(our.end.0, our.end.1));
        Some((our.row - their.row, our.column - their.column))
    });
    let moves: Vec<(i32, i32)> = holding.collect();
    let hands = moves.len() as i32;
    let mean = |of: fn(&(i32, i32)) -> i32| moves.iter().map(of).sum::<i32>().div_euclid(hands);
    (hands > 0).then(|| (mean(|by| by.0), mean(|by| by.1)))
}

/// The beads of a layer in groups that touch, corner to corner too.
fn things(layer: &Layer) -> Vec<BTreeSet<Spot>> {
    let places = (layer.top..layer.top + layer.rows())
        .flat_map(|row| (layer.left..layer.left + layer.columns()).map(move |column| Spot { row, column }));
    let mut left: BTreeSet<Spot> = places.filter(|spot| layer.has_bead(*spot)).collect();
    let mut things = Vec::new();
    while let Some(first) = left.pop_first() {
        let (mut thing, mut open) = (BTreeSet::from([first]), vec![first]);
        while let Some(spot) = open.pop() {
            let met: Vec<Spot> = about(spot).filter(|near| left.remove(near)).collect();
            thing.extend(&met);
            open.extend(met);
        }
        things.push(thing);
    }
    things
}

/// A place and those side to side or corner to corner with it.
fn about(spot: Spot) -> impl Iterator<Item = Spot> {
    (-1..=1).flat_map(move |down| {
        (-1..=1).map(move |right| Spot { row: spot.row + down, column: spot.column + right })
    })
}

/// Moves a layer so that the axes lie over one another; where one lies between two pegs, half a peg to the left.
fn across(layer: &mut Layer, theirs: &Anatomy, ours: &Anatomy) {
    layer.left += to_axis(theirs, ours);
}

/// How far to the right this figure's axis lies.
fn to_axis(theirs: &Anatomy, ours: &Anatomy) -> i32 {
    theirs.axis().zip(ours.axis()).map_or(0, |(from, to)| (to - from).floor() as i32)
}

fn has_bead(layer: &Layer, row: i32) -> bool {
    let own = usize::try_from(row - layer.top).ok().and_then(|own| layer.pegs.get(own));
    own.is_some_and(|pegs| pegs.iter().any(|peg| peg.bead().is_some()))
}
