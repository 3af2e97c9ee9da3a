//! Two figures too alike to be told apart.

use std::collections::BTreeMap;

use super::{Finding, Judge, Rule, Subject};
use crate::cast::{Crowd, Pair};
use crate::figure::Figure;

pub(super) const RULE: Rule = Rule {
    name: "twins",
    title: "too similar to another figure",
    what: "A figure that differs from another one checked with it in a twentieth of the beads or less, by \
    silhouette and colours, also where one of them is turned round. Reported for the later of the two. Two \
    figures of one name are taken for versions of one.",
    why: "A cast is read at a glance across a room. Two who are told apart only by counting beads are one figure there.",
    example: "Two constables in one uniform, with one pair of gloves between them.",
    limits: "Up to 5 % different: six of the guide's 121 beads, the least prop that is seen as one (common \
    practice, no source). Colours count in full from 20 CIEDE2000 on, not at all up to 5 (by eye). Props \
    count: figures in one uniform are told apart by them (common practice, no source).",
    judge: Judge::Cast(judge),
};

/// This many others are named in one finding.
const NAMED: usize = 3;

fn judge(subjects: &[Subject]) -> Vec<(usize, Finding)> {
    let (Some(first), true) = (subjects.first(), subjects.len() > 1) else { return Vec::new() };
    let figures: Vec<&Figure> = subjects.iter().map(Subject::figure).collect();
    let mut of: BTreeMap<usize, Vec<Pair>> = BTreeMap::new();
    let pairs = Crowd::new(&figures, first.tray()).too_alike().into_iter();
    for pair in pairs.filter(|pair| figures[pair.one].name() != figures[pair.other].name()) {
        of.entry(pair.other).or_default().push(pair);
    }
    of.into_iter().map(|(at, pairs)| (at, finding(&figures, pairs))).collect()
}

fn finding(figures: &[&Figure], mut pairs: Vec<Pair>) -> Finding {
    pairs.sort_by(|one, other| {
        one.difference.share().total_cmp(&other.difference.share()).then(one.one.cmp(&other.one))
    });
    let said = |pair: &Pair| {
        let turned = if pair.turned { " when turned round" } else { "" };
        format!("{} from {}{turned}", pair.difference, figures[pair.one].name())
    };
    let mut all: Vec<String> = pairs.iter().take(NAMED).map(said).collect();
    if let Some(more @ 1..) = pairs.len().checked_sub(NAMED) {
        all.push(format!("and {more} more such"));
    }
    let what = format!("it differs by only {}", all.join(", "));
    Finding::new(&RULE, Vec::new(), what, "give it another hat, head, colour or prop".into())
}
