//! Which parts of a draft got another bead than the nearest, so that they differ from what they touch.

use super::Draft;
use super::whereabouts::name_of;
use crate::matching::Trade;

/// A trade of closeness for contrast, with the parts it was made for.
#[derive(Clone, Debug, PartialEq)]
pub struct Traded {
    /// What has the colour, told by where it lies.
    pub part: String,
    /// What it touches there.
    pub beside: String,
    /// The beads, and what was given up.
    pub trade: Trade,
}

impl Draft {
    /// What was given up so that parts that touch get beads that differ; the dearest first.
    pub fn traded(&self) -> Vec<Traded> {
        let mut trades: Vec<Trade> = self.matched.trades().copied().collect();
        trades.sort_by(|a, b| b.given_up().total_cmp(&a.given_up()).then(a.colour.cmp(&b.colour)));
        let named = |trade: Trade| Traded {
            part: name_of(self, trade.colour),
            beside: name_of(self, trade.beside),
            trade,
        };
        trades.into_iter().map(named).collect()
    }
}
