//! More beads than are owned.

use super::{Finding, Judge, Rule, Subject};
use crate::error::Warning;
use crate::tray::BeadId;

pub(super) const RULE: Rule = Rule {
    name: "too-few",
    title: "more beads than are owned",
    what: "A bead of which the figure alone takes more than the tray's count. A tray without counts is not judged.",
    why: "Better known before the first bead is pegged than at the last row.",
    example: "A coat of 160 mauve beads, and a bag of 150.",
    limits: "None: the tray's own count. For several figures and spare beads see smallcast count.",
    judge: Judge::Figure(judge),
};

fn judge(subject: &Subject) -> Vec<Finding> {
    let tray = subject.tray();
    let short = |id: BeadId| {
        let owned = tray.bead(id).count?;
        let needed = subject.pegs().filter(|(_, peg)| peg.bead == Some(id)).count();
        let missing = needed.checked_sub(owned as usize).filter(|missing| *missing > 0)?;
        let name = &tray.bead(id).name;
        let what = Warning::TooFew { bead: name.clone(), needed, owned }.to_string();
        let could = format!("get {missing} more, or give some of them another bead");
        Some(Finding::new(&RULE, Vec::new(), what, could))
    };
    tray.iter().filter_map(|(id, _)| short(id)).collect()
}
