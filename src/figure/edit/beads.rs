//! Changes of single beads: place, lift, swap, keep, doubt.

use super::layers::{Layer, Layers, Peg};
use super::legend::likely;
use super::{Done, Refused, Spot, counted, place_in_words};
use crate::colour::Lab;
use crate::figure::{ChosenBy, FIRST_PART, Mark, Placed, Second, Step, Sure};
use crate::tray::Tray;
use crate::units::Confidence;

/// The colour of a bead that is not in the tray and that may be tried all the same.
fn tried(bead: &str, tray: &Tray) -> Option<Lab> {
    tray.to_try().find(|other| other.name == bead).map(|other| other.lab)
}

/// Rows or columns outside the figure where a bead may still be placed: a hat's tip, a staff held aside. Common practice,
/// no source.
const FARTHEST_OUTSIDE: i32 = 3;

fn not_owned(tried: Option<Lab>) -> &'static str {
    tried.map_or("", |_| "; it is not in the tray, so only on trial")
}

impl Layers {
    pub(super) fn place(
        &mut self,
        spots: &[Spot],
        bead: &str,
        part: Option<&str>,
        tray: &Tray,
    ) -> Result<Done, Refused> {
        self.check_bead(bead, tray)?;
        spots.iter().try_for_each(|spot| self.check_near(*spot))?;
        let layers = self.layers_for(spots, part)?;
        let tried = tried(bead, tray);
        let mark = self.mark_of(bead, tried);
        for (&spot, layer) in spots.iter().zip(layers) {
            self.layers[layer].set(spot, Peg::Bead(Placed::new(mark, Some(Sure::ByHand))));
        }
        let covered = spots.iter().filter(|spot| {
            self.shown(**spot).is_some_and(|shown| part.is_some_and(|part| self.layers[shown].name != part))
        });
        let covered = covered.count();
        let hidden = match covered {
            0 => String::new(),
            _ => format!("; {} of {} hidden by a part above", counted(covered, "bead"), spots.len()),
        };
        Ok(format!("{bead} placed at {}{hidden}{}", in_words(spots), not_owned(tried)).into())
    }

    pub(super) fn place_several(
        &mut self,
        beads: &[(Vec<Spot>, String)],
        part: Option<&str>,
        tray: &Tray,
    ) -> Result<Done, Refused> {
        let said: Result<Vec<String>, Refused> =
            beads.iter().map(|(spots, bead)| Ok(self.place(spots, bead, part, tray)?.said)).collect();
        Ok(said?.join("; ").into())
    }

    /// Refuses a place that lies so far outside the figure that it is a slip of the finger.
    fn check_near(&self, spot: Spot) -> Result<(), Refused> {
        let Some((rows, columns)) = self.size() else { return Ok(()) };
        let near = |at: i32, size: i32| (-FARTHEST_OUTSIDE..size + FARTHEST_OUTSIDE).contains(&at);
        if near(spot.row, rows) && near(spot.column, columns) {
            return Ok(());
        }
        let (rows, columns) = (counted(rows as usize, "row"), counted(columns as usize, "column"));
        Err((
            format!("{} is far outside the figure, which has {rows} and {columns}", place_in_words(spot)),
            format!(
                "name a place in it or at most {FARTHEST_OUTSIDE} beside it; further ones one after another"
            ),
        ))
    }

    /// For each place the layer a bead goes to: the named one; the one that shows there; else the one whose
    /// beads lie nearest, the upper one of equals; else the lowest.
    fn layers_for(&mut self, spots: &[Spot], part: Option<&str>) -> Result<Vec<usize>, Refused> {
        if let Some(part) = part {
            let layer = self.part(part)?;
            return Ok(vec![layer; spots.len()]);
        }
        if self.layers.is_empty() {
            let first = spots.first().copied().unwrap_or(Spot { row: 0, column: 0 });
            self.layers.push(Layer::empty(FIRST_PART, first));
        }
        let at = |spot: Spot| self.shown(spot).or_else(|| self.nearest(spot)).unwrap_or(0);
        Ok(spots.iter().map(|&spot| at(spot)).collect())
    }

    /// The layer whose beads lie nearest, the upper one of equals; none where no layer has a bead.
    fn nearest(&self, spot: Spot) -> Option<usize> {
        let far = self.layers.iter().enumerate().filter_map(|(at, layer)| Some((layer.distance(spot)?, at)));
        far.min_by_key(|(far, at)| (*far, std::cmp::Reverse(*at))).map(|(_, at)| at)
    }

