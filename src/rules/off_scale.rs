//! A figure off the guide's scale.

use super::member::{Scale, below_headwear};
use super::{Finding, Judge, Rule, Subject, rows_in_words};

pub(super) const RULE: Rule = Rule {
    name: "off-scale",
    title: "off the guide's scale",
    what: "A figure with stature_cm and rows by zone whose rows, headwear left out, are two or more off those that its height has in proportion to the guide. The guide is the cast's own, else the trade's.",
    why: "Figures of one cast stand beside each other. A wife who is taller in beads than her tall husband is a mistake that a line-up shows and nobody can put right afterwards.",
    example: "A woman of 163 cm with the 24 rows of a guide of 177 cm: she has 22.",
    limits: "One row either way is the maker's: shoes, hair or a stoop account for it (common practice, no source). Guide: 24 rows (common practice, no source) for 176.85 cm, the median man of 20 years in the CDC 2000 growth charts (Kuczmarski and others 2002), where the cast's guide says no other.",
    judge: Judge::Figure(judge),
};

/// This many rows off are more than shoes and hair.
const OFF: usize = 2;

fn judge(subject: &Subject) -> Vec<Finding> {
    finding(subject).into_iter().collect()
}

fn finding(subject: &Subject) -> Option<Finding> {
    let (stature, zones) = (subject.figure().stature()?, subject.figure().rows()?);
    let scale = Scale::of(subject.member());
    let share = scale.rows_of(stature);
    let (rows, right) = (below_headwear(zones), share.round() as usize);
    let off = rows.abs_diff(right);
    if off < OFF {
        return None;
    }
    let way = if rows > right { "too many" } else { "too few" };
    let what = format!(
        "{} tall and {rows} rows without headwear: {off} {way} beside the guide, {} rows for {}",
        stature, scale.rows, scale.stature
    );
    let change = if rows > right { "drop" } else { "add" };
    let could = format!(
        "{change} {} where its height class says (smallcast plan --stands {:.0}cm), or correct stature_cm",
        rows_in_words(off),
        stature.0
    );
    Some(Finding::new(&RULE, Vec::new(), what, could))
}
