//! The rows of one plan as rows of another: which come, which go.

use super::{Zone, ZoneRows};

/// A row of a plan, and the row of another plan that it is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct FittedRow {
    /// The row; below 0 above the plan's first.
    pub to: i32,
    /// The other plan's row.
    pub from: usize,
    /// Whether it is there a second time.
    pub is_copy: bool,
}

/// Every row of a plan, each with the row of another plan that it is. Torso and legs give and take rows in their middle,
/// where nothing but length lies; head, neck and feet below their first row, so that the face stays. What stands above
/// the one head stands above the other, and may begin above the plan's first row.
pub fn fitted_rows(from: &ZoneRows, to: &ZoneRows) -> Vec<FittedRow> {
    let (their_head, our_head) = (from.first(Zone::Head), to.first(Zone::Head));
    let above = (0..their_head).map(|row| FittedRow {
        to: our_head as i32 - their_head as i32 + row as i32,
        from: row,
        is_copy: false,
    });
    let mut rows: Vec<FittedRow> = above.collect();
    for zone in Zone::ALL.into_iter().filter(|zone| *zone != Zone::Headwear) {
        let (start, own) = (from.first(zone), to.first(zone));
        let mut before = None;
        for (at, source) in rows_of(zone, from.get(zone), to.get(zone)).into_iter().enumerate() {
            let is_copy = before.replace(source) == Some(source);
            rows.push(FittedRow { to: (own + at) as i32, from: start + source, is_copy });
        }
    }
    rows
}

/// Which of `from` rows of a zone make `to` rows, in order.
fn rows_of(zone: Zone, from: usize, to: usize) -> Vec<usize> {
    if from == 0 {
        return Vec::new();
    }
    let (fewer, more) = (from.saturating_sub(to), to.saturating_sub(from));
    let is_middle = matches!(zone, Zone::Torso | Zone::Legs);
    let start = match is_middle {
        true if fewer > 0 => to / 2,
        true => from.saturating_sub(more) / 2,
        false => 1.min(from - 1).min(to),
    };
    let doubled = if is_middle { more.min(from) } else { 1 };
    let copies = |row: usize| match row.checked_sub(start) {
        Some(at) if more > 0 && at < doubled => more / doubled + usize::from(at < more % doubled),
        _ => 0,
    };
    let stays = |row: &usize| !(start..start + fewer).contains(row);
    (0..from).filter(stays).flat_map(|row| std::iter::repeat_n(row, 1 + copies(row))).collect()
}
