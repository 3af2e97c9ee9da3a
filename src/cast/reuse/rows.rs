//! From one height class to another: rows come and go zone by zone.

use super::{Height, Making};
use crate::cast::lines::Lines;
use crate::error::{Error, Result};
use crate::figure::{Edit, RowIn};
use crate::plan::{Zone, ZoneRows};
use crate::units::Row;

/// Brings a figure to a height: a line for each row, then its class and how tall it stands.
pub(super) fn bring_to(made: &mut Making, height: &Height) -> Result<()> {
    let asked = asked(height);
    let own = made.zones(asked.0, &asked.1)?;
    for zone in Zone::ALL {
        let (mut rows, wanted) = (own.get(zone), height.rows.get(zone));
        if zone == Zone::Headwear && rows == 0 && wanted > 0 {
            made.reused.notes.push(nothing_worn(wanted));
            continue;
        }
        while rows < wanted {
            add(made, zone)?;
            rows += 1;
        }
        while rows > wanted && zone != Zone::Headwear {
            drop_one(made, zone, &asked)?;
            rows -= 1;
        }
    }
    if let Some(class) = height.class.as_ref().filter(|class| made.figure().class() != Some(class.as_str())) {
        made.make(Edit::Class { name: class.clone() })?;
    }
    let stature = height.stature.filter(|stature| made.figure().stature() != Some(*stature));
    if let Some(stature) = stature {
        // Statures reach to 4 metres.
        made.make(Edit::Stands { millimetres: (stature.0 * 10.0).round() as u16 })?;
    }
    Ok(())
}

/// An empty row on top would make nobody taller: what is worn is the maker's to give.
fn nothing_worn(rows: usize) -> String {
    let (s, is) = if rows == 1 { ("", "is") } else { ("s", "are") };
    format!(
        "{rows} row{s} of headwear {is} left out, since nothing is worn on the head; a hat, or hair a row higher, would fill \
         it, and add-row headwear makes room"
    )
}

/// What the maker asked for, as it was typed.
fn asked(height: &Height) -> (&'static str, String) {
    match (&height.stature, &height.class) {
        (Some(stature), _) => ("--stands", format!("{}cm", stature.0)),
        (None, Some(class)) => ("--class", class.clone()),
        (None, None) => ("--zones", height.rows.to_string()),
    }
}

fn add(made: &mut Making, zone: Zone) -> Result<()> {
    let span = made.figure().rows().and_then(|rows| span_of(rows, zone));
    let which = match span {
        Some((first, rows)) => {
            let lines = Lines::rows(made.figure(), first..first + rows);
            let line = lines.to_double((rows - 1) / 2).unwrap_or(0);
            RowIn::Of(zone, Row(first + line))
        }
        // A zone without rows has none to name.
        None => RowIn::Middle(zone),
    };
    made.make(Edit::AddRow(which))
}

fn drop_one(made: &mut Making, zone: Zone, asked: &(&'static str, String)) -> Result<()> {
    let Some((first, rows)) = made.figure().rows().and_then(|rows| span_of(rows, zone)) else {
        return Ok(());
    };
    let lines = Lines::rows(made.figure(), first..first + rows);
    let line = lines.to_drop((rows - 1) / 2).ok_or_else(|| Error::BadValue {
        option: asked.0,
        value: asked.1.clone(),
        why: format!(
            "a row of {} must go, and each of rows {} to {} has beads placed by hand",
            zone.name(),
            first + 1,
            first + rows
        ),
        right: format!("say which, in its place: --do 'drop-row {} {}'", zone.name(), first + rows / 2 + 1),
    })?;
    made.make(Edit::DropRow(RowIn::Of(zone, Row(first + line))))
}

pub(super) fn span_of(rows: &ZoneRows, zone: Zone) -> Option<(usize, usize)> {
    rows.spans().find(|span| span.0 == zone).map(|(_, first, rows)| (first, rows))
}
