//! The list of `smallcast reuse FOLDER --like PICTURE`.

use std::fmt::Write as _;

use smallcast::cast::{PartChange, Start};
use smallcast::figure::Edit;
use smallcast::plan::BodyPart;

use super::super::output::Paint;
use super::super::report::plain;
use super::super::table::{headline, wrapped};
use super::like::Ranking;

/// Fewer beads than this of one part are no other part.
const A_PART: usize = 4;

/// Columns for a place in the list.
const PLACE: usize = 4;

/// The whole report, in `width` columns.
pub fn report(ranking: &Ranking, paint: Paint, width: usize) -> String {
    let Ranking { picture, size, beads, of, best } = ranking;
    let title = format!("{}, drafted to {size}: {beads} beads", plain(picture));
    let mut text = format!("{}\n", headline(&title, paint, width));
    let figures = if *of == 1 {
        "The one figure there is".into()
    } else {
        format!("Of {of} figures, the best to begin with")
    };
    let _ = writeln!(text, "{figures}:");
    for (number, ranked) in (1..).zip(best) {
        let name = format!("{number:>2}  {}", plain(ranked.older.figure.name()));
        let _ = writeln!(text, "\n{}", headline(&name, paint, width));
        for line in wrapped(&in_words(&ranked.start), width - PLACE).lines() {
            let _ = writeln!(text, "{}{line}", " ".repeat(PLACE));
        }
        let _ = writeln!(text, "{}{}", " ".repeat(PLACE), paint.faint(&plain(&ranked.command)));
    }
    text
}

/// What would change, in one sentence.
pub fn in_words(start: &Start) -> String {
    let mut words = vec![String::from(if start.is_same_cut() { "same cut" } else { "another cut" })];
    words.extend(start.rows.iter().map(|(zone, more)| {
        let (rows, way) = (more.unsigned_abs(), if *more > 0 { "more" } else { "less" });
        format!("{rows} row{} {way} in {}", if rows == 1 { "" } else { "s" }, zone.name())
    }));
    if start.mirrored {
        words.push("looks the other way".into());
    }
    match start.swaps.len() {
        0 => {}
        1 => words.push("swap 1 bead".into()),
        swaps => words.push(format!("swap {swaps} beads")),
    }
    words.extend(start.parts.iter().filter_map(part_in_words));
    words.push(match start.mend() {
        0 => "nothing to mend".into(),
        1 => "1 bead to mend".into(),
        beads => format!("{beads} beads to mend"),
    });
    words.join("; ")
}

/// What would change of a part, where it is as much as a part.
fn part_in_words(change: &PartChange) -> Option<String> {
    let PartChange { part, fill, lift } = *change;
    if fill + lift < A_PART {
        return None;
    }
    let what = match (fill > 2 * lift, lift > 2 * fill) {
        (true, _) => "to add",
        (_, true) => "to take off",
        _ => "to change",
    };
    let part = match part {
        BodyPart::Hat | BodyPart::Hair => "hat or hair",
        BodyPart::Props => "props",
        BodyPart::Legs => "skirt or legs",
        // A few beads of the others are mended one by one.
        _ => return None,
    };
    Some(format!("{part} {what}"))
}

/// The swaps as lines of changes.
pub fn lines(start: &Start) -> Vec<String> {
    let swap = |swap: &smallcast::cast::Swap| Edit::Swap {
        old: swap.old.clone(),
        new: swap.new.clone(),
        part: None,
        by_hand: false,
    };
    start.swaps.iter().map(|one| swap(one).to_string()).collect()
}
