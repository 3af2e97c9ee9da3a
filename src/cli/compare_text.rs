//! What `smallcast compare` prints for a person.

use smallcast::matching::{Agreement, SeenColour, Served};
use smallcast::tray::Tray;

use super::compare::AreaColours;
use super::output::Paint;
use super::several_text::{self, short};
use super::table::{Side, Table, headline, wrapped};

/// Colours of an area that are shown; the rest are specks.
const MOST_COLOURS: usize = 4;

/// The whole report, in `width` columns.
pub fn report(
    seen: &[AreaColours],
    agreement: &Agreement,
    tray: &Tray,
    paint: Paint,
    width: usize,
) -> String {
    let mut parts: Vec<String> = seen.iter().map(|s| one(s, tray, paint, width)).collect();
    parts.push(together(seen, agreement, tray, paint, width));
    parts.join("\n")
}

/// One picture: its colours and their beads.
fn one(seen: &AreaColours, tray: &Tray, paint: Paint, width: usize) -> String {
    let title = headline(&format!("{}, {}", seen.file, seen.place), paint, width);
    let mut table = Table::new(&[
        ("share", Side::Right),
        ("colour", Side::Left),
        ("nearest", Side::Left),
        ("apart", Side::Right),
        ("sure", Side::Right),
        ("or", Side::Left),
    ]);
    for colour in seen.sighting.colours().iter().take(MOST_COLOURS) {
        let (nearest, sure) = colour.beads[0];
        let bead = tray.bead(nearest.bead);
        let cells = vec![
            format!("{:.0} %", colour.share * 100.0),
            colour.cluster.colour.srgb().to_string(),
            bead.name.clone(),
            nearest.difference.to_string(),
            sure.to_string(),
            others(colour, tray),
        ];
        table.row(&[colour.cluster.colour.srgb(), bead.lab.srgb()], cells);
    }
    const OTHERS: usize = 5;
    format!("{title}\n{}", table.render(paint, width, &[OTHERS]))
}

fn others(colour: &SeenColour, tray: &Tray) -> String {
    let other = |(candidate, sure): &(smallcast::matching::Candidate, smallcast::units::Confidence)| {
        let sure = if sure.get() >= 0.01 { format!(" ({sure})") } else { String::new() };
        format!("{} {}{sure}", tray.bead(candidate.bead).name, candidate.difference)
    };
    colour.beads[1..].iter().take(2).map(other).collect::<Vec<_>>().join(", ")
}

/// All pictures: how far they disagree and which beads serve them all.
fn together(seen: &[AreaColours], agreement: &Agreement, tray: &Tray, paint: Paint, width: usize) -> String {
    let title = match seen.len() {
        1 => "Beads for its main colour".to_owned(),
        pictures => format!(
            "The {pictures} pictures show {}, up to {} apart.\n{}:",
            agreement.in_words(),
            agreement.apart,
            match agreement.serve_all.first().is_some_and(Served::serves_all) {
                true => "Beads that serve them all, or come near".to_owned(),
                false => format!("No bead is within {} of all; the nearest", Served::WITHIN),
            }
        ),
    };
    let mut table = Table::new(&[
        ("bead", Side::Left),
        ("at worst", Side::Right),
        ("on average", Side::Right),
        ("owned", Side::Right),
    ]);
    for served in &agreement.serve_all {
        let bead = tray.bead(served.bead);
        let owned = bead.count.map_or("-".into(), |count| count.to_string());
        let cells = vec![bead.name.clone(), served.worst.to_string(), served.mean.to_string(), owned];
        table.row(&[bead.lab.srgb()], cells);
    }
    let table = table.render(paint, width, &[0]);
    let names: Vec<String> = seen.iter().map(|s| short(&s.file)).collect();
    let names: Vec<&str> = names.iter().map(String::as_str).collect();
    let words = agreement.serve_all.first().filter(|_| seen.len() > 1).map_or(String::new(), |best| {
        format!("{}\n", wrapped(&several_text::agreement(&names, agreement, best, tray), width))
    });
    format!("{}\n{table}{words}", headline(&title, paint, width))
}
