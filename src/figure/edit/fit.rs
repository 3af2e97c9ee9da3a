//! Where a part of one figure lies in another, and which of its rows come and go for it.

use std::fmt;

use super::layers::{Layer, Peg};
use super::{Refused, counted};
use crate::figure::Anatomy;
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
/// Rows come and go in the middle of torso and legs, in the head above the face. What is held keeps its rows: it stands
/// on the ground where it did, else it hangs from the shoulder.
pub(super) fn to_plan(
    layer: &mut Layer,
    body: BodyPart,
    theirs: &Anatomy,
    ours: &Anatomy,
) -> Result<Laid, Refused> {
    let (Some(from), Some(to)) = (theirs.zones(), ours.zones()) else { return Ok(Laid::default()) };
    across(layer, theirs, ours);
    if body == BodyPart::Props {
        let stands = layer.top + layer.rows() >= from.total() as i32;
        layer.top += if stands {
            to.total() as i32 - from.total() as i32
        } else {
            to.first(Zone::Torso) as i32 - from.first(Zone::Torso) as i32
        };
        return Ok(Laid { fitted: Vec::new(), by_plan: true });
    }
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

/// Moves a layer so that the axes lie over one another; where one lies between two pegs, half a peg to the left.
fn across(layer: &mut Layer, theirs: &Anatomy, ours: &Anatomy) {
    if let (Some(from), Some(to)) = (theirs.axis(), ours.axis()) {
        layer.left += (to - from).floor() as i32;
    }
}

fn has_bead(layer: &Layer, row: i32) -> bool {
    let own = usize::try_from(row - layer.top).ok().and_then(|own| layer.pegs.get(own));
    own.is_some_and(|pegs| pegs.iter().any(|peg| peg.bead().is_some()))
}
