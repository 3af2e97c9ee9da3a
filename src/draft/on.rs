//! A draft in the maker's own hand: the shape from an older figure, the colours from the picture.
//!
//! The older figure's beads are laid over the draft's, row by row as its zones became the draft's (`laid.rs`). Each
//! region of it, a material in a part, asks the windows under it for its colour; the older figure's own bead stays
//! where that colour allows it. Where the drawing has its outline too, it lays that colour over what is not quite sure
//! and settles the edge; elsewhere it is heard only where the draft is in doubt (`ruling.rs`).

mod laid;
mod ruling;

use std::collections::BTreeMap;

use super::{Draft, legend, tray_warnings};
use crate::error::Warning;
use crate::figure::{Anatomy, Figure};
use crate::grid::Grid;
use crate::matching::{MatchedGrid, Wishes};
use crate::sample::{BeadSample, Cluster, Share};
use crate::tray::{BeadId, Tray};
use crate::units::Confidence;
use laid::Laid;
use ruling::{Colour, Ruled};

/// What is said to have set a bead that an older figure decided.
pub const OLDER: &str = "older figure";

/// What became of an older figure under a draft.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct LaidOn {
    /// Beads on which window and older figure agree.
    pub agreed: usize,
    /// Beads that the older figure decided.
    pub decided: usize,
    /// Beads of the older figure in whose place the picture shows something else, or nothing.
    pub overruled: usize,
}

/// Lays an older figure over a draft. One that shares no bead with it changes nothing.
pub fn lay_on(draft: Draft, older: &Figure, tray: &Tray) -> (Draft, LaidOn) {
    let Some(laid) = Laid::over(&draft, older, &Anatomy::of(older), tray) else {
        return (draft, LaidOn::default());
    };
    let ruled = ruling::settle(&draft, &laid, tray);
    let said = said(&laid, &ruled);
    (draft_of(draft, &ruled, tray), said)
}

fn said(laid: &Laid, ruled: &Grid<Ruled>) -> LaidOn {
    let mut said = LaidOn::default();
    for (row, column, ruled) in ruled.iter() {
        match ruled {
            Ruled::Agreed => said.agreed += 1,
            Ruled::Older(_) => said.decided += 1,
            Ruled::Drafted if laid.at(row, column).is_some() => said.overruled += 1,
            Ruled::Drafted | Ruled::Cleared => {}
        }
    }
    said
}

/// The draft with what was ruled.
fn draft_of(draft: Draft, ruled: &Grid<Ruled>, tray: &Tray) -> Draft {
    let Draft { reference, samples, matched, zones, warnings, .. } = draft;
    let own = matched.colours();
    let mut given: Vec<(usize, BeadId)> = own.iter().enumerate().map(|(at, c)| (at, c.chosen.bead)).collect();
    let mut more: Vec<Cluster> = Vec::new();
    let mut places: BTreeMap<(usize, BeadId), usize> = BTreeMap::new();
    let mut place_of = |colour: &Colour| -> usize {
        let seen = colour.seen;
        if own[seen].chosen.bead == colour.bead {
            return seen;
        }
        *places.entry((seen, colour.bead)).or_insert_with(|| {
            more.push(samples.clusters()[seen].clone());
            given.push((own.len() + more.len() - 1, colour.bead));
            own.len() + more.len() - 1
        })
    };
    let beads = samples.beads().map(|row, column, sample| match &ruled[(row, column)] {
        Ruled::Drafted | Ruled::Agreed => sample.clone(),
        Ruled::Cleared => BeadSample { filled: false, ..sample.clone() },
        Ruled::Older(colour) => {
            let first = Share { colour: place_of(colour), share: colour.share };
            let others = sample.colours.iter().filter(|own| own.colour != first.colour).copied();
            BeadSample {
                filled: true,
                colours: std::iter::once(first).chain(others).collect(),
                set_by: Some(OLDER),
                ..sample.clone()
            }
        }
    });
    let samples = samples.relaid(beads, more);
    let wishes = Wishes { given, ..Wishes::default() };
    let mut matched = MatchedGrid::wishing(&samples, tray, &wishes);
    matched.rejudge(|row, column, confidence| confidence_of(&ruled[(row, column)], confidence));
    let legend = legend::legend(&matched, tray);
    let of_legend = |w: &Warning| matches!(w, Warning::FarBead { .. } | Warning::TooFew { .. });
    let mut warnings: Vec<Warning> = warnings.into_iter().filter(|warning| !of_legend(warning)).collect();
    warnings.extend(tray_warnings(&legend, tray));
    Draft { reference, samples, matched, legend, zones, warnings }
}

/// How likely a bead is kept, knowing what the older figure says of it. Of a bead on which window and older figure agree
/// half of the doubt is gone: reasoned, not fitted. One that the older figure decided is as sure as was counted.
fn confidence_of(ruled: &Ruled, by_window: Confidence) -> Confidence {
    /// Counted on drawings that no rule was chosen on (nine pairs of `fixtures/pairs` in three manners, seed 23): of 360
    /// beads that an older figure decided 199 were right.
    const DECIDED: f64 = 0.55;
    match ruled {
        Ruled::Agreed => Confidence::new(1.0 - (1.0 - by_window.get()) / 2.0),
        Ruled::Older(_) => Confidence::new(DECIDED),
        Ruled::Drafted | Ruled::Cleared => by_window,
    }
}
