//! A figure's picture read again: where each bead's window lies, and what else each bead could be.

use std::collections::BTreeMap;

use hyper::body::Bytes;
use image::imageops::{crop_imm, thumbnail};

use super::shared::Shared;
use crate::draft::{DEFAULT_SEED, Draft, best_shift, draft, options_of};
use crate::error::Result;
use crate::figure::Figure;
use crate::grid::Grid;
use crate::matching::{MatchedGrid, RunnerUp};
use crate::plan::{Classes, ZoneRows};
use crate::reference::{Area, Picture};
use crate::sample::SampleGrid;
use crate::sheet::quick_png;
use crate::tray::{BeadId, Tray};
use crate::units::{Column, Confidence, Row};

/// Longer side of a shown picture in pixels: what a large screen shows of it, and no more to send.
const MOST_SIDE: f64 = 1600.0;

/// An empty peg may need a bead where the drawing fills this much of its window; half makes it one.
const NEARLY: f64 = 0.35;

/// A picture as the page shows it: which part, and how large. Its bytes are made only for who asks for the picture.
pub struct Shown {
    /// Pixels across and down.
    pub size: (u32, u32),
    /// The shown part in whole pixels of the upright picture.
    part: Area,
}

impl Shown {
    /// A part of a picture, made smaller where it is larger than a screen.
    pub fn of(picture: &Picture, part: Option<Area>) -> Self {
        let whole = picture.whole();
        // Whole pixels inside the picture.
        let Area { x, y, width, height } = part.unwrap_or(whole);
        let (x, y) = (x.floor().clamp(0.0, whole.width - 1.0), y.floor().clamp(0.0, whole.height - 1.0));
        let (width, height) =
            (width.ceil().clamp(1.0, whole.width - x), height.ceil().clamp(1.0, whole.height - y));
        Self { size: shrunk((width, height)), part: Area { x, y, width, height } }
    }

    /// The picture in these pixels, as PNG.
    pub fn png(&self, picture: &Picture) -> Bytes {
        let Area { x, y, width, height } = self.part;
        let part = crop_imm(picture.pixels(), x as u32, y as u32, width as u32, height as u32);
        if (width as u32, height as u32) == self.size {
            return quick_png(&part.to_image()).into();
        }
        quick_png(&thumbnail(&*part, self.size.0, self.size.1)).into()
    }

    /// An area of the upright picture in shown pixels: x, y, width, height, to a tenth.
    fn place(&self, area: Area) -> [f64; 4] {
        let scale = (f64::from(self.size.0) / self.part.width, f64::from(self.size.1) / self.part.height);
        let tenth = |v: f64| (v * 10.0).round() / 10.0;
        [
            tenth((area.x - self.part.x) * scale.0),
            tenth((area.y - self.part.y) * scale.1),
            tenth(area.width * scale.0),
            tenth(area.height * scale.1),
        ]
    }
}

/// The pixels in which a picture of this size is shown.
fn shrunk((width, height): (f64, f64)) -> (u32, u32) {
    let scale = (MOST_SIDE / width.max(height)).min(1.0);
    let side = |pixels: f64| ((pixels * scale).round() as u32).max(1);
    (side(width), side(height))
}

/// What a drawing says of each bead of a figure.
pub struct Read {
    samples: SampleGrid,
    matched: MatchedGrid,
    windows: Grid<[f64; 4]>,
}

/// A figure's picture, and what was read in it.
pub struct ReadAgain {
    /// How the picture is shown.
    pub shown: Shown,
    /// The shown picture, as PNG; none of a draft, whose picture is asked for by itself and once.
    pub png: Option<Bytes>,
    /// What was read; or why nothing could be.
    pub read: std::result::Result<Read, String>,
}

impl ReadAgain {
    /// Reads a figure's picture again. `file` is the picture's name in errors.
    pub fn again(file: &str, picture: &Picture, figure: &Figure, shared: &Shared) -> Self {
        let tray = &shared.tray;
        let options = options_of(figure, picture, figure.source(), DEFAULT_SEED);
        let shown = Shown::of(picture, options.crop);
        let tries = plans(figure, &shared.classes).map(|zones| {
            let size = zones.map_or_else(|| options.size.clone(), crate::draft::Size::Zones);
            let options = crate::draft::DraftOptions { size, ..options.clone() };
            draft(file, picture, &options, tray).map(|draft| Read::of(&draft, &shown))
        });
        let agreeing = |read: &Result<Read>| read.as_ref().map_or(0, |read| read.agreeing(figure, tray) + 1);
        // max_by_key keeps the last of equals: the figure's own rows.
        let best = tries.rev().max_by_key(agreeing);
        let read = best.map_or_else(|| Err(String::new()), |read| read.map_err(|e| e.to_string()));
        Self { png: Some(shown.png(picture)), shown, read }
    }

    /// A fresh draft; the whole picture is shown.
    pub fn of(picture: &Picture, draft: &Draft) -> Self {
        let shown = Shown::of(picture, None);
        let read = Ok(Read::of(draft, &shown));
        Self { shown, png: None, read }
    }
}

/// The rows a figure may have been drafted with: its own, and those of its class, since a hat or a row set by
/// hand is not in the drawing's proportions. None is the figure's own size.
fn plans(figure: &Figure, classes: &Classes) -> std::vec::IntoIter<Option<ZoneRows>> {
    let class = figure.class().and_then(|name| classes.named(name).ok()).map(|class| class.rows);
    let other = class.filter(|rows| figure.rows().is_some_and(|own| own != rows));
    let mut plans = vec![None];
    plans.extend(other.map(Some));
    plans.into_iter()
}

