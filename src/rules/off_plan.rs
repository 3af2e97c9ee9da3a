//! Rows by zone that are not those of the height class.

use super::{Finding, Judge, Rule, Subject, rows_in_words};
use crate::plan::{HeightClass, Zone, ZoneRows};

pub(super) const RULE: Rule = Rule {
    name: "off-plan",
    title: "rows that are not its height class's",
    what: "A figure that names a height class and has other rows in a zone below its headwear, or no bead in \
    the first row of its head or the last of its feet; in a cast, also a class that the cast does not have.",
    why: "Classes differ in where their rows are: a shorter adult lacks a row of the torso, a taller one has one more of the legs, a child has a short torso. A row in the wrong zone makes a short man look like a tall child.",
    example: "A shorter woman whose missing row was taken from her legs.",
    limits: "None: the class's rows are the cast's, else the trade's (common practice, no source). Headwear is not compared: hats are as high as hats are.",
    judge: Judge::Figure(judge),
};

/// The zones that a class decides.
const BODY: [Zone; 5] = [Zone::Head, Zone::Neck, Zone::Torso, Zone::Legs, Zone::Feet];

fn judge(subject: &Subject) -> Vec<Finding> {
    let Some(name) = subject.figure().class() else { return Vec::new() };
    let classes = subject.classes();
    let found = match classes.iter().find(|class| class.name == name) {
        Some(class) => subject.figure().rows().and_then(|rows| {
            let other = classes.with_rows(rows).map(|class| class.name.as_ref());
            finding(class, rows, other).or_else(|| hollow(subject, class, rows))
        }),
        // By itself a figure may be of a cast whose classes are not known here.
        None => subject.member().map(|_| {
            let names: Vec<&str> = classes.iter().map(|class| class.name.as_ref()).collect();
            let what = format!("its height class {name} is not one of the cast's");
            let could = format!("name one of {}, or add it to cast.toml", names.join(", "));
            Finding::new(&RULE, Vec::new(), what, could)
        }),
    };
    found.into_iter().collect()
}

/// A figure whose first or last row is empty is a row less tall than it says.
fn hollow(subject: &Subject, class: &HeightClass, rows: &ZoneRows) -> Option<Finding> {
    let first = rows.rows_of(Zone::Head).next()?;
    let is_empty = |row: usize| subject.pegs().all(|((at, _), _)| at.0 != row);
    // What rises above the head stands for it: hair piled up, a raised hand.
    let is_low = (0..=first).all(is_empty);
    let which = match (is_low, rows.total().checked_sub(1).is_some_and(is_empty)) {
        (true, _) => format!("the first row of its head, row {},", first + 1),
        (false, true) => format!("its last row, {},", rows.total()),
        (false, false) => return None,
    };
    let what = format!("{which} is empty: a row less than its class {} has", class.name);
    let could = "give the row its beads, or choose the class and rows that it has".to_owned();
    subject.pegs().next()?;
    Some(Finding::new(&RULE, Vec::new(), what, could))
}

fn finding(class: &HeightClass, rows: &ZoneRows, other: Option<&str>) -> Option<Finding> {
    let other_rows = |zone: &&Zone| class.rows.get(**zone) != rows.get(**zone);
    let off: Vec<Zone> = BODY.iter().filter(other_rows).copied().collect();
    if off.is_empty() {
        return None;
    }
    let in_zone = |zone: &Zone| format!("{} {} for {}", zone.name(), rows.get(*zone), class.rows.get(*zone));
    let zones: Vec<String> = off.iter().map(in_zone).collect();
    let what = format!("it is of the class {}, and has other rows: {}", class.name, zones.join(", "));
    let change = |zone: &Zone| {
        let (own, right) = (rows.get(*zone), class.rows.get(*zone));
        let by = rows_in_words(own.abs_diff(right));
        if own > right {
            format!("drop {by} of the {}", zone.name())
        } else {
            format!("add {by} to the {}", zone.name())
        }
    };
    let changes: Vec<String> = off.iter().map(change).collect();
    let could = match other {
        Some(other) => format!("{}, or call its class {other}", changes.join(" and ")),
        None => format!("{}, or leave its class out", changes.join(" and ")),
    };
    Some(Finding::new(&RULE, Vec::new(), what, could))
}
