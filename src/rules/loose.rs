//! Beads that hang on by a corner, or by nothing.

use super::joined::{Joined, Place};
use super::{Finding, Judge, Rule, Subject, beads_in_words, peg_in_words};

pub(super) const RULE: Rule = Rule {
    name: "loose",
    title: "hangs by a corner, or by nothing",
    what: "A bead or a group of beads that is fused to the rest of the figure at no side. The largest piece is taken for the figure.",
    why: "Beads fuse only where they touch side to side. What touches only at a corner comes off when the figure is lifted from the board.",
    example: "A hand one row below and one column beside the end of its sleeve.",
    limits: "None: one fused side is enough here. Side to side only: common practice, no source.",
    judge: Judge::Figure(judge),
};

fn judge(subject: &Subject) -> Vec<Finding> {
    let joined = subject.joined();
    let pieces = joined.pieces();
    let Some((figure, others)) = pieces.split_first() else { return Vec::new() };
    let mut found: Vec<Finding> = others.iter().map(|piece| finding(joined, figure, piece)).collect();
    found.sort_by(|one, other| one.beads.cmp(&other.beads));
    found
}

fn finding(joined: &Joined, figure: &[Place], piece: &[Place]) -> Finding {
    let corner = joined.corner_of(piece);
    let many = beads_in_words(piece.len());
    let s = if piece.len() == 1 { "s" } else { "" };
    let (what, could) = match corner {
        Some((bead, other)) => (
            format!("{many} touch{} the rest only at a corner", if s.is_empty() { "" } else { "es" }),
            format!(
                "put a bead at {} or at {}",
                peg_in_words((bead.0, other.1)),
                peg_in_words((other.0, bead.1))
            ),
        ),
        None => {
            let gap = gap(figure, piece);
            (
                format!(
                    "{many} touch{} nothing: the rest begins {gap} away",
                    if s.is_empty() { "" } else { "es" }
                ),
                "join it to the figure, or iron it as a separate piece and note that it is meant so".into(),
            )
        }
    };
    Finding::new(&RULE, piece.to_vec(), what, could)
}

/// The fewest empty pegs between two pieces, in words.
fn gap(figure: &[Place], piece: &[Place]) -> String {
    let steps = |one: &Place, other: &Place| one.0.0.abs_diff(other.0.0) + one.1.0.abs_diff(other.1.0);
    let least = piece.iter().flat_map(|one| figure.iter().map(move |other| steps(one, other))).min();
    match least {
        Some(2) => "one peg".into(),
        Some(steps) => format!("{} pegs", steps.saturating_sub(1)),
        None => "far".into(),
    }
}
