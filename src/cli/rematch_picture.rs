//! The picture of `smallcast rematch`: each figure that changes, before and after.

use smallcast::error::Result;
use smallcast::figure::Figure;
use smallcast::rematch::{Fate, Plan};
use smallcast::sheet::{Pair, figure_colours, pairs_picture, png};
use smallcast::tray::{Bead, Tray};

use super::figures::Opened;

/// The bytes of the picture, and how many of the last figures found no room. `places` are the figures' places in the plan.
///
/// # Errors
/// As [`Tray::new`], which does not happen: names that stand twice are left out.
pub fn draw(
    changed: &[(&Opened, Figure)],
    places: &[usize],
    plan: &Plan,
    (tray, older): (&Tray, &[Tray]),
) -> Result<(Vec<u8>, usize)> {
    let all = together(tray, older)?;
    let pairs: Vec<Pair> = changed
        .iter()
        .zip(places)
        .map(|((opened, after), place)| Pair {
            name: opened.figure.name().to_owned(),
            before: figure_colours(&opened.figure, &all),
            after: figure_colours(after, &all),
            words: words(*place, plan, tray),
        })
        .collect();
    let (picture, shown) = pairs_picture(&pairs);
    Ok((png(&picture), pairs.len() - shown))
}

/// The tray as it is now, and what older ones had beside it.
fn together(tray: &Tray, older: &[Tray]) -> Result<Tray> {
    let mut beads: Vec<Bead> = tray.iter().map(|(_, bead)| bead.clone()).collect();
    for (_, bead) in older.iter().flat_map(Tray::iter) {
        if beads.iter().all(|other| other.name != bead.name) {
            beads.push(bead.clone());
        }
    }
    Tray::new("beads now and before", beads)
}

/// What changes in a figure, in a line: `teal now pine, azure now lagoon`.
fn words(place: usize, plan: &Plan, tray: &Tray) -> Vec<String> {
    let own = plan.judged().iter().filter(|judged| judged.line.figure == place);
    let changes = own.filter_map(|judged| match &judged.fate {
        Fate::Changes(other) => Some(format!("{} now {}", judged.line.bead, tray.bead(other.bead).name)),
        _ => None,
    });
    vec![changes.collect::<Vec<_>>().join(", ")]
}
