//! What `smallcast rematch --suggest` prints for a person.

use smallcast::rematch::{Help, Suggested};
use smallcast::tray::Price;

use super::output::Paint;
use super::rematch_text::many;
use super::report::plain;
use super::suggest::Told;
use super::table::{NARROW, Side, Table, headline, indented, wrapped};

/// Places that are named of each bead; the JSON document has all.
const MOST_PLACES: usize = 6;

/// The whole report, in `width` columns.
pub fn report(told: &Told, paint: Paint, width: usize) -> String {
    let (file, catalogue) = told.catalogue;
    let suggestion = told.suggestion;
    let (file, count) = (file.display(), suggestion.beads.len());
    if count == 0 {
        let said = format!(
            "Nothing to buy: no bead of {file} that the tray lacks comes nearer to these figures.{}",
            by_hand(told)
        );
        return format!("{}\n", wrapped(&plain(&said), width));
    }
    let title = match told.sought {
        _ if count < told.sought => format!("Of {file}, only {} would help", many(count, "bead")),
        1 => format!("Of {file}, this bead would help most"),
        sought => format!("Of {file}, these {sought} would help most together"),
    };
    let mut table = Table::new(&[
        ("bead", Side::Left),
        ("nearer", Side::Right),
        ("beads", Side::Right),
        ("packs", Side::Right),
        ("cost", Side::Right),
    ]);
    for suggested in &suggestion.beads {
        let bead = catalogue.bead(suggested.bead);
        let cost = suggested.cost.as_ref().map_or("?".into(), |cost| plain(&cost.to_string()));
        let cells = vec![
            plain(&bead.name),
            format!("{:.0}", suggested.drop),
            suggested.beads.to_string(),
            suggested.packs.to_string(),
            cost,
        ];
        let swatch = [bead.lab.srgb()];
        table.row(if width < NARROW { &[] } else { &swatch }, cells);
    }
    let mut text = format!("{}\n", paint.heading(&wrapped(&plain(&title), width)));
    text.push_str(&table.render(paint, width, &[0]));
    text.push_str(&format!("{}\n", wrapped(&plain(&sum(told)), width)));
    for suggested in &suggestion.beads {
        text.push('\n');
        text.push_str(&places(told, suggested, paint, width));
    }
    text
}

/// What they bring together, what they cost, and what is left out.
fn sum(told: &Told) -> String {
    let suggestion = told.suggestion;
    let (now, then) = (suggestion.now, suggestion.now - suggestion.drop);
    let share = suggestion.drop / suggestion.now.max(f64::EPSILON) * 100.0;
    let mut text = format!(
        "Together the beads come {share:.0} % nearer to their colours: from {now:.0} to {then:.0} CIEDE2000, summed over {}.",
        many(suggestion.counted.0, "bead")
    );
    let costs = costs(&suggestion.beads);
    if !costs.is_empty() {
        text.push_str(&format!(" They cost {}.", costs.join(" and ")));
    }
    let untold: Vec<&str> = suggestion
        .beads
        .iter()
        .map(|suggested| told.catalogue.1.bead(suggested.bead))
        .filter(|bead| bead.pack.is_none())
        .map(|bead| bead.name.as_str())
        .collect();
    if !untold.is_empty() {
        text.push_str(&format!(
            " No pack size is given for {}: one bead in a pack is assumed.",
            untold.join(", ")
        ));
    }
    if !suggestion.is_exact() {
        text.push_str(&format!(
            " Not every choice was tried; none can be better by more than {:.0}.",
            suggestion.at_most
        ));
    }
    text + &by_hand(told)
}

fn by_hand(told: &Told) -> String {
    match told.suggestion.counted.1 {
        0 => String::new(),
        left => {
            let is = if left == 1 { "is" } else { "are" };
            let more = match told.by_hand {
                true => "",
                false => "; --by-hand includes those whose bead the tool chose",
            };
            format!(" {} set by hand or held by a thing {is} left out{more}.", many(left, "bead"))
        }
    }
}

/// One sum a currency.
fn costs(beads: &[Suggested]) -> Vec<String> {
    let mut sums: Vec<Price> = Vec::new();
    for cost in beads.iter().filter_map(|suggested| suggested.cost.as_ref()) {
        match sums.iter_mut().find_map(|sum| sum.plus(cost).map(|total| (sum, total))) {
            Some((sum, total)) => *sum = total,
            None => sums.push(cost.clone()),
        }
    }
    sums.iter().map(ToString::to_string).collect()
}

/// Where a bead helps, the most first.
fn places(told: &Told, suggested: &Suggested, paint: Paint, width: usize) -> String {
    let bead = told.catalogue.1.bead(suggested.bead);
    let mut text = format!("{}\n", headline(&plain(&bead.name), paint, width));
    let one = |help: &Help| {
        let figure = told.opened[help.line.figure].figure.name();
        let beads = many(help.line.shown, "bead");
        format!("{figure}: {} ({beads}), {} to {}", help.line.bead, help.before, help.after)
    };
    for help in suggested.helps.iter().take(MOST_PLACES) {
        text.push_str(&format!("{}\n", indented(&plain(&one(help)), width)));
    }
    if let Some(more) = suggested.helps.len().checked_sub(MOST_PLACES).filter(|more| *more > 0) {
        text.push_str(&format!("{}\n", indented(&format!("and {more} more"), width)));
    }
    text
}
