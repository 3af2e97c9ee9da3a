//! Lines that join figures too alike to be told apart.

use super::lines::{Line, Who};
use crate::cast::Pair;

/// Levels of links over a line at most; what finds no room is told in a note.
const MOST_LEVELS: usize = 4;

/// How far the feet of two links stand from the middle of a head they both end at, in millimetres.
const ASIDE: f64 = 0.7;

/// Least length of a link, for its label, in millimetres.
const LEAST: f64 = 7.0;

/// A link between two figures of one line.
#[derive(Clone, Copy, Debug)]
pub(super) struct Link {
    pub pair: Pair,
    /// From the line's left end: where its feet stand.
    pub left: f64,
    pub right: f64,
    /// Counted from the heads up.
    pub level: usize,
}

/// A link between two places of one line; nothing where one of the two stands elsewhere.
pub(super) fn link(line: &Line, pair: Pair) -> Option<Link> {
    let middle = |figure: usize| {
        let slot = line.slots.iter().find(|slot| slot.who == Who::Figure(figure))?;
        Some(slot.middle())
    };
    let (one, other) = (middle(pair.one)?, middle(pair.other)?);
    let (left, right) = (one.min(other) + ASIDE, one.max(other) - ASIDE);
    Some(Link { pair, left, right, level: 0 })
}

/// Links on levels, so that none lies on another, the shortest lowest; and how many levels they take. What finds none
/// is left out.
pub(super) fn levels(mut links: Vec<Link>) -> (Vec<Link>, usize) {
    links.sort_by(|one, other| {
        let length = |link: &Link| link.right - link.left;
        length(one).total_cmp(&length(other)).then(one.left.total_cmp(&other.left))
    });
    let mut laid: Vec<Link> = Vec::new();
    for mut link in links {
        // A short link's label reaches beyond it.
        let room = |link: &Link| {
            let over = ((LEAST - (link.right - link.left)) / 2.0).max(0.0);
            (link.left - over, link.right + over)
        };
        let (left, right) = room(&link);
        let clear = |level: usize| {
            let same = laid.iter().filter(|other| other.level == level);
            same.map(room).all(|(from, to)| right < from || to < left)
        };
        if let Some(level) = (0..MOST_LEVELS).find(|&level| clear(level)) {
            link.level = level;
            laid.push(link);
        }
    }
    let levels = laid.iter().map(|link| link.level + 1).max().unwrap_or(0);
    (laid, levels)
}
