//! What `smallcast reuse FOLDER --like PICTURE --json` prints.

use serde::Serialize;

use super::like::{Ranked, Ranking};
use super::like_text::in_words;

/// The layout of the document; grows when a reader would have to change.
const FORMAT: u32 = 1;

/// The document of a ranking.
#[derive(Serialize)]
pub struct Document {
    format: u32,
    /// The beads that serve: the tray's file, or `embedded`.
    tray: String,
    picture: String,
    drafted_to: String,
    /// Beads of the draft.
    beads: usize,
    /// How many figures were compared.
    figures: usize,
    /// The best starts, the best first.
    best: Vec<RankedJson>,
}

#[derive(Serialize)]
struct RankedJson {
    file: String,
    name: String,
    /// The measure: beads one would have to change, a bead to lift counted half.
    cost: f64,
    rows: Vec<RowsJson>,
    mirrored: bool,
    swaps: Vec<SwapJson>,
    parts: Vec<PartJson>,
    fill: usize,
    lift: usize,
    exchange: usize,
    mend: usize,
    of: usize,
    same_cut: bool,
    said: String,
    next: String,
}

#[derive(Serialize)]
struct RowsJson {
    zone: &'static str,
    more: i32,
}

#[derive(Serialize)]
struct SwapJson {
    old: String,
    new: String,
    beads: usize,
}

#[derive(Serialize)]
struct PartJson {
    part: &'static str,
    fill: usize,
    lift: usize,
}

/// The document of a ranking.
pub fn document(ranking: &Ranking, tray: String) -> Document {
    Document {
        format: FORMAT,
        tray,
        picture: ranking.picture.clone(),
        drafted_to: ranking.size.clone(),
        beads: ranking.beads,
        figures: ranking.of,
        best: ranking.best.iter().map(ranked).collect(),
    }
}

fn ranked(ranked: &Ranked) -> RankedJson {
    let start = &ranked.start;
    let swap = |swap: &smallcast::cast::Swap| SwapJson {
        old: swap.old.clone(),
        new: swap.new.clone(),
        beads: swap.beads,
    };
    RankedJson {
        file: ranked.older.file.display().to_string(),
        name: ranked.older.figure.name().into(),
        cost: start.cost() as f64 / 2.0,
        rows: start.rows.iter().map(|(zone, more)| RowsJson { zone: zone.name(), more: *more }).collect(),
        mirrored: start.mirrored,
        swaps: start.swaps.iter().map(swap).collect(),
        parts: start
            .parts
            .iter()
            .map(|part| PartJson { part: part.part.name(), fill: part.fill, lift: part.lift })
            .collect(),
        fill: start.fill,
        lift: start.lift,
        exchange: start.exchange,
        mend: start.mend(),
        of: start.of,
        same_cut: start.is_same_cut(),
        said: in_words(start),
        next: ranked.command.clone(),
    }
}
