//! From one height class to another: rows come and go zone by zone.

use super::{Height, Making};
use crate::cast::lines::{Lines, by_hand};
use crate::error::{Error, Result};
use crate::figure::{Edit, RowIn};
use crate::plan::{Zone, ZoneRows};
use crate::units::{Column, Row};

/// Rows that could go only with beads placed by hand.
#[derive(Default)]
struct Held {
    /// How many rows.
    rows: usize,
    /// Their zones, each once.
    zones: Vec<Zone>,
    /// The beads placed by hand that lie in them.
    beads: usize,
}

/// Brings a figure to a height: a line for each row, then its class and how tall it stands. No row goes that has a bead
/// placed by hand unless it `may`: where it must, the lines that would do it are said instead, for the maker to give.
pub(super) fn bring_to(made: &mut Making, height: &Height, may: bool) -> Result<()> {
    let asked = asked(height);
    let own = made.zones(asked.0, &asked.1)?;
    let (before, mut held) = (made.reused.edits.len(), Held::default());
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
            drop_one(made, zone, &mut held)?;
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
    if held.rows > 0 && !may { Err(held.refused(asked, &made.reused.edits[before..])) } else { Ok(()) }
}

impl Held {
    fn refused(&self, (option, value): (&'static str, String), lines: &[Edit]) -> Error {
        let (rows, these) = if self.rows == 1 { ("row", "it") } else { ("rows", "they") };
        let beads = if self.beads == 1 { "1 bead" } else { &format!("{} beads", self.beads) };
        let zones: Vec<&str> = self.zones.iter().map(|zone| zone.name()).collect();
        // As a shell takes them.
        let quoted = |line: &Edit| format!("--do '{}'", line.to_string().replace('\'', r"'\''"));
        let lines: Vec<String> = lines.iter().map(quoted).collect();
        Error::BadValue {
            why: format!(
                "dropping {} {rows} of {} would remove {beads} placed by hand: every row there has some",
                self.rows,
                zones.join(" and ")
            ),
            right: format!(
                "if {these} may go, give these lines instead of {option} {value}, before your own: {}",
                lines.join(" ")
            ),
            option,
            value,
        }
    }
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

fn drop_one(made: &mut Making, zone: Zone, held: &mut Held) -> Result<()> {
    let Some((first, rows)) = made.figure().rows().and_then(|rows| span_of(rows, zone)) else {
        return Ok(());
    };
    let (lines, middle) = (Lines::rows(made.figure(), first..first + rows), (rows - 1) / 2);
    let line = match lines.to_drop(middle) {
        Some(line) => {
            if let Some(other) = lines.less_seen_by_hand(middle, line) {
                made.reused.notes.push(format!(
                    "row {} of {} was dropped, because nothing on it was placed by hand; dropping row {} would \
                    show less",
                    first + line + 1,
                    zone.name(),
                    first + other + 1
                ));
            }
            line
        }
        None => {
            // A zone that is here has rows.
            let line = lines.to_drop_by_hand(middle).unwrap_or(middle);
            let hand = by_hand(made.figure());
            held.rows += 1;
            held.zones.extend(Some(zone).filter(|zone| !held.zones.contains(zone)));
            held.beads +=
                (0..hand.columns()).filter(|column| hand[(Row(first + line), Column(*column))]).count();
            line
        }
    };
    made.make(Edit::DropRow(RowIn::Of(zone, Row(first + line))))
}

pub(super) fn span_of(rows: &ZoneRows, zone: Zone) -> Option<(usize, usize)> {
    rows.rows_of(zone).next().map(|first| (first, rows.get(zone)))
}
