//! A belt that is not the row above the trousers.

use super::body::{Band, Body};
use super::{Finding, Judge, Rule, Subject};
use crate::plan::{BodyPart, Zone};

pub(super) const RULE: Rule = Rule {
    name: "belt",
    title: "a belt off its row",
    what: "A row like a belt that lies in the first two rows of the legs, or a row too high, with a row of the shirt between it and the trousers. Judged where a figure's rows by zone are known and its legs stand apart in one bead, as trousers do.",
    why: "A belt says where the torso ends. A row too low it makes short legs, and a row too high it floats.",
    example: "A dark belt, then one more row of the blue shirt, then the trousers.",
    limits: "A belt is the one row above the trousers (common practice, no source). Like a belt: a row of the \
    torso in one bead that no other row has, with a buckle of one or two beads in it, or darker by 10 in L \
    than what lies above and below (by eye). What is belted over a coat, a tunic or a skirt is not judged.",
    judge: Judge::Figure(judge),
};

/// A belt without a buckle is darker by this much than cloth on both sides.
const DARKER: f64 = 10.0;

/// Rows of the legs in which a belt would be a slip; farther down a band is a hem.
const TOO_LOW: usize = 2;

fn judge(subject: &Subject) -> Vec<Finding> {
    Body::of(subject).and_then(|body| finding(&body)).into_iter().collect()
}

fn finding(body: &Body) -> Option<Finding> {
    let trousers = body.trousers()?;
    let hip = body.hip();
    let last = hip.checked_sub(1)?;
    // A belt in its own row is right, whatever else lies about.
    if belt(body, last).is_some() {
        return None;
    }
    let high = last.checked_sub(1).and_then(|row| belt(body, row));
    // Shirt above it and below it, and trousers from the hip on: else it is worn over a coat.
    let high = high.filter(|band| {
        let (above, below) = (body.cloth(band.row.saturating_sub(1)), body.cloth(last));
        above == below && below != Some(trousers) && body.cloth(hip) == Some(trousers)
    });
    if let Some(band) = high {
        let what = format!("a belt of {} lies two rows above the trousers", body.name(band.mark));
        return Some(report(band, what, last));
    }
    let low = (hip..hip + TOO_LOW).filter_map(|row| belt(body, row));
    let mut low = low.filter(|band| {
        let above = body.cloth(band.row.saturating_sub(1));
        (above == body.cloth(last) || above == Some(trousers)) && body.cloth(band.row + 1) == Some(trousers)
    });
    let band = low.next()?;
    let what = format!("a belt of {} lies in the rows of the legs", body.name(band.mark));
    Some(report(band, what, last))
}

fn report(band: Band, what: String, right: usize) -> Finding {
    let could = format!("lay it in row {}, the last of the torso", right + 1);
    Finding::new(&RULE, band.beads, what, could)
}

/// A row like a belt.
fn belt(body: &Body, row: usize) -> Option<Band> {
    let band = body.band(row)?;
    let neighbours = [row.checked_sub(1)?, row + 1].map(|beside| body.cloth(beside));
    let [Some(above), Some(below)] = neighbours else { return None };
    let rows = body.zone(Zone::Torso).start..body.zone(Zone::Legs).end;
    let is_alone = rows.filter(|other| *other != row).all(|other| body.cloth(other) != Some(band.mark));
    let lightness = |mark| body.lab(mark).map(|lab| lab.l);
    let is_dark = || {
        let own = lightness(band.mark);
        [above, below]
            .into_iter()
            .all(|cloth| lightness(cloth).zip(own).is_some_and(|(cloth, own)| own + DARKER <= cloth))
    };
    // Beads of its kind in the torso beside it would make it a pattern.
    let beside = body.count(BodyPart::Torso, band.mark) + body.count(BodyPart::Legs, band.mark);
    let is_pattern = beside > band.beads.len() + 1;
    (is_alone && !is_pattern && (band.has_buckle || is_dark())).then_some(band)
}
