//! What a colour of a draft is, told by where its beads lie.

use super::Draft;
use crate::plan::Zone;
use crate::units::Row;

/// So few beads are marks: eyes, buttons, a buckle.
pub(super) const FEW: usize = 4;

/// What a colour of a draft is, in words; `colour` is its place among the draft's colours. Where the hair is and
/// whether it is a hat nobody knows but the maker.
pub(super) fn name_of(draft: &Draft, colour: usize) -> String {
    let rows: Vec<usize> = rows_of(draft, colour).collect();
    let (Some(&first), Some(&last)) = (rows.first(), rows.last()) else { return "nothing".into() };
    let Some(zones) = &draft.zones else {
        return if first == last {
            format!("row {}", first + 1)
        } else {
            format!("rows {} to {}", first + 1, last + 1)
        };
    };
    let inside = |&(_, from, count): &(Zone, usize, usize)| {
        rows.iter().filter(|row| (from..from + count).contains(*row)).count()
    };
    // Of two zones with as many of its beads the upper one.
    let most = zones.spans().fold(None, |most: Option<(usize, _)>, span| match most {
        Some(most) if most.0 >= inside(&span) => Some(most),
        _ => Some((inside(&span), span)),
    });
    let Some((_, (zone, from, count))) = most else { return "nothing".into() };
    if is_beside(draft, colour) {
        return format!("beside the {}", zone.name());
    }
    if rows.len() <= FEW {
        return format!("marks on the {}", zone.name());
    }
    match zone {
        Zone::Head if main_of(draft, from..from + 1) == Some(colour) => {
            if zones.get(Zone::Headwear) > 0 {
                "hair".into()
            } else {
                "hair or hat".into()
            }
        }
        Zone::Head if main_of(draft, from + 1..from + count) == Some(colour) => "skin".into(),
        zone => zone.name().into(),
    }
}

/// Whether most beads of a colour lie farther out than a body is wide: a prop.
fn is_beside(draft: &Draft, colour: usize) -> bool {
    /// Columns of a stout body to each side of its axis (common practice, no source).
    const HALF: usize = 3;
    let columns = |of: &dyn Fn(usize) -> bool| -> Vec<usize> {
        let beads = draft.matched.beads().iter();
        beads
            .filter_map(|(_, column, bead)| bead.as_ref().filter(|b| of(b.colour)).map(|_| column.0))
            .collect()
    };
    let mut all = columns(&|_| true);
    all.sort_unstable();
    let Some(axis) = all.get(all.len() / 2).copied() else { return false };
    let own = columns(&|c| c == colour);
    2 * own.iter().filter(|column| column.abs_diff(axis) > HALF).count() > own.len()
}

/// The row of every bead of a colour, downwards.
fn rows_of(draft: &Draft, colour: usize) -> impl Iterator<Item = usize> {
    let beads = draft.matched.beads().iter();
    beads.filter_map(move |(Row(row), _, bead)| bead.as_ref().filter(|b| b.colour == colour).map(|_| row))
}

/// The colour with most beads in some rows.
fn main_of(draft: &Draft, rows: std::ops::Range<usize>) -> Option<usize> {
    let count = |colour: &usize| rows_of(draft, *colour).filter(|row| rows.contains(row)).count();
    let all = 0..draft.matched.colours().len();
    all.filter(|colour| count(colour) > 0).max_by_key(|colour| (count(colour), std::cmp::Reverse(*colour)))
}