/// What a peg could take besides what is on it.
pub struct Other {
    /// The bead; none for an empty peg.
    pub bead: Option<BeadId>,
    /// How likely the maker would rather have it.
    pub sure: Confidence,
}

impl Read {
    fn of(draft: &Draft, shown: &Shown) -> Self {
        let lattice = draft.samples.lattice();
        let windows = draft.samples.beads().map(|row, column, _| {
            let window = lattice.window(row, column);
            let (right, bottom) = (window.x + window.width, window.y + window.height);
            let corners = [(window.x, window.y), (right, window.y), (window.x, bottom), (right, bottom)];
            shown.place(Area::around(corners.map(|(x, y)| draft.reference.picture_place(x, y))))
        });
        Self { samples: draft.samples.clone(), matched: draft.matched.clone(), windows }
    }

    /// Lays a figure over what was read.
    pub fn under(&self, figure: &Figure) -> Laid<'_> {
        /// Rows and columns a maker may have added on any side beyond what the sizes tell.
        const SLACK: usize = 2;
        let beads = figure.beads();
        let read = self.samples.beads();
        let differ = beads.rows().abs_diff(read.rows()).max(beads.columns().abs_diff(read.columns()));
        let reach = i64::try_from(differ + SLACK).unwrap_or(0);
        Laid {
            read: self,
            shift: best_shift(&figure.beads().map(|_, _, placed| placed.is_some()), &self.samples, reach),
        }
    }

    /// Beads of a figure that are what was read at their place.
    fn agreeing(&self, figure: &Figure, tray: &Tray) -> usize {
        let laid = self.under(figure);
        let same = |(row, column, bead): (Row, Column, &Option<crate::figure::Placed>)| {
            let name = bead.and_then(|bead| figure.entry(bead.mark)).map(|entry| entry.bead.as_str());
            name.is_some() && name == laid.bead(row, column).map(|id| tray.bead(id).name.as_str())
        };
        figure.beads().iter().filter(|place| same(*place)).count()
    }
}

/// What was read, with a figure laid over it: places are the figure's.
#[derive(Clone, Copy)]
pub struct Laid<'a> {
    read: &'a Read,
    shift: (i64, i64),
}

impl Laid<'_> {
    fn place(&self, row: Row, column: Column) -> Option<(Row, Column)> {
        let moved = |at: usize, by: i64| usize::try_from(i64::try_from(at).ok()? + by).ok();
        let (row, column) = (Row(moved(row.0, self.shift.0)?), Column(moved(column.0, self.shift.1)?));
        self.read.samples.beads().get(row, column).map(|_| (row, column))
    }

    /// A bead's window in shown pixels: x, y, width, height.
    pub fn window(&self, row: Row, column: Column) -> Option<[f64; 4]> {
        self.place(row, column).map(|place| self.read.windows[place])
    }

    /// The bead that was read.
    pub fn bead(&self, row: Row, column: Column) -> Option<BeadId> {
        let place = self.place(row, column)?;
        self.read.matched.beads()[place].as_ref().map(|bead| bead.bead)
    }

    /// What a peg could take besides `now`, likeliest first.
    pub fn others(&self, row: Row, column: Column, now: Option<BeadId>) -> Vec<Other> {
        let Some(place) = self.place(row, column) else { return Vec::new() };
        let Some(matched) = &self.read.matched.beads()[place] else {
            return self.instead_of_nothing(place).into_iter().filter(|other| other.bead != now).collect();
        };
        let own = Other { bead: Some(matched.bead), sure: matched.confidence };
        let rest = matched.runners_up.iter().map(|&RunnerUp { bead, confidence: sure }| Other { bead, sure });
        std::iter::once(own).chain(rest).filter(|other| other.bead != now).collect()
    }

    /// What fills the windows of some pegs on the mean, the most first: beads by the colours there.
    pub fn filling(&self, pegs: &[(Row, Column)]) -> Vec<(BeadId, f64)> {
        let mut shares: BTreeMap<BeadId, f64> = BTreeMap::new();
        let places: Vec<_> = pegs.iter().filter_map(|&(row, column)| self.place(row, column)).collect();
        for share in places.iter().flat_map(|&place| &self.read.samples.beads()[place].colours) {
            if let Some(colour) = self.read.matched.colours().get(share.colour) {
                *shares.entry(colour.chosen.bead).or_default() += share.share / places.len() as f64;
            }
        }
        let mut shares: Vec<_> = shares.into_iter().collect();
        shares.sort_by(|one, other| other.1.total_cmp(&one.1));
        shares
    }

    /// An empty peg whose window the drawing fills nearly far enough: what could lie there, and how sure the
    /// empty peg is.
    pub fn nearly(&self, row: Row, column: Column) -> Option<(Confidence, Vec<Other>)> {
        let place = self.place(row, column)?;
        let sample = &self.read.samples.beads()[place];
        let others = self.instead_of_nothing(place);
        (!sample.filled && sample.cover >= NEARLY && !others.is_empty())
            .then(|| (Confidence::new(1.0 - sample.cover), others))
    }

    /// The beads of the colours in a window that was left empty, by how much of it they fill.
    fn instead_of_nothing(&self, place: (Row, Column)) -> Vec<Other> {
        /// As many as a maker would look through.
        const MOST: usize = 3;
        let mut others: Vec<Other> = Vec::new();
        for share in &self.read.samples.beads()[place].colours {
            let Some(colour) = self.read.matched.colours().get(share.colour) else { continue };
            let bead = Some(colour.chosen.bead);
            match others.iter_mut().find(|other| other.bead == bead) {
                Some(other) => other.sure = Confidence::new(other.sure.get() + share.share),
                None => others.push(Other { bead, sure: Confidence::new(share.share) }),
            }
        }
        others.truncate(MOST);
        others
    }
}
