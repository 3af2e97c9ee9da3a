//! A bead that is not in the tray.

use crate::error::likely;
use crate::figure::{Edit, LegendEntry, Sure};

use super::{Finding, Judge, Rule, Subject, beads_in_words};

pub(super) const RULE: Rule = Rule {
    name: "not-in-tray",
    title: "a bead that is not in the tray",
    what: "Beads of the figure whose name the tray does not list.",
    why: "It cannot be pegged: it is misspelt, has been used up and taken off the list, or is from another \
    tray.",
    example: "A figure drafted from one tray, checked against another.",
    limits: "None: names are compared letter by letter.",
    judge: Judge::Figure(judge),
};

fn judge(subject: &Subject) -> Vec<Finding> {
    let missing = subject.figure().legend().iter().filter(|entry| subject.tray().find(&entry.bead).is_none());
    missing
        .filter_map(|entry| {
            let beads = subject.pegs().filter(|(_, peg)| peg.mark == entry.mark);
            let beads: Vec<_> = beads.map(|(place, _)| place).collect();
            // A line of the legend that no bead has is nothing to peg.
            let many = beads.first().map(|_| beads_in_words(beads.len()))?;
            let what = format!("{many} of {}, not in the tray", entry.bead);
            let by_hand =
                subject.pegs().any(|(_, peg)| peg.mark == entry.mark && peg.sure == Some(Sure::ByHand));
            Some(Finding::new(&RULE, beads, what, instead(subject, entry, by_hand)))
        })
        .collect()
}

/// The bead that was likely meant: nearest by its colour, else by its name where one is like it.
fn instead(subject: &Subject, LegendEntry { bead: name, aim, .. }: &LegendEntry, by_hand: bool) -> String {
    let tray = subject.tray();
    if let Some((id, apart)) = aim.and_then(|aim| tray.nearest(aim, 1).first().copied()) {
        let new = tray.bead(id).name.clone();
        let swap = Edit::Swap { old: name.clone(), new, part: None, by_hand };
        return format!("edit it with --do '{swap}', {apart} from the colour asked for, or buy it");
    }
    match likely(name, tray.iter().map(|(_, bead)| bead.name.as_str())) {
        Some(meant) => format!("spell it as in the tray ({meant}?), or add it to the tray"),
        None => "swap it for a bead of the tray, or add it to the tray".into(),
    }
}