    pub(super) fn lift(&mut self, spots: &[Spot], part: Option<&str>) -> Result<Done, Refused> {
        let part = part.map(|part| self.part(part)).transpose()?;
        let mut lifted = Vec::new();
        for &spot in spots {
            let layer = match part {
                Some(layer) => Some(layer).filter(|layer| self.layers[*layer].has_bead(spot)),
                None => self.shown(spot),
            };
            if let Some(layer) = layer {
                self.layers[layer].set(spot, Peg::Empty { by_hand: true });
                lifted.push(spot);
            }
        }
        if lifted.is_empty() {
            let why = format!("there is no bead at {}", in_words(spots));
            return Err((why, "count rows and columns from 1, at the figure's top left".into()));
        }
        let below = lifted.iter().filter(|spot| self.shown(**spot).is_some()).count();
        let below = match below {
            0 => String::new(),
            1 => "; 1 bead of a part below shows there now".to_owned(),
            _ => format!("; {below} beads of a part below show there now"),
        };
        Ok(format!("lifted {}{below}", in_words(&lifted)).into())
    }

    pub(super) fn swap(
        &mut self,
        old: &str,
        new: &str,
        part: Option<&str>,
        by_hand: bool,
        tray: &Tray,
    ) -> Result<Done, Refused> {
        let (old, new) = (&*self.bead_named(old, None), &*self.bead_named(new, Some(tray)));
        let marks: Vec<Mark> =
            self.about.legend.iter().filter(|entry| entry.bead == old).map(|entry| entry.mark).collect();
        if marks.is_empty() {
            let names = self.about.legend.iter().map(|entry| entry.bead.as_str());
            return Err((format!("the figure has no {old}"), likely(old, names, "its beads")));
        }
        self.check_bead(new, tray)?;
        if old == new {
            return Err((
                "the old and the new bead are the same".into(),
                "name the old bead first, then the new \
            one"
                .into(),
            ));
        }
        let part = part.map(|part| self.part(part)).transpose()?;
        let mut meets = Vec::new();
        let (mut kept, mut elsewhere) = (0, 0);
        for (at, layer) in self.layers.iter().enumerate() {
            for (row, column, placed) in beads_of(layer).filter(|(.., placed)| marks.contains(&placed.mark)) {
                if part.is_some_and(|part| part != at) {
                    elsewhere += 1;
                } else if placed.sure == Some(Sure::ByHand) && !by_hand {
                    kept += 1;
                } else {
                    meets.push((at, row, column));
                }
            }
        }
        if meets.is_empty() && (kept > 0 || part.is_some()) {
            return Err(match kept {
                0 => (format!("that part has no {old}"), "leave the part out to swap everywhere".into()),
                _ => (
                    format!("every {old} there was placed by hand ({kept}) and stays"),
                    "add by-hand to change them too".into(),
                ),
            });
        }
        let tried = tried(new, tray);
        let mark = match tried {
            // The line of the old bead keeps the colour that its picture asked for.
            Some(_) => self.mark_of(new, tried),
            None => self.mark_for_swap(&marks, new, kept + elsewhere == 0),
        };
        for &(at, row, column) in &meets {
            if let Peg::Bead(placed) = &mut self.layers[at].pegs[row][column] {
                placed.mark = mark;
                // The maker chose it; what set the old bead says nothing of this one.
                placed.why = None;
            }
        }
        if kept + elsewhere == 0 {
            self.doubts_follow(&marks, mark);
        }
        self.drop_emptied = true;
        let stayed = match kept {
            0 => String::new(),
            _ => format!(
                "; {} placed by hand stayed {old}: add by-hand to change them too",
                counted(kept, "bead")
            ),
        };
        let said = format!(
            "{} {} {new} instead of {old}{stayed}{}",
            counted(meets.len(), "bead"),
            is(meets.len()),
            not_owned(tried)
        );
        Ok(Done { said, kept_by_hand: kept, in_the_way: Vec::new() })
    }

    /// The mark of the bead that comes: its own line; the old line renamed, where nothing of the old bead
    /// stays; else a new line for the same colour asked for.
    fn mark_for_swap(&mut self, old: &[Mark], new: &str, all: bool) -> Mark {
        if let Some(entry) = self.about.legend.iter().find(|entry| entry.bead == new) {
            return entry.mark;
        }
        let one = match old {
            [one] => self.about.legend.iter_mut().find(|entry| entry.mark == *one),
            _ => None,
        };
        match one {
            Some(entry) if all => {
                let was = std::mem::replace(&mut entry.bead, new.into());
                (entry.by, entry.confidence) = (ChosenBy::Hand, None);
                let old = entry.mark;
                self.mark_after(&was, new, old)
            }
            Some(entry) => {
                let aim = entry.aim;
                let mark = self.mark_of(new, None);
                let line = self.about.legend.iter_mut().find(|entry| entry.mark == mark);
                line.into_iter().for_each(|line| line.aim = aim);
                mark
            }
            None => self.mark_of(new, None),
        }
    }

