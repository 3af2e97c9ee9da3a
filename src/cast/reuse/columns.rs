//! From one build to another: columns of trunk and legs come and go, arms and props move with them.

use super::Making;
use super::body::{Body, Columns};
use super::rows::span_of;
use crate::cast::lines::Lines;
use crate::error::{Error, Result};
use crate::figure::{ColumnIn, Edit, Side};
use crate::plan::{Build, BuildKind, Look, Zone};
use crate::units::{Column, Row};

/// Brings a figure to a build: the trunk a column at each side in turn, legs and feet by their own, and what lies beyond
/// them in every zone as far out as the trunk's arms have moved.
pub(super) fn bring_to(made: &mut Making, (kind, look): (BuildKind, Look)) -> Result<()> {
    let zones = made.zones("--build", kind.name())?;
    let unseen = |made: &Making| Error::BadValue {
        option: "--build",
        value: kind.name().into(),
        why: format!("no torso was found in {}", made.figure().name()),
        right: "give its rows by zone under [rows] in its file, so that the torso's are known".into(),
    };
    let body = Body::of(made.figure()).ok_or_else(|| unseen(made))?;
    let wanted = Build::of(kind, &zones, look);
    let wider = wanted.torso - body.torso_wide() as i32;
    let legs = body.leg_wide().map_or(0, |leg| wanted.leg - leg as i32);
    // An odd column goes to the right, as a figure that looks to the right has it.
    let sides = [(Side::Left, wider / 2), (Side::Right, wider - wider / 2)];
    for (side, out) in sides {
        for zone in Zone::ALL {
            let inner = match zone {
                Zone::Torso => out,
                Zone::Legs | Zone::Feet if body.legs.is_some() => legs,
                Zone::Legs | Zone::Feet => out,
                Zone::Headwear | Zone::Head | Zone::Neck => 0,
            };
            change(made, (zone, side), inner, (kind, zone >= Zone::Legs && body.legs.is_some()))?;
            beyond(made, (zone, side), out - inner)?;
        }
    }
    Ok(())
}

/// Adds this many columns to one side of the trunk or of a leg, or takes them. Where two legs were seen at first
/// (`legged`) and are not any more, they are as narrow as they can be.
fn change(
    made: &mut Making,
    (zone, side): (Zone, Side),
    by: i32,
    (kind, legged): (BuildKind, bool),
) -> Result<()> {
    for _ in 0..by.abs() {
        let Some(body) = Body::of(made.figure()).filter(|body| body.legs.is_some() || !legged) else {
            return Ok(());
        };
        let Some((first, rows)) = made.figure().rows().and_then(|rows| span_of(rows, zone)) else {
            return Ok(());
        };
        let columns = half(&body, zone, side);
        let lines = Lines::columns(made.figure(), first..first + rows, *columns.start()..columns.end() + 1);
        // The outer one of equals: what is inside stays where it is.
        let outer = if side == Side::Left { 0 } else { lines.len() - 1 };
        let found = if by > 0 { lines.to_double(outer) } else { lines.to_drop(outer) };
        let line = found.ok_or_else(|| Error::BadValue {
            option: "--build",
            value: kind.name().into(),
            why: format!(
                "a column of {} must go, and each of columns {} to {} has beads placed by hand",
                zone.name(),
                columns.start() + 1,
                columns.end() + 1
            ),
            right: format!(
                "say which one to drop instead: --do 'drop-column {} {} {}'",
                zone.name(),
                columns.start() + 1,
                side.word()
            ),
        })?;
        let column = ColumnIn { zone: Some(zone), column: Column(columns.start() + line), side };
        made.make_if_any(if by > 0 { Edit::AddColumn(column) } else { Edit::DropColumn(column) })?;
    }
    Ok(())
}

/// The columns of one side: of the trunk its half without the middle, of legs and feet that leg.
fn half(body: &Body, zone: Zone, side: Side) -> Columns {
    let middle = (body.torso.start() + body.torso.end()) / 2;
    let odd = usize::from(body.torso_wide() % 2 == 1 && body.torso_wide() > 1);
    match (&body.legs, side) {
        (Some((left, _)), Side::Left) if zone != Zone::Torso => left.clone(),
        (Some((_, right)), Side::Right) if zone != Zone::Torso => right.clone(),
        (_, Side::Left) => *body.torso.start()..=(middle + 1 - odd).max(body.torso.start() + 1) - 1,
        (_, Side::Right) => (middle + 1).min(*body.torso.end())..=*body.torso.end(),
    }
}

/// Moves what lies beyond the body at one side, such as a staff beside head and legs, out by this many pegs or in. It is
/// told from the body by a column without beads; where there is none, the maker is told to look.
fn beyond(made: &mut Making, (zone, side): (Zone, Side), by: i32) -> Result<()> {
    for _ in 0..by.abs() {
        let Some((first, rows)) = made.figure().rows().and_then(|rows| span_of(rows, zone)) else {
            return Ok(());
        };
        let Some(body) = Body::of(made.figure()) else { return Ok(()) };
        let beads = made.figure().beads();
        let filled =
            |column: usize| (first..first + rows).any(|row| beads[(Row(row), Column(column))].is_some());
        let (first_inside, last_inside) = match &body.legs {
            Some((left, right)) if zone >= Zone::Legs => (*left.start(), *right.end()),
            _ => (*body.torso.start(), *body.torso.end()),
        };
        let outer: Vec<usize> = match side {
            Side::Left => (0..first_inside).rev().collect(),
            Side::Right => (last_inside + 1..beads.columns()).collect(),
        };
        let gap = outer.iter().position(|column| !filled(*column));
        let lies_beyond = |from: usize| outer[from..].iter().any(|column| filled(*column));
        match gap {
            Some(gap) if lies_beyond(gap) => {
                let column = ColumnIn { zone: Some(zone), column: Column(outer[gap]), side };
                made.make_if_any(if by > 0 { Edit::AddColumn(column) } else { Edit::DropColumn(column) })?;
            }
            Some(_) => return Ok(()),
            None if outer.is_empty() => return Ok(()),
            None => {
                let note = format!(
                    "what lies {} of the body in {} touches it and did not move with the arm: look at it",
                    side.word(),
                    zone.name()
                );
                if !made.reused.notes.contains(&note) {
                    made.reused.notes.push(note);
                }
                return Ok(());
            }
        }
    }
    Ok(())
}
