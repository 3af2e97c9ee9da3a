//! A jacket that ends where the trousers begin.

use super::body::Body;
use super::garments::Jacket;
use super::{Finding, Judge, Rule, Subject};
use crate::plan::BodyPart;

pub(super) const RULE: Rule = Rule {
    name: "jacket",
    title: "a jacket that does not overlap the trousers",
    what: "An open jacket, its sides and sleeves of one bead with a shirt between them, that ends in the last two rows of the torso: no row of it lies over the trousers. Judged where a figure's rows by zone are known.",
    why: "A jacket that stops at the waist reads as a shirt or a waistcoat. One row over the hips makes it a jacket.",
    example: "A teal jacket over a white shirt whose last row is the last of the torso.",
    limits: "One row of overlap: common practice, no source. Open in three rows one under the other, with two beads of a sleeve at least; what ends higher is a short waistcoat, what falls lower a coat, and neither is judged.",
    judge: Judge::Figure(judge),
};

/// A jacket ends at most this many rows above the hip; a belt may take one of them.
const ENDS_WITHIN: usize = 2;

fn judge(subject: &Subject) -> Vec<Finding> {
    Body::of(subject).and_then(|body| finding(&body)).into_iter().collect()
}

fn finding(body: &Body) -> Option<Finding> {
    let jacket = Jacket::of(body)?;
    let hip = body.hip();
    // Of trousers of the jacket's bead it cannot be told where it ends.
    let trousers = body.trousers().filter(|trousers| *trousers != jacket.mark)?;
    let (starts, ends) = (hip.saturating_sub(ENDS_WITHIN), hip);
    if !(starts..ends).contains(&jacket.last) || body.cloth(hip) != Some(trousers) {
        return None;
    }
    let trunk = body.in_row(hip, &[BodyPart::Torso, BodyPart::Legs]);
    let sides = trunk.first().into_iter().chain(trunk.last()).copied().collect();
    let name = body.name(jacket.mark);
    let what = format!("the jacket of {name} ends at the trousers; it should overlap them by one row");
    let could = format!("put {name} at both sides of row {}, and let the sleeves end there", hip + 1);
    Some(Finding::new(&RULE, sides, what, could))
}