    /// The mark of a line whose bead is another now. It goes with the old bead where it was a letter of that and is none
    /// of the new one's, and one of those is free; any other mark may be the maker's own, and stays.
    fn mark_after(&mut self, was: &str, new: &str, old: Mark) -> Mark {
        let is_of = |mark: Mark, bead: &str| bead.chars().any(|c| c.eq_ignore_ascii_case(&mark.get()));
        let taken = self.about.legend.iter().map(|entry| entry.mark).collect();
        let better = Mark::free_for(new, &taken);
        if !is_of(old, was) || is_of(old, new) || !is_of(better, new) {
            return old;
        }
        self.about.legend.iter_mut().filter(|entry| entry.mark == old).for_each(|entry| entry.mark = better);
        self.renamed(old, better);
        better
    }

    /// What could have been a bead that is gone could be the one that came for it.
    fn doubts_follow(&mut self, old: &[Mark], new: Mark) {
        for peg in self.layers.iter_mut().flat_map(|layer| layer.pegs.iter_mut().flatten()) {
            if let Peg::Bead(placed) = peg
                && let Some(Second::Bead(mark)) = placed.or
                && old.contains(&mark)
            {
                placed.or = Some(if placed.mark == new { Second::Itself } else { Second::Bead(new) });
            }
        }
    }

    pub(super) fn keep(&mut self, spots: &[Spot]) -> Result<Done, Refused> {
        for &spot in spots {
            match self.shown(spot) {
                Some(layer) => self.settle(layer, spot, Sure::ByHand),
                None => self.leave_bare(spot)?,
            }
        }
        Ok(format!("kept: {}", in_words(spots)).into())
    }

    /// An empty peg stays so by hand, in the topmost part around it, else in the nearest.
    fn leave_bare(&mut self, spot: Spot) -> Result<(), Refused> {
        let around = self.layers.iter().rposition(|layer| layer.peg(spot).is_some());
        // Parts end with their beads: between them it is the nearest one's.
        let nearest = || self.reaches(spot).then(|| self.nearest(spot)).flatten();
        match around.or_else(nearest) {
            Some(at) => self.layers[at].set(spot, Peg::Empty { by_hand: true }),
            None => {
                let why = format!("no part of the figure reaches {}", place_in_words(spot));
                return Err((why, "keep a place inside the figure, or place a bead there".into()));
            }
        }
        Ok(())
    }

    fn settle(&mut self, layer: usize, spot: Spot, sure: Sure) {
        if let Some(Peg::Bead(placed)) = self.layers[layer].peg(spot) {
            self.layers[layer].set(spot, Peg::Bead(Placed { sure: Some(sure), ..placed }));
        }
    }

    /// A bead's old confidence is not known any more; the lowest one puts it first among the doubts.
    pub(super) fn doubt(&mut self, spots: &[Spot]) -> Result<Done, Refused> {
        for &spot in spots {
            match self.shown(spot) {
                Some(layer) => self.settle(layer, spot, Sure::Likely(Step::of(Confidence::NONE))),
                None => {
                    let bare = |layer: &&mut Layer| layer.peg(spot).is_some_and(Peg::is_by_hand);
                    self.layers.iter_mut().filter(bare).for_each(|layer| layer.set(spot, Peg::EMPTY));
                }
            }
        }
        Ok(format!("to be asked again: {}", in_words(spots)).into())
    }
}

/// The beads of a layer, each with its row and column in it.
fn beads_of(layer: &Layer) -> impl Iterator<Item = (usize, usize, Placed)> + '_ {
    layer.pegs.iter().enumerate().flat_map(|(row, pegs)| {
        pegs.iter().enumerate().filter_map(move |(column, peg)| peg.bead().map(|bead| (row, column, bead)))
    })
}

fn is(count: usize) -> &'static str {
    if count == 1 { "is" } else { "are" }
}

/// One place in words, or how many.
fn in_words(spots: &[Spot]) -> String {
    match spots {
        [one] => place_in_words(*one),
        [first, ..] => format!("{} places from {} on", spots.len(), place_in_words(*first)),
        [] => "no place".into(),
    }
}
