//! Where to look first: a draft's decisions, in words and as JSON.

use serde::Serialize;
use smallcast::draft::Draft;
use smallcast::figure::{Asks, Decision, Instead, MOST_ASKED, Whereabouts};
use smallcast::tray::{BeadId, Tray};
use smallcast::units::{Column, Row};

use super::output::Paint;
use super::table::indented;

/// A question that one answer settles.
#[derive(Serialize)]
pub struct Asked<'a> {
    /// `which bead` for a colour wherever it lies, or `what lies` at some pegs that touch.
    asks: &'static str,
    bead: &'a str,
    /// What it may be instead; null is an empty peg.
    other: Option<&'a str>,
    /// The part or two it lies on; null where no part tells.
    place: Option<String>,
    /// Row and column of each peg, counted from 0.
    pegs: Vec<[usize; 2]>,
    sure: f64,
    /// Beads that a wrong answer costs, reckoned with how likely it is wrong.
    cost: f64,
    /// The detector that set all of its beads; null where windows did.
    set_by: Option<&'static str>,
}

/// What `--json` says of a draft's decisions.
pub fn asked<'a>(draft: &Draft, tray: &'a Tray) -> Vec<Asked<'a>> {
    let name = |bead: BeadId| tray.bead(bead).name.as_str();
    let whereabouts = draft.whereabouts(tray);
    let asked = |decision: Decision<'static, BeadId>| Asked {
        asks: decision.asks.name(),
        bead: name(decision.bead),
        other: match decision.instead {
            Instead::Bead(other) => Some(name(other)),
            Instead::Empty | Instead::Unknown => None,
        },
        place: whereabouts.as_ref().and_then(|whereabouts| whereabouts.named(&decision.pegs)),
        pegs: decision.pegs.iter().map(|(row, column)| [row.0, column.0]).collect(),
        sure: decision.sure.get(),
        cost: decision.cost,
        set_by: decision.set_by,
    };
    draft.decisions().into_iter().map(asked).collect()
}

/// What the maker is asked, the dearest first.
pub fn report(draft: &Draft, tray: &Tray, paint: Paint, width: usize) -> String {
    let all = draft.decisions();
    if all.is_empty() {
        return "Nothing here is very doubtful; your eye decides all the same.\n".into();
    }
    let named = all.len().min(MOST_ASKED);
    let plural = if named == 1 { "decision" } else { "decisions" };
    let mut text = paint.heading(&format!("Look here first: {named} {plural}"));
    text.push('\n');
    let whereabouts = draft.whereabouts(tray);
    for decision in all.iter().take(MOST_ASKED) {
        text.push_str(&indented(&question(decision, whereabouts.as_ref(), tray), width));
        text.push('\n');
    }
    if all.len() > named {
        let rest = format!("and {} smaller ones: see --picture", all.len() - named);
        text.push_str(&format!("{}\n", indented(&rest, width)));
    }
    text
}

/// A question in one line, such as `trousers: chestnut or hazel? 35 beads, rows 14 to 22 (61 % sure)`.
fn question(decision: &Decision<BeadId>, whereabouts: Option<&Whereabouts>, tray: &Tray) -> String {
    let name = |bead: BeadId| tray.bead(bead).name.as_str();
    let other = match decision.instead {
        Instead::Bead(other) => name(other),
        Instead::Empty => "an empty peg",
        Instead::Unknown => "another",
    };
    let span = |one: &str, many: &str, of: &dyn Fn(&(Row, Column)) -> usize| {
        let low = decision.pegs.iter().map(of).min().unwrap_or(0) + 1;
        let high = decision.pegs.iter().map(of).max().unwrap_or(0) + 1;
        if low == high { format!("{one} {low}") } else { format!("{many} {low} to {high}") }
    };
    let rows = span("row", "rows", &|peg| peg.0.0);
    let place = match (decision.asks, decision.pegs.len()) {
        (Asks::WhatLies, 1) => format!("{rows}, {}", span("column", "columns", &|peg| peg.1.0)),
        (Asks::WhatLies, count) => {
            format!("{count} beads, {rows}, {}", span("column", "columns", &|peg| peg.1.0))
        }
        (Asks::WhichBead, 1) => format!("1 bead, {rows}"),
        (Asks::WhichBead, count) => format!("{count} beads, {rows}"),
    };
    let part = whereabouts.and_then(|whereabouts| whereabouts.named(&decision.pegs));
    let part = part.map_or(String::new(), |part| format!("{part}: "));
    let set_by = decision.set_by.map_or(String::new(), |name| format!(", set by {name}"));
    format!("{part}{} or {other}? {place} ({} sure{set_by})", name(decision.bead), decision.sure)
}
