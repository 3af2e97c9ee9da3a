//! Sleeves that end in different rows, or not where the jacket does.

use super::body::{Arm, Body};
use super::face::Face;
use super::garments::{Jacket, Sleeve};
use super::joined::Place;
use super::{Finding, Judge, Rule, Subject, rows_in_words};
use crate::units::Row;

pub(super) const RULE: Rule = Rule {
    name: "sleeve-end",
    title: "sleeves that end unevenly",
    what: "Two arms that hang straight to hands in one row, with sleeves of one bead that end in different rows; or a hanging sleeve of a jacket that ends two rows or more from the jacket's last. Judged where a figure's rows by zone are known.",
    why: "Arms that hang are equally long. One sleeve a row longer looks like a slip of the peg, and it is one.",
    example: "The left sleeve ends in row 13 and the right in row 14, both over hands of two beads.",
    limits: "Even to the row. Sleeves end where the jacket does (common practice, no source), a row either way allowed. Raised, bent and crossed arms are not judged.",
    judge: Judge::Figure(judge),
};

/// Rows between the ends of a sleeve and of its jacket that need a reason.
const APART: usize = 2;

fn judge(subject: &Subject) -> Vec<Finding> {
    let (Some(body), Some(face)) = (Body::of(subject), Face::of(subject)) else { return Vec::new() };
    let skin = face.skin_mark();
    let sleeve = |arm: Arm| Sleeve::of(&body, &arm, skin).map(|sleeve| (arm, sleeve));
    let sleeves: Vec<(Arm, Sleeve)> =
        body.arms().filter(|arm| arm.hangs(&body, skin)).filter_map(sleeve).collect();
    if let [(one, first), (other, second)] = &sleeves[..]
        && first.mark == second.mark
        && first.rows.end != second.rows.end
        && row_of(one.end()) == row_of(other.end())
    {
        let (long, short) = if first.rows.end > second.rows.end { (first, second) } else { (second, first) };
        let longer = if first.rows.end > second.rows.end { one } else { other };
        return vec![uneven(&body, longer, long, short)];
    }
    let Some(jacket) = Jacket::of(&body).filter(|jacket| jacket.last <= body.hip() + 1) else {
        return Vec::new();
    };
    let off = |(_, sleeve): &&(Arm, Sleeve)| {
        sleeve.mark == jacket.mark && (sleeve.rows.end - 1).abs_diff(jacket.last) >= APART
    };
    sleeves.iter().filter(off).map(|(arm, sleeve)| off_jacket(&body, arm, sleeve, jacket.last)).collect()
}

/// The row of a hand: hands that end in two rows are of arms held differently.
fn row_of(hand: &[Place]) -> Option<Row> {
    hand.first().map(|place| place.0)
}

/// The beads of a sleeve from a row on.
fn beads_from(body: &Body, arm: &Arm, sleeve: &Sleeve, row: usize) -> Vec<Place> {
    let of_sleeve = |place: &Place| body.mark(*place) == Some(sleeve.mark);
    arm.places().filter(|place| place.0 >= Row(row)).filter(of_sleeve).collect()
}

fn uneven(body: &Body, longer: &Arm, long: &Sleeve, short: &Sleeve) -> Finding {
    let beads = beads_from(body, longer, long, short.rows.end);
    let by = rows_in_words(long.rows.end - short.rows.end);
    let what = format!("the sleeve of the {} is {by} longer than the other", longer.name());
    let could = format!("let both end in row {} or in row {}", short.rows.end, long.rows.end);
    Finding::new(&RULE, beads, what, could)
}

fn off_jacket(body: &Body, arm: &Arm, sleeve: &Sleeve, jacket: usize) -> Finding {
    let last = sleeve.rows.end - 1;
    let way = if last < jacket { "above" } else { "below" };
    let by = rows_in_words(last.abs_diff(jacket));
    let what = format!("the sleeve of the {} ends {by} {way} the jacket's end", arm.name());
    let beads = beads_from(body, arm, sleeve, last);
    Finding::new(&RULE, beads, what, format!("let it end in row {}, where the jacket does", jacket + 1))
}
