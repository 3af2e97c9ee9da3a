//! What `smallcast compare --thing` prints for a person.

use smallcast::rematch::{Ledger, Serves};
use smallcast::tray::Tray;

use super::figures::Opened;
use super::output::Paint;
use super::report::plain;
use super::table::{NARROW, Side, Table, indented, wrapped};

/// Each thing with its figures, in `width` columns.
pub fn report(ledgers: &[Ledger], opened: &[Opened], tray: &Tray, paint: Paint, width: usize) -> String {
    let parts: Vec<String> = ledgers.iter().map(|ledger| one(ledger, opened, tray, paint, width)).collect();
    parts.join("\n")
}

fn one(ledger: &Ledger, opened: &[Opened], tray: &Tray, paint: Paint, width: usize) -> String {
    let title = format!("{}: {} in this cast", ledger.thing.name, ledger.thing.bead);
    let mut text = format!("{}\n", paint.heading(&wrapped(&plain(&title), width)));
    if !ledger.held.is_empty() {
        text.push_str(&table(ledger, opened, tray, paint, width));
    }
    let mut said = vec![agreement(ledger, opened)];
    if !ledger.missing.is_empty() {
        said.push(format!("Not looked at: {}.", ledger.missing.join(", ")));
    }
    said.push(serving(ledger, opened, tray));
    text.push_str(&format!("{}\n", wrapped(&plain(&said.join(" ")), width)));
    text
}

fn table(ledger: &Ledger, opened: &[Opened], tray: &Tray, paint: Paint, width: usize) -> String {
    const TITLES: [(&str, Side); 5] = [
        ("figure", Side::Left),
        ("bead", Side::Left),
        ("beads", Side::Right),
        ("apart", Side::Right),
        ("", Side::Left),
    ];
    let is_narrow = width < NARROW;
    let columns = if is_narrow { TITLES.len() - 1 } else { TITLES.len() };
    let mut table = Table::new(&TITLES[..columns]);
    let mut noted = Vec::new();
    for held in &ledger.held {
        let bead = held.bead.as_deref();
        let lab = bead.and_then(|bead| tray.find(bead)).map(|id| tray.bead(id).lab);
        // A blank where there is nothing to show would move the row: the cast's own bead stands there.
        let swatch = lab.or_else(|| tray.find(&ledger.thing.bead).map(|id| tray.bead(id).lab));
        let other = bead.is_some_and(|bead| bead != ledger.thing.bead);
        let notes = [other.then_some("another bead"), held.by_hand.then_some("by hand")];
        let mut cells = vec![
            plain(opened[held.figure].figure.name()),
            bead.map_or("none like it".into(), plain),
            if bead.is_some() { held.beads.to_string() } else { "-".into() },
            held.apart.map_or("-".into(), |apart| apart.to_string()),
            notes.into_iter().flatten().collect::<Vec<_>>().join(", "),
        ];
        if is_narrow && let Some(note) = cells.pop().filter(|note| !note.is_empty()) {
            noted.push(format!("{}: {note}", cells[0]));
        }
        let swatch: Vec<_> = swatch.filter(|_| !is_narrow).map(|lab| lab.srgb()).into_iter().collect();
        table.row(&swatch, cells);
    }
    let mut text = table.render(paint, width, &[0, 1]);
    for note in noted {
        text.push_str(&format!("{}\n", indented(&note, width)));
    }
    text
}

/// Whether all figures have the thing's bead.
fn agreement(ledger: &Ledger, opened: &[Opened]) -> String {
    let names = |is: &dyn Fn(Option<&str>) -> bool| -> Vec<&str> {
        let held = ledger.held.iter().filter(|held| is(held.bead.as_deref()));
        held.map(|held| opened[held.figure].figure.name()).collect()
    };
    let others = names(&|bead| bead.is_some_and(|bead| bead != ledger.thing.bead));
    let without = names(&|bead| bead.is_none());
    match (others.as_slice(), without.as_slice()) {
        ([], []) if ledger.held.is_empty() => "None of its figures was looked at.".into(),
        ([], []) => "All have it.".into(),
        ([], without) => format!("Nothing like it is in {}.", without.join(", ")),
        (others, []) => format!("Another bead in {}.", others.join(", ")),
        (others, without) => {
            format!("Another bead in {}; nothing like it in {}.", others.join(", "), without.join(", "))
        }
    }
}

/// The bead that serves all, or how far the nearest one is from each.
fn serving(ledger: &Ledger, opened: &[Opened], tray: &Tray) -> String {
    let Some(serves) = &ledger.serves else {
        return "No reference colour is stored for it: choose the bead by eye.".into();
    };
    let bead = &tray.bead(serves.bead).name;
    let each = serves.each.iter().zip(&ledger.held);
    let far: Vec<String> = each
        .filter_map(|(apart, held)| Some((apart.as_ref()?, opened[held.figure].figure.name())))
        .map(|(apart, name)| format!("{apart} from {name}'s"))
        .collect();
    match serves.serves_all() {
        true => format!("{bead} serves all that have a reference colour: {}.", far.join(", ")),
        false => {
            format!("No bead is within {} of all; {bead} comes nearest: {}.", Serves::WITHIN, far.join(", "))
        }
    }
}
